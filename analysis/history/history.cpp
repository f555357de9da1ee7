#include "analysis/history/history.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"

namespace lobewright {
namespace {

std::vector<const Run*> by_hours(const std::vector<Run>& runs) {
    if (runs.size() < 2) throw DataError("a history needs two runs or more of one cam");
    std::vector<const Run*> out;
    out.reserve(runs.size());
    for (const Run& run : runs) out.push_back(&run);
    std::stable_sort(out.begin(), out.end(),
                     [](const Run* a, const Run* b) { return hours_of(*a) < hours_of(*b); });
    for (std::size_t i = 1; i < out.size(); ++i) {
        if (hours_of(*out[i]) > hours_of(*out[i - 1])) continue;
        throw DataError(
            fmt::format("{} and {} were both taken at {:g} hours: give one run for each, or mend [run] hours",
                        out[i - 1]->info.id, out[i]->info.id, hours_of(*out[i])));
    }
    return out;
}

/// The lesser ramp's taper, counted toward the lobe's high side, which is that of the ramp with more (as the rule has it).
Measured lesser_ramp(const TaperFigures& taper) {
    if (taper.datum != TaperDatum::mastered) return {};
    Measured less = taper.opening_mm, more = taper.closing_mm;
    if (std::abs(less.value) > std::abs(more.value)) std::swap(less, more);
    if (more.value < 0.0) less.value = -less.value;
    return less;
}

const LobeFigures& named(const CamFigures& cam, const std::string& name) {
    return *std::find_if(cam.lobes.begin(), cam.lobes.end(),
                         [&](const LobeFigures& lobe) { return lobe.name == name; });
}

void add_run(History& out, const CamFigures& figures, double hours, bool first) {
    for (LobeHistory& lobe : out.lobes) {
        const LobeFigures& found = named(figures, lobe.name);
        lobe.ramp_taper.at.push_back({hours, lesser_ramp(found.taper)});
        if (first) continue;
        lobe.lift_loss.at.push_back({hours, found.lift.loss_mm});
        lobe.nose_wear.at.push_back({hours, found.wear.nose_depth_mm});
    }
}

constexpr double far_times = 3.0;  // of the hours measured

/// `toward`: +1 for a figure that must stay below its limit, -1 for one that must stay above.
void look_ahead(FigureHistory& figure, double first_hours, double toward) {
    const Measured last = figure.at.empty() ? Measured{} : figure.at.back().value;
    figure.passed = last.known() && toward * (last.value - figure.limit_mm) > last.u95;
    if (figure.passed || !(toward * figure.fit.per_hour.value > 0.0)) return;
    figure.reached = when_reached(figure.fit, figure.limit_mm);
    const double last_hours = figure.fit.last_hours;
    figure.far =
        figure.reached && figure.reached->hours > last_hours + far_times * (last_hours - first_hours);
}

void fit(LobeHistory& lobe, double first_hours, const Limits& limits) {
    lobe.lift_loss.limit_mm = limits.lift_loss_mm;
    lobe.lift_loss.fit = fit_change(first_hours, lobe.lift_loss.at);
    look_ahead(lobe.lift_loss, first_hours, 1.0);
    lobe.nose_wear.fit = fit_change(first_hours, lobe.nose_wear.at);
    lobe.ramp_taper.limit_mm = limits.least_ramp_taper_mm;
    lobe.ramp_taper.fit = fit_line(lobe.ramp_taper.at);
    look_ahead(lobe.ramp_taper, first_hours, -1.0);
}

void note_bends(History& out) {
    std::vector<std::string> uneven;
    for (const LobeHistory& lobe : out.lobes) {
        if (!lobe.lift_loss.fit.one_rate || !lobe.ramp_taper.fit.one_rate) uneven.push_back(lobe.name);
    }
    if (!uneven.empty()) {
        out.notes.push_back(
            fmt::format("{}: the figures don't lie on one line with hours, so the rate is uncertain: wear "
                        "may have quickened or slowed",
                        fmt::join(uneven, ", ")));
    }
    const auto run_in = std::find_if(out.runs.begin() + 1, out.runs.end(),
                                     [](const RunInfo& run) { return run.condition == Condition::after; });
    if (run_in != out.runs.end()) {
        out.notes.push_back(fmt::format(
            "{} ends a run-in: first wear is fast, and its rate says nothing of the hours after it",
            run_in->id));
    }
    if (out.runs.size() == 2) {
        out.notes.emplace_back(
            "two runs give a rate but can't say whether it holds: a third run on the way tells");
    }
    out.notes.emplace_back(
        "wear quickens once taper is gone or the hard case is through; what lies beyond the last run is no "
        "promise");
}

}  // namespace

double hours_of(const Run& run) {
    if (run.info.hours) return *run.info.hours;
    if (run.info.condition == Condition::as_new || run.info.condition == Condition::before) return 0.0;
    throw DataError(
        fmt::format("{}: [run] hours isn't given, so its wear can't be set against hours; add it to {}",
                    run.info.id, (run.folder / "run.toml").string()));
}

History history_of(const std::vector<Run>& runs, const Limits& limits, unsigned threads) {
    const auto ordered = by_hours(runs);
    AnalysisOptions options;
    options.threads = threads;
    options.flat_taper_mm = limits.flat_taper_mm;
    History out;
    out.units = runs.front().units;
    for (const Run* run : ordered) {
        out.runs.push_back(run->info);
        out.hours.push_back(hours_of(*run));
    }
    const Run& first = *ordered.front();
    for (const Lobe& lobe : first.lobes) {
        out.lobes.emplace_back();
        out.lobes.back().name = lobe.name;
        out.lobes.back().kind = lobe.kind;
    }
    add_run(out, inspect_run(first, options), out.hours.front(), true);
    for (std::size_t i = 1; i < ordered.size(); ++i)
        add_run(out, compare_runs(first, *ordered[i], options), out.hours[i], false);
    for (LobeHistory& lobe : out.lobes) fit(lobe, out.hours.front(), limits);
    if (!first.datum) out.notes.emplace_back("taper isn't followed: the first run has no front-to-rear zero");
    note_bends(out);
    return out;
}

}  // namespace lobewright
