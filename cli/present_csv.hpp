// present_csv.hpp: lobes' curves as CSV, a file a lobe, for a grinder's spreadsheet or a script.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "cli/result.hpp"

namespace lobewright {

/// One lobe's curves: `#` lines that say what it is (format, run, lobe, units), then
/// `angle_deg,front,rear,taper,wear_front,wear_rear` (the wear only with a reference run) and a row an angle.
/// Lift above the base circle at the lobe's edges. An empty cell can't be known.
std::string present_csv(const Result& result, std::size_t index);

/// The file that lobe's curves go to: the lobe's name with `.csv`, bytes that file systems refuse as %XX.
std::filesystem::path csv_name(const std::string& lobe);

/// Writes one file a lobe into `folder`, which is made when it isn't there. Throws IoError before anything is
/// written when one of the files stands there already and `overwrite` isn't said, or when writing fails.
void write_csv_files(const Result& result, const std::filesystem::path& folder, bool overwrite);

}  // namespace lobewright
