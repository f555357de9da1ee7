// cam_model.hpp: a whole cam with known truth: lobes, journals, and how it rests in V-blocks.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/run/run.hpp"
#include "rig/model/harmonics.hpp"
#include "rig/model/lobe_model.hpp"

namespace lobewright {

/// A journal: its own roundness, and where the bent shaft carries its centre.
struct JournalModel {
    Journal journal;             // as run.toml tells of it; v_angle_deg makes it rest in a V-block
    std::vector<Harmonic> form;  // n >= 2, angle in the cam's own frame
    double bend_x_mm = 0.0;      // offset of its centre from a straight axis, towards cam angle 0
    double bend_y_mm = 0.0;      // and towards cam angle 90
};

/// A cam. Angles are in the cam's own frame; a rig sees them turned by its index phase.
struct CamModel {
    CamInfo info;
    std::optional<TappetInfo> tappet;
    std::optional<ValvetrainInfo> valvetrain;
    std::vector<LobeModel> lobes;
    std::vector<JournalModel> journals;  // none or two of them in V-blocks
};

/// Throws DataError, naming lobe or journal, when the model can't be a cam: a lobe that isn't convex, an
/// event longer than a turn or shorter than its ramps, a width that isn't positive, a journal harmonic below
/// 2, one V-block or more than two.
void check(const CamModel& cam);

/// The lobe called `name`; throws DataError when there is none.
const LobeModel& lobe_named(const CamModel& cam, const std::string& name);

/// Where a point of the bent axis lies off the line through the journals that rest in V-blocks (off the
/// straight axis when none does), mm towards cam angles 0 and 90. Between journals the shaft runs straight.
struct AxisOffset {
    double x_mm = 0.0;
    double y_mm = 0.0;
};
AxisOffset axis_offset(const CamModel& cam, double z_mm);

/// Adds to `sum` how the axis rises and falls at z_mm because its journals ride in the V's, and how that
/// changes along z: each journal's harmonic n lifts its axis by (F_n - 1), linearly mixed between the two
/// V's. Angles count from `zero_deg`. Adds nothing without V-blocks.
void add_axis_motion(HarmonicSum& sum, const CamModel& cam, double z_mm, double zero_deg);

/// F_n = 1 + (-1)^n cos(n g) / cos g, g = 90 degrees - V/2: how many times an indicator on the
/// bisector, over a shaft in a V-block of the included angle V, reads the shaft's harmonic n. (ISO
/// 4292:1985, three-point method; derived.)
double v_block_factor(int n, double v_angle_deg);

}  // namespace lobewright
