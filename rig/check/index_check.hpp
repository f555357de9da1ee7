// index_check.hpp: does the encoder come back to the same count at its index mark? Model: between two marks passed the same
// way lies a whole number of turns, give or take the one count by which the mark's edge can fall on either side. A
// difference is a slip (noise, supply, a slack coupling) or a wrong number of counts a turn. Passed the other way the mark
// comes up a mark's width away; by common practice that is at most one line, four counts (no source).
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "rig/check/check_record.hpp"

namespace lobewright {

struct IndexCheck {
    std::uint64_t marks = 0;
    std::uint64_t intervals = 0;               // between marks passed the same way
    double turns = 0.0;                        // the longest way turned without a stop to turn back
    std::optional<std::int64_t> worst_counts;  // largest miss of a whole number of turns, with its sign
    std::optional<double> width_counts;  // where it came up forward less where backward, within half a turn
    std::optional<std::int64_t>
        counts_found;  // counts a turn that fit the marks exactly, when those told do not
};

IndexCheck check_index(const CheckRecord& record, std::int64_t counts_per_rev);

}  // namespace lobewright
