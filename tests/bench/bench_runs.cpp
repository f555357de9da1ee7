#include "tests/bench/bench_runs.hpp"

#include <algorithm>
#include <charconv>
#include <fstream>
#include <string>

#include "analysis/in_parallel.hpp"
#include "analysis/run/run_folder.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"

namespace lobewright::bench {
namespace {

namespace fs = std::filesystem;

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

}  // namespace

BenchRuns write_bench_runs(const fs::path& folder) {
    BenchRuns out{folder / "new", folder / "used", {}};
    for (const bool used : {false, true}) {
        const Run run = bench_run(used, used ? 8 : 7);
        for (const auto& sweep : run.sweeps) out.rows += sweep.rows();
        write_run(run, used ? out.used : out.reference);
    }
    out.files = sweep_files({out.reference, out.used});
    for (const auto& file : out.files) out.bytes += fs::file_size(file);
    return out;
}

void parse_bare(const BenchRuns& runs) {
    std::vector<Bare> all(runs.files.size());
    in_parallel(all.size(), 0, [&](std::size_t i) { all[i] = bare_parse(runs.files[i]); });
}

}  // namespace lobewright::bench
