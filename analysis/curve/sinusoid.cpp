#include "analysis/curve/sinusoid.hpp"

#include <cmath>
#include <map>
#include <memory>
#include <mutex>
#include <numbers>
#include <stdexcept>
#include <vector>

namespace lobewright {
namespace {

using Matrix3 = std::array<std::array<double, 3>, 3>;

Matrix3 inverted(const Matrix3& m) {
    const auto minor = [&m](std::size_t r, std::size_t c) {
        const std::size_t r1 = (r + 1) % 3, r2 = (r + 2) % 3, c1 = (c + 1) % 3, c2 = (c + 2) % 3;
        return m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1];
    };
    const double det = m[0][0] * minor(0, 0) + m[0][1] * minor(0, 1) + m[0][2] * minor(0, 2);
    if (!(std::abs(det) > 0.0)) throw std::domain_error("the arc is too short to fit a circle's sinusoid");
    Matrix3 inverse{};
    for (std::size_t r = 0; r < 3; ++r) {
        for (std::size_t c = 0; c < 3; ++c) inverse[c][r] = minor(r, c) / det;
    }
    return inverse;
}

std::array<double, 3> product(const Matrix3& m, const std::array<double, 3>& v) {
    std::array<double, 3> out{};
    for (std::size_t r = 0; r < 3; ++r) out[r] = m[r][0] * v[0] + m[r][1] * v[1] + m[r][2] * v[2];
    return out;
}

}  // namespace

GridAngles grid_angles(std::size_t n) {
    struct Table {
        std::vector<double> cosine, sine;
    };
    static std::mutex guard;
    static std::map<std::size_t, std::unique_ptr<Table>> tables;
    const std::lock_guard lock(guard);
    auto& table = tables[n];
    if (!table) {
        table = std::make_unique<Table>();
        for (std::size_t g = 0; g < n; ++g) {
            const double theta = 2.0 * std::numbers::pi * static_cast<double>(g) / static_cast<double>(n);
            table->cosine.push_back(std::cos(theta));
            table->sine.push_back(std::sin(theta));
        }
    }
    return {table->cosine, table->sine};
}

double Sinusoid::at(double theta_rad) const {
    return c0 + a * std::cos(theta_rad) + b * std::sin(theta_rad);
}

SinusoidFit::SinusoidFit(std::size_t n, GridArc arc) : n_(n), arc_(arc) {
    if (arc.count < 4 || arc.count > n) throw std::domain_error("an arc needs at least 4 points of the grid");
    const auto [cosine, sine] = grid_angles(n);
    Matrix3 normal{};
    for (std::size_t i = 0, g = arc.first; i < arc.count; ++i, g = g + 1 == n ? 0 : g + 1) {
        const std::array<double, 3> x{1.0, cosine[g], sine[g]};
        for (std::size_t r = 0; r < 3; ++r) {
            for (std::size_t c = 0; c < 3; ++c) normal[r][c] += x[r] * x[c];
        }
    }
    inverse_ = inverted(normal);
}

Sinusoid SinusoidFit::fit(std::span<const double> values) const {
    const auto [cosine, sine] = grid_angles(n_);
    std::array<double, 3> rhs{};
    for (std::size_t i = 0, g = arc_.first; i < arc_.count; ++i, g = g + 1 == n_ ? 0 : g + 1) {
        rhs[0] += values[g];
        rhs[1] += values[g] * cosine[g];
        rhs[2] += values[g] * sine[g];
    }
    const auto p = product(inverse_, rhs);
    return {p[0], p[1], p[2]};
}

void SinusoidFit::remove(std::span<double> values) const {
    const auto p = fit(values);
    const auto [cosine, sine] = grid_angles(n_);
    for (std::size_t g = 0; g < n_; ++g) values[g] -= p.c0 + p.a * cosine[g] + p.b * sine[g];
}

void SinusoidFit::remove_adjoint(std::span<double> weights) const {
    const auto [cosine, sine] = grid_angles(n_);
    std::array<double, 3> moment{};
    for (std::size_t g = 0; g < n_; ++g) {
        moment[0] -= weights[g];
        moment[1] -= weights[g] * cosine[g];
        moment[2] -= weights[g] * sine[g];
    }
    add_parameter_weights(moment, weights);
}

void SinusoidFit::add_parameter_weights(const std::array<double, 3>& p, std::span<double> weights) const {
    const auto [cosine, sine] = grid_angles(n_);
    const auto q = product(inverse_, p);
    for (std::size_t i = 0, g = arc_.first; i < arc_.count; ++i, g = g + 1 == n_ ? 0 : g + 1) {
        weights[g] += q[0] + q[1] * cosine[g] + q[2] * sine[g];
    }
}

}  // namespace lobewright
