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
#include "cli/words.hpp"

namespace lobewright {
namespace {

/// The rule's name as a column has room for it.
std::string_view short_name(std::string_view rule) {
    constexpr std::string_view prefix = "base-circle ";
    return rule.substr(0, prefix.size()) == prefix ? rule.substr(prefix.size()) : rule;
}

/// "lift loss 0.412 > 0.130": the figure, on which side of its limit it is ("~" where U spans it), the limit.
std::string decided_by(const Ruling& ruling, Units units) {
    if (!ruling.figure.known()) return fmt::format("{} unknown", short_name(ruling.rule));
    const bool above = ruling.at_least == (ruling.proof == Proof::good);
    const char* side = ruling.proof == Proof::open ? "~" : above ? ">" : "<";
    return fmt::format("{} {} {} {}", short_name(ruling.rule), say_cell(ruling.figure.value, units), side,
                       say_cell(ruling.limit_mm, units));
}

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

/// "T1 on 1E, T2 on 1I": the tagged tappets that go back on their lobes.
std::string tappet_places(const Result& result) {
    std::vector<std::string> places;
    for (const TappetPlace& place : result.tappets) {
        if (place.fate != TappetFate::back) continue;
        places.push_back(fmt::format("{} on {}", one_line(place.tag), one_line(place.lobe)));
    }
    return fmt::format("{}", fmt::join(places, ", "));
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

/// What would settle the open rules.
std::vector<std::string> steps_to_settle(const Result& result) {
    bool wants_datum = false;
    std::vector<std::string> wants_passes;
    std::vector<std::string> wants_looking;
    for (std::size_t i = 0; i < result.judgement.lobes.size(); ++i) {
        const LobeJudgement& lobe = result.judgement.lobes[i];
        const bool no_datum = result.figures.lobes[i].taper.datum != TaperDatum::mastered;
        for (const Ruling& ruling : lobe.rulings) {
            if (ruling.proof != Proof::open) continue;
            const bool taper_unknown = no_datum && !ruling.figure.known() && ruling.rule.ends_with("taper");
            wants_datum = wants_datum || taper_unknown;
            if (taper_unknown) continue;
            std::vector<std::string>& names = ruling.figure.known() ? wants_passes : wants_looking;
            if (names.empty() || names.back() != lobe.name) names.push_back(one_line(lobe.name));
        }
    }
    std::vector<std::string> steps;
    if (wants_datum) {
        steps.emplace_back(
            "set the front-to-rear zero (both indicators on a true parallel, or the cam swept end for end) "
            "and "
            "sweep again");
    }
    if (!wants_passes.empty()) {
        steps.push_back(fmt::format("take more passes, or use indicators with a smaller error limit, on {}",
                                    fmt::join(wants_passes, ", ")));
    }
    if (!wants_looking.empty()) {
        steps.push_back(fmt::format("see with --lobe NAME why a figure is missing on {}",
                                    fmt::join(wants_looking, ", ")));
    }
    if (steps.empty()) steps.emplace_back("sweep the journals again: only the bend is open");
    return steps;
}

std::vector<std::string> next_steps(const Result& result) {
    switch (result.judgement.verdict) {
        case Verdict::reuse: {
            const std::string places = tappet_places(result);
            return {
                fmt::format("put each tappet back on its own lobe{}{}", places.empty() ? "" : ": ", places)};
        }
        case Verdict::remeasure:
            return steps_to_settle(result);
        case Verdict::regrind:
            if (result.figures.used.condition == Condition::after) {
                return {"don't run it again as it is: the cam wants grinding and new or refaced tappets",
                        "before the next run-in see to the oil (an anti-wear zinc additive), the springs' "
                        "load, tappets "
                        "that turn freely in their bores, and their crown",
                        "change oil and filter: they hold the metal that came off",
                        "plan the regrind: lobewright regrind says how deep, and writes the grinder's "
                        "tables; measure the ground "
                        "cam before it goes in"};
            }
            return {"plan the regrind: lobewright regrind says how deep, and writes the grinder's tables",
                    "fit new or refaced tappets: a run-in tappet belongs to its old lobe alone",
                    "measure the ground cam before it goes in"};
        case Verdict::scrap:
            break;
    }
    return {"fit another cam with new tappets, and measure it before it goes in as its reference run"};
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

/// ": 2 of 8 lobes", the lobes that share the cam's verdict; nothing when it isn't theirs (a bent cam).
std::string lobes_behind(const CamJudgement& judgement) {
    const auto& lobes = judgement.lobes;
    const auto shared = std::count_if(lobes.begin(), lobes.end(), [&](const LobeJudgement& lobe) {
        return lobe.verdict == judgement.verdict;
    });
    if (shared == 0) return "";
    return fmt::format(": {} of {} lobes", shared, lobes.size());
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
    const CamJudgement& judgement = result.judgement;
    std::string verdict(headline(judgement.verdict));
    if (judgement.verdict == Verdict::reuse && !result.figures.has_reference) {
        verdict += ", as far as one run alone tells";
    }
    std::string out = toned(verdict, tone_of(judgement.verdict), colour) + lobes_behind(judgement) + "\n";
    if (!judgement.reasons.empty()) {
        const CamReason& first = judgement.reasons.front();
        const std::string where = first.lobe ? fmt::format("lobe {}: ", one_line(*first.lobe)) : "";
        out += paragraph(where + one_line(first.says));
    }
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
    const std::string_view passed =
        result.judgement.verdict == Verdict::reuse
            ? "A worn lobe sheds metal into an engine: a pass here is a measurement, not a warranty."
            : "A worn lobe sheds metal into an engine: look for it before anything goes back in.";
    return fmt::format("\n{}",
                       paragraph(fmt::format("{} The decision stays with a qualified machinist.", passed)));
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
