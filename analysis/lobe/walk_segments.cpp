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

struct SegmentTime {
    bool first = false;  // of its sweep
    double start = 0.0;  // turns of its sweep
    double span = 0.0;   // turns
};

std::vector<SegmentTime> segment_times(const std::vector<WalkSegment>& segments) {
    const std::size_t n = segments.size();
    std::vector<SegmentTime> out(n);
    for (std::size_t i = 0; i < n; ++i) {
        out[i].first = i == 0 || segments[i].pass != segments[i - 1].pass;
        const bool last = i + 1 == n || segments[i].pass != segments[i + 1].pass;
        const double before = out[i].first ? 0.0 : segments[i].turn - segments[i - 1].turn;
        const double after = last ? before : segments[i + 1].turn - segments[i].turn;
        out[i].span = std::max(0.5 * ((before > 0.0 ? before : after) + after), 0.0);
        if (!out[i].first) out[i].start = out[i - 1].start + out[i - 1].span;
    }
    return out;
}

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

Eigen::MatrixXd walk_covariance_times(const std::vector<WalkSegment>& segments,
                                      const Eigen::MatrixXd& weights) {
    const std::vector<SegmentTime> times = segment_times(segments);
    const auto rows = weights.rows();
    Eigen::MatrixXd out = Eigen::MatrixXd::Zero(rows, weights.cols());
    // Two walks along the sweep: what comes before a segment, then what comes after it.
    for (Eigen::Index c = 0; c < weights.cols(); ++c) {
        double before = 0.0, after = 0.0;
        for (Eigen::Index i = 0; i < rows; ++i) {
            const auto& time = times[static_cast<std::size_t>(i)];
            if (time.first) before = 0.0;
            out(i, c) = before + weights(i, c) * (time.start + time.span / 3.0);
            before += weights(i, c) * (time.start + 0.5 * time.span);
        }
        for (Eigen::Index i = rows - 1; i >= 0; --i) {
            const auto& time = times[static_cast<std::size_t>(i)];
            out(i, c) += after * (time.start + 0.5 * time.span);
            after = time.first ? 0.0 : after + weights(i, c);
        }
    }
    return out;
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
