#include "cli/command_history.hpp"

#include <memory>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/history/history.hpp"
#include "analysis/run/run_folder.hpp"
#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_history.hpp"
#include "cli/progress.hpp"
#include "cli/report/write_report.hpp"

namespace lobewright {
namespace {

constexpr auto history_examples =
    R"(One cam measured again and again as its hours grow ([run] hours): lift lost and
taper left on every lobe, how fast they go, and when a limit is reached at that
rate, where the runs prove it. Order doesn't matter; the run with the fewest
hours is what the others are held against.

Examples:
  lobewright history pump-6-new pump-6-used
      two runs of one cam: a rate for each lobe, and where it leads
  lobewright history pump-6-new pump-6-used --limits shop.toml
      until the shop's own limits are reached
  lobewright history pump-6-new pump-6-used --json
      everything, for a program

Exit status: 0 printed; 64 usage; 65 bad data; 66 no such input; 74 input or
output failed.)";

}  // namespace

void setup_history(CLI::App& app, Action& action) {
    auto options = std::make_shared<HistoryCommandOptions>();
    CLI::App* command = app.add_subcommand("history", "Show wear against running hours, and where it leads");
    command->add_option("RUN", options->runs, "runs of one cam, two or more")
        ->type_name("FOLDER")
        ->required();
    command->add_option("--limits", options->limits, "limits of the shop (common practice)")
        ->type_name("FILE");
    add_units_option(*command, options->units, "the first run");
    add_json_option(*command, options->json);
    add_page_options(*command, options->page);
    command->group("Commands");
    command->footer(history_examples);
    command->callback([options, &action] { action = [options] { return run_history(*options); }; });
}

Exit run_history(const HistoryCommandOptions& options) {
    const History history = [&] {
        const Progress progress(fmt::format("measuring {} runs", options.runs.size()));
        const Limits limits = options.limits.empty() ? Limits{} : read_limits(options.limits);
        std::vector<Run> runs;
        for (const std::string& folder : options.runs) runs.push_back(read_run(folder));
        History found = history_of(runs, limits);
        found.units = units_or(options.units, found.units);
        return found;
    }();
    if (!options.page.file.empty()) {
        write_page(present_history_json(history),
                   fmt::format("Wear against hours: {} runs", history.runs.size()), present_history(history),
                   options.page.file, options.page.overwrite);
    }
    write_stdout(options.json ? present_history_json(history) : present_history(history));
    return Exit::fit;
}

}  // namespace lobewright
