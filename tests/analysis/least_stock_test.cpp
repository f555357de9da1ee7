// How deep a profile moves inward to lie inside a worn surface, from outlines that are known.
#include "analysis/regrind/least_stock.hpp"

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
