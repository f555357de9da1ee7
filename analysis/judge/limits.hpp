// limits.hpp: the limits that a cam is judged by, and where each came from.
// The shop can own them in a TOML file; the built-in ones are common practice and say so (docs/measuring.md section
// 8).
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace lobewright {

/// Limits in mm. The defaults are common practice, no source; the engine maker's figures come before them.
struct Limits {
    std::string source = "built-in, common practice";  // or the file they came from
    double lift_loss_mm = 0.13;                        // largest lift lost
    double base_circle_runout_mm = 0.05;               // as swept, either edge
    double bend_mm = 0.05;                             // total indicator reading
    double least_ramp_taper_mm = 0.005;                // flat tappets: on either ramp, over the lobe's width
    double run_in_lift_loss_mm = 0.03;  // the same two after a run-in, which takes off next to nothing
    double run_in_least_ramp_taper_mm = 0.010;     // and must leave taper for a lobe's whole life
    double flat_taper_mm = 0.003;                  // below it the lobe counts as flat (the nose's flat arc)
    double taper_without_need_mm = 0.010;          // roller and flat-offset followers: above it is a finding
    std::optional<double> least_base_diameter_mm;  // after regrind
    double least_case_left_mm = 0.5;               // after regrind, where the case depth is given
};

/// Reads a limits file. Keys: `format = "lobewright-limits/1"`, `units = "mm" | "in"`, and under [limits] the
/// names of the struct's fields without `_mm`; keys left out keep their defaults. Throws NoInputError,
/// IoError, or DataError naming file, line and key for an unknown key, a wrong type, or a limit that isn't
/// positive.
Limits read_limits(const std::filesystem::path& file);

}  // namespace lobewright
