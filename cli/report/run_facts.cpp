#include "cli/report/run_facts.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "analysis/judge/wording.hpp"

namespace lobewright {
namespace {

template <class Value>
void add_given(Facts& facts, const char* name, const std::optional<Value>& value) {
    if (value) facts.emplace_back(name, fmt::format("{}", *value));
}

void add_length(Facts& facts, const char* name, const std::optional<double>& length_mm, Units units) {
    if (length_mm) facts.emplace_back(name, say_length(*length_mm, units));
}

void add_cam(Facts& facts, const Run& run, Units units) {
    add_given(facts, "part", run.cam.part);
    facts.emplace_back("follower", word(run.cam.follower));
    add_length(facts, "roller radius", run.cam.follower_radius_mm, units);
    facts.emplace_back("held endwise by", word(run.cam.retention));
    add_given(facts, "material", run.cam.material);
    add_length(facts, "case depth", run.cam.case_depth_mm, units);
    if (run.tappet) {
        add_length(facts, "tappet diameter", run.tappet->diameter_mm, units);
        add_length(facts, "tappet crown radius", run.tappet->crown_radius_mm, units);
    }
    if (!run.valvetrain) return;
    add_given(facts, "rocker ratio", run.valvetrain->rocker_ratio);
    if (run.valvetrain->seat_force_n)
        facts.emplace_back("spring on the seat", fmt::format("{:g} N", *run.valvetrain->seat_force_n));
    if (run.valvetrain->rate_n_per_mm)
        facts.emplace_back("spring rate", fmt::format("{:g} N/mm", *run.valvetrain->rate_n_per_mm));
}

std::string say_tip(const RigInfo& rig, Units units) {
    const std::string kind(word(rig.tip));
    return rig.tip_radius_mm ? fmt::format("{}, radius {}", kind, say_length(*rig.tip_radius_mm, units))
                             : kind;
}

void add_rig(Facts& facts, const Run& run, Units units) {
    const RigInfo& rig = run.rig;
    facts.emplace_back("indicator tips", say_tip(rig, units));
    facts.emplace_back("tips from mid-lobe", fmt::format("{} and {}", say_length(rig.front_z_mm, units),
                                                         say_length(rig.rear_z_mm, units)));
    add_length(facts, "indicator step", rig.resolution_mm, units);
    add_length(facts, "indicator error limit", rig.error_limit_mm, units);
    if (rig.counts_per_rev)
        facts.emplace_back("encoder", fmt::format("{} counts a turn", *rig.counts_per_rev));
    if (rig.temperature_c) facts.emplace_back("temperature", fmt::format("{:g} °C", *rig.temperature_c));
    if (run.datum) {
        facts.emplace_back("front-to-rear zero",
                           fmt::format("{}, u {}, by {}", say_length(run.datum->rear_minus_front_mm, units),
                                       say_length(run.datum->u_mm, units), word(run.datum->method)));
    }
}

std::size_t most_passes(const Run& run) {
    std::size_t most = 0;
    for (const Lobe& lobe : run.lobes) {
        const auto passes = std::count_if(run.sweeps.begin(), run.sweeps.end(),
                                          [&](const Sweep& sweep) { return sweep.of == lobe.name; });
        most = std::max(most, static_cast<std::size_t>(passes));
    }
    return most;
}

bool journals_swept(const Run& run) {
    return std::any_of(run.journals.begin(), run.journals.end(), [&](const Journal& journal) {
        return std::any_of(run.sweeps.begin(), run.sweeps.end(),
                           [&](const Sweep& sweep) { return sweep.of == journal.name; });
    });
}

}  // namespace

Facts run_facts(const Run& run, Units units) {
    Facts facts;
    facts.emplace_back("taken", run.info.taken);
    add_given(facts, "by", run.info.operator_name);
    if (run.info.hours) facts.emplace_back("hours run", fmt::format("{:g}", *run.info.hours));
    add_cam(facts, run, units);
    add_rig(facts, run, units);
    facts.emplace_back("passes on a lobe", fmt::format("{}", most_passes(run)));
    return facts;
}

Facts limit_facts(const Limits& limits, const Run& used, Units units) {
    const bool run_in = used.info.condition == Condition::after;
    Facts facts{
        {"lift lost, at most", say_length(run_in ? limits.run_in_lift_loss_mm : limits.lift_loss_mm, units)},
        {"runout of the heel, at most", say_length(limits.base_circle_runout_mm, units)},
        {"bend, at most", say_length(limits.bend_mm, units)}};
    if (used.cam.follower == Follower::flat) {
        facts.emplace_back(
            "taper on a ramp, at least",
            say_length(run_in ? limits.run_in_least_ramp_taper_mm : limits.least_ramp_taper_mm, units));
        facts.emplace_back("flat below", say_length(limits.flat_taper_mm, units));
    } else {
        facts.emplace_back("taper where none is needed", say_length(limits.taper_without_need_mm, units));
    }
    add_length(facts, "base diameter after grinding, at least", limits.least_base_diameter_mm, units);
    if (used.cam.case_depth_mm)
        facts.emplace_back("case left after grinding, at least",
                           say_length(limits.least_case_left_mm, units));
    return facts;
}

std::vector<std::string> not_measured(const Run& used, const Run* reference) {
    std::vector<std::string> lacks;
    const auto lacking = [&](bool is_lacking, const char* says) {
        if (is_lacking) lacks.emplace_back(says);
    };
    lacking(reference == nullptr,
            "no run of this cam when new: what it has lost isn't known, only what it is");
    lacking(!used.datum, "no front-to-rear zero: the size of the taper isn't known");
    lacking(!journals_swept(used), "the journals weren't swept: bend and what the supports do aren't known");
    lacking(most_passes(used) < 2, "one pass a lobe: how well the bench repeats isn't known");
    lacking(!used.rig.error_limit_mm,
            "the indicators' error limit isn't given: +/- holds repeatability only");
    lacking(!used.rig.temperature_c, "the temperature wasn't noted");
    lacks.emplace_back("hardness, cracks and the tappets' faces aren't measured here: look at them");
    return lacks;
}

}  // namespace lobewright
