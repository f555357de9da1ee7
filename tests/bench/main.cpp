// bench: what the main job costs, stage by stage, as a ratio to a bare read and parse of the same bytes in
// the same run. Two 12-lobe runs, 3 passes, 14 400 counts a turn (some 1.6 million rows, 48 MB), made by the
// cam model in a temporary folder. Speed is reported, never asserted: machines differ, ratios don't by much.
#include <algorithm>
#include <charconv>
#include <chrono>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <functional>
#include <string>
#include <sys/resource.h>
#include <thread>
#include <unistd.h>
#include <vector>

#include <fmt/format.h>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "analysis/in_parallel.hpp"
#include "analysis/judge/judgement.hpp"
#include "analysis/run/run_folder.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"

namespace {

using namespace lobewright;
namespace fs = std::filesystem;

constexpr int repeats = 9;

double best_of(int times, const std::function<void()>& work) {
    double best = 1e9;
    for (int i = 0; i < times; ++i) {
        const auto start = std::chrono::steady_clock::now();
        work();
        best =
            std::min(best, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    }
    return best;
}

Run bench_run(bool used, std::uint64_t seed) {
    CamModel cam = pump_engine_cam();
    cam.journals.clear();
    if (used) {
        for (auto& lobe : cam.lobes) lobe.wear = {nose_wear(0.02, lobe.taper_mm)};
    }
    RigModel rig;
    rig.info.counts_per_rev = 14400;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = 0.0005;
    rig.info.error_limit_mm = 0.001;
    rig.sampling = Sampling::by_count;
    rig.index_phase_deg = used ? 33.0 : -71.0;
    rig.noise_mm = 0.0005;
    rig.datum = DatumModel{};
    HandModel hand;
    hand.turns_min = hand.turns_max = 1.54;
    hand.backward_per_turn = 0.5;
    RunPlan plan;
    plan.info.id = used ? "bench-used" : "bench-new";
    plan.info.taken = "2026-01-01T00:00:00Z";
    plan.info.condition = used ? Condition::used : Condition::as_new;
    plan.lobe_passes = 3;
    return simulate_run(cam, rig, hand, {}, plan, seed);
}

std::vector<fs::path> sweep_files(const std::vector<fs::path>& folders) {
    std::vector<fs::path> files;
    for (const auto& folder : folders) {
        for (const auto& entry : fs::directory_iterator(folder / "sweeps")) files.push_back(entry.path());
    }
    std::sort(files.begin(), files.end());
    return files;
}

struct Bare {
    std::vector<std::int64_t> t, count;
    std::vector<double> front, rear;
};

std::string slurp(const fs::path& file) {
    std::string text(fs::file_size(file), '\0');
    std::ifstream(file, std::ios::binary).read(text.data(), static_cast<std::streamsize>(text.size()));
    return text;
}

/// The baseline: bytes in, std::from_chars into vectors, no checks at all.
Bare bare_parse(const fs::path& file) {
    const std::string text = slurp(file);
    const char* at = text.data();
    const char* const end = at + text.size();
    while (at < end && *at == '#') at = std::find(at, end, '\n') + 1;
    at = std::find(at, end, '\n') + 1;
    Bare out;
    while (at < end) {
        std::int64_t t = 0, count = 0;
        double front = 0.0, rear = 0.0;
        at = std::from_chars(at, end, t).ptr + 1;
        at = std::from_chars(at, end, count).ptr + 1;
        at = std::from_chars(at, end, front).ptr + 1;
        at = std::from_chars(at, end, rear).ptr + 1;
        out.t.push_back(t);
        out.count.push_back(count);
        out.front.push_back(front);
        out.rear.push_back(rear);
    }
    return out;
}

double peak_memory_mb() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

int bench(const fs::path& folder) {
    const std::vector<fs::path> folders{folder / "new", folder / "used"};
    std::size_t rows = 0;
    for (std::size_t i = 0; i < 2; ++i) {
        const Run run = bench_run(i == 1, 7 + i);
        for (const auto& sweep : run.sweeps) rows += sweep.rows();
        write_run(run, folders[i]);
    }
    const auto files = sweep_files(folders);
    std::uintmax_t bytes = 0;
    for (const auto& file : files) bytes += fs::file_size(file);
    const double before_mb = peak_memory_mb();

    std::vector<Bare> bare(files.size());
    const double baseline = best_of(repeats, [&] {
        in_parallel(files.size(), 0, [&](std::size_t i) { bare[i] = bare_parse(files[i]); });
    });
    bare.clear();
    Run reference, used;
    CamFigures figures;
    const double read = best_of(repeats, [&] {
        reference = read_run(folders[0]);
        used = read_run(folders[1]);
    });
    const double compute = best_of(repeats, [&] { figures = compare_runs(reference, used); });
    const double judging = best_of(repeats, [&] { (void)judge(figures, Limits{}, Units::mm); });
    const double whole = read + compute + judging;

    fmt::print("{} rows, {:.1f} MB in {} files, {} threads\n\n", rows, static_cast<double>(bytes) / 1e6,
               files.size(), std::thread::hardware_concurrency());
    fmt::print("| stage | ms | share | rows/s | ratio to bare parse |\n|---|---|---|---|---|\n");
    const auto line = [&](const char* name, double seconds) {
        fmt::print("| {} | {:.1f} | {:.0f} % | {:.3g} | {:.2f} |\n", name, 1e3 * seconds,
                   100.0 * seconds / whole, static_cast<double>(rows) / seconds, seconds / baseline);
    };
    line("bare read and parse (baseline)", baseline);
    line("read_run, both", read);
    line("compare_runs", compute);
    line("judge", judging);
    line("the main job", whole);
    fmt::print("\npeak memory {:.0f} MB (of it {:.0f} MB before the first read, by the model)\n",
               peak_memory_mb(), before_mb);
    return 0;
}

}  // namespace

int main() {
    const fs::path folder = fs::temp_directory_path() / fmt::format("lobewright-bench-{}", getpid());
    int status = 0;
    try {
        fs::create_directories(folder);
        status = bench(folder);
    } catch (const std::exception& error) {
        fmt::print(stderr, "bench: {}\n", error.what());
        status = 1;
    }
    fs::remove_all(folder);
    return status;
}
