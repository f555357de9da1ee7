// fault_study.hpp: each trouble of a rig, put on by the virtual rig while the shipped `lobewright sweep` takes a lobe, and
// what became of it. What the sweep holds is compared row by row with what the controller truly latched.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace lobewright::tests {

struct FaultCase {
    std::string name;                  // as the page calls it
    std::vector<std::string> options;  // of virtual-rig
};

struct FaultOutcome {
    std::string name;
    std::size_t injected = 0;        // faults that the virtual rig wrote down
    std::size_t rows = 0;            // of the sweep
    std::size_t wrong = 0;           // that aren't what was latched at that place, or were stuck
    bool whole = false;              // the program took the turn as whole
    bool ended = true;               // by itself
    std::vector<std::string> named;  // troubles, in the program's own words, each once
    std::string said;                // all that it said

    /// Wrong rows, or a turn that isn't whole, and nobody was told.
    [[nodiscard]] bool silent() const { return named.empty() && (wrong > 0 || !whole); }
};

std::vector<FaultCase> fault_cases();

/// Those whose names are given; an unknown name is std::runtime_error.
std::vector<FaultCase> fault_cases(const std::vector<std::string>& names);

FaultOutcome try_fault(const FaultCase& fault);

/// docs/rig-faults.md.
std::string fault_page(const std::vector<FaultOutcome>& outcomes);

}  // namespace lobewright::tests
