// study_lines.hpp: a file of a study's lines, line by line; none is kept.
#pragma once

#include <cstddef>
#include <functional>
#include <string>

namespace lobewright {

/// Gives every whole line with its number; gives back the bytes of a last one that was cut off. Throws NoInputError when there
/// is no such file, IoError when it isn't a plain one or can't be read, DataError at a line longer than any study's.
std::size_t each_study_line(const std::string& file,
                            const std::function<void(const std::string& line, std::size_t at)>& take);

}  // namespace lobewright
