#include "cli/present_repeat.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"

namespace lobewright {
namespace {

std::string plural(std::size_t count, std::string_view one, std::string_view many) {
    return fmt::format("{} {}", count, count == 1 ? one : many);
}

std::string say_plan(const Plan& plan) {
    const auto passes = plural(static_cast<std::size_t>(plan.passes), "pass", "passes");
    return plan.set_ups == 1 ? fmt::format("{} in one set-up", passes)
                             : fmt::format("{} in each of {} set-ups", passes, plan.set_ups);
}

/// What stands in the way, as the thing to be changed.
std::string say_source(ChangeSource source, const RepeatStudy& study, bool passes_in_set_up) {
    switch (source) {
        case ChangeSource::passes:
            return "the scatter from pass to pass";
        case ChangeSource::set_up:
            return passes_in_set_up ? "the scatter from set-up to set-up, passes included"
                                    : "the scatter from set-up to set-up";
        case ChangeSource::by_operator:
            return "the difference between operators, which one operator for both states avoids";
        case ChangeSource::indicator:
            return study.error_limit_mm ? fmt::format("the indicators' error limit of +/-{}",
                                                      say_length(*study.error_limit_mm, study.units))
                                        : "the indicators' error limit";
        case ChangeSource::datum:
            return "the front-to-rear zero ([datum] u)";
        case ChangeSource::step:
            return "the indicators' step";
        case ChangeSource::smoothing:
            return "the smoothing of the curve (take more counts a turn)";
        case ChangeSource::table:
            break;
    }
    return "what may hide between the rows of a table";
}

std::string say_limit(const ProvableChange& change, const RepeatStudy& study) {
    if (!(change.u95_mm > 0.0)) return "no source is known";
    const ChangeSource source = change.largest();
    const bool passes_in_set_up = study.figures.front().variances.passes_in_set_up;
    return fmt::format("{} ({} % of its square)", say_source(source, study, passes_in_set_up),
                       fixed(100.0 * change.share(source), 0));
}

/// U of a change, as finely as say_figure says one.
std::string say_change(double length_mm, Units units) {
    const double value = length_mm / mm_per(units);
    return fmt::format("{} {}", fixed(value, units == Units::in ? 5 : 4), word(units));
}

std::string present_change(std::string_view head, const StudiedChange& change, const RepeatStudy& study) {
    // Below that the upper limit says nothing that the figure doesn't.
    constexpr double worth_saying = 1.25;
    const ProvableChange& smallest = change.smallest;
    const bool at_best = study.runs.size() == 1 || !study.error_limit_mm;
    std::string out = fmt::format("{}: {}{}\n", head, say_change(smallest.u95_mm, study.units),
                                  at_best ? " at best (see the notes)" : "");
    out += paragraph(fmt::format("limited by {}", say_limit(smallest, study)), "  ");
    if (smallest.high_mm > worth_saying * smallest.u95_mm) {
        out += paragraph(fmt::format("may be up to {}: the scatter is known from so few runs and passes",
                                     say_change(smallest.high_mm, study.units)),
                         "  ");
    }
    return out;
}

std::string present_runs(const RepeatStudy& study) {
    std::string ids;
    for (const StudiedRun& run : study.runs) {
        ids += ids.empty() ? "" : ", ";
        ids += one_line(run.info.id);
        ids += run.least_passes == run.most_passes
                   ? fmt::format(" ({})", plural(run.least_passes, "pass", "passes"))
                   : fmt::format(" ({} to {} passes)", run.least_passes, run.most_passes);
    }
    return paragraph(fmt::format("{} by {}, {}; lengths in {}", plural(study.runs.size(), "run", "runs"),
                                 plural(study.operators, "operator", "operators"),
                                 plural(study.figures.front().lobes.size(), "lobe", "lobes"),
                                 study.units == Units::in ? "inches" : "millimetres")) +
           paragraph(ids);
}

/// A figure's length or angle in a column, two decimals finer than a bench reads.
std::string say_scatter(double value, const RepeatedFigure& figure, Units units) {
    if (!std::isfinite(value)) return "unknown";
    const bool inches = units == Units::in;
    const double per = figure.in_degrees ? 1.0 : mm_per(units);
    return fixed(value / per, figure.in_degrees ? 4 : inches ? 6 : 5);
}

std::string present_scatter(const RepeatStudy& study) {
    const bool several = study.operators > 1 && !study.figures.front().variances.operators_in_set_up;
    std::vector<Column> columns{{"figure"}, {"pass to\npass", true}, {"set-up to\nset-up", true}};
    if (several) columns.push_back({"operator to\noperator", true});
    columns.insert(columns.end(), {{"two\npasses r", true}, {"two\nset-ups R", true}});
    std::vector<std::vector<Cell>> rows;
    for (const RepeatedFigure& figure : study.figures) {
        const NestedVariances& v = figure.variances;
        const auto say = [&](double value) { return say_scatter(value, figure, study.units); };
        const auto between = [&](double value) { return figure.between_runs ? say(value) : "-"; };
        std::vector<Cell> row{
            {std::string(figure.words)}, {say(v.pass.deviation())}, {between(v.set_up.deviation())}};
        if (several) row.push_back({between(v.by_operator.deviation())});
        row.push_back({say(limit_of_two(v.pass))});
        row.push_back({between(limit_of_two(v.reproducibility))});
        rows.push_back(std::move(row));
    }
    return format_table(columns, rows, false) +
           paragraph(
               "r, R: what two single passes differ by at most, 19 times in 20: in one set-up (r), in two "
               "set-ups by whichever operators (R). The columns before are standard deviations.") +
           paragraph("-: depends on how the cam was set up: only passes within a run compare.");
}

/// "0.00006-0.00012": three of them must fit beside a figure's name.
std::string say_range(const Variance& v, const RepeatedFigure& figure, Units units) {
    if (!v.known()) return "unknown";
    return fmt::format("{}-{}", say_scatter(std::sqrt(v.low), figure, units),
                       say_scatter(std::sqrt(v.high), figure, units));
}

std::string present_ranges(const RepeatStudy& study) {
    const bool several = study.operators > 1 && !study.figures.front().variances.operators_in_set_up;
    std::vector<Column> columns{{"figure"}, {"pass to pass", true}, {"set-up to set-up", true}};
    if (several) columns.push_back({"operator to operator", true});
    std::vector<std::vector<Cell>> rows;
    for (const RepeatedFigure& figure : study.figures) {
        const NestedVariances& v = figure.variances;
        const auto say = [&](const Variance& one) { return say_range(one, figure, study.units); };
        std::vector<Cell> row{{std::string(figure.words)}, {say(v.pass)}};
        row.push_back({figure.between_runs ? say(v.set_up) : "-"});
        if (several) row.push_back({figure.between_runs ? say(v.by_operator) : "-"});
        rows.push_back(std::move(row));
    }
    return "\nHow well that scatter is known: 95 % limits\n\n" + format_table(columns, rows, false);
}

std::string say_needed(std::string_view head, const StudiedChange& change, const RepeatStudy& study) {
    const PassesNeeded& needed = *change.needed;
    const std::string reached = say_change(needed.reached.u95_mm, study.units);
    if (needed.plan) {
        const std::string plan = say_plan(*needed.plan);
        return paragraph(fmt::format("{}: with {} before, and as many after ({})", head, plan, reached),
                         "- ");
    }
    return paragraph(fmt::format("{}: out of reach; nothing up to {} gets below {}. In the way: {}", head,
                                 say_plan(largest_plan), reached, say_limit(needed.reached, study)),
                     "- ");
}

std::string present_wanted(const RepeatStudy& study) {
    if (!study.lift.needed) return "";
    std::string out = fmt::format("\nWanted: to prove a change of {}\n",
                                  say_length(study.lift.needed->want_mm, study.units));
    out += say_needed("loss of lift", study.lift, study);
    if (study.ramp_taper) out += say_needed("ramp taper", *study.ramp_taper, study);
    return out;
}

}  // namespace

std::string present_repeat(const RepeatStudy& study) {
    std::string out = present_change("Smallest loss of lift this bench can prove", study.lift, study);
    if (study.ramp_taper) {
        out += present_change("Smallest change of ramp taper it can prove", *study.ramp_taper, study);
    }
    out += paragraph(
        fmt::format("That is with {} before, and as many after.", say_plan(study.lift.smallest.plan)));
    out += present_wanted(study);
    out += "\n" + present_runs(study) + "\n" + present_scatter(study) + present_ranges(study);
    if (study.notes.empty()) return out;
    out += "\nNotes\n";
    for (const std::string& note : study.notes) out += paragraph(one_line(note), "- ");
    return out;
}

}  // namespace lobewright
