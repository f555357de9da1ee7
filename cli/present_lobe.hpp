// present_lobe.hpp: one lobe in full: every figure with its uncertainty, every rule, every note.
#pragma once

#include <cstddef>
#include <string>

#include "cli/result.hpp"

namespace lobewright {

/// `index` into the result's lobes.
std::string present_lobe(const Result& result, std::size_t index, bool colour);

}  // namespace lobewright
