#include "cli/present_card.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/judge/wording.hpp"
#include "cli/card_table.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"

namespace lobewright {
namespace {

using Read = std::function<Measured(const LobeCard&)>;

/// A kind's lobes with what they have in common.
class KindTable {
public:
    KindTable(const Card& card, const KindCard& kind) : kind_(kind) {
        for (const LobeCard& lobe : card.lobes) {
            if (lobe.kind == kind.kind) lobes_.push_back(&lobe);
        }
        CardColumn names{"lobe", {}};
        for (const LobeCard* lobe : lobes_) names.cells.push_back(one_line(lobe->name));
        columns_.push_back(std::move(names));
    }

    void add(std::string head, const Shown& shown, const Read& read) {
        add(std::move(head), shown, read, nullptr);
    }
    void add(std::string head, const Shown& shown, const Read& read, CardQuantity quantity,
             double lift_mm = 0.0) {
        const auto at = std::find_if(kind_.figures.begin(), kind_.figures.end(), [&](const KindFigure& f) {
            return f.quantity == quantity && f.lift_mm == lift_mm;
        });
        add(std::move(head), shown, read, at == kind_.figures.end() ? nullptr : &*at);
    }
    /// What is text already, in a table of its own: no mean, no u95.
    void add_text(std::string head, const std::function<std::string(const LobeCard&)>& read) {
        CardColumn column{std::move(head), {}};
        for (const LobeCard* lobe : lobes_) column.cells.push_back(read(*lobe));
        columns_.push_back(std::move(column));
    }
    [[nodiscard]] std::string text() const { return wide_table(columns_); }

private:
    const KindCard& kind_;
    std::vector<const LobeCard*> lobes_;
    std::vector<CardColumn> columns_;

    void add(std::string head, const Shown& shown, const Read& read, const KindFigure* common) {
        auto& names = columns_.front().cells;
        if (names.size() == lobes_.size()) names.insert(names.end(), {"mean", "range", "+/-"});
        CardColumn column{std::move(head), {}};
        double u95 = std::nan("");
        for (const LobeCard* lobe : lobes_) {
            const Measured figure = read(*lobe);
            column.cells.push_back(say(figure.value, shown));
            if (figure.known()) u95 = std::fmax(u95, figure.u95);
        }
        column.cells.push_back(common == nullptr ? "" : say(common->mean.value, shown));
        column.cells.push_back(common == nullptr ? "" : say(common->range, shown));
        column.cells.push_back(say_u95(u95, shown));
        columns_.push_back(std::move(column));
    }
};

std::string_view head_of(LobeKind kind) {
    return kind == LobeKind::intake ? "INTAKE" : kind == LobeKind::exhaust ? "EXHAUST" : "OTHER LOBES";
}

Measured lower(const Measured& a, const Measured& b) {
    return b.value < a.value ? b : a;
}

std::string present_lifts(const Card& card, const KindCard& kind, Units units) {
    KindTable table(card, kind);
    table.add(
        "\nlift", shown_length(units), [](const LobeCard& l) { return l.lift_mm; }, CardQuantity::lift);
    if (card.rocker_ratio) {
        table.add("at the\nvalve", shown_length(units), [](const LobeCard& l) { return l.valve_lift_mm; });
    }
    table.add("nose\nat", shown_angle(), [](const LobeCard& l) {
        return Measured{wrapped_deg(l.nose_deg.measured.value), l.nose_deg.measured.u95};
    });
    const auto& lifts = card.lifts_mm;
    for (std::size_t i = 0; i < lifts.size(); ++i) {
        table.add(
            "duration\nat " + say_lift(lifts[i], units), shown_angle(),
            [i](const LobeCard& l) { return l.durations[i].crank_deg; }, CardQuantity::duration, lifts[i]);
    }
    return table.text();
}

/// Where the valves open and close by the crank; nothing without top dead centre.
std::string present_timing(const Card& card, const KindCard& kind, Units units) {
    if (std::none_of(card.lobes.begin(), card.lobes.end(),
                     [](const LobeCard& l) { return l.centreline_crank_deg.known(); })) {
        return "";
    }
    KindTable table(card, kind);
    table.add_text("centre-\nline",
                   [](const LobeCard& l) { return say_centreline(l.centreline_crank_deg.value); });
    for (std::size_t i = 0; i < card.lifts_mm.size(); ++i) {
        const std::string at = say_lift(card.lifts_mm[i], units);
        table.add_text("opens at\n" + at,
                       [i](const LobeCard& l) { return say_timing(l.durations[i].opens_crank_deg.value); });
        table.add_text("closes at\n" + at,
                       [i](const LobeCard& l) { return say_timing(l.durations[i].closes_crank_deg.value); });
    }
    return "\n" + table.text();
}

std::string present_motion(const Card& card, const KindCard& kind, Units units) {
    KindTable table(card, kind);
    table.add(
        "\narea", shown_area(units), [](const LobeCard& l) { return l.area; }, CardQuantity::area);
    table.add(
        "asym-\nmetry", shown_angle(), [](const LobeCard& l) { return l.asymmetry_crank_deg; },
        CardQuantity::asymmetry);
    table.add(
        "opening\nvelocity", shown_velocity(units), [](const LobeCard& l) { return l.opening_velocity; },
        CardQuantity::opening_velocity);
    table.add(
        "closing\nvelocity", shown_velocity(units), [](const LobeCard& l) { return l.closing_velocity; },
        CardQuantity::closing_velocity);
    table.add("tappet\nedge", shown_length(units),
              [](const LobeCard& l) { return lower(l.opening_clearance_mm, l.closing_clearance_mm); });
    table.add("opening\nramp", shown_length(units),
              [](const LobeCard& l) { return l.opening_ramp.height_mm; });
    table.add("closing\nramp", shown_length(units),
              [](const LobeCard& l) { return l.closing_ramp.height_mm; });
    return "\n" + table.text();
}

std::string present_kind(const Card& card, const KindCard& kind, Units units) {
    return fmt::format("\n{}\n{}{}{}", head_of(kind.kind), present_lifts(card, kind, units),
                       present_timing(card, kind, units), present_motion(card, kind, units));
}

std::string present_cylinders(const Card& card, Units units) {
    if (card.cylinders.empty()) return "";
    std::vector<CardColumn> columns{{"cylinder", {}}};
    for (const CylinderCard& cylinder : card.cylinders)
        columns.front().cells.push_back(fmt::format("{}", cylinder.cylinder));
    columns.front().cells.emplace_back("+/-");
    const auto add = [&](std::string head, const std::function<Measured(const CylinderCard&)>& read) {
        CardColumn column{std::move(head), {}};
        double u95 = std::nan("");
        for (const CylinderCard& cylinder : card.cylinders) {
            const Measured figure = read(cylinder);
            column.cells.push_back(say(figure.value, shown_angle()));
            if (figure.known()) u95 = std::fmax(u95, figure.u95);
        }
        column.cells.push_back(say_u95(u95, shown_angle()));
        columns.push_back(std::move(column));
    };
    add("sepa-\nration", [](const CylinderCard& c) { return c.separation_deg; });
    for (std::size_t i = 0; i < card.lifts_mm.size(); ++i) {
        add("overlap\nat " + say_lift(card.lifts_mm[i], units),
            [i](const CylinderCard& c) { return c.overlaps[i].crank_deg; });
    }
    add("\nadvance", [](const CylinderCard& c) { return c.advance_crank_deg; });
    add("intake\nindex", [](const CylinderCard& c) { return c.intake_index_crank_deg; });
    add("exhaust\nindex", [](const CylinderCard& c) { return c.exhaust_index_crank_deg; });
    return "\nCYLINDERS\n" + wide_table(columns);
}

struct Quantity {
    std::string words;
    Shown shown;
    std::string unit;
};

Quantity quantity_of(const StandOut& stands, Units units) {
    const std::string mm(word(units));
    switch (stands.quantity) {
        case CardQuantity::lift:
            return {"lift", shown_length(units), mm};
        case CardQuantity::duration:
            return {"duration at " + say_lift(stands.lift_mm, units), shown_angle(), "crank deg"};
        case CardQuantity::asymmetry:
            return {"asymmetry", shown_angle(), "crank deg"};
        case CardQuantity::area:
            return {"area", shown_area(units), mm + " x crank deg"};
        case CardQuantity::opening_velocity:
            return {"opening velocity", shown_velocity(units), mm + "/deg"};
        case CardQuantity::closing_velocity:
            break;
    }
    return {"closing velocity", shown_velocity(units), mm + "/deg"};
}

/// A paragraph a lobe, in the order in which they are found.
std::string present_stand_outs(const Card& card, Units units) {
    std::string out;
    for (const KindCard& kind : card.kinds) {
        std::vector<std::pair<std::string, std::string>> said;
        for (const StandOut& stands : kind.stand_outs) {
            const Quantity q = quantity_of(stands, units);
            const std::string text = fmt::format(
                "{} {} {} {} (+/- {})", q.words, say(std::abs(stands.difference.value), q.shown), q.unit,
                stands.difference.value > 0.0 ? "more" : "less", say_u95(stands.difference.u95, q.shown));
            const auto at = std::find_if(said.begin(), said.end(),
                                         [&](const auto& lobe) { return lobe.first == stands.lobe; });
            if (at == said.end()) {
                said.emplace_back(stands.lobe, text);
            } else {
                at->second += "; " + text;
            }
        }
        for (const auto& [lobe, text] : said) {
            out += paragraph(fmt::format("{}, than the mean of the other {} lobes: {}", one_line(lobe),
                                         word(kind.kind), text),
                             "- ");
        }
    }
    return out.empty() ? out : "\nSTANDS OUT\n" + out;
}

/// The card's notes, and the lobes' with the lobes that share them.
std::string present_notes(const Card& card) {
    std::vector<std::string> notes = card.notes;
    std::vector<std::pair<std::string, std::vector<std::string>>> shared;
    bool more = false;
    for (const LobeCard& lobe : card.lobes) {
        more = more || !lobe.sweep_notes.empty();
        for (const std::string& note : lobe.notes) {
            auto at =
                std::find_if(shared.begin(), shared.end(), [&](const auto& s) { return s.first == note; });
            if (at == shared.end()) at = shared.insert(shared.end(), {note, {}});
            at->second.push_back(lobe.name);
        }
    }
    for (const auto& [note, lobes] : shared) {
        const bool all = lobes.size() == card.lobes.size();
        notes.push_back(
            fmt::format("{}: {}", all ? "all lobes" : fmt::format("{}", fmt::join(lobes, ", ")), note));
    }
    if (more) notes.emplace_back("more was noticed while measuring single lobes: --lobe NAME shows it");
    std::string out;
    for (const std::string& note : notes) out += paragraph(one_line(note), "- ");
    return out.empty() ? out : "\nNOTES\n" + out;
}

std::string present_head(const Card& card, Units units) {
    const std::string part = card.cam.part ? fmt::format(", part {}", one_line(*card.cam.part)) : "";
    const std::string tdc = card.tdc_deg ? fmt::format("; cylinder 1 at top dead centre at {} cam degrees",
                                                       fixed(*card.tdc_deg, 2))
                                         : "";
    return fmt::format("CAM CARD  {}{}, {}\n", one_line(card.run.id), part, word(card.run.condition)) +
           paragraph(fmt::format("{} tappets; lengths in {}{}", word(card.cam.follower),
                                 units == Units::in ? "inches" : "millimetres", tdc)) +
           paragraph(
               "Crank degrees: durations, overlap, advance, index, asymmetry, area. Cam degrees: nose, "
               "separation, velocity. +/-: the largest in its column, 95 %.");
}

}  // namespace

std::string present_card(const Card& card, Units units) {
    std::string out = present_head(card, units);
    for (const KindCard& kind : card.kinds) out += present_kind(card, kind, units);
    return out + present_cylinders(card, units) + present_stand_outs(card, units) + present_notes(card);
}

}  // namespace lobewright
