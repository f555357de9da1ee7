// Notation: phi angle from the nose, rad; xi the same normalised to the main rise, -1 to +1.
#include "rig/model/lobe_model.hpp"

#include <algorithm>
#include <limits>

#include "analysis/units.hpp"

namespace lobewright {

namespace {

// A ramp's velocity picks up over the first half of the ramp, is constant over the second, and dies away over
// as many degrees again on the flank, each time by the quintic step. In units of (velocity x ramp length):
constexpr double ramp_pick_up = 0.5;
constexpr double ramp_at_handover = 1.0 - ramp_pick_up / 2.0;
constexpr double ramp_in_all = ramp_at_handover + 0.5;

/// Integral of the quintic step from 0 to x, x in 0..1.
double step_integral(double x) {
    const double x2 = x * x;
    return x2 * x2 * (2.5 + x * (-3.0 + x));
}

}  // namespace

LobeShape::LobeShape(const LobeModel& model)
    : model_(model),
      nose_(rad_from_deg(model.nose_deg)),
      opening_rad_(rad_from_deg(model.opening_deg)),
      closing_rad_(rad_from_deg(model.closing_deg)),
      ramp_rad_(rad_from_deg(model.ramp_deg)),
      ramp_total_mm_(model.ramp_deg > 0.0 ? model.ramp_height_mm * ramp_in_all / ramp_at_handover : 0.0) {
    // The main rise goes from -o to c. xi = p phi / (1 + k phi) maps that onto -1..1 with xi(0) = 0,
    // smoothly, so that sides of unequal length meet at the nose without a jump of curvature.
    const double o = opening_rad_ - ramp_rad_;
    const double c = closing_rad_ - ramp_rad_;
    warp_ = (1.0 / o + 1.0 / c) / 2.0;
    skew_ = (1.0 / o - 1.0 / c) / 2.0;
    for (const Harmonic& harmonic : model_.form) form_.add(harmonic, 0.0, 1.0);
}

Support LobeShape::ramp(double into_event_rad, double length_rad, double total_mm) const {
    const double x = into_event_rad / length_rad;
    const double velocity = total_mm / (ramp_in_all * length_rad);
    if (x < ramp_pick_up) {
        const Motion step = smooth_step(x / ramp_pick_up);
        return {velocity * length_rad * ramp_pick_up * step_integral(x / ramp_pick_up), velocity * step.s,
                velocity * step.v / (ramp_pick_up * length_rad)};
    }
    if (x < 1.0) return {velocity * length_rad * (x - ramp_pick_up / 2.0), velocity, 0.0};
    if (x < 2.0) {
        const Motion step = smooth_step(x - 1.0);
        return {velocity * length_rad * (ramp_at_handover + x - 1.0 - step_integral(x - 1.0)),
                velocity * (1.0 - step.s), -velocity * step.v / length_rad};
    }
    return {total_mm, 0.0, 0.0};
}

Support LobeShape::lift(double from_nose_rad) const {
    const double phi = from_nose_rad;
    if (phi <= -opening_rad_ || phi >= closing_rad_) return {};
    const double stretch = 1.0 / (1.0 + skew_ * phi);
    const double xi1 = warp_ * stretch * stretch;
    const double xi2 = -2.0 * skew_ * stretch * xi1;
    const Motion main = event_motion(model_.program, warp_ * phi * stretch);
    const double rise_mm = model_.lift_mm - ramp_total_mm_;
    Support lift{rise_mm * main.s, rise_mm * main.v * xi1, rise_mm * (main.a * xi1 * xi1 + main.v * xi2)};
    if (ramp_total_mm_ > 0.0) {
        const bool opening = phi < 0.0;
        Support side = ramp(opening ? phi + opening_rad_ : closing_rad_ - phi, ramp_rad_, ramp_total_mm_);
        if (!opening) side.h1 = -side.h1;
        lift += side;
    }
    return lift;
}

Section LobeShape::section(const Turned& theta) const {
    const Turned angle = theta.from(nose_);
    Section section = without_form(wrapped_rad(angle.rad));
    section += form_.at(angle);
    return section;
}

Section LobeShape::without_form(double from_nose_rad) const {
    const double phi = from_nose_rad;
    const Support ground = lift(phi);
    Section section{ground, {}};
    section.middle.h += model_.base_radius_mm;
    section.per_mm.h += model_.taper_mm / model_.lobe.width_mm;
    const EventAngle event{phi, phi + opening_rad_, closing_rad_ - phi};
    for (const Wear& wear : model_.wear) {
        const Support shape = wear_shape(wear, event, (1.0 / model_.lift_mm) * ground);
        section.middle += -0.5 * (wear.front_mm + wear.rear_mm) * shape;
        section.per_mm += -(wear.rear_mm - wear.front_mm) / model_.lobe.width_mm * shape;
    }
    return section;
}

double least_radius_mm(const LobeModel& model) {
    const LobeShape shape(model);
    double least = std::numeric_limits<double>::infinity();
    for (int i = 0; i < 720; ++i) {
        const Section section = shape.section(Turned(rad_from_deg(0.5 * i)));
        for (const double z_mm : {-0.5 * model.lobe.width_mm, 0.5 * model.lobe.width_mm}) {
            least = std::min(least, section.at(z_mm).radius());
        }
    }
    return least;
}

}  // namespace lobewright
