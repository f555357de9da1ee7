// Positions t count grid steps away from the heel's end, up the flank, on either side.
#include "analysis/card/ramp.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "analysis/constants.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

constexpr double most_share = 0.2;  // of the side's greatest velocity; faster, any flank is as even as a ramp
constexpr double plateau = 4.0 * grid_per_deg;
constexpr double slope_reach = 1.0 * grid_per_deg;
constexpr double most_change = 0.35;  // of the plateau's velocity over the plateau
constexpr double handover = 1.1;      // of the plateau's velocity
constexpr double pick_up = 0.5;       // of it
constexpr double fine = 0.1;          // grid steps, a twentieth of a degree

/// A number read off the lift curve with its weights on it.
struct Reading {
    double value = 0.0;
    std::vector<double> weights = std::vector<double>(grid_points, 0.0);

    void add(const std::vector<double>& other, double factor) {
        for (std::size_t g = 0; g < grid_points; ++g) weights[g] += factor * other[g];
    }
};

/// One side of the lift, walked up from the heel.
class Side {
public:
    Side(const LobeView& view, LobeSide side)
        : view_(view),
          lift_(mixed(view.shape, view.geometry.mid())),
          way_(side == LobeSide::opening ? 1.0 : -1.0) {
        const auto arc = view.heel.arc();
        const auto first = static_cast<double>(arc.first), count = static_cast<double>(arc.count - 1);
        const bool opening = side == LobeSide::opening;
        const double foot = opening ? view.own.low.opening : view.own.low.closing;
        // The heel's near end, in the turn in which the flank's landmarks are counted.
        const double end = opening ? first + count : first;
        const double n = static_cast<double>(grid_points);
        const double away = way_ * (foot - end);
        heel_end_ = foot - way_ * (away - n * std::floor(away / n));
        foot_ = way_ * (foot - heel_end_);
        nose_ = way_ * (view.own.peak.at - heel_end_);
    }

    /// Where the lift has risen to a fifth of the largest.
    [[nodiscard]] double foot() const { return foot_; }
    [[nodiscard]] double lift(double t) const { return value_at(lift_, heel_end_ + way_ * t); }
    [[nodiscard]] double slope(double t) const {
        return (lift(t + slope_reach) - lift(t - slope_reach)) / (2.0 * slope_reach);
    }

    [[nodiscard]] double greatest_slope() const {
        double most = 0.0;
        for (int step = 0; foot_ + step < nose_; ++step) most = std::max(most, slope(foot_ + step));
        return most;
    }

    [[nodiscard]] Reading lift_reading(double t) const {
        return {lift(t), point_weights(heel_end_ + way_ * t)};
    }
    [[nodiscard]] Reading slope_reading(double t, double reach) const {
        Reading out{(lift(t + reach) - lift(t - reach)) / (2.0 * reach)};
        out.add(point_weights(heel_end_ + way_ * (t + reach)), 0.5 / reach);
        out.add(point_weights(heel_end_ + way_ * (t - reach)), -0.5 / reach);
        return out;
    }

    [[nodiscard]] Measured figure(const Reading& reading, double unit) const {
        Influence influence;
        influence.used.add(view_.geometry.mid(), reading.weights, unit);
        return {unit * reading.value, view_.all.terms(influence).expanded()};
    }

private:
    const LobeView& view_;
    std::vector<double> lift_;
    double way_;
    double heel_end_ = 0.0;
    double foot_ = 0.0;
    double nose_ = 0.0;
};

/// How much the velocity changes over the plateau about t.
Reading change_over(const Side& side, double t) {
    Reading change = side.slope_reading(t + 0.5 * plateau, slope_reach);
    const Reading before = side.slope_reading(t - 0.5 * plateau, slope_reach);
    change.value -= before.value;
    change.add(before.weights, -1.0);
    return change;
}

/// The middle of the stretch that is a ramp's, or none.
std::optional<double> find_plateau(const Side& side) {
    std::optional<double> best;
    double least = most_change;
    const double fastest = most_share * side.greatest_slope();
    for (int step = 0; step < side.foot(); ++step) {
        const double t = step;
        const double mean = (side.lift(t + 0.5 * plateau) - side.lift(t - 0.5 * plateau)) / plateau;
        if (!(mean > 0.0 && mean < fastest)) continue;
        const double change = std::abs(side.slope(t + 0.5 * plateau) - side.slope(t - 0.5 * plateau)) / mean;
        if (change >= least) continue;
        // On the heel the velocity is noise and stays noise: it must be known for what it is.
        const Measured known = side.figure(change_over(side, t), 1.0);
        if (std::abs(known.value) + known.u95 >= most_change * mean) continue;
        least = change;
        best = t;
    }
    return best;
}

/// Where the velocity comes down to `velocity` on the way from t towards the heel.
std::optional<double> walk_down_to(const Side& side, double t, double velocity) {
    while (t > -plateau && side.slope(t) > velocity) t -= fine;
    if (t <= -plateau) return std::nullopt;
    return t;
}

/// Position where the velocity is `share` of the plateau's, with its weights.
Reading place_reading(const Side& side, double t, double share, const Reading& velocity) {
    const double acceleration = (side.slope(t + 1.0) - side.slope(t - 1.0)) / 2.0;
    Reading place{t};
    place.add(side.slope_reading(t, slope_reach).weights, -1.0 / acceleration);
    place.add(velocity.weights, share / acceleration);
    return place;
}

Reading difference(Reading a, const Reading& b) {
    a.value -= b.value;
    a.add(b.weights, -1.0);
    return a;
}

}  // namespace

RampFigures ramp_figures(const LobeView& view, LobeSide which) {
    if (view.curve.table) return {};
    const Side side(view, which);
    const auto middle = find_plateau(side);
    if (!middle) return {};
    const Reading velocity = side.slope_reading(*middle, 0.5 * plateau);
    const auto end = walk_down_to(side, side.foot(), handover * velocity.value);
    const auto begin = walk_down_to(side, *middle, pick_up * velocity.value);
    if (!end || !begin || *end <= *begin) return {};
    const Reading to = place_reading(side, *end, handover, velocity);
    const Reading from = place_reading(side, *begin, pick_up, velocity);
    Reading height = side.lift_reading(*end);
    height.add(to.weights, side.slope(*end));
    RampFigures out;
    out.height_mm = side.figure(height, 1.0);
    out.length_crank_deg = side.figure(difference(to, from), crank_per_cam * deg_of_grid(1.0));
    out.velocity_mm_per_deg = side.figure(velocity, grid_per_deg);
    // Weights are a tangent: where they say half the height or more they say nothing.
    if (out.height_mm.u95 > 0.5 * out.height_mm.value) return {};
    return out;
}

}  // namespace lobewright
