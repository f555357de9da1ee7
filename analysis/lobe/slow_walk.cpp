#include "analysis/lobe/slow_walk.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

#include "analysis/lobe/walk_segments.hpp"

namespace lobewright {
namespace {

constexpr double least_freedom = 4.0;  // what is taken for usual has as many by itself

double quadratic(const std::vector<double>& matrix, const std::vector<double>& w, std::size_t n) {
    if (n == 0) return 0.0;
    const std::size_t per = w.size() / n;
    std::vector<double> sum(n, 0.0);
    for (std::size_t i = 0, g = 0; i < n; ++i) {
        for (const std::size_t end = g + per; g < end; ++g) sum[i] += w[g];
    }
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

/// One over the standard deviation of a segment's noise, and its mean, mm.
struct SegmentMean {
    double scale = 0.0;
    double value = 0.0;
};

std::vector<SegmentMean> segment_means(const std::vector<WalkSegment>& segments, const LegNoise& noise,
                                       Wander wander) {
    const bool alike = wander == Wander::alike;
    std::vector<SegmentMean> out;
    for (const auto& s : segments) {
        const double variance =
            (0.5 * noise.own * (1.0 - s.encoder) + (alike ? noise.encoder * s.encoder : 0.0)) / s.weight;
        out.push_back({1.0 / std::sqrt(std::max(variance, 1e-18)),
                       0.5 * (alike ? s.front + s.rear : s.rear - s.front)});
    }
    return out;
}

/// Sums over the segments, a column each, of unit noise and free of each other's, that are what the legs over one stretch
/// differ by: whatever value the stretch itself has, they don't see it. The last rows of the reflection that turns the
/// scales of a stretch into its first axis.
Eigen::MatrixXd differences(const std::vector<WalkSegment>& segments, const std::vector<SegmentMean>& means,
                            const WalkStretches& stretch) {
    std::vector<std::vector<std::size_t>> within(stretch.seen.size());
    for (std::size_t s = 0; s < segments.size(); ++s) within[segments[s].stretch].push_back(s);
    Eigen::Index columns = 0;
    for (const auto& legs : within)
        columns += std::max(static_cast<Eigen::Index>(legs.size()) - 1, Eigen::Index{0});
    Eigen::MatrixXd out = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(segments.size()), columns);
    Eigen::Index column = 0;
    for (const auto& legs : within) {
        double length = 0.0;
        for (const std::size_t s : legs) length = std::hypot(length, means[s].scale);
        for (std::size_t k = 1; k < legs.size(); ++k, ++column) {
            const double first = means[legs[0]].scale + length, own = means[legs[k]].scale;
            for (std::size_t i = 0; i < legs.size(); ++i) {
                const double turned = i == 0 ? first : means[legs[i]].scale;
                out(static_cast<Eigen::Index>(legs[i]), column) =
                    ((i == k ? 1.0 : 0.0) - own * turned / (length * first)) * means[legs[i]].scale;
            }
        }
    }
    return out;
}

/// log density of `value`, but for a constant, where its covariance is 1 + strength T with T tridiagonal and no variance
/// below nothing: by the pivots of that matrix, none of which is below 1.
double log_density_of(const Eigen::VectorXd& diagonal, const Eigen::VectorXd& beside,
                      const Eigen::VectorXd& value, double strength) {
    constexpr double much = 1e100;  // a logarithm of many pivots at once, short of what a double holds
    double logs = 0.0, product = 1.0, squares = 0.0, left = 0.0, link = 0.0, pivot = 1.0;
    for (Eigen::Index i = 0; i < value.size(); ++i) {
        const double share = i > 0 ? link / pivot : 0.0;
        pivot = std::max(1.0 + strength * diagonal[i] - share * link, 1.0);
        left = value[i] - share * left;
        squares += left * left / pivot;
        product *= pivot;
        if (product > much) {
            logs += std::log(product);
            product = 1.0;
        }
        if (i + 1 < value.size()) link = strength * beside[i];
    }
    return -0.5 * (logs + std::log(product) + squares);
}

/// At walk_strengths; empty where `fixed` leaves nothing. All three in units of the noise. What `fixed` can't make is
/// brought to tridiagonal form once, which each strength then takes a walk along the diagonal.
std::vector<double> restricted_log_likelihood(const Eigen::MatrixXd& fixed, const Eigen::MatrixXd& covariance,
                                              const Eigen::VectorXd& value) {
    Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(fixed);
    qr.setThreshold(1e-9);
    const Eigen::Index free = fixed.rows() - qr.rank();
    if (free < 1) return {};
    Eigen::MatrixXd turned_covariance = covariance;
    turned_covariance.applyOnTheLeft(qr.householderQ().adjoint());
    turned_covariance.applyOnTheRight(qr.householderQ());
    Eigen::VectorXd turned_value = value;
    turned_value.applyOnTheLeft(qr.householderQ().adjoint());
    const Eigen::MatrixXd walked = turned_covariance.bottomRightCorner(free, free);
    const Eigen::VectorXd turned = turned_value.tail(free);
    Eigen::VectorXd along = turned, diagonal = walked.diagonal(), beside;
    if (free > 1) {
        const Eigen::Tridiagonalization<Eigen::MatrixXd> tridiagonal(walked);
        along = tridiagonal.matrixQ().adjoint() * turned;
        diagonal = tridiagonal.diagonal();
        beside = tridiagonal.subDiagonal();
    }
    std::vector<double> out;
    for (const double strength : walk_strengths())
        out.push_back(log_density_of(diagonal, beside, along, strength));
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
    out.stretches = walk_stretches(legs);
    const auto segments = walk_segments(legs, {});
    const WalkStretches stretch(segments, out.stretches);
    const auto n = static_cast<Eigen::Index>(segments.size());
    Eigen::MatrixXd mean = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(out.stretches), n);
    Eigen::VectorXd weight(n);
    for (Eigen::Index s = 0; s < n; ++s) {
        const auto& segment = segments[static_cast<std::size_t>(s)];
        weight[s] = segment.weight;
        mean(static_cast<Eigen::Index>(segment.stretch), s) =
            segment.weight / stretch.weight[segment.stretch];
    }
    // As pass_offsets has it: least squares of what the stretches' means leave, held by the same weak prior.
    const Eigen::MatrixXd columns = walk_offset_columns(segments, passes);
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
    out.covariance = flat(way * walk_covariance_times(segments, way.transpose()));
    const Eigen::MatrixXd noise = solver.solve(solver.solve(information).transpose());
    out.offsets = flat(on_mean * noise * on_mean.transpose());
    return out;
}

WalkEvidence walk_evidence(const Legs& legs, std::size_t passes, const LegNoise& noise) {
    WalkEvidence out;
    const auto segments = walk_segments(legs, noise.angle_share);
    const WalkStretches stretch(segments, walk_stretches(legs));
    if (std::none_of(stretch.seen.begin(), stretch.seen.end(), [](int seen) { return seen > 1; })) return out;
    const Eigen::MatrixXd offsets = walk_offset_columns(segments, passes);
    for (const Wander wander : {Wander::alike, Wander::apart}) {
        const auto means = segment_means(segments, noise, wander);
        Eigen::VectorXd value(static_cast<Eigen::Index>(means.size()));
        for (Eigen::Index s = 0; s < value.size(); ++s) value[s] = means[static_cast<std::size_t>(s)].value;
        const Eigen::MatrixXd apart = differences(segments, means, stretch);
        out.log_likelihood[static_cast<std::size_t>(wander)] = restricted_log_likelihood(
            apart.transpose() * offsets, apart.transpose() * walk_covariance_times(segments, apart),
            apart.transpose() * value);
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
        log_density[i] =
            -1.5 * std::log1p(strengths[i] / (2.0 * usual_mm * usual_mm)) + (seen.empty() ? 0.0 : seen[i]);
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
    double below = share[0];
    while (below < 0.5 * total) below += share[++middle];
    return {strengths[middle], variance > 0.0 ? std::max(2.0 * mean * mean / variance, least_freedom) : 1e6};
}

}  // namespace lobewright
