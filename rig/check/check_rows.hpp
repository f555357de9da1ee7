// check_rows.hpp: a rig's figures held against what a good bench shows (docs/rig-check.md).
#pragma once

#include <string>
#include <vector>

#include "rig/check/rig_figures.hpp"

namespace lobewright {

enum class CheckVerdict { pass, look, unknown };

struct CheckRow {
    std::string what;
    std::string found;
    CheckVerdict verdict = CheckVerdict::unknown;
    std::string advice;  // what to look at, or what is missing to know
};

std::vector<CheckRow> check_rows(const RigFigures& figures);

/// Lines for a run's [rig] that the rig itself knows.
std::string rig_lines_for_run(const RigFigures& figures);

}  // namespace lobewright
