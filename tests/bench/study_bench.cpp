#include "tests/bench/study_bench.hpp"

#include <chrono>
#include <fcntl.h>
#include <fstream>
#include <stdexcept>
#include <string>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

namespace lobewright::bench {

StudyCost study_cost(const std::filesystem::path& folder, std::size_t runs) {
    const std::string samples = LOBEWRIGHT_SOURCE_DIR "/sample_runs/";
    const std::string list = folder / "list", out = folder / "lines.ndjson";
    std::ofstream lines(list);
    for (std::size_t i = 0; i < runs; ++i) {
        lines << samples << "launch-4-new\t" << samples
              << (i % 2 == 0 ? "launch-4-used-wiped\n" : "launch-4-used-nose\n");
    }
    lines.close();
    const auto begun = std::chrono::steady_clock::now();
    const pid_t child = ::fork();
    if (child == 0) {
        ::dup2(::open("/dev/null", O_WRONLY | O_CLOEXEC), STDERR_FILENO);
        ::execl(LOBEWRIGHT_PROGRAM, LOBEWRIGHT_PROGRAM, "study", "--list", list.c_str(), "--out", out.c_str(),
                "--overwrite", nullptr);
        ::_exit(127);
    }
    int status = 0;
    rusage usage{};
    if (child < 0 || ::wait4(child, &status, 0, &usage) != child || status != 0)
        throw std::runtime_error("lobewright study failed");
    const auto seconds = [](const timeval& t) {
        return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
    };
    return {runs, std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count(),
            seconds(usage.ru_utime) + seconds(usage.ru_stime), static_cast<double>(usage.ru_maxrss) / 1024.0};
}

}  // namespace lobewright::bench
