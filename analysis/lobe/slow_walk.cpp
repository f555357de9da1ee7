#include "analysis/lobe/slow_walk.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

// Ten degrees are fine enough for a walk carried into once a turn; with more than three legs twenty, which cost an eighth.
constexpr std::size_t fine_stretches = 36;
constexpr std::size_t coarse_stretches = 18;
constexpr std::size_t few_legs = 3;
constexpr double least_freedom = 4.0;  // what is taken for usual has as many by itself

/// One leg's readings over one stretch.
struct Segment {
    std::size_t pass = 0;
    std::size_t stretch = 0;
    double weight = 0.0;
    double encoder = 0.0;  // sum of the weights' encoder shares
    double turn = 0.0;
    double front = 0.0;
    double rear = 0.0;
    std::array<double, 4> offset{};  // 1, cos, sin, turn
};

std::size_t stretches_for(const Legs& legs) {
    return legs.bins.size() <= few_legs ? fine_stretches : coarse_stretches;
}

/// In the order of time within each sweep.
std::vector<Segment> segments_of(const Legs& legs, const std::vector<double>& angle_share) {
    const std::size_t stretches = stretches_for(legs);
    std::vector<Segment> out;
    for (std::size_t leg = 0; leg < legs.bins.size(); ++leg) {
        std::vector<Segment> row(stretches);
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
    std::stable_sort(out.begin(), out.end(), [](const Segment& a, const Segment& b) {
        return a.pass != b.pass ? a.pass < b.pass : a.turn < b.turn;
    });
    return out;
}

/// Weight of each stretch, and by how many legs it was seen.
struct Stretches {
    std::vector<double> weight;
    std::vector<int> seen;

    Stretches(const std::vector<Segment>& segments, std::size_t count) : weight(count, 0.0), seen(count, 0) {
        for (const auto& s : segments) {
            weight[s.stretch] += s.weight;
            ++seen[s.stretch];
        }
    }
};

/// Mean over each segment of a walk of unit strength from the sweep's start, as a sum of independent parts: rows segments,
/// two columns a segment. Over a time h from a value W the walk ends at W + sqrt(h) x, and its mean is
/// W + sqrt(h)/2 x + sqrt(h/12) y,  x and y independent of unit variance (derived).
Eigen::MatrixXd walk_root(const std::vector<Segment>& segments) {
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

/// Offsets of all sweeps, by segment: columns z, a, b, d of each.
Eigen::MatrixXd offset_columns(const std::vector<Segment>& segments, std::size_t passes) {
    Eigen::MatrixXd out =
        Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(segments.size()), static_cast<Eigen::Index>(4 * passes));
    for (std::size_t s = 0; s < segments.size(); ++s) {
        for (std::size_t i = 0; i < 4; ++i) {
            out(static_cast<Eigen::Index>(s), static_cast<Eigen::Index>(4 * segments[s].pass + i)) = segments[s].offset[i];
        }
    }
    return out;
}

double quadratic(const std::vector<double>& matrix, const std::vector<double>& w, std::size_t n) {
    if (n == 0) return 0.0;
    const std::size_t per = w.size() / n;
    std::vector<double> sum(n, 0.0);
    for (std::size_t g = 0; g < n * per; ++g) sum[g / per] += w[g];
    double out = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        double row = 0.0;
        for (std::size_t j = 0; j < n; ++j) row += matrix[i * n + j] * sum[j];
        out += sum[i] * row;
    }
    return std::max(out, 0.0);
}

std::vector<double> flat(const Eigen::MatrixXd& m) {
    std::vector<double> out;
    for (Eigen::Index i = 0; i < m.rows(); ++i) {
        for (Eigen::Index j = 0; j < m.cols(); ++j) out.push_back(m(i, j));
    }
    return out;
}

}  // namespace

const std::vector<double>& walk_strengths() {
    static const std::vector<double> strengths = [] {
        std::vector<double> out{0.0};
        for (double root_mm = 1e-6; root_mm < 1e-2; root_mm *= 1.25) out.push_back(root_mm * root_mm);
        return out;
    }();
    return strengths;
}

void WalkEvidence::add(const WalkEvidence& other) {
    for (std::size_t w = 0; w < 2; ++w) {
        log_likelihood[w].resize(walk_strengths().size(), 0.0);
        for (std::size_t i = 0; i < other.log_likelihood[w].size(); ++i)
            log_likelihood[w][i] += other.log_likelihood[w][i];
    }
}

double WalkOnCurve::gain(const std::vector<double>& weights) const {
    return quadratic(covariance, weights, stretches);
}

double WalkOnCurve::offsets_gain(const std::vector<double>& weights) const {
    return quadratic(offsets, weights, stretches);
}

WalkOnCurve walk_on_curve(const Legs& legs, std::size_t passes) {
    WalkOnCurve out;
    out.stretches = stretches_for(legs);
    const auto segments = segments_of(legs, {});
    const Stretches stretch(segments, out.stretches);
    const auto n = static_cast<Eigen::Index>(segments.size());
    Eigen::MatrixXd mean = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(out.stretches), n);
    Eigen::VectorXd weight(n);
    for (Eigen::Index s = 0; s < n; ++s) {
        const auto& segment = segments[static_cast<std::size_t>(s)];
        weight[s] = segment.weight;
        mean(static_cast<Eigen::Index>(segment.stretch), s) = segment.weight / stretch.weight[segment.stretch];
    }
    // As pass_offsets has it: least squares of what the stretches' means leave, held by the same weak prior.
    const Eigen::MatrixXd columns = offset_columns(segments, passes);
    const Eigen::MatrixXd on_mean = mean * columns;
    Eigen::MatrixXd left = columns;
    for (Eigen::Index s = 0; s < n; ++s)
        left.row(s) -= on_mean.row(static_cast<Eigen::Index>(segments[static_cast<std::size_t>(s)].stretch));
    const Eigen::MatrixXd weighed = weight.asDiagonal() * left;
    const Eigen::MatrixXd information = left.transpose() * weighed;
    Eigen::MatrixXd held = information;
    for (Eigen::Index i = 0; i < held.rows(); ++i) held(i, i) += offset_prior(static_cast<std::size_t>(i));
    const Eigen::LDLT<Eigen::MatrixXd> solver(held);
    const Eigen::MatrixXd way = mean - on_mean * solver.solve(weighed.transpose());
    const Eigen::MatrixXd walked = way * walk_root(segments);
    out.covariance = flat(walked * walked.transpose());
    const Eigen::MatrixXd noise = solver.solve(solver.solve(information).transpose());
    out.offsets = flat(on_mean * noise * on_mean.transpose());
    return out;
}

WalkEvidence walk_evidence(const Legs& legs, std::size_t passes, const LegNoise& noise) {
    WalkEvidence out;
    auto segments = segments_of(legs, noise.angle_share);
    const std::size_t stretches = stretches_for(legs);
    const Stretches stretch(segments, stretches);
    const Eigen::MatrixXd whole = walk_root(segments);
    std::vector<Eigen::Index> twice;
    for (std::size_t s = 0; s < segments.size(); ++s) {
        if (stretch.seen[segments[s].stretch] > 1) twice.push_back(static_cast<Eigen::Index>(s));
    }
    if (twice.empty()) return out;
    const Eigen::MatrixXd root = whole(twice, Eigen::all);
    std::erase_if(segments, [&](const Segment& s) { return stretch.seen[s.stretch] < 2; });
    const auto n = static_cast<Eigen::Index>(segments.size());
    Eigen::MatrixXd fixed(n, static_cast<Eigen::Index>(stretches + 4 * passes));
    fixed << Eigen::MatrixXd::Zero(n, static_cast<Eigen::Index>(stretches)), offset_columns(segments, passes);
    for (Eigen::Index s = 0; s < n; ++s)
        fixed(s, static_cast<Eigen::Index>(segments[static_cast<std::size_t>(s)].stretch)) = 1.0;
    for (const Wander wander : {Wander::alike, Wander::apart}) {
        Eigen::VectorXd scale(n), value(n);
        for (Eigen::Index i = 0; i < n; ++i) {
            const auto& s = segments[static_cast<std::size_t>(i)];
            const bool alike = wander == Wander::alike;
            const double variance =
                (0.5 * noise.own * (1.0 - s.encoder) + (alike ? noise.encoder * s.encoder : 0.0)) / s.weight;
            scale[i] = 1.0 / std::sqrt(std::max(variance, 1e-18));
            value[i] = scale[i] * 0.5 * (alike ? s.front + s.rear : s.rear - s.front);
        }
        Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(scale.asDiagonal() * fixed);
        qr.setThreshold(1e-9);
        const Eigen::Index free = n - qr.rank();
        if (free < 1) continue;
        const auto q = qr.householderQ();
        const Eigen::VectorXd turned = (q.transpose() * value).tail(free);
        const Eigen::MatrixXd half = (q.transpose() * Eigen::MatrixXd(scale.asDiagonal() * root)).bottomRows(free);
        const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(half * half.transpose());
        const Eigen::VectorXd along = eigen.eigenvectors().transpose() * turned;
        auto& log_likelihood = out.log_likelihood[static_cast<std::size_t>(wander)];
        for (const double strength : walk_strengths()) {
            double sum = 0.0;
            for (Eigen::Index i = 0; i < free; ++i) {
                const double variance = 1.0 + strength * std::max(eigen.eigenvalues()[i], 0.0);
                sum -= 0.5 * (std::log(variance) + along[i] * along[i] / variance);
            }
            log_likelihood.push_back(sum);
        }
    }
    return out;
}

WalkStrength walk_strength(const WalkEvidence& evidence, Wander wander, double usual_mm) {
    const auto& strengths = walk_strengths();
    const auto& seen = evidence.log_likelihood[static_cast<std::size_t>(wander)];
    std::vector<double> log_density(strengths.size());
    for (std::size_t i = 0; i < strengths.size(); ++i) {
        // Student's density of two degrees of freedom in the root of the strength: beyond ten times the usual still one in
        // a thousand, so that a few stretches are heard against it.
        log_density[i] = -1.5 * std::log1p(strengths[i] / (2.0 * usual_mm * usual_mm)) + (seen.empty() ? 0.0 : seen[i]);
    }
    const double top = *std::max_element(log_density.begin(), log_density.end());
    std::vector<double> share(strengths.size(), 0.0);
    double total = 0.0, mean = 0.0, square = 0.0;
    for (std::size_t i = 0; i < strengths.size(); ++i) {
        const double below = std::sqrt(strengths[i == 0 ? 0 : i - 1]);
        const double above = std::sqrt(strengths[std::min(i + 1, strengths.size() - 1)]);
        share[i] = 0.5 * (above - below) * std::exp(log_density[i] - top);
        total += share[i];
        mean += share[i] * strengths[i];
        square += share[i] * strengths[i] * strengths[i];
    }
    mean /= total;
    const double variance = square / total - mean * mean;
    // The median: where little speaks, the mean is what the far end of the density makes of it.
    std::size_t middle = 0;
    for (double below = share[0]; below < 0.5 * total; below += share[++middle]) {}
    return {strengths[middle], variance > 0.0 ? std::max(2.0 * mean * mean / variance, least_freedom) : 1e6};
}

}  // namespace lobewright
