#include "cli/commands.hpp"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/command_axis.hpp"
#include "cli/command_budget.hpp"
#include "cli/command_card.hpp"
#include "cli/command_compare.hpp"
#include "cli/command_datum.hpp"
#include "cli/command_history.hpp"
#include "cli/command_inspect.hpp"
#include "cli/command_manual.hpp"
#include "cli/command_ports.hpp"
#include "cli/command_regrind.hpp"
#include "cli/command_repeat.hpp"
#include "cli/command_replay.hpp"
#include "cli/command_report.hpp"
#include "cli/command_rig_check.hpp"
#include "cli/command_stripe.hpp"
#include "cli/command_study.hpp"
#include "cli/command_sweep.hpp"
#include "cli/command_thrust.hpp"
#include "cli/command_virtual_rig.hpp"
#include "cli/output.hpp"
#include "cli/version.hpp"

namespace lobewright {
namespace {

constexpr auto overview = R"(Judges a camshaft, lobe by lobe, from dial-indicator sweeps:
reuse, regrind, scrap, or measure again.

A run is a folder that holds one cam measured once: run.toml and sweeps/*.csv.
)";

constexpr auto closing = R"(Examples:
  lobewright compare launch-4-new launch-4-used
      is the used cam fit to go back in?
  lobewright inspect launch-4-used
      what one run tells without a reference
  lobewright regrind launch-4-used --target launch-4-new
      how deep to grind, and what that leaves
  lobewright report launch-4-new launch-4-used
      a page for the customer, in launch-4-used-report.html
  lobewright budget launch-4-used --against launch-4-new
      what the uncertainty comes from, and what to improve first
  lobewright axis launch-4-used
      how straight it is, and what straightening would leave
  lobewright repeat launch-4-new
      how well the bench repeats, and the smallest wear that it can prove
  lobewright card launch-4-new
      durations, centrelines, lift: the cam's card
  lobewright sweep my-cam --port /dev/ttyUSB0
      sweep a cam on the rig, lobe by lobe
  lobewright virtual-rig
      a rig that isn't there, to learn and to test with
  lobewright compare --help
      every option, with more examples

Exit status: 0 fit to reuse; 1 not fit (regrind or scrap); 2 measure again;
64 usage; 65 bad data; 66 no such input; 69 no device; 74 input or output
failed.)";

/// The only list of commands.
void add_commands(CLI::App& app, Action& action) {
    setup_compare(app, action);
    setup_inspect(app, action);
    setup_regrind(app, action);
    setup_report(app, action);
    setup_budget(app, action);
    setup_axis(app, action);
    setup_datum(app, action);
    setup_repeat(app, action);
    setup_card(app, action);
    setup_sweep(app, action);
    setup_bench(app, action);
    setup_replay(app, action);
    setup_stripe(app, action);
    setup_thrust(app, action);
    setup_history(app, action);
    setup_study(app, action);
    setup_ports(app, action);
    setup_rig_check(app, action);
    setup_virtual_rig(app, action);
    setup_manual(app, action);
}

/// "compare, inspect, ...".
std::string names_of(const CLI::App& app) {
    std::vector<std::string> names;
    for (const CLI::App* command :
         app.get_subcommands([](const CLI::App* one) { return !one->get_group().empty(); })) {
        names.push_back(command->get_name());
    }
    return fmt::format("{}", fmt::join(names, ", "));
}

/// Where to read how the command that was named is used.
std::string help_of(const CLI::App& app) {
    const auto named = app.get_subcommands();
    return named.empty() ? "lobewright --help"
                         : fmt::format("lobewright {} --help", named.front()->get_name());
}

Action printing(std::string text) {
    return [text = std::move(text)] {
        write_stdout(text);
        return Exit::fit;
    };
}

}  // namespace

Action choose_action(int argc, const char* const* argv) {
    Action action;
    CLI::App app(overview, "lobewright");
    app.footer(closing);
    app.get_formatter()->column_width(26);
    app.get_formatter()->label("SUBCOMMAND", "COMMAND");
    app.get_formatter()->label("Positionals", "Runs");
    app.get_formatter()->label("REQUIRED", "");
    app.set_help_flag("-h,--help", "print this help");
    app.set_version_flag("--version", version_text(), "print the version, and what it was built with");
    app.require_subcommand(0, 1);
    add_commands(app, action);
    try {
        app.parse(argc, argv);
    } catch (const CLI::CallForVersion&) {
        return printing(version_text());
    } catch (const CLI::Success&) {
        return printing(app.help());  // of the command that was named, if any
    } catch (const CLI::ParseError& error) {
        const bool no_command = app.get_subcommands().empty();
        throw UsageError(fmt::format("{}{} (see {})", error.what(),
                                     no_command ? fmt::format("; commands are {}", names_of(app)) : "",
                                     help_of(app)));
    }
    if (!action) throw UsageError(fmt::format("say what to do: {} (see lobewright --help)", names_of(app)));
    return action;
}

}  // namespace lobewright
