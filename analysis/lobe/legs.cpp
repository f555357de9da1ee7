#include "analysis/lobe/legs.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Dense>

namespace lobewright {
namespace {

// What offsets are expected at all, as a weak prior: passes set up within hundredths, drift of micrometres a
// turn. It decides only where the data say nothing (no overlap); a tenth or tenfold of it changes no figure
// elsewhere.
constexpr double offset_sd_mm = 0.05;
constexpr double drift_sd_mm = 0.005;
constexpr double trusted_dof = 20.0;  // a ratio from fewer degrees of freedom is drawn toward 1

/// Of one leg over some knot intervals, with the variance that its weights promise.
struct LegStretch {
    double weight = 0.0;
    double front = 0.0;
    double rear = 0.0;
};

/// What the legs' means over the intervals from `from` on differ from their common mean by, and that mean's weight.
struct StretchResiduals {
    std::vector<LegStretch> leg;
    double weight = 0.0;
};

StretchResiduals residuals_on(const Legs& legs, const std::vector<char>& use, std::size_t from,
                              std::size_t width) {
    StretchResiduals out;
    out.leg.resize(legs.bins.size());
    double front = 0.0, rear = 0.0;
    for (std::size_t leg = 0; leg < legs.bins.size(); ++leg) {
        auto& sum = out.leg[leg];
        for (std::size_t k = from; k < std::min(from + width, legs.intervals); ++k) {
            if (!use[k]) continue;
            sum.weight += legs.bins[leg][k].weight;
            sum.front += legs.bins[leg][k].front;
            sum.rear += legs.bins[leg][k].rear;
        }
        out.weight += sum.weight;
        front += sum.front;
        rear += sum.rear;
    }
    for (auto& one : out.leg) {
        if (one.weight <= 0.0) continue;
        one.front = one.front / one.weight - front / out.weight;
        one.rear = one.rear / one.weight - rear / out.weight;
    }
    return out;
}

}  // namespace

double offset_prior(std::size_t offset) {
    const double sd = offset % 4 == 3 ? drift_sd_mm : offset_sd_mm;
    return 1.0 / (sd * sd);
}

std::vector<PassOffset> pass_offsets(const Legs& legs, std::size_t passes) {
    const auto size = static_cast<Eigen::Index>(4 * passes);
    Eigen::MatrixXd normal = Eigen::MatrixXd::Zero(size, size);
    Eigen::MatrixXd rhs = Eigen::MatrixXd::Zero(size, 2);
    const double to_rad = 2.0 * std::numbers::pi / static_cast<double>(legs.intervals);
    Eigen::VectorXd mean(size);
    std::vector<std::array<double, 4>> rows(legs.bins.size());
    for (std::size_t k = 0; k < legs.intervals; ++k) {
        const double theta = (static_cast<double>(k) + 0.5) * to_rad;
        double weight = 0.0, front = 0.0, rear = 0.0;
        int seen = 0;
        mean.setZero();
        for (std::size_t leg = 0; leg < legs.bins.size(); ++leg) {
            const auto& bin = legs.bins[leg][k];
            if (bin.weight <= 0.0) continue;
            ++seen;
            rows[leg] = {1.0, std::cos(theta), std::sin(theta), bin.turn / bin.weight};
            weight += bin.weight;
            front += bin.front;
            rear += bin.rear;
            for (std::size_t i = 0; i < 4; ++i) {
                mean(static_cast<Eigen::Index>(4 * legs.pass_of[leg] + i)) += bin.weight * rows[leg][i];
            }
        }
        if (seen < 2) continue;  // one leg alone says nothing: the curve itself takes it up
        // Normal equations less the part that a free curve value at this interval explains.
        for (std::size_t leg = 0; leg < legs.bins.size(); ++leg) {
            const auto& bin = legs.bins[leg][k];
            if (bin.weight <= 0.0) continue;
            const auto base = static_cast<Eigen::Index>(4 * legs.pass_of[leg]);
            for (Eigen::Index i = 0; i < 4; ++i) {
                const double x = rows[leg][static_cast<std::size_t>(i)];
                for (Eigen::Index j = 0; j < 4; ++j) {
                    normal(base + i, base + j) += bin.weight * x * rows[leg][static_cast<std::size_t>(j)];
                }
                rhs(base + i, 0) += x * bin.front;
                rhs(base + i, 1) += x * bin.rear;
            }
        }
        normal -= mean * mean.transpose() / weight;
        rhs.col(0) -= mean * (front / weight);
        rhs.col(1) -= mean * (rear / weight);
    }
    for (Eigen::Index i = 0; i < size; ++i) normal(i, i) += offset_prior(static_cast<std::size_t>(i));
    const Eigen::LDLT<Eigen::MatrixXd> solver(normal);
    const Eigen::MatrixXd solution = solver.solve(rhs);
    const Eigen::MatrixXd covariance = solver.solve(Eigen::MatrixXd::Identity(size, size));
    std::vector<PassOffset> offsets(passes);
    for (std::size_t p = 0; p < passes; ++p) {
        const auto base = static_cast<Eigen::Index>(4 * p);
        for (std::size_t i = 0; i < 4; ++i) {
            offsets[p].front[i] = solution(base + static_cast<Eigen::Index>(i), 0);
            offsets[p].rear[i] = solution(base + static_cast<Eigen::Index>(i), 1);
        }
        offsets[p].drift_u_mm = std::sqrt(covariance(base + 3, base + 3));
    }
    return offsets;
}

double correlation_factor(const Legs& legs, const std::vector<char>& use, double least) {
    double squares = 0.0, expected = 0.0, dof = 0.0;
    StretchResiduals last;
    for (std::size_t k = 0; k < legs.intervals; ++k) {
        auto here = residuals_on(legs, use, k, 1);
        if (here.weight <= 0.0) continue;
        double seen = 0.0;
        for (std::size_t leg = 0; leg < legs.bins.size() && last.weight > 0.0; ++leg) {
            const auto &a = last.leg[leg], &b = here.leg[leg];
            if (a.weight <= 0.0 || b.weight <= 0.0 || a.weight == last.weight || b.weight == here.weight)
                continue;
            const double front = b.front - a.front, rear = b.rear - a.rear;
            squares += front * front + rear * rear;
            expected += 2.0 * (1.0 / a.weight - 1.0 / last.weight + 1.0 / b.weight - 1.0 / here.weight);
            seen += 1.0;
        }
        if (seen > 1.0) dof += 2.0 * (seen - 1.0);
        last = std::move(here);
    }
    if (dof <= 0.0) return 1.0;
    return std::max(least, (squares / expected * dof + trusted_dof) / (dof + trusted_dof));
}

}  // namespace lobewright
