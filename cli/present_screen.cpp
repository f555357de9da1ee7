#include "cli/present_screen.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/present_tappets.hpp"
#include "cli/say_result.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

/// The figure that a rule turned on most; "-" where the lobe doesn't stand under it.
std::string judged_cell(const LobeJudgement& lobe, std::string_view rule, Units units) {
    for (const Ruling& ruling : lobe.rulings) {
        if (ruling.rule == rule) return say_cell(ruling.figure.value, units);
    }
    return "-";
}

std::string present_lobes(const Result& result, bool colour) {
    const bool has_reference = result.figures.has_reference;
    const bool flat = result.figures.cam.follower == Follower::flat;
    std::vector<Column> columns{{"lobe"}, {"verdict"}, {"decided by"}};
    if (has_reference) {
        columns.insert(columns.end(), {{"lift\nloss", true}, {"nose\nwear", true}});
    } else {
        columns.push_back({"lift", true});
    }
    columns.insert(columns.end(), {{flat ? "ramp\ntaper" : "taper", true}, {"runout", true}});

    std::vector<std::vector<Cell>> rows;
    for (std::size_t i = 0; i < result.figures.lobes.size(); ++i) {
        const LobeFigures& figures = result.figures.lobes[i];
        const LobeJudgement& judged = result.judgement.lobes[i];
        std::vector<Cell> row{{one_line(figures.name)},
                              {std::string(word(judged.verdict)), tone_of(judged.verdict)},
                              {decided_by(judged.rulings.front(), result.units)}};
        if (has_reference) {
            row.push_back({say_cell(figures.lift.loss_mm.value, result.units)});
            row.push_back({say_cell(figures.wear.nose_depth_mm.value, result.units)});
        } else {
            row.push_back({say_cell(figures.lift.used_mm.value, result.units)});
        }
        row.push_back({judged_cell(judged, flat ? "ramp taper" : "taper", result.units)});
        row.push_back({judged_cell(judged, "base-circle runout", result.units)});
        rows.push_back(std::move(row));
    }
    return format_table(columns, rows, colour);
}

std::string present_journals(const Result& result, bool colour) {
    if (result.figures.journals.empty()) return "";
    std::vector<std::vector<Cell>> rows;
    for (const JournalFigures& journal : result.figures.journals) {
        rows.push_back({{one_line(journal.name)},
                        {say_cell(journal.runout_mm.value, result.units)},
                        {say_cell(journal.out_of_round_mm.value, result.units)}});
    }
    return fmt::format("\n{}",
                       format_table({{"journal"}, {"runout", true}, {"out of round", true}}, rows, colour));
}

/// Bend, thrust and stock of the cam, as far as they are known; the notes say why the others aren't.
std::string present_cam_figures(const Result& result) {
    const CamFigures& figures = result.figures;
    std::string out;
    if (figures.bend_mm.known()) {
        out += paragraph(fmt::format("bend {}, limit {}", say_figure(figures.bend_mm, result.units),
                                     say_length(result.limits.bend_mm, result.units)));
    }
    if (figures.thrust.share.known()) {
        const Push pushes = figures.thrust.pushes;
        const bool one_way = pushes == Push::front || pushes == Push::rear;
        out += paragraph(fmt::format("thrust {}{}, net push {} of the whole", one_way ? "to the " : "",
                                     word(pushes), fixed(std::abs(figures.thrust.share.value), 2)));
    }
    if (figures.stock_to_clean_mm.known()) {
        out += paragraph(fmt::format("stock to clean up every lobe {}",
                                     say_figure(figures.stock_to_clean_mm, result.units)));
    }
    return out.empty() ? out : fmt::format("\n{}", out);
}

/// The nose wear as a bar a lobe, front of the cam first.
std::string present_along(const Result& result) {
    constexpr double bar_columns = 48.0;
    double most = 0.0;
    for (const PlacedWear& lobe : result.along) {
        if (lobe.depth_mm.known()) most = std::max(most, lobe.depth_mm.value);
    }
    if (result.along.size() < 3 || !(most > 0.0)) return "";
    std::vector<std::vector<Cell>> rows;
    for (const PlacedWear& lobe : result.along) {
        const double share = lobe.depth_mm.known() ? std::max(0.0, lobe.depth_mm.value / most) : 0.0;
        const std::string bar(static_cast<std::size_t>(std::lround(share * bar_columns)), '#');
        rows.push_back({{one_line(lobe.name)},
                        {say_cell(lobe.depth_mm.value, result.units)},
                        {bar.empty() ? "." : bar}});
    }
    return fmt::format(
        "\n{}",
        format_table({{"lobe"}, {"wear", true}, {"at the nose, front of the cam first"}}, rows, false));
}

/// The tappets' block, unless "Next" has said it all already.
std::string tappets_besides(const Result& result) {
    const bool all_back =
        std::all_of(result.tappets.begin(), result.tappets.end(),
                    [](const TappetPlace& place) { return place.fate == TappetFate::back; });
    return all_back ? "" : present_tappets(result.tappets);
}

/// A note and the lobes that it holds for.
struct GroupedNote {
    std::string note;
    std::vector<std::string> lobes;
};

void group_note(std::vector<GroupedNote>& groups, const std::string& note, const std::string& lobe) {
    auto same =
        std::find_if(groups.begin(), groups.end(), [&](const GroupedNote& g) { return g.note == note; });
    if (same == groups.end()) same = groups.insert(groups.end(), {note, {}});
    same->lobes.push_back(one_line(lobe));
}

/// The cam's notes, then the lobes' once each. Of what was noticed while measuring, only what holds for every
/// lobe: the rest stands with its lobe.
std::string present_notes(const Result& result) {
    std::vector<GroupedNote> judging;
    std::vector<GroupedNote> measuring;
    for (std::size_t i = 0; i < result.figures.lobes.size(); ++i) {
        const LobeFigures& lobe = result.figures.lobes[i];
        for (const std::string& note : result.judgement.lobes[i].notes) group_note(judging, note, lobe.name);
        for (const std::string& note : lobe.notes) group_note(measuring, note, lobe.name);
    }
    const std::size_t all = result.figures.lobes.size();
    const auto on_every_lobe =
        std::stable_partition(measuring.begin(), measuring.end(),
                              [&](const GroupedNote& group) { return group.lobes.size() == all; });
    const bool more = on_every_lobe != measuring.end();
    judging.insert(judging.end(), measuring.begin(), on_every_lobe);

    std::string out = "\nNotes\n";
    for (const std::string& note : result.judgement.notes) out += paragraph(one_line(note), "- ");
    for (const std::string& note : result.figures.notes) out += paragraph(one_line(note), "- ");
    for (const auto& [note, lobes] : judging) {
        const bool every = lobes.size() == all && all > 1;
        const std::string where = every ? "all lobes" : fmt::format("{}", fmt::join(lobes, ", "));
        out += paragraph(fmt::format("{}: {}", where, one_line(note)), "- ");
    }
    if (more) out += paragraph("more was noticed while measuring single lobes: --lobe NAME shows it", "- ");
    return out;
}

}  // namespace

Tone tone_of(Verdict verdict) {
    switch (verdict) {
        case Verdict::reuse:
            return Tone::good;
        case Verdict::remeasure:
            return Tone::open;
        case Verdict::regrind:
        case Verdict::scrap:
            break;
    }
    return Tone::bad;
}

std::string present_verdict(const Result& result, bool colour) {
    std::string out = toned(say_verdict(result), tone_of(result.judgement.verdict), colour) +
                      say_lobes_behind(result) + "\n";
    const std::string because = say_because(result);
    if (!because.empty()) out += paragraph(because);
    return out;
}

std::string present_runs(const Result& result) {
    const std::string against =
        result.figures.has_reference ? fmt::format(" against {}", one_line(result.figures.reference.id)) : "";
    const std::string_view lengths = result.units == Units::in ? "inches" : "millimetres";
    return "\n" +
           paragraph(fmt::format("{}{}; lengths in {}", one_line(result.figures.used.id), against, lengths));
}

std::string present_cautions(const Result& result) {
    return fmt::format("\n{}", paragraph(say_caution(result)));
}

std::string present_screen(const Result& result, bool colour) {
    std::string out = present_verdict(result, colour);
    // Verdict, reason and what to do stand above the tables, so that a short screen has them all.
    out += "\nNext\n";
    for (const std::string& step : next_steps(result)) out += paragraph(step, "- ");
    out += present_runs(result) + '\n';
    out += present_lobes(result, colour);
    out += present_journals(result, colour);
    out += present_cam_figures(result);
    out += present_along(result);
    out += tappets_besides(result);
    out += present_notes(result);
    out += present_cautions(result);
    return out;
}

}  // namespace lobewright
