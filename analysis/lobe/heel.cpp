#include "analysis/lobe/heel.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>

namespace lobewright {
namespace {

constexpr double seed_deg = 60.0;          // shorter than any heel, long enough to fix a circle
constexpr double low_share = 0.25;         // a seed's mean lies in the lowest quarter of the readings
constexpr double look_ahead_deg = 2.0;     // the stretch whose mean residual decides whether the heel goes on
constexpr double noise_factor = 6.0;       // a mean over the stretch passes this by chance once in 1e9
constexpr double most_allowance_mm = 0.1;  // a base circle rougher than this isn't one

std::size_t points_in(double deg, std::size_t n) {
    return std::max<std::size_t>(1,
                                 static_cast<std::size_t>(std::lround(deg * static_cast<double>(n) / 360.0)));
}

double mean_on(std::span<const double> values, GridArc arc) {
    double sum = 0.0;
    for (std::size_t i = 0; i < arc.count; ++i) sum += values[(arc.first + i) % values.size()];
    return sum / static_cast<double>(arc.count);
}

double residual_rms(std::span<const double> values, GridArc arc) {
    const std::size_t n = values.size();
    const auto fit = SinusoidFit(n, arc).fit(values);
    const auto [cosine, sine] = grid_angles(n);
    double sum = 0.0;
    for (std::size_t i = 0; i < arc.count; ++i) {
        const std::size_t g = (arc.first + i) % n;
        const double r = values[g] - fit.c0 - fit.a * cosine[g] - fit.b * sine[g];
        sum += r * r;
    }
    return std::sqrt(sum / static_cast<double>(arc.count));
}

/// The low stretch of `seed_deg` that lies closest to a circle.
std::optional<GridArc> seed_arc(std::span<const double> values) {
    const std::size_t n = values.size(), step = points_in(10.0, n), length = points_in(seed_deg, n);
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    const double ceiling = *low + low_share * (*high - *low);
    std::optional<GridArc> best;
    double best_rms = 0.0;
    for (std::size_t first = 0; first < n; first += step) {
        const GridArc arc{first, length};
        if (mean_on(values, arc) > ceiling) continue;
        const double rms = residual_rms(values, arc);
        if (!best || rms < best_rms) {
            best = arc;
            best_rms = rms;
        }
    }
    return best;
}

/// Mean residual of a short stretch against the fit of the arc.
double stretch_residual(std::span<const double> values, const Sinusoid& fit, std::size_t from,
                        std::size_t count) {
    const std::size_t n = values.size();
    const auto [cosine, sine] = grid_angles(n);
    double sum = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        const std::size_t g = (from + i) % n;
        sum += values[g] - fit.c0 - fit.a * cosine[g] - fit.b * sine[g];
    }
    return sum / static_cast<double>(count);
}

GridArc grown(std::span<const double> values, GridArc arc, double allowance) {
    const std::size_t n = values.size(), step = points_in(1.0, n), look = points_in(look_ahead_deg, n);
    bool ahead = true, behind = true;
    while ((ahead || behind) && arc.count + 2 * (look + step) < n) {
        const auto fit = SinusoidFit(n, arc).fit(values);
        if (ahead) {
            ahead = std::abs(stretch_residual(values, fit, (arc.first + arc.count) % n, look)) < allowance;
            if (ahead) arc.count += step;
        }
        if (behind) {
            behind = std::abs(stretch_residual(values, fit, (arc.first + n - look) % n, look)) < allowance;
            if (behind) arc = {(arc.first + n - step) % n, arc.count + step};
        }
    }
    return arc;
}

}  // namespace

GridArc find_heel(std::span<const double> values_mm, double noise_mm, const HeelOptions& options) {
    const std::size_t n = values_mm.size();
    const auto seed = seed_arc(values_mm);
    const std::size_t margin = points_in(options.margin_deg, n), least = points_in(options.least_arc_deg, n);
    for (double form = options.form_allowance_mm; seed && form <= most_allowance_mm; form *= 2.0) {
        const GridArc arc = grown(values_mm, *seed, form + noise_factor * noise_mm);
        if (arc.count >= least + 2 * margin) return {(arc.first + margin) % n, arc.count - 2 * margin};
    }
    throw std::domain_error("no stretch is flat enough to be a heel");
}

}  // namespace lobewright
