#include "cli/command_thrust.hpp"

#include <memory>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/contact/thrust_map.hpp"
#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_thrust.hpp"
#include "cli/progress.hpp"

namespace lobewright {
namespace {

constexpr auto thrust_examples =
    R"(Which way each lobe's taper pushes the cam, how hard, and what all of them do
together through one turn, against what holds the cam endwise.

Examples:
  lobewright thrust launch-4-new
      every lobe's push, and the sum through a turn as a picture
  lobewright thrust pump-6-used --rpm 1800 --mass 0.35
      with the inertia of 0.35 kg moving at each tappet
  lobewright thrust launch-4-new --json
      everything, for a program

Exit status: 0 printed; 64 usage; 65 bad data; 66 no such input; 74 input or
output failed.)";

}  // namespace

void setup_thrust(CLI::App& app, Action& action) {
    auto options = std::make_shared<ContactCommandOptions>();
    CLI::App* command = app.add_subcommand("thrust", "Show which way the lobes push the cam, and how hard");
    add_contact_options(*command, *options);
    command->group("Commands");
    command->footer(thrust_examples);
    command->callback([options, &action] {
        check_running_options(options->running);
        action = [options] { return run_thrust(*options); };
    });
}

Exit run_thrust(const ContactCommandOptions& options) {
    const ThrustMap map = [&] {
        const Progress progress(fmt::format("measuring {}", options.run));
        return thrust_map(run_of(options), contact_of(options));
    }();
    write_stdout(options.json ? present_thrust_json(map) : present_thrust(map));
    return Exit::fit;
}

}  // namespace lobewright
