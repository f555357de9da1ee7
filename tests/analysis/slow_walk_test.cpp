#include "analysis/lobe/slow_walk.hpp"

#include <cmath>
#include <random>

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include "analysis/constants.hpp"
#include "analysis/lobe/walk_segments.hpp"

using namespace lobewright;

namespace {

constexpr std::size_t intervals = 72;

/// Two sweeps of a lobe: one of a turn and a half, one of a turn that begins elsewhere. Each leg a turn or what is left of it.
Legs two_sweeps(double noise_mm, double walk_mm, unsigned seed) {
    std::mt19937 random(seed);
    std::normal_distribution<double> normal;
    Legs legs;
    legs.intervals = intervals;
    const auto sweep = [&](std::size_t pass, std::size_t first, std::size_t count) {
        double walked = 0.0;
        for (std::size_t k = first; k < first + count; ++k) {
            if (k == first || k % intervals == 0) {
                legs.pass_of.push_back(pass);
                legs.bins.emplace_back(intervals);
            }
            auto& bin = legs.bins.back()[k % intervals];
            bin.weight = 3.0 + static_cast<double>(k % 5);
            bin.turn =
                bin.weight * (static_cast<double>(k - first) - 0.5 * static_cast<double>(count)) / intervals;
            walked += walk_mm / std::sqrt(static_cast<double>(intervals)) * normal(random);
            const double noise = noise_mm / std::sqrt(bin.weight);
            bin.front = bin.weight * (walked + noise * normal(random));
            bin.rear = bin.weight * (walked + noise * normal(random));
        }
    };
    sweep(0, 10, 108);
    sweep(1, 30, 72);
    return legs;
}

/// Integral of min(s, t) over both segments' times over their lengths, by a fine grid of midpoints.
Eigen::MatrixXd covariance_by_grid(const std::vector<double>& ends) {
    const auto n = static_cast<Eigen::Index>(ends.size()) - 1;
    constexpr int fine = 400;
    Eigen::MatrixXd out(n, n);
    for (Eigen::Index i = 0; i < n; ++i) {
        for (Eigen::Index j = 0; j < n; ++j) {
            double sum = 0.0;
            const auto at = [&](Eigen::Index k, int step) {
                const double from = ends[static_cast<std::size_t>(k)];
                return from + (step + 0.5) / fine * (ends[static_cast<std::size_t>(k) + 1] - from);
            };
            for (int a = 0; a < fine; ++a) {
                for (int b = 0; b < fine; ++b) sum += std::min(at(i, a), at(j, b));
            }
            out(i, j) = sum / fine / fine;
        }
    }
    return out;
}

/// The restricted likelihood as textbooks have it, but for a constant: log|V| + log|X'V^-1 X| + r'V^-1 r, halved and less
/// than nothing (D. A. Harville, J. Am. Stat. Assoc. 72 (1977) 320, from memory).
double textbook_log_likelihood(const Eigen::MatrixXd& v, const Eigen::MatrixXd& x, const Eigen::VectorXd& y) {
    const Eigen::LDLT<Eigen::MatrixXd> solver(v);
    const Eigen::MatrixXd information = x.transpose() * solver.solve(x);
    const Eigen::LDLT<Eigen::MatrixXd> fit(information);
    const Eigen::VectorXd residual = y - x * fit.solve(x.transpose() * solver.solve(y));
    return -0.5 * (solver.vectorD().array().log().sum() + fit.vectorD().array().log().sum() +
                   residual.dot(solver.solve(residual)));
}

}  // namespace

TEST_CASE("a walk's means vary together as integrals say", "[walk]") {
    std::vector<WalkSegment> segments(6);
    // Middles of stretches of a sixth, a quarter apart in the second sweep.
    const std::vector<double> middle{0.1, 0.3, 0.5, 0.2, 0.6, 1.0};
    for (std::size_t i = 0; i < 6; ++i) {
        segments[i].turn = middle[i];
        segments[i].pass = i / 3;
    }
    const Eigen::MatrixXd walked = walk_covariance_times(segments, Eigen::MatrixXd::Identity(6, 6));
    const Eigen::MatrixXd first = covariance_by_grid({0.0, 0.2, 0.4, 0.6}),
                          second = covariance_by_grid({0.0, 0.4, 0.8, 1.2});
    CHECK((walked.topLeftCorner(3, 3) - first).cwiseAbs().maxCoeff() < 1e-5);
    CHECK((walked.bottomRightCorner(3, 3) - second).cwiseAbs().maxCoeff() < 1e-5);
    CHECK(walked.topRightCorner(3, 3).cwiseAbs().maxCoeff() == 0.0);
    CHECK(walked.bottomLeftCorner(3, 3).cwiseAbs().maxCoeff() == 0.0);
}

TEST_CASE("what turns say of a walk is the restricted likelihood of textbooks", "[walk][outside]") {
    const Legs legs = two_sweeps(0.002, 0.004, 5);
    const LegNoise noise{4e-6, 1.0, std::vector<double>(intervals, 0.0)};
    const WalkEvidence evidence = walk_evidence(legs, 2, noise);
    const auto segments = walk_segments(legs, noise.angle_share);
    const auto n = static_cast<Eigen::Index>(segments.size());
    const std::size_t stretches = walk_stretches(legs);
    // Of the columns of both sweeps one set of z, a, b is what the stretches have anyway.
    const Eigen::MatrixXd offsets = walk_offset_columns(segments, 2);
    Eigen::MatrixXd x = Eigen::MatrixXd::Zero(n, static_cast<Eigen::Index>(stretches) + 5);
    x.rightCols(5) << offsets.leftCols(4), offsets.col(7);
    Eigen::MatrixXd covariance = walk_covariance_times(segments, Eigen::MatrixXd::Identity(n, n));
    for (const bool alike : {true, false}) {
        Eigen::MatrixXd v = Eigen::MatrixXd::Zero(n, n);
        Eigen::VectorXd y(n);
        for (Eigen::Index i = 0; i < n; ++i) {
            const auto& s = segments[static_cast<std::size_t>(i)];
            x(i, static_cast<Eigen::Index>(s.stretch)) = 1.0;
            v(i, i) = 0.5 * noise.own / s.weight;
            y[i] = 0.5 * (alike ? s.front + s.rear : s.rear - s.front);
        }
        const auto& seen =
            evidence.log_likelihood[static_cast<std::size_t>(alike ? Wander::alike : Wander::apart)];
        REQUIRE(seen.size() == walk_strengths().size());
        const double none = textbook_log_likelihood(v, x, y);
        for (std::size_t i = 1; i < seen.size(); ++i) {
            const double expected =
                textbook_log_likelihood(v + walk_strengths()[i] * covariance, x, y) - none;
            CHECK(seen[i] - seen[0] == Approx(expected).epsilon(1e-7).margin(1e-6));
        }
    }
}

TEST_CASE("turns that walk say how strongly", "[walk]") {
    WalkEvidence alike;
    for (unsigned lobe = 0; lobe < 24; ++lobe)
        alike.add(walk_evidence(two_sweeps(0.0005, 0.004, lobe), 2,
                                {2.5e-7, 1.0, std::vector<double>(intervals, 0.0)}));
    const WalkStrength found = walk_strength(alike, Wander::alike, 0.001);
    CHECK(std::sqrt(found.mm2_per_turn) == Approx(0.004).epsilon(0.15));
    CHECK(found.degrees_of_freedom > 50.0);
    // What both walk alike says nothing of what they walk apart.
    CHECK(std::sqrt(walk_strength(alike, Wander::apart, 0.001).mm2_per_turn) < 0.0002);
}
