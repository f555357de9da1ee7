// judge_fixture.hpp: a cam with nothing wrong with it, for tests of the judgement to spoil one thing at a
// time. Every number here is chosen, not measured: a flat-tappet cam of two lobes held by a thrust plate,
// with 0.02 mm of ramp taper, a tenth of that in U, and stock and case to spare.
#pragma once

#include <string>

#include "analysis/figures.hpp"

namespace lobewright::tests {

inline LobeFigures good_lobe(const std::string& name, LobeKind kind) {
    LobeFigures lobe;
    lobe.name = name;
    lobe.kind = kind;
    lobe.lift = {{5.5, 0.002}, {5.48, 0.002}, {0.02, 0.002}, {}};
    lobe.base_circle.from_deg = 140.0;
    lobe.base_circle.to_deg = 330.0;
    lobe.base_circle.runout_mm = {{0.01, 0.001}, {0.012, 0.001}};
    lobe.taper.datum = TaperDatum::mastered;
    lobe.taper.high_side = HighSide::rear;
    lobe.taper.base_mm = {0.02, 0.002};
    lobe.taper.opening_mm = {0.02, 0.002};
    lobe.taper.nose_mm = {0.019, 0.002};
    lobe.taper.closing_mm = {0.021, 0.002};
    lobe.wear.flat_arc_deg = {0.0, 0.5};
    lobe.stock_to_clean_mm = {0.03, 0.002};
    lobe.reference_base_diameter_mm = 28.0;
    return lobe;
}

inline CamFigures good_cam() {
    CamFigures cam;
    cam.has_reference = true;
    cam.reference.id = "cam-new";
    cam.reference.condition = Condition::as_new;
    cam.used.id = "cam-used";
    cam.cam.follower = Follower::flat;
    cam.cam.retention = Retention::thrust_plate;
    cam.cam.case_depth_mm = 1.2;
    cam.stock_to_clean_mm = {0.03, 0.002};
    cam.bend_mm = {0.02, 0.004};
    cam.thrust = {Push::balanced, {0.1, 0.05}};
    cam.lobes = {good_lobe("1E", LobeKind::exhaust), good_lobe("1I", LobeKind::intake)};
    return cam;
}

}  // namespace lobewright::tests
