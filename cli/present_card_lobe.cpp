#include <cmath>

#include <fmt/format.h>

#include "analysis/judge/wording.hpp"
#include "cli/card_table.hpp"
#include "cli/output.hpp"
#include "cli/present_card.hpp"
#include "cli/text_table.hpp"

namespace lobewright {
namespace {

/// Rows of figure, value, u95 and unit.
class Rows {
public:
    explicit Rows(Units units) : units_(units), inch_(units == Units::in) {}

    void length(std::string name, const Measured& figure_mm) {
        add(std::move(name), figure_mm, mm_per(units_), inch_ ? 6 : 5, std::string(word(units_)));
    }
    void angle(std::string name, const Measured& figure_deg, std::string unit) {
        add(std::move(name), figure_deg, 1.0, 3, std::move(unit));
    }
    void area(std::string name, const Measured& figure) {
        add(std::move(name), figure, mm_per(units_), inch_ ? 4 : 3,
            fmt::format("{} x crank deg", word(units_)));
    }
    /// Given by the rad, shown by the cam degree, to a power.
    void motion(std::string name, const Measured& figure, int order) {
        const double per = mm_per(units_) * std::pow(deg_from_rad(1.0), order);
        add(std::move(name), figure, per, (inch_ ? 5 : 4) + order,
            fmt::format("{}/deg{}", word(units_), order == 1 ? "" : fmt::format("{}", order)));
    }
    void by_rad(std::string name, const Measured& figure) {
        add(std::move(name), figure, mm_per(units_), inch_ ? 5 : 4, fmt::format("{}/rad", word(units_)));
    }
    void text(std::string name, std::string value) {
        rows_.push_back({{std::move(name)}, {std::move(value)}, {""}, {""}});
    }

    [[nodiscard]] std::string table() const {
        return format_table({{"figure"}, {"value", true}, {"+/- (95 %)", true}, {"unit"}}, rows_, false);
    }

private:
    Units units_;
    bool inch_;
    std::vector<std::vector<Cell>> rows_;

    void add(std::string name, const Measured& figure, double per, int decimals, std::string unit) {
        const bool known = figure.known();
        rows_.push_back({{std::move(name)},
                         {known ? fixed(figure.value / per, decimals) : "unknown"},
                         {known ? fixed(figure.u95 / per, decimals) : ""},
                         {std::move(unit)}});
    }
};

Measured wrapped(const Measured& figure_deg) {
    return {wrapped_deg(figure_deg.value), figure_deg.u95};
}

void add_durations(Rows& rows, const LobeCard& lobe, Units units) {
    for (const CardDuration& duration : lobe.durations) {
        const std::string at = "at " + say_length(duration.lift_mm, units);
        rows.angle("duration " + at, duration.crank_deg, "crank deg");
        rows.angle("  opens", wrapped(duration.opens_deg.measured), "cam deg");
        if (duration.opens_crank_deg.known()) rows.text("", say_timing(duration.opens_crank_deg.value));
        rows.angle("  closes", wrapped(duration.closes_deg.measured), "cam deg");
        if (duration.closes_crank_deg.known()) rows.text("", say_timing(duration.closes_crank_deg.value));
    }
}

void add_ramp(Rows& rows, const std::string& side, const RampFigures& ramp) {
    rows.length(side + " ramp, height", ramp.height_mm);
    rows.angle(side + " ramp, length", ramp.length_crank_deg, "crank deg");
    Measured by_rad{ramp.velocity_mm_per_deg.value * deg_from_rad(1.0),
                    ramp.velocity_mm_per_deg.u95 * deg_from_rad(1.0)};
    rows.motion(side + " ramp, velocity", by_rad, 1);
}

std::string present_one(const LobeCard& lobe, Units units) {
    Rows rows(units);
    rows.length("lift", lobe.lift_mm);
    rows.length("lift at the valve", lobe.valve_lift_mm);
    rows.angle("nose at (centreline)", wrapped(lobe.nose_deg.measured), "cam deg");
    if (lobe.centreline_crank_deg.known()) rows.text("", say_centreline(lobe.centreline_crank_deg.value));
    rows.angle("largest lift at", wrapped(lobe.top_deg), "cam deg");
    add_durations(rows, lobe, units);
    rows.angle("asymmetry", lobe.asymmetry_crank_deg, "crank deg");
    rows.area("area", lobe.area);
    rows.motion("velocity, opening", lobe.opening_velocity, 1);
    rows.by_rad("", lobe.opening_velocity);
    rows.motion("velocity, closing", lobe.closing_velocity, 1);
    rows.by_rad("", lobe.closing_velocity);
    rows.length("to the tappet's edge, opening", lobe.opening_clearance_mm);
    rows.length("to the tappet's edge, closing", lobe.closing_clearance_mm);
    rows.motion("acceleration, greatest", lobe.greatest_acceleration, 2);
    rows.motion("acceleration, least", lobe.least_acceleration, 2);
    rows.motion("jerk, greatest", lobe.greatest_jerk, 3);
    rows.length("radius of curvature, least", lobe.least_radius_mm);
    add_ramp(rows, "opening", lobe.opening_ramp);
    add_ramp(rows, "closing", lobe.closing_ramp);
    std::string out = fmt::format("Lobe {} ({})\n\n{}", one_line(lobe.name), word(lobe.kind), rows.table());
    if (lobe.notes.empty() && lobe.sweep_notes.empty()) return out;
    out += "\nNotes\n";
    for (const std::string& note : lobe.notes) out += paragraph(one_line(note), "- ");
    for (const std::string& note : lobe.sweep_notes) out += paragraph(one_line(note), "- ");
    return out;
}

}  // namespace

std::string present_card_lobes(const Card& card, const std::vector<std::size_t>& lobes, Units units) {
    std::string out;
    for (const std::size_t index : lobes) {
        if (!out.empty()) out += "\n";
        out += present_one(card.lobes[index], units);
    }
    std::string notes;
    for (const std::string& note : card.notes) notes += paragraph(one_line(note), "- ");
    return notes.empty() ? out : out + "\nOf the card\n" + notes;
}

}  // namespace lobewright
