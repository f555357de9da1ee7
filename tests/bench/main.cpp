// bench: what the main job costs, stage by stage, each as a ratio to a bare read and parse of the same bytes in the same run,
// and against scipy_pipeline.py where scipy is installed. `lobewright_bench study` measures studies of 10 to 3000 runs,
// `lobewright_bench runs FOLDER` leaves the runs in a folder, for a profiler. Speed is reported, never asserted:
// machines differ, ratios don't by much.
#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <sys/resource.h>
#include <thread>
#include <unistd.h>
#include <vector>

#include <fmt/format.h>

#include "analysis/compare.hpp"
#include "analysis/judge/judgement.hpp"
#include "analysis/prepared_run.hpp"
#include "analysis/run/run_folder.hpp"
#include "tests/bench/bench_runs.hpp"
#include "tests/bench/rig_pipeline.hpp"
#include "tests/bench/study_bench.hpp"

namespace {

using namespace lobewright;
using namespace lobewright::bench;
namespace fs = std::filesystem;

constexpr std::size_t rounds = 25;

struct Stage {
    const char* name;
    std::function<void()> work;
    std::vector<double> took_s{};  // round by round

    void take() {
        const auto start = std::chrono::steady_clock::now();
        work();
        took_s.push_back(std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    }
};

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

/// Each stage in turn, round after round: what else the machine does meanwhile meets all of them alike.
void measure(std::vector<Stage>& stages) {
    for (std::size_t i = 0; i < rounds; ++i) {
        for (Stage& stage : stages) stage.take();
    }
}

/// Over the baseline of the same round, the median: a processor's clock rises and falls by a third from second to second,
/// and the best of many finds a short stage in its fastest moments more often than a long one.
double ratio(const Stage& stage, const Stage& baseline) {
    std::vector<double> each;
    for (std::size_t i = 0; i < rounds; ++i) each.push_back(stage.took_s[i] / baseline.took_s[i]);
    return median(each);
}

double peak_memory_mb() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

void run_or_throw(const std::string& command) {
    if (std::system(command.c_str()) == -1) throw std::runtime_error("can't run " + command);
}

/// Seconds that the scipy pipeline takes in so many processes, its imports not counted; 0 where it can't run.
double scipy_seconds(const BenchRuns& runs, unsigned processes) {
    const std::string command = fmt::format(
        "OPENBLAS_NUM_THREADS=1 /usr/bin/python3 '{}/tests/bench/scipy_pipeline.py' '{}' '{}' 3 {} "
        "2>/dev/null",
        LOBEWRIGHT_SOURCE_DIR, runs.reference.string(), runs.used.string(), processes);
    const std::unique_ptr<FILE, int (*)(FILE*)> said(::popen(command.c_str(), "r"), ::pclose);
    double seconds = 0.0;
    if (!said || std::fscanf(said.get(), "{\"seconds\": %lf", &seconds) != 1) return 0.0;
    return seconds;
}

/// The scipy pipeline as anyone would first write it, in one process, and spread over the cores that the main job has: its
/// best of three, then the main job's median of five; three times, of which the middle one counts.
void bench_scipy(const BenchRuns& runs, double baseline_s, const Stage& job) {
    for (const unsigned processes : {1U, std::thread::hardware_concurrency()}) {
        std::vector<double> took_s, times;
        for (int round = 0; round < 3; ++round) {
            took_s.push_back(scipy_seconds(runs, processes));
            if (took_s.back() <= 0.0) {
                fmt::print("\nno scipy here (python3-scipy): not measured against its pipeline\n");
                return;
            }
            Stage beside{job.name, job.work};
            for (int i = 0; i < 5; ++i) beside.take();
            times.push_back(took_s.back() / median(beside.took_s));
        }
        fmt::print(
            "| scipy pipeline in {} process{}, the same figures without u95: {:.1f} times the main job | "
            "{:.0f} | {:.3g} | {:.1f} |\n",
            processes, processes > 1 ? "es" : "", median(times), 1e3 * median(took_s),
            static_cast<double>(runs.rows) / median(took_s), median(took_s) / baseline_s);
    }
    fmt::print("\n");
}

void bench_main_job(const fs::path& folder) {
    const BenchRuns runs = write_bench_runs(folder);
    const double before_mb = peak_memory_mb();
    const Run reference = read_run(runs.reference), used = read_run(runs.used);
    const CamFigures figures = compare_runs(reference, used);
    const std::string page =
        fmt::format("{} report {} {} --to {} --overwrite >/dev/null", LOBEWRIGHT_PROGRAM,
                    runs.reference.string(), runs.used.string(), (folder / "page.html").string());
    std::vector<Stage> stages{
        {"bare read and parse (baseline)", [&] { parse_bare(runs); }},
        {"read both runs", [&] { (void)read_run(runs.reference), (void)read_run(runs.used); }},
        {"reconstruct: clean, fit, offsets",
         [&] {
             (void)prepare_runs({{&reference, {}}, {&used, {}}}, 0);
         }},
        {"compare: the above, wear, u95", [&] { (void)compare_runs(reference, used); }},
        {"judge", [&] { (void)judge(figures, Limits{}, Units::mm); }},
        {"**the main job: read, compare, judge**",
         [&] {
             const Run a = read_run(runs.reference), b = read_run(runs.used);
             (void)judge(compare_runs(a, b), Limits{}, Units::mm);
         }},
        {"`lobewright report`, from start to page", [&] { run_or_throw(page); }},
    };
    measure(stages);
    fmt::print("{} rows, {:.1f} MB in {} files, {} cores\n\n", runs.rows,
               static_cast<double>(runs.bytes) / 1e6, runs.files.size(), std::thread::hardware_concurrency());
    fmt::print("| stage | ms | rows/s | ratio to bare parse |\n|---|---|---|---|\n");
    for (const Stage& stage : stages) {
        const double took_s = median(stage.took_s);
        fmt::print("| {} | {:.1f} | {:.3g} | {:.2f} |\n", stage.name, 1e3 * took_s,
                   static_cast<double>(runs.rows) / took_s, ratio(stage, stages[0]));
    }
    bench_scipy(runs, median(stages[0].took_s), stages[5]);
    const DecodeCost decode = decode_cost();
    fmt::print("a controller's line decoded: {:.0f} ns, {:.2f} times its bare loop\n", decode.decoder_ns,
               decode.decoder_ns / decode.bare_ns);
    fmt::print("peak memory {:.0f} MB (of it {:.0f} MB before the first read, by the model)\n",
               peak_memory_mb(), before_mb);
}

void bench_study(const fs::path& folder) {
    const double cores = std::thread::hardware_concurrency();
    fmt::print(
        "| runs | s | ms a run | cores busy | processor ms a run | most memory "
        "|\n|---|---|---|---|---|---|\n");
    for (const std::size_t runs : {10, 30, 100, 300, 1000, 3000}) {
        const StudyCost cost = study_cost(folder, runs);
        const auto n = static_cast<double>(runs);
        fmt::print("| {} | {:.2f} | {:.1f} | {:.0f} % | {:.1f} | {:.0f} MB |\n", runs, cost.wall_s,
                   1e3 * cost.wall_s / n, 100.0 * cost.cpu_s / cost.wall_s / cores, 1e3 * cost.cpu_s / n,
                   cost.peak_mb);
        std::fflush(stdout);
    }
}

}  // namespace

int main(int argc, char** argv) {
    const std::vector<std::string> words(argv + 1, argv + argc);
    const fs::path folder = fs::temp_directory_path() / fmt::format("lobewright-bench-{}", getpid());
    int status = 0;
    try {
        fs::create_directories(folder);
        if (words.size() == 2 && words[0] == "runs") {
            write_bench_runs(words[1]);
        } else if (!words.empty() && words[0] == "study") {
            bench_study(folder);
        } else {
            bench_main_job(folder);
        }
    } catch (const std::exception& error) {
        fmt::print(stderr, "bench: {}\n", error.what());
        status = 1;
    }
    fs::remove_all(folder);
    return status;
}
