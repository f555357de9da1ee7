// kill_round.hpp: the program killed while a lobe is swept, and started again: how much of what the rig had sent is gone?
#pragma once

#include <algorithm>
#include <csignal>
#include <filesystem>
#include <random>
#include <stdexcept>
#include <string>
#include <vector>

#include "analysis/run/run_folder.hpp"
#include "tests/cli/program.hpp"
#include "tests/cli/pty_program.hpp"
#include "tests/cli/pty_rig.hpp"

namespace lobewright::tests {

struct KillRound {
    std::int64_t sent = 0;   // the encoder's count when the program was killed
    std::int64_t saved = 0;  // the last count in the sweep that the next start saved
};

/// Kills with SIGKILL somewhere between 5 and 365 degrees, most times in the middle of reading. Throws when the program
/// doesn't show what it should.
inline KillRound kill_round(std::mt19937& random) {
    const TempFolder folder;
    const std::string run = folder / "run";
    PtyRig rig;
    const auto wants = [](bool held, const std::string& what) {
        if (!held) throw std::runtime_error("never shown: " + what);
    };
    std::vector<std::string> words{"sweep", run, "--port", rig.port()};
    const auto fresh = new_run_words();
    KillRound round;
    {
        auto first = words;
        first.insert(first.end(), fresh.begin(), fresh.end());
        PtyProgram program(first, "dumb");
        wants(program.shows("Enter when set"), "Enter when set");
        program.press("\n");
        wants(program.shows("Turn the cam"), "Turn the cam");
        wants(comes_true([&] { return program.shown().find("missing the whole turn") != std::string::npos; }),
              "the sweep");
        const double kill_deg = std::uniform_real_distribution(5.0, 365.0)(random);
        double deg = -5.0;
        for (; deg + 1.0 < kill_deg; deg += 1.0) {
            rig.turn_to(deg);
            rig.drain();
            if (static_cast<int>(deg) % 30 == 0) program.shown();
        }
        rig.turn_to(kill_deg);
        program.signal(SIGKILL);
        if (program.ends() != -SIGKILL) throw std::runtime_error("the program ended before it was killed");
        round.sent = rig.count();
    }
    rig.plug_in_anew();
    PtyProgram again(words, "dumb");
    if (!again.shows("Saved from its capture"))
        throw std::runtime_error(
            fmt::format("the next start ends with status {} and has said: {}", again.ends(), again.shown()));
    wants(again.shows("Enter when set"), "Enter when set");
    again.press("q");
    again.ends();
    const Run read = read_run(run);
    const auto& counts = read.sweeps.at(0).count;
    round.saved = *std::max_element(counts.begin(), counts.end());
    return round;
}

}  // namespace lobewright::tests
