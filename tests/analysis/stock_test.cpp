// The least depth that cleans a worn lobe up, from wear maps that are known.
#include <cmath>
#include <vector>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/lobe/lobe_curve.hpp"
#include "analysis/wear/wear_figures.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

double lift_mm(double deg) {
    const double x = 1.0 - std::fabs(wrapped_deg(deg - 180.0)) / 70.0;
    return x > 0.0 ? 6.0 * x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x))) : 0.0;
}

double deg_at(std::size_t g) {
    return 360.0 * static_cast<double>(g) / static_cast<double>(grid_points);
}

template <typename At>
std::vector<double> grid_of(const At& at) {
    std::vector<double> values(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) values[g] = at(deg_at(g));
    return values;
}

/// The reference lift less the same lift turned on by `deg`.
std::vector<double> turned_on(double deg) {
    return grid_of([&](double at) { return lift_mm(at) - lift_mm(at - deg); });
}

const std::vector<double> lift = grid_of(lift_mm);

}  // namespace

TEST_CASE("nothing worn, nothing to take off", "[stock]") {
    const std::vector<double> none(grid_points, 0.0);
    CHECK(stock_to_clean({none, none}, lift) == 0.0);
}

TEST_CASE("a surface proud of the reference needs no stock", "[stock]") {
    const auto proud = grid_of([](double deg) { return lift_mm(deg) > 0.0 ? -0.02 : 0.0; });
    CHECK(stock_to_clean({proud, proud}, lift) == 0.0);
}

TEST_CASE("wear at the nose can't be turned away", "[stock]") {
    // At the nose the lift doesn't change with phase to first order; a cap 20 degrees wide loses 6 (1 - s) of it.
    const auto cap = grid_of([](double deg) { return std::fabs(deg - 180.0) < 10.0 ? 0.03 : 0.0; });
    CHECK(stock_to_clean({cap, cap}, lift) == Approx(0.03).margin(1e-4));
    const std::vector<double> none(grid_points, 0.0);
    CHECK(stock_to_clean({cap, none}, lift) == Approx(0.03).margin(1e-4));
    CHECK(stock_to_clean({none, cap}, lift) == Approx(0.03).margin(1e-4));
}

TEST_CASE("a lobe turned on its shaft needs no stock", "[stock]") {
    for (const double deg : {-1.5, -0.4, 0.2, 1.0}) {
        const auto wear = turned_on(deg);
        const double most = *std::max_element(wear.begin(), wear.end());
        CAPTURE(deg, most);
        // What is left is of third order in the shift: L''' shift^3/6, L''' at most 52.5 L/beta^3 inside the flank.
        const double third = 52.5 * 6.0 / std::pow(70.0 * degree, 3) / 6.0;
        CHECK(stock_to_clean({wear, wear}, lift) < 2.0 * third * std::pow(std::fabs(deg) * degree, 3) + 1e-5);
        CHECK(most > 0.02);
    }
}

TEST_CASE("no shift beyond two degrees is tried", "[stock]") {
    // Turned by 5 degrees, 2 of which may be turned back: what 3 degrees leave remains.
    const auto five = turned_on(5.0), three = turned_on(3.0);
    const double left = *std::max_element(three.begin(), three.end());
    CHECK(stock_to_clean({five, five}, lift) == Approx(left).epsilon(0.05));
}

TEST_CASE("wear of one flank is shared with the other by a turn", "[stock]") {
    // The opening flank lost w where its slope is steepest, 2.1875 L/beta: turning back by w/(2 slope) halves it.
    const double slope = 2.1875 * 6.0 / (70.0 * degree);
    const double w = 0.02;
    const auto flank = grid_of([&](double deg) { return std::fabs(deg - 145.0) < 2.0 ? w : 0.0; });
    const double stock = stock_to_clean({flank, flank}, lift);
    CHECK(stock < 0.6 * w);
    CHECK(stock > 0.5 * w);
    CHECK(slope > 10.0);
}
