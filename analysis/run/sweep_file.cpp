#include "analysis/run/sweep_file.hpp"

#include "analysis/run/run_toml.hpp"
#include "analysis/run/sweep_csv.hpp"
#include "analysis/run/sweep_text.hpp"

namespace lobewright {

namespace {

constexpr int decimals_without_resolution = 7;

/// Decimals of a number as length_text prints it: 4 for a step of 0.0005.
int decimals_of(double length_mm, Units units) {
    const std::string text = length_text(length_mm, units);
    const std::size_t point = text.find('.');
    const bool is_plain = point != std::string::npos && text.find('e') == std::string::npos;
    return is_plain ? static_cast<int>(text.size() - point - 1) : decimals_without_resolution;
}

}  // namespace

std::string sweep_file_text(const Sweep& sweep, Units units, const std::optional<double>& resolution_mm) {
    const int least = resolution_mm ? decimals_of(*resolution_mm, units) : decimals_without_resolution;
    return print_sweep(sweep, units, decimals_that_keep(sweep, units, least));
}

}  // namespace lobewright
