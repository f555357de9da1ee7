// truth_lobe.hpp: the true figures of one lobe against its reference for one choice of base-circle arc;
// truth.cpp varies the choice and adds up the cam.
#pragma once

#include "rig/model/station.hpp"
#include "rig/model/truth.hpp"
#include "rig/model/truth_curve.hpp"

namespace lobewright {

/// A lobe's follower displacement at its edges, mm above the bare base
/// radius, tabulated in the cam's own angle.
struct EdgeCurves {
    TruthCurve front;
    TruthCurve rear;
};
EdgeCurves edge_curves(const LobeModel& model, const CamInfo& cam);

/// What the figures of one lobe are computed from.
struct LobePair {
    const LobeModel& model;  // the used cam's
    const EdgeCurves& reference;
    const EdgeCurves& used;
    bool flat_follower;
    bool mastered;
    double reference_phase_rad;
    double used_phase_rad;
    double flat_taper_mm;
};

/// Everything but the base circle's own figures. `arc` in the cam's own angle. `with_stock` also finds the
/// stock, which takes the most time.
LobeTruth lobe_figures(const LobePair& pair, const TruthArc& arc, bool with_stock);

/// Runout, eccentricity and form as the used rig sees the lobe on its station. `arc` in the run's angle.
void base_circle_figures(LobeTruth& truth, const Station& station, double width_mm, const TruthArc& arc);

}  // namespace lobewright
