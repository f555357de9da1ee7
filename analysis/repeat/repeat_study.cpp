#include "analysis/repeat/repeat_study.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/repeat/repeat_notes.hpp"

namespace lobewright {
namespace {

std::vector<std::size_t> operators_of(const std::vector<Run>& runs) {
    std::map<std::string, std::size_t> known;
    std::vector<std::size_t> out;
    out.reserve(runs.size());
    for (const Run& run : runs) {
        out.push_back(known.try_emplace(run.info.operator_name.value_or(""), known.size()).first->second);
    }
    return out;
}

RunsGrouping grouping_of(const std::vector<Run>& runs) {
    const auto with_datum =
        std::count_if(runs.begin(), runs.end(), [](const Run& run) { return run.datum.has_value(); });
    RunsGrouping out;
    out.operators = operators_of(runs);
    out.has_datum = with_datum > 0;
    out.tapers_compare = with_datum == 0 || with_datum == std::ssize(runs);
    return out;
}

std::vector<StudiedRun> studied_runs(const std::vector<Run>& runs, const MeasuredPasses& measured) {
    std::vector<StudiedRun> out;
    for (std::size_t r = 0; r < runs.size(); ++r) {
        std::map<std::size_t, std::size_t> count;
        for (const MeasuredPass& pass : measured.passes) {
            if (pass.run == r) ++count[pass.lobe];
        }
        const auto fewer = [](const auto& a, const auto& b) { return a.second < b.second; };
        const auto [least, most] = std::minmax_element(count.begin(), count.end(), fewer);
        out.push_back({runs[r].info, least->second, most->second});
    }
    return out;
}

/// No two set-ups share a front-to-rear zero to its last digit by chance.
bool datum_taken_anew(const std::vector<Run>& runs) {
    std::set<double> seen;
    for (const Run& run : runs) {
        if (!run.datum || !seen.insert(run.datum->rear_minus_front_mm).second) return false;
    }
    return runs.size() > 1;
}

/// Mean squares of a figure's terms over one lobe's passes, of the lobe where they are largest.
Unrepeated unrepeated_of(std::string_view key, const MeasuredPasses& measured, bool datum_anew) {
    struct Sum {
        UncertaintyTerms squares;
        double count = 0.0;
    };
    std::map<std::size_t, Sum> lobes;
    for (const MeasuredPass& pass : measured.passes) {
        for (const BudgetLine& line : pass.figures.budget) {
            if (line.figure != key) continue;
            Sum& sum = lobes[pass.lobe];
            for (const auto term :
                 {&UncertaintyTerms::indicator, &UncertaintyTerms::datum, &UncertaintyTerms::step,
                  &UncertaintyTerms::smoothing, &UncertaintyTerms::table}) {
                sum.squares.*term += line.terms.*term * (line.terms.*term);
            }
            sum.count += 1.0;
        }
    }
    Unrepeated worst;
    for (const auto& entry : lobes) {
        const Sum& sum = entry.second;
        const auto root = [&](double square) { return std::sqrt(square / sum.count); };
        const Unrepeated one{root(sum.squares.indicator), root(sum.squares.datum), root(sum.squares.step),
                             root(sum.squares.smoothing), root(sum.squares.table), datum_anew};
        if (one.variance() >= worst.variance()) worst = one;
    }
    return worst;
}

const RepeatedFigure* figure_called(const RepeatStudy& study, std::string_view key) {
    const auto at = std::find_if(study.figures.begin(), study.figures.end(),
                                 [&](const RepeatedFigure& f) { return f.key == key; });
    return at == study.figures.end() ? nullptr : &*at;
}

/// Makes StudiedChanges out of a study's figures.
struct Changes {
    const RepeatStudy& study;
    const MeasuredPasses& measured;
    const RepeatOptions& options;
    bool datum_anew;
    Plan plan;

    [[nodiscard]] std::optional<StudiedChange> of(std::string_view key) const {
        const RepeatedFigure* figure = figure_called(study, key);
        if (figure == nullptr || !figure->between_runs) return std::nullopt;
        StudiedChange out;
        out.key = figure->key;
        out.unrepeated = unrepeated_of(key, measured, datum_anew);
        out.smallest = provable_change(figure->variances, out.unrepeated, plan);
        if (options.want_mm) out.needed = passes_needed(figure->variances, out.unrepeated, *options.want_mm);
        return out;
    }
};

std::optional<double> largest_error_limit(const std::vector<Run>& runs) {
    double largest = 0.0;
    for (const Run& run : runs) {
        if (!run.rig.error_limit_mm) return std::nullopt;
        largest = std::max(largest, *run.rig.error_limit_mm);
    }
    return largest;
}

}  // namespace

RepeatStudy study_repeat(const std::vector<Run>& runs, const RepeatOptions& options) {
    if (options.want_mm && !(*options.want_mm > 0.0)) {
        throw UsageError("the change that is wanted proved must be above 0");
    }
    const MeasuredPasses measured = measure_passes(runs, options.threads);
    const RunsGrouping grouping = grouping_of(runs);
    RepeatStudy out;
    out.units = runs.front().units;
    out.runs = studied_runs(runs, measured);
    out.operators = std::set(grouping.operators.begin(), grouping.operators.end()).size();
    out.figures = repeated_figures(measured, grouping);
    out.error_limit_mm = largest_error_limit(runs);

    Plan plan{largest_plan.passes, 1};
    for (const StudiedRun& run : out.runs)
        plan.passes = std::min(plan.passes, static_cast<int>(run.least_passes));
    const Changes changes{out, measured, options, datum_taken_anew(runs), plan};
    const RepeatedFigure* lift = figure_called(out, "lift.used");
    if (lift == nullptr || !(lift->variances.pass.known() || lift->variances.set_up.known())) {
        throw DataError(
            fmt::format("{}: no lobe has two passes, or a pass in every run, that can be measured alone: "
                        "{}",
                        runs.front().folder.string(),
                        measured.notes.empty() ? "sweep it again" : measured.notes.front()));
    }
    out.lift = *changes.of("lift.used");
    for (const auto key : {"taper.opening", "taper.closing"}) {
        auto ramp = changes.of(key);
        if (!ramp) continue;
        if (!out.ramp_taper || ramp->smallest.u95_mm > out.ramp_taper->smallest.u95_mm) out.ramp_taper = ramp;
    }
    out.notes = repeat_notes(out, runs, measured);
    return out;
}

}  // namespace lobewright
