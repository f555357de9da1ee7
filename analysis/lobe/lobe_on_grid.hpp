// lobe_on_grid.hpp: one lobe's displacement above its base circle on the grid, front and rear, and the simple
// readings off such curves: peaks, flanks, centreline, stretches (docs/figures.md, docs/measuring.md sections 3
// and 4). Grid positions are real numbers g; angle = 2 pi g / grid_points in the used run's angles.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "analysis/curve/sinusoid.hpp"
#include "analysis/follower/contact_map.hpp"
#include "analysis/follower/hollow.hpp"
#include "analysis/lobe/lobe_curve.hpp"

namespace lobewright {

/// A place along z as a mix of the two indicators: front + rear = 1 for a displacement.
struct EdgeMix {
    double front = 0.5;
    double rear = 0.5;
};

/// Where the indicators stood on the lobe, and what follows for its edges.
struct LobeGeometry {
    double front_z_mm = 0.0;
    double rear_z_mm = 0.0;
    double width_mm = 0.0;

    [[nodiscard]] EdgeMix at(double z_mm) const {
        const double span = rear_z_mm - front_z_mm;
        return {(rear_z_mm - z_mm) / span, (z_mm - front_z_mm) / span};
    }
    [[nodiscard]] EdgeMix mid() const { return at(0.0); }
    [[nodiscard]] EdgeMix front_edge() const { return at(-0.5 * width_mm); }
    [[nodiscard]] EdgeMix rear_edge() const { return at(0.5 * width_mm); }
    /// Rear-minus-front reading to taper over the whole width.
    [[nodiscard]] double taper_scale() const { return width_mm / (rear_z_mm - front_z_mm); }
};

/// A lobe on the grid. `front` and `rear` are the follower's displacement, mm above the base circle at the
/// indicators, the once-per-turn part off. `maps` lead from the tip's displacement to the follower's, [0]
/// front, [1] rear, in the order applied; empty where the tip moves as the follower does.
struct LobeOnGrid {
    std::vector<double> front_reading;  // as swept, mm
    std::vector<double> rear_reading;
    Sinusoid front_circle;
    Sinusoid rear_circle;
    std::vector<double> front;
    std::vector<double> rear;
    std::array<std::vector<ContactMap>, 2> maps;
    std::vector<Hollow> hollows;  // of either edge, as the tip read them

    /// Weights on the follower's displacement of one edge as weights on the tip's.
    [[nodiscard]] std::vector<double> on_tip(std::size_t edge, std::vector<double> weights) const;
};

/// The shape at grid angles less `offset_rad` (0 for the used run, the phase shift for its reference). Throws
/// DataError naming the lobe when the tip's readings can't be those of its radius on this base circle.
LobeOnGrid lobe_on_grid(const LobeCurve& curve, double offset_rad, const SinusoidFit& heel);

/// The curve at a place along z.
std::vector<double> mixed(const LobeOnGrid& shape, EdgeMix mix);

/// A curve's largest value and where, by a parabola through the three highest points.
struct Peak {
    double at = 0.0;  // grid position
    double value = 0.0;
};
Peak peak_of(std::span<const double> curve);

/// Where the curve passes a level on either side of a grid position: before it rising, after it falling.
/// slopes per grid step. Throws std::domain_error when it doesn't come down to the level within half a turn.
struct Crossing {
    double opening = 0.0;  // opening < peak < closing as real numbers; may lie outside 0..n
    double closing = 0.0;
    double opening_slope = 0.0;
    double closing_slope = 0.0;

    [[nodiscard]] double middle() const { return 0.5 * (opening + closing); }
};
Crossing crossing(std::span<const double> curve, double peak_at, double level);

/// Value of a grid curve at a real position (cubic through four points).
double value_at(std::span<const double> curve, double position);

/// Weights w (sum 1) so that sum w_g y_g is the mean of the curve over [from, to] (grid positions, to >
/// from).
std::vector<double> mean_weights(double from, double to);

/// Weights that give the curve's value at a position (linear interpolation: for uncertainties).
std::vector<double> point_weights(double position);

double weighted_sum(std::span<const double> weights, std::span<const double> curve);

/// Grid position to cam degrees, not wrapped.
constexpr double deg_of_grid(double position) {
    return position * 360.0 / static_cast<double>(grid_points);
}

}  // namespace lobewright
