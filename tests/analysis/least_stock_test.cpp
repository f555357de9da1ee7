// How deep a profile moves inward to lie inside a worn surface, from outlines that are known.
#include "analysis/wear/least_stock.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/lobe/grid.hpp"
#include "analysis/units.hpp"

using namespace lobewright;

namespace {

double lift_mm(double deg) {
    const double x = 1.0 - std::fabs(wrapped_deg(deg - 180.0)) / 70.0;
    return x > 0.0 ? 6.0 * x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x))) : 0.0;
}

template <typename At>
std::vector<double> grid_of(const At& at) {
    std::vector<double> values(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) values[g] = at(0.5 * static_cast<double>(g));
    return values;
}

const std::vector<double> lift = grid_of(lift_mm);
/// The lift with `wear(degree)` taken off.
template <typename Wear>
std::vector<double> less(const Wear& wear) {
    return grid_of([&](double deg) { return lift_mm(deg) - wear(deg); });
}

const ShiftRange half_degree{rad_from_deg(-0.5), rad_from_deg(0.5)};

/// Front and rear edges of the lift with a taper over the width.
Outline tapered(double taper_mm) {
    Outline out{lift, lift};
    for (double& v : out.front_mm) v -= 0.5 * taper_mm;
    for (double& v : out.rear_mm) v += 0.5 * taper_mm;
    return out;
}

}  // namespace

TEST_CASE("a profile that lies inside needs no stock, and says with how much room", "[regrind]") {
    const LeastStock same = least_stock({lift, lift}, {lift, lift}, half_degree);
    CHECK(same.stock_mm == Approx(0.0).margin(1e-9));
    CHECK(same.shift_rad == Approx(0.0).margin(1e-5));
    auto low = lift;
    for (double& v : low) v -= 0.1;
    CHECK(least_stock({lift, lift}, {low, low}, half_degree).stock_mm == Approx(-0.1).margin(1e-9));
}

TEST_CASE("wear on one flank is shared by turning the profile, as far as the timing may go", "[regrind]") {
    // The worn surface is the lift turned on by a degree: a profile that may turn a degree needs nothing, one that may
    // turn a quarter must go down by three quarters of a degree's flank.
    const auto turned_on = grid_of([](double deg) { return lift_mm(deg - 1.0); });
    const LeastStock free =
        least_stock({turned_on, turned_on}, {lift, lift}, {rad_from_deg(-2.0), rad_from_deg(2.0)});
    CHECK(free.stock_mm == Approx(0.0).margin(2e-5));
    CHECK(deg_from_rad(free.shift_rad) == Approx(1.0).margin(0.01));
    CHECK_FALSE(free.at_bound);
    const LeastStock held =
        least_stock({turned_on, turned_on}, {lift, lift}, {rad_from_deg(-0.25), rad_from_deg(0.25)});
    double flank = 0.0;  // steepest rise over three quarters of a degree
    for (double deg = 110.0; deg < 180.0; deg += 0.01)
        flank = std::max(flank, lift_mm(deg) - lift_mm(deg - 0.75));
    CHECK(held.stock_mm == Approx(flank).margin(1e-4));
    CHECK(deg_from_rad(held.shift_rad) == Approx(0.25).margin(0.001));
    CHECK(held.at_bound);
}

TEST_CASE("worn flanks hold the stock together, each by its share", "[regrind]") {
    // Both flanks are worn by bands, of unlike depth where the lift is unlike steep: turning trades one for the other.
    const auto band = [](double deg, double centre) {
        const double x = (deg - centre) / 8.0;
        return std::exp(-x * x);
    };
    const auto worn = [&](double opening_mm, double closing_mm) {
        return less(
            [&](double deg) { return opening_mm * band(deg, 140.0) + closing_mm * band(deg, 228.0); });
    };
    const auto stock = [&](double opening_mm, double closing_mm) {
        const auto curve = worn(opening_mm, closing_mm);
        return least_stock({curve, curve}, {lift, lift}, stock_shift);
    };
    const LeastStock held = stock(0.06, 0.05);
    REQUIRE(held.held[1].share > 0.0);
    CHECK(held.held[0].share + held.held[1].share == Approx(1.0));
    std::array<double, 2> share{};  // opening flank, closing flank
    for (const StockPlace& place : held.held) {
        const double deg = 0.5 * static_cast<double>(place.at);
        share[deg < 180.0 ? 0 : 1] += place.share * band(deg, deg < 180.0 ? 140.0 : 228.0);
    }
    CHECK(share[0] > 0.2);
    CHECK(share[1] > 0.2);
    // What a little more wear of either flank adds is that flank's share of it.
    constexpr double more = 2e-4;
    CHECK(stock(0.06 + more, 0.05).stock_mm - held.stock_mm == Approx(share[0] * more).epsilon(0.05));
    CHECK(stock(0.06, 0.05 + more).stock_mm - held.stock_mm == Approx(share[1] * more).epsilon(0.05));
}

TEST_CASE("taper turned to the other side costs half of both tapers; more taper half of what it grows by",
          "[regrind]") {
    CHECK(least_stock(tapered(-0.022), tapered(0.022), half_degree).stock_mm == Approx(0.022).margin(1e-6));
    CHECK(least_stock(tapered(0.020), tapered(0.026), half_degree).stock_mm == Approx(0.003).margin(1e-6));
    CHECK(least_stock(tapered(0.020), tapered(0.0), half_degree).stock_mm == Approx(0.010).margin(1e-6));
    CHECK(least_stock(tapered(-0.022), tapered(0.022), half_degree).edge == Edge::rear);
}

TEST_CASE("the deciding place is where the wear is deepest", "[regrind]") {
    auto worn = lift;
    for (std::size_t g = 0; g < grid_points; ++g) {
        const double x = (0.5 * static_cast<double>(g) - 180.0) / 10.0;
        if (std::fabs(x) < 1.0) worn[g] -= 0.03 * (1.0 - x * x);
    }
    const LeastStock least = least_stock({lift, worn}, {lift, lift}, half_degree);
    CHECK(least.stock_mm == Approx(0.03).margin(1e-4));
    CHECK(least.edge == Edge::rear);
    CHECK(std::fabs(0.5 * static_cast<double>(least.at) - 180.0) <= 1.0);
}

TEST_CASE("wear at the nose can't be turned away", "[stock]") {
    // At the nose the lift doesn't change with phase to first order; a cap 20 degrees wide loses 6 (1 - s) of it.
    const auto cap = less([](double deg) { return std::fabs(deg - 180.0) < 10.0 ? 0.03 : 0.0; });
    for (const Outline& worn : {Outline{cap, cap}, Outline{cap, lift}, Outline{lift, cap}})
        CHECK(least_stock(worn, {lift, lift}, stock_shift).stock_mm == Approx(0.03).margin(1e-4));
}

TEST_CASE("a surface proud of the target needs no stock", "[stock]") {
    const auto proud = less([](double deg) { return lift_mm(deg) > 0.0 ? -0.02 : 0.0; });
    CHECK(least_stock({proud, proud}, {lift, lift}, stock_shift).stock_mm == Approx(0.0).margin(1e-9));
}

TEST_CASE("a lobe turned on its shaft by all that is allowed needs no stock", "[stock]") {
    for (const double deg : {-1.97, -1.5, -0.4, 0.2, 1.0, 1.99}) {
        CAPTURE(deg);
        const auto worn = grid_of([&](double at) { return lift_mm(at - deg); });
        CHECK(least_stock({worn, worn}, {lift, lift}, stock_shift).stock_mm == Approx(0.0).margin(1e-4));
    }
}

TEST_CASE("no shift beyond two degrees is tried for the stock to clean up", "[stock]") {
    // Turned by 5 degrees, 2 of which may be turned back: what 3 degrees leave remains.
    const auto five = grid_of([](double at) { return lift_mm(at - 5.0); });
    double left = 0.0;
    for (double deg = 110.0; deg < 180.0; deg += 0.01)
        left = std::max(left, lift_mm(deg) - lift_mm(deg - 3.0));
    CHECK(least_stock({five, five}, {lift, lift}, stock_shift).stock_mm == Approx(left).margin(1e-3));
}

TEST_CASE("wear of one flank is shared with the other by a turn", "[stock]") {
    // The opening flank lost w where its slope is steepest: turning back by w/(2 slope) halves it.
    constexpr double w = 0.02;
    const auto flank = less([](double deg) { return std::fabs(deg - 145.0) < 2.0 ? w : 0.0; });
    const double stock = least_stock({flank, flank}, {lift, lift}, stock_shift).stock_mm;
    CHECK(stock < 0.6 * w);
    CHECK(stock > 0.5 * w);
}
