#include "analysis/lobe/grid.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/constants.hpp"

namespace lobewright {
std::vector<double> on_grid(const PeriodicSpline& spline, double offset_rad) {
    std::vector<double> values(grid_points);
    const auto& c = spline.coefficients();
    const std::size_t k = c.size();
    if (k == grid_points) {  // every grid point has the same place within its interval
        const auto site = spline_site(offset_rad, k);
        for (std::size_t g = 0; g < grid_points; ++g) {
            double sum = 0.0;
            for (std::size_t p = 0; p < 4; ++p) {
                std::size_t j = site.first + g + p;
                while (j >= k) j -= k;
                sum += site.weight[p] * c[j];
            }
            values[g] = sum;
        }
        return values;
    }
    for (std::size_t g = 0; g < grid_points; ++g) {
        values[g] =
            spline.value(two_pi * static_cast<double>(g) / static_cast<double>(grid_points) + offset_rad);
    }
    return values;
}

bool on_arc(const GridArc& arc, double theta_rad) {
    const double x = theta_rad / two_pi;
    const auto g = static_cast<std::size_t>((x - std::floor(x)) * static_cast<double>(grid_points));
    return arc.holds(std::min(g, grid_points - 1), grid_points);
}

}  // namespace lobewright
