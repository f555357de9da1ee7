#include "analysis/history/rate_fit.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>
#include <boost/math/distributions/chi_squared.hpp>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

std::vector<AtHours> known(const std::vector<AtHours>& points) {
    std::vector<AtHours> out;
    std::copy_if(points.begin(), points.end(), std::back_inserter(out), [](const AtHours& at) {
        return at.value.known() && std::isfinite(at.value.u95) && at.value.u95 > 0.0;
    });
    return out;
}

/// Least squares of y on the columns of x with covariance v; the rate is the last column, the value at the last point the
/// last row of x times the solution.
RateFit solve(const Eigen::MatrixXd& x, const Eigen::VectorXd& y, const Eigen::MatrixXd& v,
              double last_hours) {
    const Eigen::LDLT<Eigen::MatrixXd> weight(v);
    const Eigen::MatrixXd covariance = (x.transpose() * weight.solve(x)).inverse();
    const Eigen::VectorXd solution = covariance * (x.transpose() * weight.solve(y));
    const Eigen::VectorXd left = y - x * solution;
    const double freedom = static_cast<double>(x.rows() - x.cols());
    RateFit out;
    double widened = 1.0;
    if (freedom > 0.0) {
        const double chi2 = left.dot(weight.solve(left));
        out.one_rate = chi2 <= boost::math::quantile(boost::math::chi_squared(freedom), 0.95);
        if (!out.one_rate) widened = std::sqrt(chi2 / freedom);
    }
    const Eigen::Index rate = x.cols() - 1;
    const Eigen::RowVectorXd last = x.row(x.rows() - 1);
    out.per_hour = {solution(rate), normal_95 * widened * std::sqrt(covariance(rate, rate))};
    out.last_hours = last_hours;
    out.at_last = {last.dot(solution),
                   normal_95 * widened * std::sqrt((last * covariance * last.transpose())(0))};
    return out;
}

}  // namespace

RateFit fit_line(const std::vector<AtHours>& points) {
    const auto used = known(points);
    if (used.size() < 2 || !(used.back().hours > used.front().hours)) return {};
    const auto n = static_cast<Eigen::Index>(used.size());
    Eigen::MatrixXd x(n, 2), v = Eigen::MatrixXd::Zero(n, n);
    Eigen::VectorXd y(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const AtHours& at = used[static_cast<std::size_t>(i)];
        x(i, 0) = 1.0;
        x(i, 1) = at.hours - used.front().hours;
        y(i) = at.value.value;
        v(i, i) = std::pow(at.value.u95 / normal_95, 2);
    }
    return solve(x, y, v, used.back().hours);
}

RateFit fit_change(double first_hours, const std::vector<AtHours>& points) {
    const auto used = known(points);
    if (used.empty() || !(used.back().hours > first_hours)) return {};
    const auto n = static_cast<Eigen::Index>(used.size());
    Eigen::MatrixXd x(n, 1), v(n, n);
    Eigen::VectorXd y(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const AtHours& at = used[static_cast<std::size_t>(i)];
        x(i, 0) = at.hours - first_hours;
        y(i) = at.value.value;
        for (Eigen::Index j = 0; j < n; ++j) {
            const double both =
                at.value.u95 * used[static_cast<std::size_t>(j)].value.u95 / (normal_95 * normal_95);
            v(i, j) = (i == j ? 1.0 : 0.5) * both;
        }
    }
    return solve(x, y, v, used.back().hours);
}

std::optional<LimitReached> when_reached(const RateFit& fit, double limit) {
    if (!fit.per_hour.known()) return {};
    const double rate = fit.per_hour.value, u95 = fit.per_hour.u95;
    if (!(std::abs(rate) > u95)) return {};
    const double way = std::copysign(1.0, rate);
    const double left = way * (limit - fit.at_last.value);
    const double slowest = std::abs(rate) - u95, fastest = std::abs(rate) + u95;
    const auto hours = [&](double distance, double speed) { return fit.last_hours + distance / speed; };
    LimitReached out;
    out.hours = hours(left, std::abs(rate));
    // Value and rate go together on a line (a figure that lies too high rose too fast): their extremes at once bound it.
    const double near = left - fit.at_last.u95, far = left + fit.at_last.u95;
    out.earliest = hours(near, near > 0.0 ? fastest : slowest);
    if (slowest > 0.0) out.latest = hours(far, far > 0.0 ? slowest : fastest);
    return out;
}

}  // namespace lobewright
