#include "analysis/regrind/regrind_cam.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/in_parallel.hpp"
#include "analysis/lobe/lobe_alone.hpp"
#include "analysis/lobe/taper_figures.hpp"
#include "analysis/prepared_run.hpp"
#include "analysis/regrind/plan_cam.hpp"
#include "analysis/regrind/reground_lobe.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/run_folder.hpp"
#include "analysis/wear/lobe_pair.hpp"

namespace lobewright {
namespace {

double half_width_sd(const std::optional<double>& limit_mm) {
    return limit_mm.value_or(0.0) / std::sqrt(3.0);
}

std::optional<double> mastered(const TaperFigures& taper) {
    if (taper.datum != TaperDatum::mastered || !taper.base_mm.known()) return std::nullopt;
    return taper.base_mm.value;
}

Measured heel_taper(const LobeFigures& lobe) {
    return mastered(lobe.taper) ? lobe.taper.base_mm : Measured{};
}

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    if (values.size() % 2 == 1) return *middle;
    return 0.5 * (*middle + *std::max_element(values.begin(), middle));
}

RegroundLobe begin_lobe(const Lobe& lobe) {
    RegroundLobe out;
    out.name = lobe.name;
    out.kind = lobe.kind;
    out.cylinder = lobe.cylinder;
    return out;
}

std::vector<std::unique_ptr<LobePair>> lay_over(const PreparedRun& reference, const PreparedRun& used,
                                                unsigned threads) {
    std::vector<std::unique_ptr<LobePair>> pairs(used.run->lobes.size());
    in_parallel(pairs.size(), threads, [&](std::size_t i) {
        const Lobe& lobe = used.run->lobes[i];
        const Lobe* other = find_lobe(*reference.run, lobe.name);
        const auto at = static_cast<std::size_t>(other - reference.run->lobes.data());
        pairs[i] = std::make_unique<LobePair>(LobeOfRun{*reference.curves[at], *reference.run},
                                              LobeOfRun{*used.curves[i], *used.run}, lobe.width_mm);
    });
    return pairs;
}

TargetLift target_of(const LobePair& pair) {
    const LobeView& view = pair.reference();
    TargetLift out;
    out.edges = outline_of(view.shape, view.geometry);
    out.mid_mm = mixed(view.shape, view.geometry.mid());
    out.centreline = view.own.half.middle();
    out.run = &view.run;
    out.geometry = view.geometry;
    out.registered = &pair.registered();
    out.new_surface = out.edges;
    return out;
}

/// The profile laid over the used lobe by the centrelines of both.
TargetLift target_of(const Profile& profile, const LobeView& used) {
    TargetLift out;
    out.centreline = used.own.half.middle();
    out.mid_mm.resize(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) {
        out.mid_mm[g] = value_at(profile.lift_mm, static_cast<double>(g) - out.centreline);
    }
    out.edges = {out.mid_mm, out.mid_mm};
    return out;
}

LobeMetal metal_of(const LobeFigures& figures, const Lobe& lobe, const CamInfo& cam) {
    return {figures.reference_base_diameter_mm ? figures.reference_base_diameter_mm : lobe.base_diameter_mm,
            cam.case_depth_mm, cam.follower != Follower::roller};
}

}  // namespace

RegrindPlan regrind_to_reference(const Run& reference, const Run& used, const RegrindOptions& options) {
    CamFigures figures = compare_runs(reference, used, options.analysis);
    if (!figures.cam.case_depth_mm) figures.cam.case_depth_mm = reference.cam.case_depth_mm;
    const auto prepared = prepare_runs(
        {{&reference, options.analysis.reference}, {&used, options.analysis.used}}, options.analysis.threads);
    const auto pairs = lay_over(prepared[0], prepared[1], options.analysis.threads);

    std::vector<TaperKnown> known;
    std::vector<double> deltas;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const Lobe& lobe = used.lobes[i];
        const auto heel = mastered(figures.lobes[i].taper);
        const auto as_ground = mastered(taper_figures(pairs[i]->reference(), reference.datum));
        known.push_back({lobe.z_mm, lobe.width_mm, as_ground ? as_ground : heel, heel, {}});
        deltas.push_back(pairs[0]->registered().delta_rad +
                         wrapped_rad(pairs[i]->registered().delta_rad - pairs[0]->registered().delta_rad));
    }
    const double drive = median(deltas);
    const auto tapers =
        restore_taper(known, figures.cam, options.limits.least_ramp_taper_mm, options.taper_mm);
    const double shift = rad_from_deg(options.shift_deg);
    const double indicator_sd =
        std::hypot(half_width_sd(used.rig.error_limit_mm), half_width_sd(reference.rig.error_limit_mm));

    const RuleContext context{figures, options.limits, options.units};
    std::vector<RegroundLobe> lobes(pairs.size());
    in_parallel(pairs.size(), options.analysis.threads, [&](std::size_t i) {
        RegroundLobe lobe = begin_lobe(used.lobes[i]);
        lobe.target = reference.info.id;
        lobe.taper = tapers[i];
        const double place = drive - deltas[i];  // where the drive has it, from where its flanks lie
        const GrindOrder order{
            tapers[i], heel_taper(figures.lobes[i]), {place - shift, place + shift}, indicator_sd};
        lobe.ground = grind(target_of(*pairs[i]), pairs[i]->used(), order);
        lobe.shift_deg = deg_from_rad(lobe.ground.shift_rad - place);
        judge_lobe_left(lobe, metal_of(figures.lobes[i], used.lobes[i], figures.cam), context);
        lobes[i] = std::move(lobe);
    });
    return plan_cam(figures, std::move(lobes), {reference.info.id, {}, {}}, used, &reference, options);
}

RegrindPlan regrind_to_profiles(const std::vector<Profile>& profiles, const std::string& name,
                                const Run& used, const RegrindOptions& options) {
    CamFigures figures = inspect_run(used, options.analysis);
    const auto prepared = prepare_runs({{&used, options.analysis.used}}, options.analysis.threads);
    const RuleContext context{figures, options.limits, options.units};
    const double shift = rad_from_deg(options.shift_deg);
    std::vector<std::vector<RegroundLobe>> tried(profiles.size(),
                                                 std::vector<RegroundLobe>(used.lobes.size()));

    std::vector<std::vector<TaperRestored>> tapers;
    for (const Profile& profile : profiles) {
        std::vector<TaperKnown> known;
        for (std::size_t i = 0; i < used.lobes.size(); ++i) {
            const auto heel = mastered(figures.lobes[i].taper);
            known.push_back({used.lobes[i].z_mm, used.lobes[i].width_mm, heel, heel, {}});
            if (profile.taper_per_mm) known.back().size_mm = *profile.taper_per_mm * used.lobes[i].width_mm;
        }
        tapers.push_back(
            restore_taper(known, figures.cam, options.limits.least_ramp_taper_mm, options.taper_mm));
    }
    in_parallel(used.lobes.size(), options.analysis.threads, [&](std::size_t i) {
        const LobeAlone alone(*prepared[0].curves[i], used.lobes[i], used);
        for (std::size_t p = 0; p < profiles.size(); ++p) {
            RegroundLobe& lobe = tried[p][i];
            lobe = begin_lobe(used.lobes[i]);
            if (!profiles[p].suits(lobe.kind)) continue;
            lobe.target = profiles[p].name;
            lobe.taper = tapers[p][i];
            const GrindOrder order{lobe.taper,
                                   heel_taper(figures.lobes[i]),
                                   {-shift, shift},
                                   half_width_sd(used.rig.error_limit_mm)};
            lobe.ground = grind(target_of(profiles[p], alone.view()), alone.view(), order);
            lobe.shift_deg = deg_from_rad(lobe.ground.shift_rad);
            judge_lobe_left(lobe, metal_of(figures.lobes[i], used.lobes[i], figures.cam), context);
        }
    });
    std::vector<ProfileFit> ranking = rank_profiles(tried);
    if (ranking.empty()) {
        throw DataError(
            fmt::format("{}: no profile is for a lobe of this cam (kinds are intake, exhaust, other)", name));
    }
    std::vector<RegroundLobe> lobes = best_of(tried, ranking);
    return plan_cam(figures, std::move(lobes), {name, std::move(ranking), {}}, used, nullptr, options);
}

RegrindPlan regrind_to(const std::filesystem::path& target, const Run& used, const RegrindOptions& options) {
    std::error_code error;
    if (!std::filesystem::exists(target, error)) {
        throw NoInputError(fmt::format("{}: no such run, profile file or folder of them", place(target)));
    }
    if (!std::filesystem::is_directory(target, error)) {
        const Profile profile = profile_of_file(target, used.cam);
        return regrind_to_profiles({profile}, profile.name, used, options);
    }
    if (std::filesystem::exists(target / "run.toml", error)) {
        return regrind_to_reference(read_run(target), used, options);
    }
    std::vector<std::string> notes;
    const auto profiles = read_library(target, used.cam, notes);
    RegrindPlan plan = regrind_to_profiles(profiles, target.string(), used, options);
    plan.notes.insert(plan.notes.end(), notes.begin(), notes.end());
    return plan;
}

}  // namespace lobewright
