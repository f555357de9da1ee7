#include "cli/command_card.hpp"

#include <cmath>
#include <memory>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/card/card.hpp"
#include "analysis/run/run_folder.hpp"
#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_card.hpp"
#include "cli/present_card_json.hpp"
#include "cli/progress.hpp"
#include "cli/report/write_report.hpp"

namespace lobewright {
namespace {

constexpr auto card_examples =
    R"(Durations are stated at 0.006 and 0.050 in (0.1524 and 1.27 mm) of tappet lift;
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
    check_lobe_option(options.lobes, options.json);
    for (const double lift : options.lifts) {
        if (!(lift > 0.0) || !std::isfinite(lift))
            throw UsageError(fmt::format("--at {}: give a lift above zero", lift));
    }
    if (options.tdc_deg && !std::isfinite(*options.tdc_deg)) {
        throw UsageError(fmt::format("--tdc {}: give a cam angle in degrees", *options.tdc_deg));
    }
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
    add_lobe_option(*command, options->lobes, "every figure of this lobe; may be repeated");
    add_setup_option(*command, options->setup);
    add_units_option(*command, options->units, "the run");
    add_json_option(*command, options->json);
    add_page_options(*command, options->page);
    command->group("Commands");
    command->footer(card_examples);
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
        chosen = find_lobes(options.lobes, run.lobes);
        units = units_or(options.units, run.units);
        CardOptions asked;
        for (const double lift : options.lifts) asked.lifts_mm.push_back(lift * mm_per(units));
        asked.tdc_deg = options.tdc_deg;
        asked.set_up = set_up_of(options.setup);
        return card_of(run, asked);
    }();
    if (!options.page.file.empty()) {
        write_page(present_card_json(card, units), fmt::format("Card of {}", one_line(card.run.id)),
                   present_card(card, units), options.page.file, options.page.overwrite);
    }
    if (options.json) {
        write_stdout(present_card_json(card, units));
    } else {
        write_stdout(chosen.empty() ? present_card(card, units) : present_card_lobes(card, chosen, units));
    }
    return Exit::fit;
}

}  // namespace lobewright
