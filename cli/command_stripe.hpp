// command_stripe.hpp: `lobewright stripe RUN`.
#pragma once

#include <string>
#include <vector>

#include "cli/commands.hpp"
#include "cli/contact_options.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct StripeCommandOptions {
    ContactCommandOptions contact;
    std::vector<std::string> lobes;  // with their picture; none: the table of all
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_stripe(CLI::App& app, Action& action);

/// Reads the run, works out and shows; Exit::fit when printed.
Exit run_stripe(const StripeCommandOptions& options);

}  // namespace lobewright
