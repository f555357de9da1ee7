// study_read.hpp: the lines of a study, from one file or many shards, to its summary.
#pragma once

#include <string>
#include <vector>

#include "analysis/study/study_summary.hpp"

namespace lobewright {

/// Reads line by line and keeps no line. A run that stands twice (in two shards) counts once, as it stands last. A last
/// line that was cut off is passed over; its file's name is added to `cut_off`. Throws NoInputError, IoError, or DataError naming file
/// and line.
StudySummary read_study(const std::vector<std::string>& files, std::vector<std::string>& cut_off);

}  // namespace lobewright
