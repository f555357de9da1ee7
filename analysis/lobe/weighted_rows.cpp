#include "analysis/lobe/weighted_rows.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <Eigen/Core>

#include "analysis/constants.hpp"
#include "analysis/lobe/turn_clock.hpp"

namespace lobewright {
namespace {

double middle_of_interval(std::size_t interval, std::size_t knots) {
    return (static_cast<double>(interval) + 0.5) * two_pi / static_cast<double>(knots);
}

/// Sums of rows that weigh alike, two at a time, as a processor adds them.
class PairedSums {
public:
    using Pair = Eigen::Array2d;

    void add(const Pair& u, const Pair& front, const Pair& rear) {
        const Pair u2 = u * u, u3 = u2 * u;
        powers_[0] += u;
        powers_[1] += u2;
        powers_[2] += u3;
        powers_[3] += u2 * u2;
        powers_[4] += u2 * u3;
        powers_[5] += u3 * u3;
        front_[0] += front;
        front_[1] += front * u;
        front_[2] += front * u2;
        front_[3] += front * u3;
        rear_[0] += rear;
        rear_[1] += rear * u;
        rear_[2] += rear * u2;
        rear_[3] += rear * u3;
        squares_[0] += front * front;
        squares_[1] += rear * rear;
    }

    [[nodiscard]] IntervalMoments moments(std::size_t rows, double weight) const {
        IntervalMoments out;
        out.samples = rows;
        out.weight[0] = weight * static_cast<double>(rows);
        for (std::size_t k = 0; k < powers_.size(); ++k) out.weight[k + 1] = weight * powers_[k].sum();
        for (std::size_t k = 0; k < front_.size(); ++k)
            out.value[k] = {weight * front_[k].sum(), weight * rear_[k].sum()};
        for (std::size_t edge = 0; edge < 2; ++edge) out.squares[edge] = weight * squares_[edge].sum();
        return out;
    }

private:
    // Of u, u^2 .. u^6; of front and rear times 1 .. u^3.
    std::array<Pair, 6> powers_ = filled<6>();
    std::array<Pair, 4> front_ = filled<4>(), rear_ = filled<4>();
    std::array<Pair, 2> squares_ = filled<2>();

    template <std::size_t N>
    static std::array<Pair, N> filled() {
        std::array<Pair, N> out;
        out.fill(Pair::Zero());
        return out;
    }
};

class Weigher {
public:
    Weigher(const RoughCurve& rough, const RowWeighing& how, WeightedRows& out)
        : rough_(rough),
          how_(how),
          out_(out),
          per_rad_(static_cast<double>(rough.front.knots()) / two_pi),
          moments_(rough.front.knots()) {}

    void add(const Samples& s, const TurnClock& clock, const KnotVisit& visit, bool on_heel) {
        take_residuals(s, visit);
        const double encoder = encoder_variance(rough_.slope[visit.interval], how_.angle_step_rad);
        const double noise = how_.sigma_mm * how_.sigma_mm;
        const double reach = how_.stray_factor * how_.stray_factor * (noise + encoder);
        const auto rows = static_cast<Eigen::Index>(visit.to - visit.from);
        const bool beyond =
            front_.head(rows).square().maxCoeff() > reach || rear_.head(rows).square().maxCoeff() > reach;
        const auto readings = Eigen::Map<const Eigen::ArrayXd>(s.readings.data() + visit.from, rows);
        const Sums sums = beyond || (readings != 1.0).any()
                              ? one_by_one(s, clock, visit, {noise, encoder, reach})
                              : alike(clock, visit, 1.0 / (noise + encoder));
        moments_[visit.interval].add(sums.moments);
        auto& bin = out_.legs.bins.back()[visit.interval];
        bin.weight += sums.moments.weight[0];
        bin.front += sums.moments.value[0][0];
        bin.rear += sums.moments.value[0][1];
        bin.turn += sums.turn;
        if (!on_heel) return;
        out_.heel.front += sums.front_squares;
        out_.heel.rear += sums.rear_squares;
        out_.heel.places += static_cast<double>(sums.moments.samples);
    }

    /// What was gathered, to the normal equations.
    void end() {
        for (std::size_t k = 0; k < moments_.size(); ++k) out_.system.add(k, moments_[k]);
    }

private:
    struct Variances {
        double noise, encoder, reach;
    };
    struct Sums {
        IntervalMoments moments;
        double turn = 0.0;                               // weighted
        double front_squares = 0.0, rear_squares = 0.0;  // of single readings
    };

    const RoughCurve& rough_;
    const RowWeighing& how_;
    WeightedRows& out_;
    double per_rad_;
    std::vector<IntervalMoments> moments_;  // by knot interval
    // Of the visit in hand, one more than its rows where they are odd: fraction of the interval, residuals about the rough
    // curve.
    Eigen::ArrayXd fraction_, front_, rear_;

    void take_residuals(const Samples& s, const KnotVisit& visit) {
        const auto from = static_cast<Eigen::Index>(visit.from);
        const auto rows = static_cast<Eigen::Index>(visit.to - visit.from);
        if (fraction_.size() < rows + 1) {
            for (auto* column : {&fraction_, &front_, &rear_}) column->resize(2 * rows + 2);
        }
        const auto of = [&](const std::vector<double>& column) {
            return Eigen::Map<const Eigen::ArrayXd>(column.data() + from, rows);
        };
        auto u = fraction_.head(rows);
        u = of(s.angle_rad) * per_rad_ - visit.start;
        const auto f = rough_.front.cubic(visit.interval), r = rough_.rear.cubic(visit.interval);
        front_.head(rows) = of(s.front_mm) - (f[0] + u * (f[1] + u * (f[2] + u * f[3])));
        rear_.head(rows) = of(s.rear_mm) - (r[0] + u * (r[1] + u * (r[2] + u * r[3])));
        for (auto* column : {&fraction_, &front_, &rear_}) (*column)[rows] = 0.0;
    }

    /// Rows of one reading each, none of them beyond the limit: all but a few.
    [[nodiscard]] Sums alike(const TurnClock& clock, const KnotVisit& visit, double weight) const {
        const std::size_t rows = visit.to - visit.from;
        PairedSums paired;
        for (Eigen::Index i = 0; i < static_cast<Eigen::Index>(rows); i += 2)
            paired.add(fraction_.segment<2>(i), front_.segment<2>(i), rear_.segment<2>(i));
        Sums out{paired.moments(rows, weight), 0.0, 0.0, 0.0};
        for (std::size_t i = visit.from; i < visit.to; ++i) out.turn += clock.elapsed_turns(i);
        out.turn *= weight;
        out.front_squares = out.moments.squares[0] / weight;
        out.rear_squares = out.moments.squares[1] / weight;
        return out;
    }

    Sums one_by_one(const Samples& s, const TurnClock& clock, const KnotVisit& visit,
                    const Variances& variances) {
        const auto [noise, encoder, reach] = variances;
        Sums out;
        for (std::size_t i = visit.from; i < visit.to; ++i) {
            const auto row = static_cast<Eigen::Index>(i - visit.from);
            const double f = front_[row], r = rear_[row];
            if (std::max(f * f, r * r) > reach && stands_alone(row, visit, reach)) {
                ++out_.strays;
                continue;
            }
            const double w = 1.0 / (noise / s.readings[i] + encoder);
            out.moments.add(fraction_[row], w, f, r);
            out.turn += w * clock.elapsed_turns(i);
            out.front_squares += s.readings[i] * f * f;
            out.rear_squares += s.readings[i] * r * r;
        }
        return out;
    }

    /// A row beyond the limit is a stray when it stands off the other rows of its visit as well; where they are off
    /// together it is the rough curve that is, at a sharp corner.
    [[nodiscard]] bool stands_alone(Eigen::Index row, const KnotVisit& visit, double reach) const {
        const auto rows = static_cast<Eigen::Index>(visit.to - visit.from);
        if (rows < 3) return false;
        double worst = 0.0;
        for (const auto* edge : {&front_, &rear_}) {
            std::vector<double> all(edge->data(), edge->data() + rows);
            const auto middle = all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2);
            std::nth_element(all.begin(), middle, all.end());
            worst = std::max(worst, std::abs((*edge)[row] - *middle));
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
        by_interval(s, knots, 1, [&](const KnotVisit& visit) {
            const long turn = clock.turn(s.angle_rad[visit.from]);
            if (turn != leg_turn) {
                leg_turn = turn;
                out.legs.pass_of.push_back(p);
                out.legs.bins.emplace_back(knots);
            }
            weigher.add(s, clock, visit, heel[visit.interval] != 0);
        });
    }
    weigher.end();
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
