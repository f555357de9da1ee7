// sweep_events.hpp: what a rig would have told of a simulated sweep, so that the sweep in hand can be held against a known
// truth: readings with a raw count that began anywhere, index marks where the encoder has them, and faults put in by hand.
#pragma once

#include <cmath>
#include <functional>
#include <vector>

#include "rig/acquisition/count_frame.hpp"
#include "rig/acquisition/rig_event.hpp"
#include "rig/acquisition/sweep_in_hand.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"

namespace lobewright::tests {

inline constexpr std::int64_t test_counts_per_rev = 14400;

inline RigModel bench_rig() {
    RigModel rig;
    rig.info.counts_per_rev = test_counts_per_rev;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = 0.0005;
    rig.sampling = Sampling::by_count;
    rig.every_counts = 10;
    return rig;
}

/// A steady hand that begins at this cam angle and turns this far.
inline HandModel bench_hand(double start_deg, double turns) {
    HandModel hand;
    hand.mean_deg_per_s = 20.0;
    hand.unevenness = 0.0;
    hand.pauses_per_turn = 0.0;
    hand.backward_per_turn = 0.0;
    hand.start_deg = start_deg;
    hand.turns_min = hand.turns_max = turns;
    return hand;
}

inline Sweep bench_sweep(const HandModel& hand, const RigModel& rig = bench_rig(),
                         const std::string& of = "1E") {
    const CamModel cam = launch_engine_cam();
    Random random(7);
    const Station station(cam, rig, of);
    return simulate_sweep(station, rig, hand, Indicators(rig, random), {}, of, 1, random);
}

inline SweepPlan bench_plan() {
    SweepPlan plan;
    plan.of = "1E";
    plan.counts_per_rev = test_counts_per_rev;
    plan.resolution_mm = 0.0005;
    return plan;
}

/// The rig's events for the sweep: raw counts are the true ones plus `offset`; a mark at each whole turn of true counts.
inline std::vector<RigEvent> events_of(const Sweep& sweep, std::int64_t offset = 0) {
    std::vector<RigEvent> events{RigBack{0, "bench", test_counts_per_rev, 0.0005, false}};
    const auto turn_of = [](std::int64_t count) {
        return std::floor(static_cast<double>(count) / static_cast<double>(test_counts_per_rev));
    };
    for (std::size_t i = 0; i < sweep.rows(); ++i) {
        if (i > 0 && turn_of(sweep.count[i]) != turn_of(sweep.count[i - 1])) {
            const auto turn =
                static_cast<std::int64_t>(std::max(turn_of(sweep.count[i]), turn_of(sweep.count[i - 1])));
            events.emplace_back(RigIndex{sweep.t_us[i], turn * test_counts_per_rev + offset});
        }
        events.emplace_back(
            RigReading{sweep.t_us[i], sweep.count[i] + offset, sweep.front_mm[i], sweep.rear_mm[i], 0.0});
    }
    return events;
}

/// A frame and a sweep fed together, as the bench does.
struct Fed {
    CountFrame frame;
    SweepInHand sweep;
    std::size_t taken = 0;  // events until the sweep was done

    explicit Fed(const SweepPlan& plan = bench_plan())
        : frame(plan.counts_per_rev, plan.direction, plan.index), sweep(plan) {}

    void take(const RigEvent& event) {
        if (sweep.done()) return;
        ++taken;
        const FrameChange change = frame.take(event);
        sweep.take(event, frame, change);
    }
    void take(const std::vector<RigEvent>& events) {
        for (const RigEvent& event : events) take(event);
    }

    [[nodiscard]] std::vector<std::string> said() const {
        std::vector<std::string> words;
        for (const SweepTrouble& trouble : sweep.troubles()) words.push_back(trouble_words(trouble));
        return words;
    }
};

/// What happened at and after the first event for which `here` holds.
inline std::size_t first_of(const std::vector<RigEvent>& events,
                            const std::function<bool(const RigReading&)>& here) {
    for (std::size_t i = 0; i < events.size(); ++i) {
        const auto* reading = std::get_if<RigReading>(&events[i]);
        if (reading != nullptr && here(*reading)) return i;
    }
    return events.size();
}

/// The first reading at or beyond a true cam angle (raw counts began `offset` off).
inline std::size_t at_deg(const std::vector<RigEvent>& events, double deg, std::int64_t offset = 0) {
    return first_of(events, [&](const RigReading& reading) {
        return static_cast<double>(reading.count - offset) * 360.0 / test_counts_per_rev >= deg;
    });
}

}  // namespace lobewright::tests
