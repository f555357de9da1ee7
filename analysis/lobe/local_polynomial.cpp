#include "analysis/lobe/local_polynomial.hpp"

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

Eigen::VectorXd slopes_of_powers(double x, int degree) {
    Eigen::VectorXd out(degree + 1);
    out[0] = 0.0;
    double power = 1.0;
    for (int k = 1; k <= degree; ++k, power *= x) out[k] = static_cast<double>(k) * power;
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

/// The points about a position, which lie from -1 to 1 for the polynomial.
class Stretch {
public:
    Stretch(std::size_t points, double about, std::size_t half, int degree)
        : points_(static_cast<long>(points)),
          middle_(std::lround(about)),
          reach_(static_cast<long>(half)),
          design_(static_cast<Eigen::Index>(2 * half + 1), degree + 1) {
        for (long i = -reach_; i <= reach_; ++i)
            design_.row(i + reach_) = powers(x_of(static_cast<double>(middle_ + i)), degree).transpose();
    }

    [[nodiscard]] double x_of(double position) const {
        return (position - static_cast<double>(middle_)) / static_cast<double>(reach_);
    }
    [[nodiscard]] Eigen::VectorXd polynomial(std::span<const double> curve) const {
        Eigen::VectorXd values(design_.rows());
        for (long i = -reach_; i <= reach_; ++i) values[i + reach_] = curve[index(i)];
        return Eigen::HouseholderQR<Eigen::MatrixXd>(design_).solve(values);
    }
    /// What is linear in the polynomial, e' (V'V)^-1 V' y, has the weights V (V'V)^-1 e.
    [[nodiscard]] std::vector<double> weights_of(const Eigen::VectorXd& e) const {
        const Eigen::VectorXd weights = design_ * (design_.transpose() * design_).ldlt().solve(e);
        std::vector<double> out(static_cast<std::size_t>(points_), 0.0);
        for (long i = -reach_; i <= reach_; ++i) out[index(i)] += weights[i + reach_];
        return out;
    }

private:
    [[nodiscard]] std::size_t index(long i) const {
        return static_cast<std::size_t>(((middle_ + i) % points_ + points_) % points_);
    }

    long points_, middle_, reach_;
    Eigen::MatrixXd design_;
};

}  // namespace

LocalTop local_top(std::span<const double> curve, double near, std::size_t half, int degree) {
    const Stretch stretch(curve.size(), near, half, degree);
    const double x = top_of(stretch.polynomial(curve));
    LocalTop out;
    out.weights = stretch.weights_of(powers(x, degree));
    for (std::size_t g = 0; g < curve.size(); ++g) out.value += out.weights[g] * curve[g];
    return out;
}

std::vector<double> local_slope_weights(std::size_t points, double at, std::size_t half, int degree) {
    const Stretch stretch(points, at, half, degree);
    return stretch.weights_of(slopes_of_powers(stretch.x_of(at), degree) / static_cast<double>(half));
}

std::vector<double> local_value_weights(std::size_t points, double about, double at, std::size_t half,
                                        int degree) {
    const Stretch stretch(points, about, half, degree);
    return stretch.weights_of(powers(stretch.x_of(at), degree));
}

}  // namespace lobewright
