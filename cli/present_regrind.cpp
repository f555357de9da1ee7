#include "cli/present_regrind.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/present_screen.hpp"
#include "cli/present_tappets.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

std::string headline_of(const RegrindResult& result) {
    const RegrindPlan& plan = result.plan;
    switch (plan.verdict) {
        case Verdict::reuse:
            return "FIT TO REUSE AS IT IS: no regrind needed";
        case Verdict::remeasure:
            return "MEASURE AGAIN before grinding: the figures can't tell whether the cam is fit";
        case Verdict::regrind:
            return plan.one_depth
                       ? fmt::format("REGRIND: {} off every lobe", say_rounded(plan.depth_mm, result.units))
                       : "REGRIND: each lobe to its own depth";
        case Verdict::scrap:
            break;
    }
    return plan.ranking.size() > 1 ? "SCRAP: no profile fits inside this metal"
                                   : "SCRAP: a regrind leaves too little, or can't be proved to leave enough";
}

std::string left_cell(const std::optional<Measured>& at_stock, const RegroundLobe& lobe, double times,
                      Units units) {
    if (!at_stock) return "-";
    // What the depth that is ground leaves: the stock's own figure less what the depth is more than the stock.
    return say_cell(at_stock->value - times * (lobe.depth_mm - lobe.ground.stock_mm.value), units);
}

/// "not fit as they are: 3E; open: 1E".
std::string present_as_it_is(const RegrindPlan& plan) {
    std::vector<std::string> unfit, open;
    for (const LobeJudgement& lobe : plan.as_it_is.lobes) {
        if (lobe.verdict >= Verdict::regrind) unfit.push_back(one_line(lobe.name));
        if (lobe.verdict == Verdict::remeasure) open.push_back(one_line(lobe.name));
    }
    std::string out;
    if (!unfit.empty()) out += fmt::format("not fit as they are: {}", fmt::join(unfit, ", "));
    if (!open.empty()) {
        out += fmt::format("{}can't be told as they are: {}", out.empty() ? "" : "; ", fmt::join(open, ", "));
    }
    return out.empty() ? out : paragraph(out);
}

std::string present_lobes(const RegrindResult& result, bool colour) {
    const std::vector<Column> columns{
        {"lobe"},        {"stock", true}, {"ground\noff", true}, {"turned\ndeg", true},
        {"taper", true}, {"lift", true},  {"base\nleft", true},  {"case\nleft", true},
        {"fits"}};
    std::vector<std::vector<Cell>> rows;
    for (const RegroundLobe& lobe : result.plan.lobes) {
        std::vector<Cell> row{{one_line(lobe.name)}};
        if (!lobe.has_target()) {
            row.resize(columns.size(), Cell{"-"});
            rows.push_back(std::move(row));
            continue;
        }
        const GroundLobe& ground = lobe.ground;
        row.push_back({say_cell(ground.stock_mm.value, result.units)});
        row.push_back({say_cell(lobe.depth_mm, result.units)});
        row.push_back({fixed(lobe.shift_deg, 2)});
        row.push_back({say_cell(lobe.taper.taper_mm, result.units)});
        row.push_back({say_cell(ground.lift_mm, result.units)});
        row.push_back({left_cell(lobe.base_diameter_left_mm, lobe, 2.0, result.units)});
        row.push_back({left_cell(lobe.case_left_mm, lobe, 1.0, result.units)});
        row.push_back({lobe.left.possible ? "yes" : "no", lobe.left.possible ? Tone::good : Tone::bad});
        rows.push_back(std::move(row));
    }
    return "\n" + format_table(columns, rows, colour) + present_as_it_is(result.plan);
}

std::string present_ranking(const RegrindResult& result, bool colour) {
    if (result.plan.ranking.size() < 2) return "";
    std::vector<std::vector<Cell>> rows;
    std::string why;
    for (const ProfileFit& fit : result.plan.ranking) {
        rows.push_back({{std::string(word(fit.kind))},
                        {one_line(fit.name)},
                        {say_cell(fit.lift_mm, result.units)},
                        {say_cell(fit.stock_mm.value, result.units)},
                        {say_cell(fit.stock_mm.u95, result.units)},
                        {fit.fits ? "yes" : "no", fit.fits ? Tone::good : Tone::bad}});
        if (!fit.fits) {
            why += paragraph(
                fmt::format("{} {}: {}", word(fit.kind), one_line(fit.name), one_line(fit.ruled_out)), "- ");
        }
    }
    std::string out =
        "\n" +
        format_table({{"lobes"}, {"profile"}, {"lift", true}, {"stock", true}, {"+/-", true}, {"fits"}}, rows,
                     colour);
    if (!why.empty()) out += "\nWhat rules the others out\n" + why;
    return out;
}

std::string present_timing(const RegrindResult& result) {
    const RegrindPlan& plan = result.plan;
    std::string out = "\n";
    if (!plan.separations.empty()) {
        double most = 0.0;
        std::vector<std::string> each;
        for (const Separation& separation : plan.separations) {
            most = std::max(most, std::abs(separation.change_deg));
            each.push_back(
                fmt::format("cylinder {} {} ({}{})", separation.cylinder, fixed(std::abs(separation.deg), 2),
                            separation.change_deg < 0.0 ? "" : "+", fixed(separation.change_deg, 2)));
        }
        out += paragraph(fmt::format("lobe separation, cam degrees, and what the regrind changes it by: {}",
                                     fmt::join(each, ", ")));
    }
    return out + paragraph(fmt::format("each lobe may turn {} deg from where {} has it (--shift)",
                                       fixed(result.shift_deg, 2),
                                       plan.has_reference ? "its drive" : "it stands now"));
}

/// What the valve train makes up.
std::string valve_train_step(const RegrindResult& result) {
    const RegrindPlan& plan = result.plan;
    const std::string depth =
        plan.one_depth ? say_rounded(plan.depth_mm, result.units) : std::string("each its own depth");
    std::string out = fmt::format(
        "tappets sit {} lower: pushrods as much longer, or hydraulic plungers as much higher "
        "in their bodies (out of their preload)",
        depth);
    if (plan.one_depth && plan.valve_train.at_valve_mm) {
        out += fmt::format("; solid tappets' lash opens by {} at the valve until it is set again",
                           say_rounded(*plan.valve_train.at_valve_mm, result.units));
    } else {
        out += "; solid tappets' lash is to be set again";
    }
    return out;
}

std::vector<std::string> next_steps(const RegrindResult& result) {
    switch (result.plan.verdict) {
        case Verdict::reuse:
            return {"put the cam back as it is; the figures above say what a regrind would take"};
        case Verdict::remeasure:
            return {
                "see with lobewright compare what would settle it, and measure again before metal comes off"};
        case Verdict::regrind:
            return {
                "give the grinder each lobe's table (--table FOLDER): lift, taper, and what comes off where",
                "fit new or refaced tappets on every reground lobe", valve_train_step(result),
                "measure the ground cam before it goes in: that run is its new reference"};
        case Verdict::scrap:
            break;
    }
    return {"fit another cam with new tappets, and measure it before it goes in as its reference run"};
}

/// Verdict, reason and what to do, above the tables, so that a short screen has them all.
std::string present_head(const RegrindResult& result, bool colour) {
    const RegrindPlan& plan = result.plan;
    std::string out = toned(headline_of(result), tone_of(plan.verdict), colour) + "\n";
    if (!plan.reasons.empty()) {
        const CamReason& first = plan.reasons.front();
        out += paragraph((first.lobe ? fmt::format("lobe {}: ", one_line(*first.lobe)) : "") +
                         one_line(first.says));
    }
    out += "\nNext\n";
    for (const std::string& step : next_steps(result)) out += paragraph(step, "- ");
    return out + "\n" +
           paragraph(fmt::format("{} ground to {}; lengths in {}", one_line(plan.used.id),
                                 one_line(plan.target),
                                 result.units == Units::in ? "inches" : "millimetres"));
}

/// The lobes' notes once each, with the lobes they hold for.
std::string present_notes(const RegrindResult& result) {
    const RegrindPlan& plan = result.plan;
    std::string out = "\nNotes\n";
    for (const std::string& note : plan.notes) out += paragraph(one_line(note), "- ");
    std::vector<std::pair<std::string, std::vector<std::string>>> groups;
    const auto add = [&](const std::string& note, const std::string& lobe) {
        auto same = std::find_if(groups.begin(), groups.end(),
                                 [&](const auto& group) { return group.first == note; });
        if (same == groups.end()) same = groups.insert(groups.end(), {note, {}});
        same->second.push_back(one_line(lobe));
    };
    for (const RegroundLobe& lobe : plan.lobes) {
        if (lobe.has_target()) add("taper " + lobe.taper.says, lobe.name);
        for (const std::string& note : lobe.notes) add(note, lobe.name);
    }
    for (const auto& [note, lobes] : groups) {
        const bool every = lobes.size() == plan.lobes.size() && lobes.size() > 1;
        const std::string where = every ? "all lobes" : fmt::format("{}", fmt::join(lobes, ", "));
        out += paragraph(fmt::format("{}: {}", where, one_line(note)), "- ");
    }
    return out + paragraph(fmt::format("limits: {}; the engine maker's come before them",
                                       one_line(result.limits.source)),
                           "- ");
}

}  // namespace

std::string present_regrind(const RegrindResult& result, bool colour) {
    std::string out = present_head(result, colour);
    out += present_lobes(result, colour);
    out += present_ranking(result, colour);
    out += present_timing(result);
    out += present_tappets(result.plan.tappets);
    out += present_notes(result);
    return out + "\n" +
           paragraph(
               "A worn lobe sheds metal into an engine: look for it before anything goes back in. The "
               "decision stays "
               "with a qualified machinist.");
}

}  // namespace lobewright
