#include "analysis/lobe/walk_segments.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

// Ten degrees are fine enough for a walk carried into once a turn. With more legs they may be wider, and what is reckoned with
// them stays the same size.
constexpr std::size_t fine_stretches = 36;
constexpr std::size_t coarse_stretches = 18;
constexpr std::size_t coarsest_stretches = 12;
constexpr std::size_t few_legs = 3;
constexpr std::size_t many_legs = 5;

}  // namespace

std::size_t walk_stretches(const Legs& legs) {
    const std::size_t count = legs.bins.size();
    return count <= few_legs ? fine_stretches : count <= many_legs ? coarse_stretches : coarsest_stretches;
}

std::vector<WalkSegment> walk_segments(const Legs& legs, const std::vector<double>& angle_share) {
    const std::size_t stretches = walk_stretches(legs);
    std::vector<WalkSegment> out;
    for (std::size_t leg = 0; leg < legs.bins.size(); ++leg) {
        std::vector<WalkSegment> row(stretches);
        for (std::size_t k = 0; k < legs.intervals; ++k) {
            const auto& bin = legs.bins[leg][k];
            if (bin.weight <= 0.0) continue;
            auto& s = row[k * stretches / legs.intervals];
            s.weight += bin.weight;
            s.encoder += bin.weight * (angle_share.empty() ? 0.0 : angle_share[k]);
            s.turn += bin.turn;
            s.front += bin.front;
            s.rear += bin.rear;
        }
        for (std::size_t b = 0; b < stretches; ++b) {
            auto& s = row[b];
            if (s.weight <= 0.0) continue;
            s.pass = legs.pass_of[leg];
            s.stretch = b;
            for (double* mean : {&s.encoder, &s.turn, &s.front, &s.rear}) *mean /= s.weight;
            // The stretch's middle for all its legs: what is common to them must cancel to the last digit.
            const double theta = (static_cast<double>(b) + 0.5) * two_pi / static_cast<double>(stretches);
            s.offset = {1.0, std::cos(theta), std::sin(theta), s.turn};
            out.push_back(s);
        }
    }
    std::stable_sort(out.begin(), out.end(), [](const WalkSegment& a, const WalkSegment& b) {
        return a.pass != b.pass ? a.pass < b.pass : a.turn < b.turn;
    });
    return out;
}

WalkStretches::WalkStretches(const std::vector<WalkSegment>& segments, std::size_t count)
    : weight(count, 0.0), seen(count, 0) {
    for (const auto& s : segments) {
        weight[s.stretch] += s.weight;
        ++seen[s.stretch];
    }
}

Eigen::MatrixXd walk_root(const std::vector<WalkSegment>& segments) {
    const auto n = static_cast<Eigen::Index>(segments.size());
    Eigen::MatrixXd root = Eigen::MatrixXd::Zero(n, 2 * n);
    const auto turn = [&](Eigen::Index i) { return segments[static_cast<std::size_t>(i)].turn; };
    const auto same_sweep = [&](Eigen::Index i, Eigen::Index j) {
        return j >= 0 && j < n &&
               segments[static_cast<std::size_t>(i)].pass == segments[static_cast<std::size_t>(j)].pass;
    };
    for (Eigen::Index i = 0; i < n; ++i) {
        const double before = same_sweep(i, i - 1) ? turn(i) - turn(i - 1) : 0.0;
        const double after = same_sweep(i, i + 1) ? turn(i + 1) - turn(i) : before;
        const double span = std::max(0.5 * ((before > 0.0 ? before : after) + after), 0.0);
        if (same_sweep(i, i - 1)) {
            root.row(i) = root.row(i - 1);
            // From the mean of the segment before to its end.
            root(i, 2 * (i - 1)) *= 2.0;
            root(i, 2 * (i - 1) + 1) = 0.0;
        }
        root(i, 2 * i) = 0.5 * std::sqrt(span);
        root(i, 2 * i + 1) = std::sqrt(span / 12.0);
    }
    return root;
}

Eigen::MatrixXd walk_offset_columns(const std::vector<WalkSegment>& segments, std::size_t passes) {
    Eigen::MatrixXd out = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(segments.size()),
                                                static_cast<Eigen::Index>(4 * passes));
    for (std::size_t s = 0; s < segments.size(); ++s) {
        for (std::size_t i = 0; i < 4; ++i) {
            out(static_cast<Eigen::Index>(s), static_cast<Eigen::Index>(4 * segments[s].pass + i)) =
                segments[s].offset[i];
        }
    }
    return out;
}

}  // namespace lobewright
