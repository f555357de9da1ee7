#include "analysis/lobe/weighted_rows.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "analysis/constants.hpp"
#include "analysis/lobe/turn_clock.hpp"

namespace lobewright {
namespace {

double middle_of_interval(std::size_t interval, std::size_t knots) {
    return (static_cast<double>(interval) + 0.5) * two_pi / static_cast<double>(knots);
}

/// One row's residuals about the rough curve.
struct VisitRow {
    double fraction = 0.0;  // of the knot interval
    double front = 0.0;
    double rear = 0.0;
};

/// The rows of one visit to a knot interval.
struct Visit {
    std::size_t interval = 0;
    std::size_t from = 0;
    std::size_t to = 0;
    bool on_heel = false;
};

class Weigher {
public:
    Weigher(const RoughCurve& rough, const RowWeighing& how, WeightedRows& out)
        : rough_(rough), how_(how), out_(out), knots_(rough.front.knots()) {}

    void add(const Samples& s, const TurnClock& clock, const Visit& visit) {
        const double encoder = encoder_variance(rough_.slope[visit.interval], how_.angle_step_rad);
        const double noise = how_.sigma_mm * how_.sigma_mm;
        const double reach = how_.stray_factor * how_.stray_factor * (noise + encoder);
        const bool beyond = take_residuals(s, visit) > reach;
        const double single = 1.0 / (noise + encoder);  // the weight of nearly every row
        IntervalMoments moments;
        double turn = 0.0, front_squares = 0.0, rear_squares = 0.0;
        for (std::size_t i = visit.from; i < visit.to; ++i) {
            const auto [u, f, r] = rows_[i - visit.from];
            if (beyond && std::max(f * f, r * r) > reach && stands_alone(i - visit.from, reach)) {
                ++out_.strays;
                continue;
            }
            const double w = s.readings[i] == 1.0 ? single : 1.0 / (noise / s.readings[i] + encoder);
            moments.add(u, w, f, r);
            turn += w * clock.elapsed_turns(i);
            front_squares += s.readings[i] * f * f;
            rear_squares += s.readings[i] * r * r;
        }
        out_.system.add(visit.interval, moments);
        auto& bin = out_.legs.bins.back()[visit.interval];
        bin.weight += moments.weight[0];
        bin.front += moments.value[0][0];
        bin.rear += moments.value[0][1];
        bin.turn += turn;
        if (!visit.on_heel) return;
        out_.heel.front += front_squares;
        out_.heel.rear += rear_squares;
        out_.heel.places += static_cast<double>(moments.samples);
    }

private:
    const RoughCurve& rough_;
    const RowWeighing& how_;
    WeightedRows& out_;
    std::size_t knots_;
    std::vector<VisitRow> rows_;  // of the visit in hand

    /// Gives the square of the largest.
    double take_residuals(const Samples& s, const Visit& visit) {
        const auto front = rough_.front.cubic(visit.interval), rear = rough_.rear.cubic(visit.interval);
        rows_.resize(visit.to - visit.from);
        double largest = 0.0;
        for (std::size_t i = visit.from; i < visit.to; ++i) {
            const double u = spline_place(s.angle_rad[i], knots_).fraction;
            const double f = s.front_mm[i] - (front[0] + u * (front[1] + u * (front[2] + u * front[3])));
            const double r = s.rear_mm[i] - (rear[0] + u * (rear[1] + u * (rear[2] + u * rear[3])));
            rows_[i - visit.from] = {u, f, r};
            largest = std::max(largest, std::max(f * f, r * r));
        }
        return largest;
    }

    /// A row beyond the limit is a stray when it stands off the other rows of its visit as well; where they are off
    /// together it is the rough curve that is, at a sharp corner.
    [[nodiscard]] bool stands_alone(std::size_t row, double reach) const {
        if (rows_.size() < 3) return false;
        double worst = 0.0;
        for (const auto edge : {&VisitRow::front, &VisitRow::rear}) {
            std::vector<double> all;
            for (const auto& v : rows_) all.push_back(v.*edge);
            const auto middle = all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2);
            std::nth_element(all.begin(), middle, all.end());
            worst = std::max(worst, std::abs(rows_[row].*edge - *middle));
        }
        return worst * worst > reach;
    }
};

/// z + a cos + b sin + d turns, at one place.
double offset_at(const std::array<double, 4>& offset, const std::array<double, 4>& x) {
    double sum = 0.0;
    for (std::size_t i = 0; i < 4; ++i) sum += offset[i] * x[i];
    return sum;
}

}  // namespace

double encoder_variance(double slope, double angle_step_rad) {
    return slope * slope * angle_step_rad * angle_step_rad / 12.0;
}

std::vector<char> knots_on(const GridArc& heel, std::size_t knots) {
    std::vector<char> on(knots);
    for (std::size_t j = 0; j < knots; ++j)
        on[j] = static_cast<char>(on_arc(heel, middle_of_interval(j, knots)));
    return on;
}

WeightedRows weigh_rows(const std::vector<CleanSweep>& sweeps, const RoughCurve& rough,
                        const RowWeighing& how) {
    const std::size_t knots = rough.front.knots();
    WeightedRows out{SplineSystem(knots, 2), {}, {}};
    out.legs.intervals = knots;
    const std::vector<char> heel = knots_on(how.heel, knots);
    Weigher weigher(rough, how, out);
    for (std::size_t p = 0; p < sweeps.size(); ++p) {
        const auto& s = sweeps[p].samples;
        const TurnClock clock(sweeps[p]);
        long leg_turn = -1;
        by_interval(s, knots, 1, [&](std::size_t interval, std::size_t from, std::size_t to) {
            const long turn = clock.turn(s.angle_rad[from]);
            if (turn != leg_turn) {
                leg_turn = turn;
                out.legs.pass_of.push_back(p);
                out.legs.bins.emplace_back(knots);
            }
            weigher.add(s, clock, {interval, from, to, heel[interval] != 0});
        });
    }
    out.system.add_origin(0, rough.front.coefficients());
    out.system.add_origin(1, rough.rear.coefficients());
    return out;
}

void take_offsets_off(WeightedRows& rows, const std::vector<PassOffset>& offsets) {
    const std::size_t knots = rows.legs.intervals;
    std::vector<double> front(knots, 0.0), rear(knots, 0.0);
    double front_squares = 0.0, rear_squares = 0.0;
    for (std::size_t leg = 0; leg < rows.legs.bins.size(); ++leg) {
        const auto& o = offsets[rows.legs.pass_of[leg]];
        for (std::size_t k = 0; k < knots; ++k) {
            auto& bin = rows.legs.bins[leg][k];
            if (bin.weight <= 0.0) continue;
            const double theta = middle_of_interval(k, knots);
            const std::array<double, 4> x{1.0, std::cos(theta), std::sin(theta), bin.turn / bin.weight};
            const double f = offset_at(o.front, x), r = offset_at(o.rear, x);
            front_squares += f * (bin.weight * f - 2.0 * bin.front);
            rear_squares += r * (bin.weight * r - 2.0 * bin.rear);
            bin.front -= bin.weight * f;
            bin.rear -= bin.weight * r;
            front[k] += bin.weight * f;
            rear[k] += bin.weight * r;
        }
    }
    rows.system.shift_values(0, front, front_squares);
    rows.system.shift_values(1, rear, rear_squares);
}

}  // namespace lobewright
