// lobe_model.hpp: one lobe in closed form: its support function h(theta, z), which is what a flat tip reads.
// Model    h = base radius + lift(theta) + taper z / width + form(theta) - wear(theta, z); mm, rad.
//          theta counts in the running direction in the cam's own frame, z from mid-lobe to the rear.
// Smooth   h, h' and h'' are continuous; h + h'' > 0 is the outline's radius of curvature.
#pragma once

#include <vector>

#include "analysis/run/run.hpp"
#include "rig/model/harmonics.hpp"
#include "rig/model/motion_program.hpp"
#include "rig/model/support.hpp"
#include "rig/model/wear_model.hpp"

namespace lobewright {

/// What a lobe is ground to and what running took off it.
struct LobeModel {
    Lobe lobe;  // as run.toml tells of it: name, kind, z, width, micrometer figure, tappet
    double base_radius_mm = 14.0;
    double lift_mm = 5.5;
    double nose_deg = 0.0;         // cam angle of the nose in the cam's own frame
    double opening_deg = 84.0;     // from where the event opens to the nose, its ramp included
    double closing_deg = 84.0;     // from the nose to where the event closes, its ramp included
    double ramp_deg = 14.0;        // each ramp; constant velocity after it has picked up; 0: none
    double ramp_height_mm = 0.03;  // lift where the ramp hands over to the flank
    MotionProgram program = MotionProgram::nose_polynomial;
    double taper_mm = 0.0;       // over the width; positive: high to the rear
    std::vector<Harmonic> form;  // grinding form round the whole lobe, angle counted from the nose
    std::vector<Wear> wear;
};

/// Evaluates a LobeModel; everything that doesn't depend on the angle is worked out once.
class LobeShape {
public:
    explicit LobeShape(const LobeModel& model);

    /// The worn lobe at a cam angle of its own frame.
    [[nodiscard]] Section section(const Turned& theta) const;

    /// The same without the grinding form, at an angle from the nose (rad, within +-pi).
    [[nodiscard]] Section without_form(double from_nose_rad) const;

    /// The ground lift alone at an angle from the nose (rad, within +-pi): the heel reads zero.
    [[nodiscard]] Support lift(double from_nose_rad) const;

private:
    [[nodiscard]] Support ramp(double into_event_rad, double length_rad, double total_mm) const;

    LobeModel model_;
    Turned nose_;
    double opening_rad_;
    double closing_rad_;
    double ramp_rad_;
    double ramp_total_mm_;  // what the ramp's own curve rises in all
    double warp_;           // xi = warp phi / (1 + skew phi)
    double skew_;
    HarmonicSum form_;
};

/// Smallest radius of curvature round the lobe and at both edges, mm, sampled every half degree.
double least_radius_mm(const LobeModel& model);

}  // namespace lobewright
