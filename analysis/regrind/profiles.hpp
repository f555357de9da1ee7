// profiles.hpp: profiles that a lobe could be ground to: from a profile file, a run, or a folder of both.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "analysis/run/run.hpp"

namespace lobewright {

/// A profile for one kind of lobe.
struct Profile {
    std::string name;              // the file's own name for it, or "run, lobe"
    std::optional<LobeKind> kind;  // none: for any
    std::vector<double> lift_mm;   // of the cam's follower, on the grid, its centreline at grid point 0
    double largest_lift_mm = 0.0;
    std::optional<double> taper_per_mm;  // size over a millimetre of width, where it is said

    [[nodiscard]] bool suits(LobeKind lobe) const { return !kind || *kind == lobe; }
};

/// The profile of one file. Throws as read_profile_file does, and DataError when it is for another follower.
Profile profile_of_file(const std::filesystem::path& file, const CamInfo& cam);

/// A run's profiles, for each kind the lobe with the most lift, which is the least worn. Throws as read_run and
/// prepare_runs do, and DataError when its follower is another.
std::vector<Profile> profiles_of_run(const std::filesystem::path& folder, const CamInfo& cam);

/// Every run (a folder with run.toml) and every profile file (*.profile) of a folder, by name. What is for another
/// follower is left out with a note; whatever can't be read is an error. Throws DataError when nothing is left.
std::vector<Profile> read_library(const std::filesystem::path& folder, const CamInfo& cam,
                                  std::vector<std::string>& notes);

}  // namespace lobewright
