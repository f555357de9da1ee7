#include "rig/check/both_ways.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include <Eigen/Dense>

#include "rig/check/student.hpp"

namespace lobewright {
namespace {

constexpr std::size_t sectors = 36;
constexpr double flat_share =
    0.1;  // below this share of the steepest slope the tip's way is no longer certain

/// What all passes share. Among the unknowns: lag, drift within a pass, play, hysteresis, then the passes' offsets.
struct Shared {
    double lag_s = 0.0;
    double play_rad = 0.0;
    double hysteresis_mm = 0.0;
};

struct Model {
    TurnPasses passes;
    bool both = false;  // ways; one way alone tells lag and drift only
    [[nodiscard]] Eigen::Index shared() const { return both ? 4 : 2; }
    [[nodiscard]] Eigen::Index unknowns() const {
        return shared() + static_cast<Eigen::Index>(passes.passes.size()) - 1;
    }
};

/// Which way the tip goes with rising counts; 0 where the slope is too small to be sure of it.
double tip_way(const TurnPasses& passes, std::size_t bin) {
    if (std::fabs(passes.slope[bin]) < flat_share * passes.steepest) return 0.0;
    return passes.slope[bin] > 0.0 ? 1.0 : -1.0;
}

Eigen::VectorXd row_of(const Model& model, std::size_t pass, std::size_t bin) {
    const TurnPass& turn = model.passes.passes[pass];
    const double slope = model.passes.slope[bin];
    Eigen::VectorXd row = Eigen::VectorXd::Zero(model.unknowns());
    row[0] = -slope * turn.way * turn.bins[bin].rad_per_s;
    row[1] = turn.bins[bin].s;
    if (model.both) {
        row[2] = slope * turn.way * 0.5;
        row[3] = -turn.way * 0.5 * tip_way(model.passes, bin);
    }
    if (pass > 0) row[model.shared() + static_cast<Eigen::Index>(pass) - 1] = 1.0;
    return row;
}

struct Normal {
    Eigen::MatrixXd matrix;
    Eigen::VectorXd right;
    double weight = 0.0;  // how much of the slope lies here
};

/// The sector's flank; heel and nose know nothing of time, and there the tip's way is in doubt.
Normal normal_of(const Model& model, std::size_t sector) {
    const Eigen::Index n = model.unknowns();
    Normal sum{Eigen::MatrixXd::Zero(n, n), Eigen::VectorXd::Zero(n), 0.0};
    const std::size_t bins = model.passes.bins(), turns = model.passes.passes.size();
    for (std::size_t bin = sector * bins / sectors; bin < (sector + 1) * bins / sectors; ++bin) {
        if (tip_way(model.passes, bin) == 0.0) continue;
        Eigen::MatrixXd rows(static_cast<Eigen::Index>(turns), n);
        Eigen::VectorXd mm(static_cast<Eigen::Index>(turns));
        for (std::size_t pass = 0; pass < turns; ++pass) {
            rows.row(static_cast<Eigen::Index>(pass)) = row_of(model, pass, bin).transpose();
            mm[static_cast<Eigen::Index>(pass)] = model.passes.passes[pass].bins[bin].mm;
        }
        rows.rowwise() -= rows.colwise().mean().eval();
        mm.array() -= mm.mean();
        sum.matrix += rows.transpose() * rows;
        sum.right += rows.transpose() * mm;
        sum.weight += model.passes.slope[bin] * model.passes.slope[bin];
    }
    return sum;
}

/// The unknowns, or none where the passes can't tell them apart.
std::optional<Eigen::VectorXd> solve(const Eigen::MatrixXd& matrix, const Eigen::VectorXd& right) {
    const Eigen::VectorXd scale = matrix.diagonal().cwiseSqrt();
    if (!(scale.minCoeff() > 0.0)) return std::nullopt;
    const Eigen::VectorXd inverse = scale.cwiseInverse();
    Eigen::FullPivLU<Eigen::MatrixXd> lu(inverse.asDiagonal() * matrix * inverse.asDiagonal());
    lu.setThreshold(1e-9);
    if (!lu.isInvertible()) return std::nullopt;
    return inverse.asDiagonal() * lu.solve(inverse.asDiagonal() * right);
}

struct Solved {
    Eigen::VectorXd unknowns;
    Eigen::VectorXd u95;
};

std::optional<Solved> solve_with_jackknife(const Model& model) {
    std::vector<Normal> parts;
    for (std::size_t s = 0; s < sectors; ++s) {
        parts.push_back(normal_of(model, s));
        if (parts.back().weight <= 0.0) parts.pop_back();
    }
    if (parts.size() < 3) return std::nullopt;
    Normal whole = parts.front();
    for (std::size_t s = 1; s < parts.size(); ++s) {
        whole.matrix += parts[s].matrix;
        whole.right += parts[s].right;
    }
    const auto all = solve(whole.matrix, whole.right);
    if (!all) return std::nullopt;
    Eigen::ArrayXd squares = Eigen::ArrayXd::Zero(model.unknowns());
    double weight = 0.0, weight_squares = 0.0;
    for (const Normal& part : parts) {
        const auto without = solve(whole.matrix - part.matrix, whole.right - part.right);
        if (!without) return std::nullopt;
        squares += (*without - *all).array().square();
        weight += part.weight;
        weight_squares += part.weight * part.weight;
    }
    // Sectors are witnesses by the slope in them.
    const double witnesses = weight * weight / weight_squares;
    const auto n = static_cast<double>(parts.size());
    return Solved{*all, t95(witnesses - 1.0) * (squares * ((n - 1.0) / n)).sqrt()};
}

/// The passes as they would be without what is known so far: what is left is small enough to be linear.
TurnPasses put_right(const TurnPasses& seen, const TurnPasses& curve, const Shared& known) {
    TurnPasses right = seen;
    for (TurnPass& pass : right.passes) {
        for (std::size_t i = 0; i < seen.bins(); ++i) {
            TurnBin& bin = pass.bins[i];
            const double ahead = pass.way * (0.5 * known.play_rad - bin.rad_per_s * known.lag_s);
            const double within = std::clamp(ahead, -seen.bin_rad(), seen.bin_rad());
            bin.mm -= curve_at(curve, i, within) - curve.level[i];
            bin.mm += pass.way * 0.5 * known.hysteresis_mm * tip_way(curve, i);
        }
    }
    find_curve(right);
    return right;
}

void speeds(BothWaysCheck& check, const TurnPasses& passes) {
    for (const TurnPass& pass : passes.passes) {
        ++(pass.way > 0 ? check.forward : check.backward);
        double mean = 0.0;
        for (const TurnBin& bin : pass.bins) mean += bin.rad_per_s / static_cast<double>(pass.bins.size());
        check.slowest_rad_per_s =
            check.slowest_rad_per_s > 0.0 ? std::min(check.slowest_rad_per_s, mean) : mean;
        check.fastest_rad_per_s = std::max(check.fastest_rad_per_s, mean);
    }
}

}  // namespace

BothWaysCheck check_both_ways(const TurnPasses& passes) {
    constexpr int rounds = 4;  // each takes off all but some hundredths of what is left
    BothWaysCheck check;
    speeds(check, passes);
    if (passes.passes.size() < 2 || passes.steepest <= 0.0) return check;
    Model model{passes, check.forward > 0 && check.backward > 0};
    Shared known;
    std::optional<Solved> solved;
    for (int round = 0; round < rounds; ++round) {
        solved = solve_with_jackknife(model);
        if (!solved) return check;
        known.lag_s += solved->unknowns[0];
        if (model.both) {
            known.play_rad += solved->unknowns[2];
            known.hysteresis_mm += solved->unknowns[3];
        }
        model.passes = put_right(passes, model.passes, known);
    }
    check.lag_us = {1e6 * known.lag_s, 1e6 * solved->u95[0]};
    if (!model.both) return check;
    check.play_rad = {known.play_rad, solved->u95[2]};
    check.hysteresis_mm = {known.hysteresis_mm, solved->u95[3]};
    return check;
}

}  // namespace lobewright
