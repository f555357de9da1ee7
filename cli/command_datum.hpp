// command_datum.hpp: `lobewright datum RUN`.
#pragma once

#include <string>
#include <vector>

#include "cli/commands.hpp"
#include "cli/rig_side.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct DatumCommandOptions {
    std::string run;                // run folder
    std::string turned;             // run folder of the cam turned end for end, or empty
    std::vector<std::string> bars;  // "VALUE,U" in the run's units
    std::string setup;              // set-up file, or empty: an indicator over the cam
    bool json = false;
    bool write = false;  // what the findings say together goes into run.toml
    bool take = false;   // on a parallel, at the rig
    int seatings = 5;
    RigSideOptions rig;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_datum(CLI::App& app, Action& action);

/// Reads the runs, finds what they say of the front-to-rear zero, or takes it at the rig, shows it, and writes it into the run
/// where asked; Exit::fit when that was done.
Exit run_datum(const DatumCommandOptions& options);

}  // namespace lobewright
