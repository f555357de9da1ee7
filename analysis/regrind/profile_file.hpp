// profile_file.hpp: a profile to grind to, as a plain text file (docs/profile-file.md): a TOML head, then rows of angle
// and lift.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "analysis/run/run.hpp"

namespace lobewright {

/// A lobe's lift as its profile file gives it. Lengths in mm; the angle's zero is the file's own.
struct ProfileFile {
    std::filesystem::path file;
    std::string name;
    std::optional<LobeKind> kind;  // none: for any lobe
    Follower follower = Follower::flat;
    std::optional<double> follower_radius_mm;  // roller
    std::optional<double> taper_per_mm;        // size, over a millimetre of width
    std::vector<double> angle_deg;             // rising, within one turn
    std::vector<double> lift_mm;               // of the follower; 0 outside the rows
};

/// Throws NoInputError, IoError, or DataError naming file and line for whatever isn't as docs/profile-file.md says.
ProfileFile read_profile_file(const std::filesystem::path& file);

/// The profile's lift on the grid, its centreline (midway between the flanks at half the lift) at grid point 0: a spline
/// through the rows. Throws DataError naming the file when the lift doesn't come down on both sides.
std::vector<double> lift_on_grid(const ProfileFile& profile);

}  // namespace lobewright
