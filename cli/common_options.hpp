// common_options.hpp: the options that commands on runs share, declared and understood once.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "analysis/contact/loaded_lobe.hpp"
#include "analysis/support/bench_set_up.hpp"
#include "analysis/units.hpp"

namespace CLI {
class App;
}

namespace lobewright {

/// `--units mm|in`; the help says what holds without it: (as `otherwise`).
void add_units_option(CLI::App& command, std::string& units, const std::string& otherwise);

/// What `--units` says, or `otherwise` when it isn't given.
Units units_or(const std::string& units, Units otherwise);

/// `--json`.
void add_json_option(CLI::App& command, bool& json);

/// Where a report's page goes; none where `file` is empty.
struct PageFile {
    std::string file;
    bool overwrite = false;
};

/// `--report FILE` and `--overwrite`.
void add_page_options(CLI::App& command, PageFile& page);
/// `--report FILE` for a command that has an `--overwrite` of its own.
void add_report_option(CLI::App& command, std::string& file);

/// `--lobe NAME`, as often as wanted; `help` says what it shows of a lobe.
void add_lobe_option(CLI::App& command, std::vector<std::string>& lobes, const std::string& help);

/// Throws UsageError when `--lobe` is asked for beside `--json`, which holds every lobe anyway.
void check_lobe_option(const std::vector<std::string>& lobes, bool json);

/// Where the `wanted` lobes stand among `lobes` (anything with a name each), in the order wanted. Throws UsageError
/// that lists those there are.
std::vector<std::size_t> find_names(const std::vector<std::string>& wanted,
                                    const std::vector<std::string>& names);

template <class Lobes>
std::vector<std::size_t> find_lobes(const std::vector<std::string>& wanted, const Lobes& lobes) {
    std::vector<std::string> names;
    names.reserve(lobes.size());
    for (const auto& lobe : lobes) names.push_back(lobe.name);
    return find_names(wanted, names);
}

/// `--setup FILE`.
void add_setup_option(CLI::App& command, std::string& file);

/// `--reference-setup FILE`.
void add_reference_setup_option(CLI::App& command, std::string& file);

/// The bench of a set-up file, or an indicator over the cam when no file is named.
BenchSetUp set_up_of(const std::string& file);

/// `--rpm N` and `--mass KG`: how the engine runs.
void add_running_options(CLI::App& command, Running& running);

/// Throws UsageError when one is given without the other, or isn't above zero.
void check_running_options(const Running& running);

}  // namespace lobewright
