#include "cli/command_stripe.hpp"

#include <memory>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/contact/stripe.hpp"
#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_stripe.hpp"
#include "cli/progress.hpp"

namespace lobewright {
namespace {

constexpr auto stripe_examples =
    R"(The bright band that running leaves round each lobe, as taper, the tappet's
crown and the spring's load let one expect it, beside what [[lobe.stripe]] in
run.toml says the eye saw. Flat tappets over mid-lobe, with a front-to-rear
zero.

Examples:
  lobewright stripe launch-4-new
      how wide the band should be at heel, ramps and nose of every lobe
  lobewright stripe launch-4-used-nose --lobe 1E
      one lobe unrolled, as a picture
  lobewright stripe launch-4-new --rpm 3000 --mass 0.28
      with the inertia of 0.28 kg moving at the tappet, at 3000 rpm of the crank
  lobewright stripe launch-4-new --json
      everything, for a program

Exit status: 0 printed; 64 usage; 65 bad data; 66 no such input; 74 input or
output failed.)";

}  // namespace

void setup_stripe(CLI::App& app, Action& action) {
    auto options = std::make_shared<StripeCommandOptions>();
    CLI::App* command = app.add_subcommand("stripe", "Show the band that running should leave on each lobe");
    add_contact_options(*command, options->contact);
    add_lobe_option(*command, options->lobes, "this lobe as a picture; may be repeated");
    command->group("Commands");
    command->footer(stripe_examples);
    command->callback([options, &action] {
        check_lobe_option(options->lobes, options->contact.json);
        check_running_options(options->contact.running);
        action = [options] { return run_stripe(*options); };
    });
}

Exit run_stripe(const StripeCommandOptions& options) {
    const StripeReport report = [&] {
        const Progress progress(fmt::format("measuring {}", options.contact.run));
        return stripe_report(run_of(options.contact), contact_of(options.contact));
    }();
    const auto chosen = find_lobes(options.lobes, report.lobes);
    write_stdout(options.contact.json ? present_stripe_json(report) : present_stripe(report, chosen));
    return Exit::fit;
}

}  // namespace lobewright
