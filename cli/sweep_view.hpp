// sweep_view.hpp: from a session, and the little that it doesn't know itself, to the value that every view is drawn from
// (shown_sweep.hpp).
#pragma once

#include <string>
#include <vector>

#include "analysis/run/run.hpp"
#include "cli/shown_sweep.hpp"
#include "rig/session/sweep_session.hpp"

namespace lobewright {

/// What the session itself doesn't know.
struct BenchFacts {
    const Run* run = nullptr;
    std::string port;
    std::optional<double> most_deg_per_s;
    bool quiet = false;                     // nothing has come from the rig for a while: the cam stands
    bool motor = false;                     // it turns
    bool has_motor = false;                 // and was asked for
    std::vector<std::string> says;          // the latest news, shown where the next lobe is set up
    std::optional<std::string> confirming;  // what was typed so far of the word that starts the motor
};

SweepView sweep_view(const SweepSession& session, const BenchFacts& facts);

/// The cautions for the step at hand (docs/sweeping.md).
std::vector<std::string> cautions_for_setting_up();
/// With the question for the word that starts it, and what was typed of it so far.
std::vector<std::string> motor_words(const std::string& typed);

/// What became of a sweep, in sentences: the first says it all, marks follow.
std::vector<std::string> outcome_words(const SweepOutcome& outcome);

}  // namespace lobewright
