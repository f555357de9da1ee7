// sweep_text.hpp: a parsed sweep together with where its `#` lines stand, for messages about them.
#pragma once

#include <filesystem>
#include <string_view>

#include "analysis/run/run.hpp"
#include "analysis/run/sweep_header.hpp"

namespace lobewright {

struct SweepText {
    Sweep sweep;
    SweepHeader header;
};

/// As parse_sweep (sweep_csv.hpp).
SweepText parse_sweep_text(std::string_view text, const std::filesystem::path& file, Units units);

/// The least decimals, from `at_least` to 12, that print every reading of the sweep exactly; where not even
/// 12 do, because the readings don't come from decimals: `at_least` or 9 (a picometre), whichever is more.
int decimals_that_keep(const Sweep& sweep, Units units, int at_least);

}  // namespace lobewright
