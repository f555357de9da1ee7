#include "analysis/prepared_run.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/follower/tip_line.hpp"
#include "analysis/in_parallel.hpp"
#include "analysis/lobe/grid.hpp"
#include "analysis/sweep/clean_sweep.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

/// What the lobe was read with and what its lift is to be stated for.
TipToFollower tip_of(const Run& run, const BenchSetUp& set_up, const Lobe& lobe,
                     const std::optional<double>& base_diameter_mm) {
    TipToFollower out;
    if (run.rig.tip == Tip::roller) out.tip_radius_mm = run.rig.tip_radius_mm.value_or(0.0);
    if (run.rig.tip == Tip::point) out.tip_radius_mm = 0.0;
    if (out.tip_radius_mm) out.tip_offset_mm = set_up.tip_offset_mm;
    const auto file = (run.folder / "run.toml").string();
    if (run.cam.follower == Follower::roller) {
        if (!run.cam.follower_radius_mm) {
            throw DataError(
                fmt::format("{}: [cam] follower_radius isn't given: lift on a roller can't be stated without "
                            "its radius; add it",
                            file));
        }
        out.follower_radius_mm = run.cam.follower_radius_mm;
    }
    if (!out.differ()) return out;
    if (!base_diameter_mm) {
        throw DataError(
            fmt::format("{}: lobe '{}' has no base_diameter: what a {} tip reads can't be stated for a {} "
                        "follower without it; measure the heel by micrometer and add it",
                        file, lobe.name, word(run.rig.tip), word(run.cam.follower)));
    }
    out.base_radius_mm = 0.5 * *base_diameter_mm;
    out.front_z_mm = run.rig.front_z_mm;
    out.rear_z_mm = run.rig.rear_z_mm;
    if (run.datum) out.rear_minus_front_mm = run.datum->rear_minus_front_mm;
    return out;
}

/// The micrometer's figure, of this run or, where it lacks, of the other run of the same cam.
std::optional<double> base_diameter_of(const Lobe& lobe, const Run* other) {
    if (lobe.base_diameter_mm || other == nullptr) return lobe.base_diameter_mm;
    const Lobe* there = find_lobe(*other, lobe.name);
    return there == nullptr ? std::nullopt : there->base_diameter_mm;
}

std::vector<double> motion_on_grid(const AxisMotion& motion, double z_mm) {
    std::vector<double> out(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g)
        out[g] = motion.at(z_mm, rad_per_grid * static_cast<double>(g));
    return out;
}

/// Half a degree is straight enough: 16 undulations of a micrometre bend by nanometres within it.
void take_motion_off(const std::vector<double>& motion, const std::vector<double>& angle_rad,
                     std::vector<double>& reading_mm) {
    for (std::size_t i = 0; i < angle_rad.size(); ++i) {
        const auto [g, u] = spline_place(angle_rad[i], grid_points);
        reading_mm[i] -= motion[g] + u * (motion[g + 1 == grid_points ? 0 : g + 1] - motion[g]);
    }
}

LobeCurve prepare_lobe(const PreparedRun& prepared, const Lobe& lobe,
                       const std::optional<double>& base_diameter_mm) {
    const Run& run = *prepared.run;
    const AxisMotion& motion = prepared.motion;
    std::vector<CleanSweep> clean;
    for (const auto& sweep : run.sweeps) {
        if (sweep.of != lobe.name) continue;
        clean.push_back(clean_sweep(sweep, run.rig));
        take_lean_off(clean.back().samples, rad_from_deg(prepared.set_up.tip_lean_deg));
    }
    if (clean.empty()) {
        throw DataError(fmt::format("{}: lobe '{}' has no sweep; sweep it or take it out of run.toml",
                                    run.folder.string(), lobe.name));
    }
    std::vector<double> front_motion, rear_motion;
    if (motion.known()) {
        front_motion = motion_on_grid(motion, lobe.z_mm + run.rig.front_z_mm);
        rear_motion = motion_on_grid(motion, lobe.z_mm + run.rig.rear_z_mm);
        for (auto& sweep : clean) {
            take_motion_off(front_motion, sweep.samples.angle_rad, sweep.samples.front_mm);
            take_motion_off(rear_motion, sweep.samples.angle_rad, sweep.samples.rear_mm);
        }
    }
    LobeCurve curve = fit_lobe_curve(lobe.name, std::move(clean), run.rig);
    curve.tip = tip_of(run, prepared.set_up, lobe, base_diameter_mm);
    curve.axis_doubt_mm = motion.doubt_mm(lobe.z_mm);
    curve.encoder_limit_rad = rad_from_deg(prepared.set_up.encoder_limit_deg);
    curve.front_motion = std::move(front_motion);
    curve.rear_motion = std::move(rear_motion);
    return curve;
}

/// One rig read all lobes of a run.
void settle_walk_of(PreparedRun& prepared) {
    std::vector<CurveNoise*> noise;
    for (auto& curve : prepared.curves) noise.push_back(&curve->noise);
    settle_walk(noise);
}

PreparedRun prepare_journals(const RunOnBench& bench) {
    PreparedRun out;
    out.run = bench.run;
    out.set_up = bench.set_up;
    out.journals = journal_curves(*bench.run, bench.set_up);
    out.motion = AxisMotion(*bench.run, out.journals, bench.set_up, out.notes);
    out.curves.resize(bench.run->lobes.size());
    return out;
}

void prepare_lobes(std::vector<PreparedRun>& runs, unsigned threads) {
    std::vector<std::pair<PreparedRun*, std::size_t>> tasks;
    for (auto& prepared : runs) {
        for (std::size_t i = 0; i < prepared.run->lobes.size(); ++i) tasks.emplace_back(&prepared, i);
    }
    in_parallel(tasks.size(), threads, [&](std::size_t t) {
        auto& [prepared, i] = tasks[t];
        try {
            const Lobe& lobe = prepared->run->lobes[i];
            const Run* other = nullptr;
            for (const auto& p : runs) {
                if (&p != prepared) other = p.run;
            }
            prepared->curves[i] = prepare_lobe(*prepared, lobe, base_diameter_of(lobe, other));
        } catch (const DataError& error) {
            const std::string text = error.what();
            const auto folder = prepared->run->folder.string();
            throw DataError(text.find(folder) == std::string::npos ? fmt::format("{}: {}", folder, text)
                                                                   : text);
        }
    });
}

}  // namespace

const Lobe* find_lobe(const Run& run, const std::string& name) {
    const auto at =
        std::find_if(run.lobes.begin(), run.lobes.end(), [&](const Lobe& l) { return l.name == name; });
    return at == run.lobes.end() ? nullptr : &*at;
}

std::vector<PreparedRun> prepare_runs(const std::vector<RunOnBench>& runs, unsigned threads) {
    std::vector<PreparedRun> out;
    out.reserve(runs.size());
    for (const RunOnBench& run : runs) out.push_back(prepare_journals(run));
    prepare_lobes(out, threads);
    for (PreparedRun& prepared : out) settle_walk_of(prepared);
    return out;
}

}  // namespace lobewright
