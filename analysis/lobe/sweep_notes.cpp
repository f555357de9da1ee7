#include "analysis/lobe/sweep_notes.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "analysis/units.hpp"

namespace lobewright {

std::vector<std::string> sweep_notes(const std::vector<CleanSweep>& sweeps,
                                     const std::vector<FoundSlip>& slips,
                                     const std::vector<PassOffset>& offsets) {
    std::vector<std::string> notes;
    for (std::size_t p = 0; p < sweeps.size(); ++p) {
        const auto& s = sweeps[p];
        const auto say = [&](const std::string& text) {
            notes.push_back(fmt::format("pass {}: {}", s.pass, text));
        };
        if (s.backward_turns > 0) {
            say(fmt::format("turned back {} time{}, at most {:.1f} deg; the last forward pass counts",
                            s.backward_turns, s.backward_turns == 1 ? "" : "s", s.deepest_backward_deg));
        }
        if (!s.spikes.empty()) {
            const auto& worst = *std::max_element(
                s.spikes.begin(), s.spikes.end(),
                [](const Spike& a, const Spike& b) { return std::abs(a.size_mm) < std::abs(b.size_mm); });
            say(fmt::format("{} spike{} left out, the largest {} at {:.1f} deg", s.spikes.size(),
                            s.spikes.size() == 1 ? "" : "s", worst.front ? "front" : "rear",
                            wrapped_deg(worst.angle_deg)));
        }
        if (!s.table && s.largest_gap_deg > 1.0) {
            say(fmt::format("no reading from {:.1f} to {:.1f} deg", wrapped_deg(s.gap_from_deg),
                            wrapped_deg(s.gap_from_deg + s.largest_gap_deg)));
        }
        for (const auto& slip : slips) {
            if (slip.sweep != p) continue;
            const std::string counts =
                fmt::format("{} count{}", std::abs(slip.counts), std::abs(slip.counts) == 1 ? "" : "s");
            say(slip.whole_sweep ? fmt::format("lies {} off the other passes; put back", counts)
                                 : fmt::format("the encoder slipped {} between {:.1f} and {:.1f} deg; the "
                                               "rows on one side of it were put "
                                               "back; check the encoder's coupling",
                                               counts, wrapped_deg(slip.from_deg), wrapped_deg(slip.to_deg)));
        }
        if (s.against) say("swept against the running direction: backlash lies the other way");
        const double drift = std::max(std::abs(offsets[p].front[3]), std::abs(offsets[p].rear[3]));
        if (drift > 3.0 * offsets[p].drift_u_mm && drift > 0.0005) {
            say(fmt::format("drift of {:.4f} mm a turn taken off", drift));
        }
    }
    return notes;
}

}  // namespace lobewright
