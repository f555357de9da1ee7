#include "cli/contact_options.hpp"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>

#include "analysis/run/run_folder.hpp"
#include "cli/common_options.hpp"

namespace lobewright {

void add_contact_options(CLI::App& command, ContactCommandOptions& options) {
    command.add_option("RUN", options.run, "run of the cam")->type_name("FOLDER")->required();
    add_running_options(command, options.running);
    add_setup_option(command, options.setup);
    add_units_option(command, options.units, "the run");
    add_json_option(command, options.json);
}

Run run_of(const ContactCommandOptions& options) {
    Run run = read_run(options.run);
    run.units = units_or(options.units, run.units);
    return run;
}

ContactOptions contact_of(const ContactCommandOptions& options) {
    ContactOptions asked;
    asked.running = options.running;
    asked.set_up = set_up_of(options.setup);
    return asked;
}

}  // namespace lobewright
