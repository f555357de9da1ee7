#include "cli/common_options.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/errors.hpp"

namespace lobewright {

void add_units_option(CLI::App& command, std::string& units, const std::string& otherwise) {
    command.add_option("--units", units, fmt::format("lengths in mm or in (as {})", otherwise))
        ->type_name("UNIT")
        ->check(CLI::IsMember({"mm", "in"}));
}

Units units_or(const std::string& units, Units otherwise) {
    if (units.empty()) return otherwise;
    return units == "in" ? Units::in : Units::mm;
}

void add_json_option(CLI::App& command, bool& json) {
    command.add_flag("--json", json, "print one JSON object and nothing else");
}

void add_report_option(CLI::App& command, std::string& file) {
    command.add_option("--report", file, "write the report, one HTML page")->type_name("FILE");
}

void add_page_options(CLI::App& command, PageFile& page) {
    add_report_option(command, page.file);
    command.add_flag("--overwrite", page.overwrite, "replace a page that is there");
}

void add_lobe_option(CLI::App& command, std::vector<std::string>& lobes, const std::string& help) {
    command.add_option("--lobe", lobes, help)->type_name("NAME")->allow_extra_args(false);
}

void check_lobe_option(const std::vector<std::string>& lobes, bool json) {
    if (json && !lobes.empty()) {
        throw UsageError("--lobe chooses what the screen shows; --json always holds every lobe");
    }
}

std::vector<std::size_t> find_names(const std::vector<std::string>& wanted,
                                    const std::vector<std::string>& names) {
    std::vector<std::size_t> found;
    for (const std::string& name : wanted) {
        const auto at = std::find(names.begin(), names.end(), name);
        if (at == names.end()) {
            throw UsageError(
                fmt::format("--lobe {}: no such lobe; the run has {}", name, fmt::join(names, ", ")));
        }
        found.push_back(static_cast<std::size_t>(at - names.begin()));
    }
    return found;
}

void add_setup_option(CLI::App& command, std::string& file) {
    command.add_option("--setup", file, "where the indicators stand, and more of the bench")
        ->type_name("FILE");
}

void add_reference_setup_option(CLI::App& command, std::string& file) {
    command.add_option("--reference-setup", file, "the same of the reference run's bench")->type_name("FILE");
}

BenchSetUp set_up_of(const std::string& file) {
    return file.empty() ? BenchSetUp{} : read_bench_set_up(file);
}

void add_running_options(CLI::App& command, Running& running) {
    command.add_option("--rpm", running.crank_rpm, "speed of the crank, for inertia")->type_name("N");
    command.add_option("--mass", running.mass_kg, "moving mass at each tappet, kg")->type_name("KG");
}

void check_running_options(const Running& running) {
    if (running.crank_rpm && !running.mass_kg)
        throw UsageError("--rpm needs the moving mass: give --mass KG as well");
    if (running.mass_kg && !running.crank_rpm) throw UsageError("--mass needs a speed: give --rpm N as well");
    for (const auto& [value, option] : {std::pair{running.crank_rpm, "--rpm"}, {running.mass_kg, "--mass"}}) {
        if (value && !(*value > 0.0 && std::isfinite(*value))) {
            throw UsageError(fmt::format("{} {:g}: must be above 0", option, *value));
        }
    }
}

}  // namespace lobewright
