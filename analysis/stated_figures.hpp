// stated_figures.hpp: the figures of a lobe by their keys in the JSON, joined by dots: those of docs/figures.md that
// have a u95.
#pragma once

#include <array>
#include <string_view>

#include "analysis/figures.hpp"

namespace lobewright {

struct StatedFigure {
    std::string_view key;
    Measured (*of)(const LobeFigures&);
    bool angle = false;  // degrees that begin again after a turn
};

inline constexpr auto stated_figures = std::to_array<StatedFigure>({
    {"lift.reference", [](const LobeFigures& l) { return l.lift.reference_mm; }},
    {"lift.used", [](const LobeFigures& l) { return l.lift.used_mm; }},
    {"lift.loss", [](const LobeFigures& l) { return l.lift.loss_mm; }},
    {"nose_deg", [](const LobeFigures& l) { return l.nose_deg; }, true},
    {"phase_shift_deg", [](const LobeFigures& l) { return l.phase_shift_deg; }, true},
    {"base_circle.runout.front", [](const LobeFigures& l) { return l.base_circle.runout_mm.front; }},
    {"base_circle.runout.rear", [](const LobeFigures& l) { return l.base_circle.runout_mm.rear; }},
    {"base_circle.eccentricity", [](const LobeFigures& l) { return l.base_circle.eccentricity_mm; }},
    {"base_circle.form.front", [](const LobeFigures& l) { return l.base_circle.form_mm.front; }},
    {"base_circle.form.rear", [](const LobeFigures& l) { return l.base_circle.form_mm.rear; }},
    {"taper.base", [](const LobeFigures& l) { return l.taper.base_mm; }},
    {"taper.opening", [](const LobeFigures& l) { return l.taper.opening_mm; }},
    {"taper.nose", [](const LobeFigures& l) { return l.taper.nose_mm; }},
    {"taper.closing", [](const LobeFigures& l) { return l.taper.closing_mm; }},
    {"wear.max_depth", [](const LobeFigures& l) { return l.wear.max_depth_mm; }},
    {"wear.nose_depth", [](const LobeFigures& l) { return l.wear.nose_depth_mm; }},
    {"wear.front_nose_depth", [](const LobeFigures& l) { return l.wear.front_nose_depth_mm; }},
    {"wear.rear_nose_depth", [](const LobeFigures& l) { return l.wear.rear_nose_depth_mm; }},
    {"wear.area", [](const LobeFigures& l) { return l.wear.area_mm_deg; }},
    {"wear.volume", [](const LobeFigures& l) { return l.wear.volume_mm3; }},
    {"wear.flat_arc_deg", [](const LobeFigures& l) { return l.wear.flat_arc_deg; }},
    {"wear.nose_radius.reference", [](const LobeFigures& l) { return l.wear.nose_radius_reference_mm; }},
    {"wear.nose_radius.used", [](const LobeFigures& l) { return l.wear.nose_radius_used_mm; }},
    {"stock_to_clean", [](const LobeFigures& l) { return l.stock_to_clean_mm; }},
});

/// The figure of that key, unknown where there is none of it.
inline Measured stated_figure(const LobeFigures& lobe, std::string_view key) {
    for (const auto& figure : stated_figures) {
        if (figure.key == key) return figure.of(lobe);
    }
    return {};
}

}  // namespace lobewright
