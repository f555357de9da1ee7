// study_line.hpp: one run of a study as one line of JSON (docs/study.md).
#pragma once

#include <string>

#include "analysis/judge/limits.hpp"
#include "analysis/study/study.hpp"

namespace lobewright {

/// The line, with its newline.
std::string study_line(const JudgedRun& run, const Limits& limits);

/// Whether JSON can hold these bytes as they are.
bool is_utf8(const std::string& text);

/// What tells one run of a study from another: its path and its reference's, as they stand in its line.
std::string study_key(const StudyItem& item);
/// The same of a line that was read. Throws DataError for one that isn't of a study; `where` names it in the message.
std::string study_key_of(const std::string& line, const std::string& where);

}  // namespace lobewright
