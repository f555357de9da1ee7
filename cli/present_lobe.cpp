#include "cli/present_lobe.hpp"

#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/present_screen.hpp"
#include "cli/text_table.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

/// Rows of figure, value, U and unit. Decimals are one finer than a bench reads, so that U is never rounded
/// away.
class FigureRows {
public:
    explicit FigureRows(Units units) : units_(units) {}

    void length(std::string name, const Measured& figure_mm) { add(std::move(name), figure_mm, 1, 5, 6); }
    void area(std::string name, const Measured& figure) { add(std::move(name), figure, 1, 4, 5, " x deg"); }
    void volume(std::string name, const Measured& figure_mm3) {
        add(std::move(name), figure_mm3, 3, 3, 7, "3");
    }
    void angle(std::string name, const Measured& figure_deg) {
        rows_.push_back({{std::move(name)}, {say(figure_deg.value, 3)}, {say(figure_deg.u95, 3)}, {"deg"}});
    }
    void text(std::string name, std::string_view value, std::string_view unit = "") {
        rows_.push_back({{std::move(name)}, {std::string(value)}, {""}, {std::string(unit)}});
    }
    [[nodiscard]] const std::vector<std::vector<Cell>>& rows() const { return rows_; }

private:
    static std::string say(double value, int decimals) {
        return std::isfinite(value) ? fixed(value, decimals) : "unknown";
    }

    void add(std::string name, const Measured& figure, int power, int decimals_mm, int decimals_in,
             std::string_view suffix = "") {
        const double per = std::pow(mm_per(units_), power);
        const int decimals = units_ == Units::in ? decimals_in : decimals_mm;
        rows_.push_back({{std::move(name)},
                         {say(figure.value / per, decimals)},
                         {figure.known() ? say(figure.u95 / per, decimals) : ""},
                         {fmt::format("{}{}", word(units_), suffix)}});
    }

    Units units_;
    std::vector<std::vector<Cell>> rows_;
};

void add_base_circle(FigureRows& rows, const BaseCircleFigures& base) {
    rows.text("base circle, arc", fmt::format("{} to {}", fixed(base.from_deg, 1), fixed(base.to_deg, 1)),
              "deg");
    rows.length("base circle, runout front", base.runout_mm.front);
    rows.length("base circle, runout rear", base.runout_mm.rear);
    rows.length("base circle, eccentricity", base.eccentricity_mm);
    if (base.eccentricity_mm.known()) {
        rows.text("base circle, eccentricity at", fixed(base.eccentricity_deg, 1), "deg");
    }
    rows.length("base circle, form front", base.form_mm.front);
    rows.length("base circle, form rear", base.form_mm.rear);
}

void add_taper(FigureRows& rows, const TaperFigures& taper) {
    rows.text("taper, datum", word(taper.datum));
    rows.text("taper, high side", word(taper.high_side));
    rows.length("taper, base circle", taper.base_mm);
    rows.length("taper, opening ramp", taper.opening_mm);
    rows.length("taper, nose", taper.nose_mm);
    rows.length("taper, closing ramp", taper.closing_mm);
}

void add_wear(FigureRows& rows, const WearFigures& wear, bool has_reference) {
    if (has_reference) {
        rows.length("wear, greatest depth", wear.max_depth_mm);
        if (wear.max_depth_mm.known()) {
            rows.text("wear, greatest depth at", fixed(wear.at_deg, 1), "deg");
            rows.text("wear, greatest depth edge", word(wear.edge));
        }
        rows.length("wear, nose", wear.nose_depth_mm);
        rows.length("wear, nose front", wear.front_nose_depth_mm);
        rows.length("wear, nose rear", wear.rear_nose_depth_mm);
        rows.area("wear, area", wear.area_mm_deg);
        rows.volume("wear, volume", wear.volume_mm3);
        rows.length("nose radius, reference", wear.nose_radius_reference_mm);
    }
    rows.angle("flat arc at the nose", wear.flat_arc_deg);
    rows.length("nose radius, used", wear.nose_radius_used_mm);
}

std::string present_figures(const LobeFigures& lobe, const Result& result, bool colour) {
    const bool has_reference = result.figures.has_reference;
    FigureRows rows(result.units);
    if (has_reference) rows.length("lift, reference", lobe.lift.reference_mm);
    rows.length("lift, used", lobe.lift.used_mm);
    if (has_reference) rows.length("lift, loss", lobe.lift.loss_mm);
    rows.angle("nose at", lobe.nose_deg);
    if (has_reference) rows.angle("phase shift", lobe.phase_shift_deg);
    add_base_circle(rows, lobe.base_circle);
    add_taper(rows, lobe.taper);
    add_wear(rows, lobe.wear, has_reference);
    if (has_reference) rows.length("stock to clean up", lobe.stock_to_clean_mm);
    return format_table({{"figure"}, {"value", true}, {"+/- (95 %)", true}, {"unit"}}, rows.rows(), colour);
}

std::string_view proof_mark(Proof proof) {
    switch (proof) {
        case Proof::good:
            return "good  ";
        case Proof::bad:
            return "BAD   ";
        case Proof::open:
            break;
    }
    return "open  ";
}

}  // namespace

std::string present_lobe(const Result& result, std::size_t index, bool colour) {
    const LobeFigures& lobe = result.figures.lobes[index];
    const LobeJudgement& judged = result.judgement.lobes[index];
    std::string out = fmt::format("Lobe {} ({}): {}\n\n", one_line(lobe.name), word(lobe.kind),
                                  toned(word(judged.verdict), tone_of(judged.verdict), colour));
    out += present_figures(lobe, result, colour);
    out += "\nRules\n";
    for (const Ruling& ruling : judged.rulings)
        out += paragraph(one_line(ruling.says), proof_mark(ruling.proof));
    if (lobe.notes.empty() && judged.notes.empty()) return out;
    out += "\nNotes\n";
    for (const std::string& note : judged.notes) out += paragraph(one_line(note), "- ");
    for (const std::string& note : lobe.notes) out += paragraph(one_line(note), "- ");
    return out;
}

}  // namespace lobewright
