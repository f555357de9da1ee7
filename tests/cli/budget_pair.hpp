// budget_pair.hpp: runs to ask for a budget, and what to read out of the answer.
#pragma once

#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/cli/json_answer.hpp"
#include "tests/cli/small_run.hpp"

namespace lobewright::tests {

/// A new cam and what wear and another occasion made of it, in `folder`/new and `folder`/used.
inline void write_pair(const TempFolder& folder) {
    write_small_run(folder / "new", {});
    SmallRun used;
    used.id = "cam-used";
    used.condition = "used";
    used.lift_1i_mm = 5.1;
    used.zero_deg = 7.3;
    write_small_run(folder / "used", used);
}

/// Replaces the run's line of this key; an empty `line` takes it out.
inline void set_line(const std::string& run, const std::string& key, const std::string& line) {
    std::istringstream old(text_of(run + "/run.toml"));
    std::string text;
    for (std::string one; std::getline(old, one);) {
        text += one.rfind(key + " = ", 0) != 0 ? one + "\n" : line.empty() ? "" : line + "\n";
    }
    std::ofstream(run + "/run.toml") << text;
}

inline const Json& figure_of(const Json& lobe, const std::string& name) {
    for (const Json& figure : lobe["figures"]) {
        if (figure["figure"] == name) return figure;
    }
    throw std::runtime_error(name + " has no budget");
}

}  // namespace lobewright::tests
