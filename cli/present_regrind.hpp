// present_regrind.hpp: a regrind plan on the screen, as JSON (lobewright-regrind/1), and as the grinder's tables.
#pragma once

#include <filesystem>
#include <string>

#include "analysis/regrind/regrind_cam.hpp"
#include "cli/text_table.hpp"

namespace lobewright {

/// All that the command has to show.
struct RegrindResult {
    RegrindPlan plan;
    Limits limits;
    Units units = Units::mm;
    double shift_deg = 0.0;  // what was allowed
};

std::string present_regrind(const RegrindResult& result, bool colour);

std::string present_regrind_json(const RegrindResult& result);

/// Table of one lobe as CSV: `# key: value` lines, then a row every `step_deg`.
std::string grind_table_csv(const RegrindResult& result, std::size_t lobe, double step_deg);

/// One file a lobe. Throws IoError when one stands there already and `overwrite` is false.
void write_grind_tables(const RegrindResult& result, const std::filesystem::path& folder, double step_deg,
                        bool overwrite);

}  // namespace lobewright
