// The library in ten lines: is this cam fit to go back in?
#include <cstdio>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "analysis/judge/judgement.hpp"
#include "analysis/run/run_folder.hpp"

int main(int, char** argv) try {
    const auto reference = lobewright::read_run(argv[1]), used = lobewright::read_run(argv[2]);
    const auto judgement = judge(compare_runs(reference, used), lobewright::Limits{}, used.units);
    std::printf("%s\n", word(judgement.verdict).data());
} catch (const lobewright::Error& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return static_cast<int>(error.exit());
}
