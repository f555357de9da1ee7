// An indicator's drawn error: rectangular at a height, smooth over the heights.
#include "analysis/draws/indicator_error.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/draws/coverage_interval.hpp"

using namespace lobewright;

namespace {

constexpr double limit = 0.002;
constexpr double travel = 5.0;
constexpr int draws = 20000;

/// Draws of the error at each of these readings.
std::vector<std::vector<double>> errors_at(const std::vector<double>& readings) {
    const UnknownError indicator(limit, travel, -0.1, 5.6);
    DrawEngine engine(1);
    std::vector<std::vector<double>> out(readings.size());
    for (int i = 0; i < draws; ++i) {
        const DrawnError error = indicator.draw(engine);
        for (std::size_t r = 0; r < readings.size(); ++r) out[r].push_back(error.at(readings[r]));
    }
    return out;
}

double covariance(const std::vector<double>& a, const std::vector<double>& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];  // their means are 0
    return sum / static_cast<double>(a.size());
}

}  // namespace

TEST_CASE("at one height the error is rectangular: u is limit/sqrt 3, and its 95 % factor 1.65, not 2",
          "[draws][outside]") {
    const auto at = errors_at({0.0, 2.7131, 5.6});
    for (auto error : at) {
        std::sort(error.begin(), error.end());
        CHECK(error.front() >= -limit);
        CHECK(error.back() <= limit);
        const double u = std::sqrt(covariance(error, error));
        CHECK(u == Approx(limit / std::sqrt(3.0)).epsilon(0.02));
        const double u95 = symmetric_interval(error, 0.95).half_width();
        CHECK(u95 == Approx(0.95 * limit).epsilon(0.01));
        CHECK(u95 / u == Approx(1.65).margin(0.03));  // JCGM 100:2008 G.1.3, from memory
    }
}

TEST_CASE("close heights share the error, and half way on it stands the other way", "[draws]") {
    const auto at = errors_at({1.0, 1.08, 1.8, 3.5, 5.0});
    const double variance = limit * limit / 3.0;
    // The mean of cos(2 pi k d) over 0.3 to 1.2 swings in 5 mm, less up to 0.02 by the step from normal to rectangular.
    const auto expected = [](double d_mm) {
        double sum = 0.0;
        for (int i = 0; i < 1000; ++i)
            sum += std::cos(2.0 * std::numbers::pi * (0.3 + 0.9 * (i + 0.5) / 1000.0) * d_mm / travel);
        return sum / 1000.0;
    };
    CHECK(expected(2.5) == Approx(-0.49).margin(0.01));
    CHECK(covariance(at[0], at[1]) / variance == Approx(expected(0.08)).margin(0.02));
    CHECK(covariance(at[0], at[2]) / variance == Approx(expected(0.8)).margin(0.04));
    CHECK(covariance(at[0], at[3]) / variance == Approx(expected(2.5)).margin(0.04));
    CHECK(covariance(at[0], at[4]) / variance == Approx(expected(4.0)).margin(0.04));
}

TEST_CASE("an indicator of limit 0 makes no error, and beyond its table an error stays", "[draws]") {
    DrawEngine engine(1);
    CHECK(UnknownError(0.0, travel, 0.0, 5.0).draw(engine).at(3.0) == 0.0);
    CHECK(UnknownError().draw(engine).at(3.0) == 0.0);
    const DrawnError error = UnknownError(limit, travel, 0.0, 5.0).draw(engine);
    CHECK(error.at(-7.0) == error.at(0.0));
    CHECK(error.at(60.0) == error.at(7.0));
}
