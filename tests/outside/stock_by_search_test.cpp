// Least stock against a search with outlines as polygons: the target's surface moved inward along its own normals, turned
// step by step, its points held against the worn surface until none lies outside. Nothing of the analysis is used here
// but the function under test: the search knows surface points, not support functions.
#include <cmath>
#include <numbers>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/lobe/grid.hpp"
#include "analysis/units.hpp"
#include "analysis/wear/least_stock.hpp"

using namespace lobewright;

namespace {

constexpr double base_mm = 15.0;

/// What a flat tappet reads over the base circle, with its first derivative by radians.
struct Lift {
    double value = 0.0;
    double slope = 0.0;
};

/// A cosine lobe: h'' is no less than -14.4 mm for 2.5 mm of lift, so that the outline stays convex on this base circle.
Lift ground(double rad, double lift_mm, double half_width_rad) {
    if (std::fabs(rad) >= half_width_rad) return {};
    const double k = std::numbers::pi / half_width_rad, c = std::cos(k * rad), s = std::sin(k * rad);
    const double q = 0.5 * (1.0 + c);
    return {lift_mm * q * q, -lift_mm * q * k * s};
}

/// Wear as a smooth hill about `at_rad`.
Lift hill(double rad, double at_rad, double depth_mm, double half_width_rad) {
    return ground(rad - at_rad, depth_mm, half_width_rad);
}

struct Point {
    double x = 0.0;
    double y = 0.0;
};

template <typename At>
std::vector<Point> outline(const At& at, int points) {
    std::vector<Point> out;
    for (int i = 0; i < points; ++i) {
        const double rad = 2.0 * std::numbers::pi * i / points - std::numbers::pi;
        const Lift l = at(rad);
        const double h = base_mm + l.value;
        out.push_back(
            {h * std::cos(rad) - l.slope * std::sin(rad), h * std::sin(rad) + l.slope * std::cos(rad)});
    }
    return out;
}

Point turned(Point p, double rad) {
    return {p.x * std::cos(rad) - p.y * std::sin(rad), p.x * std::sin(rad) + p.y * std::cos(rad)};
}

/// How far the points stand outside the convex polygon, the largest over its edges' lines.
double outside(const std::vector<Point>& points, const std::vector<Point>& polygon) {
    double most = -1e9;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Point a = polygon[i], b = polygon[(i + 1) % polygon.size()];
        const double length = std::hypot(b.x - a.x, b.y - a.y);
        if (length < 1e-9) continue;
        const double nx = (b.y - a.y) / length,
                     ny = -(b.x - a.x) / length;  // outward on a counter-clockwise outline
        for (const Point& p : points) most = std::max(most, (p.x - a.x) * nx + (p.y - a.y) * ny);
    }
    return most;
}

struct Worn {
    double at_deg, depth_mm, half_width_deg;
    double turned_deg = 0.0;  // the worn lobe from where the target is laid
};

}  // namespace

TEST_CASE("least stock agrees with a search over turned polygons within a micrometre", "[regrind][outside]") {
    const double half_width = rad_from_deg(75.0);
    const auto target = [&](double rad) { return ground(rad, 2.5, half_width); };
    for (const Worn& wear :
         {Worn{0.0, 0.05, 40.0}, Worn{25.0, 0.03, 30.0}, Worn{-35.0, 0.08, 35.0}, Worn{8.0, 0.3, 60.0},
          Worn{25.0, 0.03, 30.0, 1.9}, Worn{-30.0, 0.05, 35.0, -1.7}}) {
        INFO(wear.at_deg << " deg, " << wear.depth_mm << " mm, turned " << wear.turned_deg << " deg");
        const auto worn = [&](double at_rad) {
            const double rad = at_rad - rad_from_deg(wear.turned_deg);
            const Lift l = target(rad);
            const Lift w =
                hill(rad, rad_from_deg(wear.at_deg), wear.depth_mm, rad_from_deg(wear.half_width_deg));
            return Lift{l.value - w.value, l.slope - w.slope};
        };
        // The search: every turn of the target by 0.02 degrees, how far it stands out of the worn polygon.
        const auto worn_polygon = outline(worn, 720);
        const auto points = outline(target, 720);
        double least = 1e9;
        for (int i = -25; i <= 25; ++i) {
            std::vector<Point> moved;
            moved.reserve(points.size());
            for (const Point& p : points)
                moved.push_back(turned(p, rad_from_deg(wear.turned_deg + 0.02 * i)));
            least = std::min(least, outside(moved, worn_polygon));
        }
        Outline on_grid_worn, on_grid_target;
        for (std::size_t g = 0; g < grid_points; ++g) {
            const double rad = rad_from_deg(wrapped_deg(0.5 * static_cast<double>(g)));
            on_grid_worn.front_mm.push_back(worn(rad).value);
            on_grid_target.front_mm.push_back(target(rad).value);
        }
        on_grid_worn.rear_mm = on_grid_worn.front_mm;
        on_grid_target.rear_mm = on_grid_target.front_mm;
        const LeastStock found =
            least_stock(on_grid_worn, on_grid_target,
                        {rad_from_deg(wear.turned_deg - 0.5), rad_from_deg(wear.turned_deg + 0.5)});
        CHECK(found.stock_mm == Approx(std::max(0.0, least)).margin(0.001));
    }
}
