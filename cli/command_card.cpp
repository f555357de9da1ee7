#include "cli/command_card.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/card/card.hpp"
#include "analysis/run/run_folder.hpp"
#include "cli/output.hpp"
#include "cli/present_card.hpp"
#include "cli/present_card_json.hpp"
#include "cli/progress.hpp"

namespace lobewright {
namespace {

constexpr auto examples = R"(Durations are stated at 0.006 and 0.050 in (0.1524 and 1.27 mm) of tappet lift;
--at adds others. Durations, overlap and advance count crank degrees, nose and
separation cam degrees. The cam is taken as it is, worn or not.

Examples:
  lobewright card launch-4-new
      the whole card
  lobewright card launch-4-new --tdc 179.4
      with advance and valve timing: at 179.4 degrees of the run's angles
      cylinder 1 stands at top dead centre between its exhaust and intake stroke
  lobewright card pump-6-new --at 0.020 --at 0.100
      durations at 0.020 and 0.100 in as well, the run being in inches
  lobewright card launch-4-new --lobe 1E --units in
      every figure of one lobe with its +/-
  lobewright card launch-4-new --json
      everything, for a program

Exit status: 0 printed; 64 usage; 65 bad data; 66 no such input; 74 input or
output failed.)";

void check_options(const CardCommandOptions& options) {
    if (options.json && !options.lobes.empty()) {
        throw UsageError("--lobe chooses what the screen shows; --json always holds every lobe");
    }
    for (const double lift : options.lifts) {
        if (!(lift > 0.0) || !std::isfinite(lift))
            throw UsageError(fmt::format("--at {}: give a lift above zero", lift));
    }
    if (options.tdc_deg && !std::isfinite(*options.tdc_deg)) {
        throw UsageError(fmt::format("--tdc {}: give a cam angle in degrees", *options.tdc_deg));
    }
}

/// Where the named lobes stand; throws UsageError that lists those there are.
std::vector<std::size_t> find_lobes(const std::vector<std::string>& wanted, const Run& run) {
    std::vector<std::string> names;
    for (const Lobe& lobe : run.lobes) names.push_back(lobe.name);
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

}  // namespace

void setup_card(CLI::App& app, Action& action) {
    auto options = std::make_shared<CardCommandOptions>();
    CLI::App* command = app.add_subcommand("card", "Write the cam's card: durations, centrelines, lift");
    command->add_option("RUN", options->run, "run of the cam")->type_name("FOLDER")->required();
    command->add_option("--at", options->lifts, "durations at this tappet lift, too; may be repeated")
        ->type_name("LIFT")
        ->allow_extra_args(false);
    command->add_option("--tdc", options->tdc_deg, "cam angle of cylinder 1's top dead centre")
        ->type_name("DEG");
    command->add_option("--lobe", options->lobes, "every figure of this lobe; may be repeated")
        ->type_name("NAME")
        ->allow_extra_args(false);
    command->add_option("--setup", options->setup, "where the indicators stand, and more of the bench")
        ->type_name("FILE");
    command->add_option("--units", options->units, "lengths in mm or in (as the run)")
        ->type_name("UNIT")
        ->check(CLI::IsMember({"mm", "in"}));
    command->add_flag("--json", options->json, "print one JSON object and nothing else");
    command->group("Commands");
    command->footer(examples);
    command->callback([options, &action] {
        check_options(*options);
        action = [options] { return run_card(*options); };
    });
}

Exit run_card(const CardCommandOptions& options) {
    std::vector<std::size_t> chosen;
    Units units = Units::mm;
    const Card card = [&] {
        const Progress progress(fmt::format("measuring {}", options.run));
        const Run run = read_run(options.run);
        chosen = find_lobes(options.lobes, run);
        units = options.units.empty() ? run.units : options.units == "in" ? Units::in : Units::mm;
        CardOptions asked;
        for (const double lift : options.lifts) asked.lifts_mm.push_back(lift * mm_per(units));
        asked.tdc_deg = options.tdc_deg;
        if (!options.setup.empty()) asked.set_up = read_bench_set_up(options.setup);
        return card_of(run, asked);
    }();
    if (options.json) {
        write_stdout(present_card_json(card, units));
    } else {
        write_stdout(chosen.empty() ? present_card(card, units) : present_card_lobes(card, chosen, units));
    }
    return Exit::fit;
}

}  // namespace lobewright
