#include "cli/command_datum.hpp"

#include <charconv>
#include <cmath>
#include <memory>
#include <string_view>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/datum/datum_report.hpp"
#include "analysis/run/run_folder.hpp"
#include "analysis/units.hpp"
#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_datum.hpp"
#include "cli/progress.hpp"

namespace lobewright {
namespace {

constexpr auto examples = R"(The front-to-rear zero is what the rear indicator reads more than the front one
on a true parallel. Taper is as good as it. Shown are all findings that the runs
hold, whether they agree, what they say together, and the lines for run.toml.

Examples:
  lobewright datum launch-4-new
      is the zero still right? by the run's own journals and lobes
  lobewright datum launch-4-new --turned launch-4-new-turned
      by the cam swept, turned end for end, and swept again: in the second run
      front_z and rear_z have changed places, as the indicators have on the lobe
  lobewright datum launch-4-new --bar 0.0011,0.0004 --bar 0.0013,0.0004
      two more readings on a parallel, each with its standard uncertainty, in
      the run's units

Exit status: 0 printed; 64 usage; 65 bad data; 66 no such input; 74 input or
output failed.)";

/// "VALUE,U" as an estimate, in units of `per` mm.
DatumEstimate bar_of(const std::string& text, double per) {
    double value = 0.0, u = 0.0;
    const char* const end = text.data() + text.size();
    const auto first = std::from_chars(text.data(), end, value);
    const bool comma = first.ec == std::errc{} && first.ptr != end && *first.ptr == ',';
    const auto second = comma ? std::from_chars(first.ptr + 1, end, u) : first;
    if (!comma || second.ec != std::errc{} || second.ptr != end || !std::isfinite(value) ||
        !std::isfinite(u) || u <= 0.0) {
        throw UsageError(
            fmt::format("--bar {}: give the reading and its standard uncertainty, more than 0, as VALUE,U",
                        one_line(text)));
    }
    return {"bar", value * per, u * per};
}

}  // namespace

void setup_datum(CLI::App& app, Action& action) {
    auto options = std::make_shared<DatumCommandOptions>();
    CLI::App* command = app.add_subcommand("datum", "Find or check the front-to-rear zero");
    command->add_option("RUN", options->run, "run of the cam")->type_name("FOLDER")->required();
    command->add_option("--turned", options->turned, "run of the cam turned end for end")
        ->type_name("FOLDER");
    command->add_option("--bar", options->bars, "reading on a parallel; may be repeated")
        ->type_name("VALUE,U")
        ->allow_extra_args(false);
    add_setup_option(*command, options->setup);
    add_json_option(*command, options->json);
    command->group("Commands");
    command->footer(examples);
    command->callback([options, &action] {
        for (const std::string& bar : options->bars) bar_of(bar, 1.0);
        action = [options] { return run_datum(*options); };
    });
}

Exit run_datum(const DatumCommandOptions& options) {
    const BenchSetUp set_up = set_up_of(options.setup);
    const DatumReport report = [&] {
        const Progress progress(fmt::format("measuring {}", options.run));
        const Run run = read_run(options.run);
        std::vector<DatumEstimate> bars;
        for (const std::string& bar : options.bars) bars.push_back(bar_of(bar, mm_per(run.units)));
        if (options.turned.empty()) return datum_report(run, nullptr, bars, set_up);
        const Run turned = read_run(options.turned);
        return datum_report(run, &turned, bars, set_up);
    }();
    write_stdout(options.json ? present_datum_json(report) : present_datum(report));
    return Exit::fit;
}

}  // namespace lobewright
