// Kills the program at some hundreds of random moments while it sweeps, and tells what was lost. Run by hand:
//   lobewright_kills [ROUNDS] [SEED]
#define CATCH_CONFIG_DISABLE
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <exception>

#include "tests/cli/kill_round.hpp"

int main(int argc, char** argv) try {
    const int rounds = argc > 1 ? std::atoi(argv[1]) : 300;
    std::mt19937 random(argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : 1U);
    constexpr std::int64_t half_a_second = 400;
    std::int64_t most = 0, over = 0;
    for (int i = 0; i < rounds; ++i) {
        const auto round = lobewright::tests::kill_round(random);
        const std::int64_t lost = round.sent - round.saved;
        most = std::max(most, lost);
        over += lost > half_a_second || lost < 0;
    }
    std::printf("%d kills; most that was lost: %lld counts (%.3f s); more than half a second: %lld times\n",
                rounds, static_cast<long long>(most), 1.25e-3 * static_cast<double>(most),
                static_cast<long long>(over));
    return over == 0 ? 0 : 1;
} catch (const std::exception& problem) {
    std::fprintf(stderr, "%s\n", problem.what());
    return 2;
}
