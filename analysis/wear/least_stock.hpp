// least_stock.hpp: how deep a whole profile must move inward to lie inside a worn surface.
//
// Model    Outlines as support functions (what a flat follower reads) at both edges of the lobe: a convex outline lies
//          inside another when its support function is nowhere the larger, and moving a profile inward by s takes s off
//          its support function at every angle (L. A. Santalo, "Integral Geometry and Geometric Probability", on
//          parallel bodies; from memory). So  s(x) = max over angle and edge of target(theta - x) - worn(theta),  and the
//          least stock is the smallest s over the shifts x allowed. A roller's centre path serves as well: one body lies
//          in another when the paths of a roller on them do, both being convex.
//          The least lies where what one place asks for falls with x as fast as what another asks for rises: to first order
//          it is their mean, weighed so that x drops out, and errs by as much as that mean does.
// Units    mm, rad, the grid of grid.hpp.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/lobe/lobe_on_grid.hpp"
#include "analysis/units.hpp"

namespace lobewright {

/// Displacements round a lobe at its edges, mm on the grid, above one common circle for both outlines.
struct Outline {
    std::vector<double> front_mm;
    std::vector<double> rear_mm;
};

/// Shifts that are allowed, low <= high; positive turns the target to later angles.
struct ShiftRange {
    double low_rad = 0.0;
    double high_rad = 0.0;
};

/// What the stock to clean up may turn the reference by from where its flanks lie: more than wear of one flank asks for.
inline constexpr ShiftRange stock_shift{rad_from_deg(-2.0), rad_from_deg(2.0)};

/// A grid point that decides the stock, and its share of it.
struct StockPlace {
    std::size_t at = 0;
    Edge edge = Edge::front;
    double share = 0.0;
};

struct LeastStock {
    double stock_mm = 0.0;   // negative where the target lies inside already, with room to spare
    double shift_rad = 0.0;  // that needs the least
    std::size_t at = 0;      // grid point that decides
    Edge edge = Edge::front;
    bool at_bound = false;             // the shift stands at the end of what is allowed
    std::array<StockPlace, 2> held{};  // what it is the mean of; one alone where the shift is at its bound
};

Outline outline_of(const LobeOnGrid& shape, const LobeGeometry& geometry);

LeastStock least_stock(const Outline& worn, const Outline& target, ShiftRange range);

/// The outline turned to later angles by `shift_rad`.
Outline turned(const Outline& outline, double shift_rad);

/// target - worn at both edges: what stands proud where the target isn't moved inward.
Outline proud_of(const Outline& target, const Outline& worn);

}  // namespace lobewright
