#include "analysis/support/axis_curve.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/Dense>

#include "analysis/uncertainty/terms.hpp"

namespace lobewright {
namespace {

AxisPoint point_of(const JournalCurve& journal) {
    return {journal.name, journal.z_mm, journal.reading[1], std::hypot(journal.noise_mm, journal.wander_mm),
            false};
}

/// Second derivatives of the natural cubic spline at its knots for a unit value at each knot: rows are knots.
std::vector<std::vector<double>> natural_spline_bend(const std::vector<AxisPoint>& points) {
    const auto n = static_cast<Eigen::Index>(points.size());
    Eigen::MatrixXd left = Eigen::MatrixXd::Identity(n, n), right = Eigen::MatrixXd::Zero(n, n);
    for (Eigen::Index i = 1; i + 1 < n; ++i) {
        const auto k = static_cast<std::size_t>(i);
        const double before = points[k].z_mm - points[k - 1].z_mm,
                     after = points[k + 1].z_mm - points[k].z_mm;
        left(i, i - 1) = before / 6.0;
        left(i, i) = (before + after) / 3.0;
        left(i, i + 1) = after / 6.0;
        right(i, i - 1) = 1.0 / before;
        right(i, i) = -1.0 / before - 1.0 / after;
        right(i, i + 1) = 1.0 / after;
    }
    const Eigen::MatrixXd bend = left.partialPivLu().solve(right);
    std::vector<std::vector<double>> out(points.size(), std::vector<double>(points.size()));
    for (Eigen::Index i = 0; i < n; ++i) {
        for (Eigen::Index j = 0; j < n; ++j)
            out[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)] = bend(i, j);
    }
    return out;
}

}  // namespace

AxisCurve::AxisCurve(const Run& run, const std::vector<JournalCurve>& journals) {
    for (const Journal& journal : run.journals) {
        if (journal.v_angle_deg) points_.push_back({journal.name, journal.z_mm, 0.0, 0.0, true});
    }
    between_centres_ = points_.empty();
    const bool line_known = between_centres_ ? journals.size() >= 2 : points_.size() >= 2;
    for (const JournalCurve& journal : journals) {
        if (!journal.in_v_block) points_.push_back(point_of(journal));
    }
    std::sort(points_.begin(), points_.end(), [](const auto& a, const auto& b) { return a.z_mm < b.z_mm; });
    known_ = line_known && points_.size() >= 3 &&
             std::adjacent_find(points_.begin(), points_.end(), [](const auto& a, const auto& b) {
                 return a.z_mm == b.z_mm;
             }) == points_.end();
    if (!known_) return;
    if (between_centres_) {
        AxisPoint &first = points_.front(), &last = points_.back();
        first.on_line = last.on_line = true;
        line_z_mm_ = first.z_mm;
        line_start_ = first.offset_mm;
        line_per_mm_ = (last.offset_mm - first.offset_mm) / (last.z_mm - first.z_mm);
        for (AxisPoint& point : points_) {
            const double share = (point.z_mm - first.z_mm) / (last.z_mm - first.z_mm);
            point.offset_mm -= line_at(point.z_mm);
            if (!point.on_line)
                point.u_mm = std::hypot(point.u_mm, (1.0 - share) * first.u_mm, share * last.u_mm);
        }
        first.offset_mm = last.offset_mm = 0.0;
        first.u_mm = last.u_mm = 0.0;
    }
    bend_ = natural_spline_bend(points_);
}

std::complex<double> AxisCurve::line_at(double z_mm) const {
    return line_start_ + line_per_mm_ * (z_mm - line_z_mm_);
}

std::vector<double> AxisCurve::weights_at(double z_mm) const {
    const std::size_t n = points_.size();
    std::vector<double> out(n, 0.0);
    std::size_t i = 0;
    while (i + 2 < n && z_mm > points_[i + 1].z_mm) ++i;
    const double h = points_[i + 1].z_mm - points_[i].z_mm;
    // Beyond the ends the spline goes on as a straight line from its end.
    const double z = std::clamp(z_mm, points_[i].z_mm, points_[i + 1].z_mm), beyond = z_mm - z;
    const double b = (z - points_[i].z_mm) / h, a = 1.0 - b;
    out[i] += a - beyond / h;
    out[i + 1] += b + beyond / h;
    const double at_near = (a * a * a - a) * h * h / 6.0 - beyond * (3.0 * a * a - 1.0) * h / 6.0;
    const double at_far = (b * b * b - b) * h * h / 6.0 + beyond * (3.0 * b * b - 1.0) * h / 6.0;
    for (std::size_t j = 0; j < n; ++j) out[j] += at_near * bend_[i][j] + at_far * bend_[i + 1][j];
    return out;
}

std::complex<double> AxisCurve::at(double z_mm) const {
    std::complex<double> sum;
    if (!known_) return sum;
    const auto weights = weights_at(z_mm);
    for (std::size_t j = 0; j < weights.size(); ++j) sum += weights[j] * points_[j].offset_mm;
    return sum;
}

double AxisCurve::u_mm_at(double z_mm) const {
    if (!known_) return 0.0;
    const auto weights = weights_at(z_mm);
    double sum = 0.0;
    for (std::size_t j = 0; j < weights.size(); ++j)
        sum += weights[j] * weights[j] * points_[j].u_mm * points_[j].u_mm;
    return std::sqrt(sum);
}

Measured bend(const AxisCurve& axis, std::vector<std::string>& notes) {
    if (!axis.known()) {
        notes.emplace_back(
            "bend isn't known: it needs a sweep of a journal that carries nothing while the cam rests in its "
            "V-blocks, or of three journals between centres");
        return {};
    }
    if (axis.between_centres()) {
        notes.emplace_back(
            "no journal rests in a V-block: bend is counted from the line through the outermost journals");
    }
    Measured out;
    for (const AxisPoint& point : axis.points()) {
        if (point.on_line) continue;
        const double total = 2.0 * std::abs(point.offset_mm);
        if (!out.known() || total > out.value) {
            out = {total, student_factor_95(std::numeric_limits<double>::infinity()) * 2.0 * point.u_mm};
        }
    }
    return out;
}

}  // namespace lobewright
