#include "analysis/follower/follower_motion.hpp"

#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include <fmt/format.h>

namespace lobewright {
namespace {

constexpr std::size_t points_at_half_degrees = 720;

/// A lift so many half degrees ahead (negative: behind) and what it counts.
struct Term {
    std::ptrdiff_t half_degrees = 0;
    double factor = 0.0;
};

struct HandbookDifference {
    double span_deg;
    int order;
    std::array<Term, 4> terms;  // unused ones count nothing
};

HandbookDifference stencil_of(Derivative which) {
    switch (which) {
        case Derivative::velocity:
            return {1.0, 1, {{{1, 1.0}, {-1, -1.0}}}};
        case Derivative::acceleration:
            return {2.0, 2, {{{4, 1.0}, {0, -2.0}, {-4, 1.0}}}};
        case Derivative::jerk:
            break;
    }
    return {3.0, 3, {{{9, 1.0}, {3, -3.0}, {-3, 3.0}, {-9, -1.0}}}};
}

/// Calls visit(index, factor) for the lifts that make the derivative at g.
template <class Visit>
void visit_terms(std::size_t n, std::size_t g, const HandbookDifference& stencil, const Visit& visit) {
    const auto points = static_cast<std::ptrdiff_t>(n);
    const auto step = static_cast<std::ptrdiff_t>(n / points_at_half_degrees);
    const double scale = 1.0 / std::pow(stencil.span_deg * std::numbers::pi / 180.0, stencil.order);
    for (const Term& term : stencil.terms) {
        if (term.factor == 0.0) continue;
        const auto at = static_cast<std::ptrdiff_t>(g) + step * term.half_degrees;
        visit(static_cast<std::size_t>((at % points + points) % points), scale * term.factor);
    }
}

void check_grid(std::size_t n) {
    if (n > 0 && n % points_at_half_degrees == 0) return;
    throw std::domain_error(fmt::format(
        "a follower's motion can't be formed on {} points round the turn; give a multiple of 720", n));
}

}  // namespace

std::vector<double> follower_motion(std::span<const double> lift_mm, Derivative which) {
    check_grid(lift_mm.size());
    const HandbookDifference stencil = stencil_of(which);
    std::vector<double> out(lift_mm.size(), 0.0);
    for (std::size_t g = 0; g < out.size(); ++g) {
        visit_terms(out.size(), g, stencil,
                    [&](std::size_t at, double factor) { out[g] += factor * lift_mm[at]; });
    }
    return out;
}

std::vector<double> motion_weights(std::size_t n, std::size_t g, Derivative which) {
    std::vector<double> out(n, 0.0);
    add_motion_weights(out, g, which, 1.0);
    return out;
}

void add_motion_weights(std::vector<double>& to, std::size_t g, Derivative which, double factor) {
    check_grid(to.size());
    visit_terms(to.size(), g, stencil_of(which),
                [&](std::size_t at, double term) { to[at] += factor * term; });
}

}  // namespace lobewright
