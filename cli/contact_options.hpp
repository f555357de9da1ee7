// contact_options.hpp: what `stripe` and `thrust` ask for alike.
#pragma once

#include <string>

#include "analysis/contact/loaded_lobe.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct ContactCommandOptions {
    std::string run;    // run folder
    Running running;    // speed and mass, or nothing
    std::string setup;  // set-up file of the bench, or empty
    std::string units;  // "mm", "in", or empty: the run's
    bool json = false;
};

/// RUN and all options but a command's own.
void add_contact_options(CLI::App& command, ContactCommandOptions& options);

/// The run, in the unit asked for.
Run run_of(const ContactCommandOptions& options);

/// What the analysis is asked for.
ContactOptions contact_of(const ContactCommandOptions& options);

}  // namespace lobewright
