#include "analysis/lobe/local_top.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace lobewright {
namespace {

Eigen::VectorXd powers(double x, int degree) {
    Eigen::VectorXd out(degree + 1);
    out[0] = 1.0;
    for (int k = 1; k <= degree; ++k) out[k] = out[k - 1] * x;
    return out;
}

/// Where the polynomial's slope is nought, from 0 on, within -1/2..1/2.
double top_of(const Eigen::VectorXd& c) {
    double x = 0.0;
    for (int round = 0; round < 5; ++round) {  // Newton on the slope; from the curve's own top two rounds do
        double slope = 0.0, bend = 0.0;
        for (Eigen::Index k = c.size() - 1; k >= 1; --k) {
            bend = bend * x + slope;
            slope = slope * x + static_cast<double>(k) * c[k];
        }
        if (!(bend < 0.0)) break;
        x = std::clamp(x - slope / bend, -0.5, 0.5);
    }
    return x;
}

}  // namespace

LocalTop local_top(std::span<const double> curve, double near, std::size_t half, int degree) {
    const auto n = static_cast<long>(curve.size()), middle = std::lround(near),
               reach = static_cast<long>(half);
    const auto index = [&](long i) { return static_cast<std::size_t>(((middle + i) % n + n) % n); };
    const auto rows = static_cast<Eigen::Index>(2 * half + 1);
    Eigen::MatrixXd design(rows, degree + 1);
    Eigen::VectorXd values(rows);
    for (long i = -reach; i <= reach; ++i) {
        design.row(i + reach) =
            powers(static_cast<double>(i) / static_cast<double>(half), degree).transpose();
        values[i + reach] = curve[index(i)];
    }
    const Eigen::HouseholderQR<Eigen::MatrixXd> qr(design);
    const double x = top_of(qr.solve(values));
    // value = e' (V'V)^-1 V' y with e the powers of x: its weights are V (V'V)^-1 e.
    const Eigen::VectorXd weights = design * (design.transpose() * design).ldlt().solve(powers(x, degree));
    LocalTop out;
    out.weights.assign(curve.size(), 0.0);
    for (long i = -reach; i <= reach; ++i) out.weights[index(i)] += weights[i + reach];
    out.value = weights.dot(values);
    return out;
}

}  // namespace lobewright
