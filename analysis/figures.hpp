// figures.hpp: what is measured on a cam, lobe by lobe, as docs/figures.md defines every figure.
// Lengths in mm, angles in cam degrees (these are results, on their way to people), areas in mm x cam
// degrees, volumes in mm^3. A figure that can't be known is an unknown Measured; its cause is among the
// notes.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "analysis/measured.hpp"
#include "analysis/run/run.hpp"
#include "analysis/uncertainty/terms.hpp"

namespace lobewright {

enum class Edge { front, rear };
enum class TaperDatum { mastered, base_circle };
enum class HighSide { front, rear, none, unknown };
enum class Push { front, rear, balanced, none, unknown };

struct LiftFigures {
    Measured reference_mm;  // unknown without a reference run
    Measured used_mm;
    Measured loss_mm;
    Measured below_sisters_mm;  // without a reference run: below the best of its sisters, lost at the least
};

struct BaseCircleFigures {
    double from_deg = 0.0;  // the arc runs from `from_deg` up to `to_deg`, to > from, may pass 360
    double to_deg = 0.0;
    EdgePair runout_mm;
    Measured eccentricity_mm;
    double eccentricity_deg = 0.0;
    EdgePair form_mm;
};

struct TaperFigures {
    TaperDatum datum = TaperDatum::base_circle;
    HighSide high_side = HighSide::unknown;
    Measured base_mm;
    Measured opening_mm;
    Measured nose_mm;
    Measured closing_mm;
    double ramps_own_u95_mm = 0.0;  // of the ramps' mean, by what no other lobe shares: noise, wander
};

struct WearFigures {
    Measured max_depth_mm;
    double at_deg = 0.0;
    Edge edge = Edge::front;
    Measured nose_depth_mm;
    Measured front_nose_depth_mm;
    Measured rear_nose_depth_mm;
    Measured area_mm_deg;
    Measured volume_mm3;
    Measured flat_arc_deg;
    Measured nose_radius_reference_mm;
    Measured nose_radius_used_mm;
};

/// Curves on one uniform grid of the used run's cam angles; lift and wear at the lobe's edges.
struct LobeCurves {
    std::vector<double> angle_deg;
    std::vector<double> front_mm;
    std::vector<double> rear_mm;
    std::vector<double> taper_mm;
    std::vector<double> wear_front_mm;  // empty without a reference run, as is wear_rear_mm
    std::vector<double> wear_rear_mm;
    // u95 of the wear at every `wear_u95_each`th angle; empty unless asked for.
    std::vector<double> wear_front_u95_mm;
    std::vector<double> wear_rear_u95_mm;
    std::size_t wear_u95_each = 0;
};

struct LobeFigures {
    std::string name;
    LobeKind kind = LobeKind::other;
    LiftFigures lift;
    Measured nose_deg;
    Measured phase_shift_deg;
    BaseCircleFigures base_circle;
    TaperFigures taper;
    WearFigures wear;
    Measured stock_to_clean_mm;
    std::optional<double> reference_base_diameter_mm;  // by micrometer, for what a regrind leaves
    std::vector<std::string> notes;
    LobeCurves curves;
    std::vector<BudgetLine> budget;  // where each figure's u95 comes from
};

struct JournalFigures {
    std::string name;
    Measured runout_mm;
    Measured out_of_round_mm;
};

struct ThrustFigures {
    Push pushes = Push::unknown;
    Measured share;  // net over total, +1 all to the rear
};

/// Everything measured on one cam, with (`has_reference`) or without a reference run.
struct CamFigures {
    bool has_reference = false;
    RunInfo reference;  // empty without a reference run
    RunInfo used;
    Units used_units = Units::mm;
    CamInfo cam;  // of the used run
    Measured stock_to_clean_mm;
    ThrustFigures thrust;
    Measured bend_mm;
    std::vector<JournalFigures> journals;
    std::vector<LobeFigures> lobes;
    std::vector<std::string> notes;
};

}  // namespace lobewright
