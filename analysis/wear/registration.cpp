// Notation: U, R used and reference displacement at a lobe edge; s = dR/dtheta at theta - delta; m = weights
// of the flank stretches.  delta += -sum m s (U - R) / sum m s^2.
#include "analysis/wear/registration.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "analysis/constants.hpp"
#include "analysis/errors.hpp"
#include "analysis/lobe/grid.hpp"
#include "analysis/wear/same_cam.hpp"

namespace lobewright {
namespace {

constexpr int iterations = 4;                   // Gauss-Newton on smooth flanks gains three digits a step
constexpr double least_common_heel_deg = 60.0;  // less, and the two lobes are not the same

/// Both arcs' common part; the reference's is moved by `shift` grid points.
std::optional<GridArc> common_arc(GridArc used, GridArc reference, std::ptrdiff_t shift) {
    const GridArc other{on_turn(static_cast<std::ptrdiff_t>(reference.first) + shift), reference.count};
    GridArc best;
    GridArc run;
    for (std::size_t i = 0; i < 2 * grid_points; ++i) {
        const std::size_t g = i % grid_points;
        if (used.holds(g, grid_points) && other.holds(g, grid_points)) {
            if (run.count == 0) run.first = g;
            ++run.count;
            if (run.count > best.count) best = run;
            if (run.count == grid_points) break;
        } else {
            run = {};
        }
    }
    if (static_cast<double>(best.count) < least_common_heel_deg * grid_points / 360.0) return std::nullopt;
    return best;
}

LobeLandmarks marks_of(const std::string& name, const LobeOnGrid& shape, EdgeMix mid) {
    return lobe_landmarks(name, mixed(shape, mid));
}

/// Weights of the two flank stretches together, by angle (their sum is their length in grid steps).
std::vector<double> flank_weights(const LobeLandmarks& marks) {
    auto weights = mean_weights(marks.low.opening, marks.high.opening);
    const auto closing = mean_weights(marks.high.closing, marks.low.closing);
    const double a = marks.high.opening - marks.low.opening, b = marks.low.closing - marks.high.closing;
    for (std::size_t g = 0; g < weights.size(); ++g) weights[g] = a * weights[g] + b * closing[g];
    return weights;
}

std::vector<double> slope_of(const std::vector<double>& curve) {
    std::vector<double> slope(grid_points);
    const double per_rad = static_cast<double>(grid_points) / two_pi;
    for (std::size_t g = 0; g < grid_points; ++g) {  // five-point central difference
        const auto at = [&](std::size_t d) { return curve[(g + grid_points + d - 2) % grid_points]; };
        slope[g] = per_rad * (at(0) - 8.0 * at(1) + 8.0 * at(3) - at(4)) / 12.0;
    }
    return slope;
}

struct Edges {
    std::array<EdgeMix, 2> used;
    std::array<EdgeMix, 2> reference;
};

}  // namespace

Registered register_lobes(const LobeCurve& reference, const LobeCurve& used,
                          const LobeGeometry& reference_geometry, const LobeGeometry& used_geometry) {
    // The used run's lobe width counts in both runs (docs/figures.md).
    LobeGeometry reference_on_used = reference_geometry;
    reference_on_used.width_mm = used_geometry.width_mm;
    const Edges edges{{used_geometry.front_edge(), used_geometry.rear_edge()},
                      {reference_on_used.front_edge(), reference_on_used.rear_edge()}};
    const auto used_alone = marks_of(used.name, lobe_on_grid(used, 0.0, SinusoidFit(grid_points, used.heel)),
                                     used_geometry.mid());
    const auto reference_alone =
        marks_of(used.name, lobe_on_grid(reference, 0.0, SinusoidFit(grid_points, reference.heel)),
                 reference_geometry.mid());
    double shift = used_alone.half.middle() - reference_alone.half.middle();  // grid steps, a first guess
    const auto arc = common_arc(used.heel, reference.heel, std::lround(shift));
    if (!arc) {
        throw DataError(
            fmt::format("lobe '{}': its heel in the used run and in the reference run don't lie over each "
                        "other; check that both runs are of the same cam",
                        used.name));
    }
    const SinusoidFit heel(grid_points, *arc);
    Registered out;
    out.heel = *arc;
    out.delta_rad = shift * two_pi / static_cast<double>(grid_points);
    out.used = lobe_on_grid(used, 0.0, heel);
    out.used_marks = marks_of(used.name, out.used, used_geometry.mid());
    for (int i = 0; i < iterations; ++i) {
        out.reference = lobe_on_grid(reference, out.delta_rad, heel);
        out.reference_marks = marks_of(used.name, out.reference, reference_geometry.mid());
        const auto weights = flank_weights(out.reference_marks);
        double cross = 0.0, square = 0.0;
        out.delta = {};
        for (std::size_t e = 0; e < 2; ++e) {
            const auto u = mixed(out.used, edges.used[e]), r = mixed(out.reference, edges.reference[e]);
            const auto s = slope_of(r);
            std::vector<double> influence(grid_points);
            for (std::size_t g = 0; g < grid_points; ++g) {
                cross += weights[g] * s[g] * (u[g] - r[g]);
                square += weights[g] * s[g] * s[g];
                influence[g] = weights[g] * s[g];
            }
            out.delta.used.add(edges.used[e], influence, -1.0);
            out.delta.reference.add(edges.reference[e], influence, 1.0);
        }
        Influence scaled;
        scaled.add(out.delta, 1.0 / square);
        out.delta = std::move(scaled);
        if (i + 1 < iterations) out.delta_rad -= cross / square;
    }
    check_same_lobe(used.name, {outline_of(out.used, used_geometry),
                                outline_of(out.reference, reference_on_used), out.reference_marks});
    return out;
}

}  // namespace lobewright
