// new_run.hpp: a run that isn't there yet, from what was given on the command line, from a run like it, and from questions:
// whatever run.toml requires (docs/run-folder.md) and nothing else.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "analysis/run/run.hpp"

namespace lobewright {

struct NewRunOptions {
    std::string like;  // a run whose cam, tappet, valve train, rig, datum, journals and lobes are taken over
    std::vector<std::string> settings;  // "cam.follower=flat"; keys as in run.toml, `units` alone
    std::vector<std::string> lobes;     // "1E,exhaust,30,12"
    std::vector<std::string> journals;  // "J1,10"

    [[nodiscard]] bool any() const {
        return !like.empty() || !settings.empty() || !lobes.empty() || !journals.empty();
    }
};

/// The run, without sweeps; `folder` gives the id where none is given. What is required and wasn't given is asked for when
/// standard input and output are a terminal. Throws UsageError naming what is missing otherwise, or what can't be
/// understood; what read_run throws for `like`.
Run new_run(const std::filesystem::path& folder, const NewRunOptions& options);

/// Now, as run.toml's `taken` is written.
std::string time_now();

}  // namespace lobewright
