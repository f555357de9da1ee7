// thrust_map.hpp: what the lobes' tapers push the cam by, lobe by lobe and all together through one turn of the cam.
//
// Model     each lobe pushes by load x taper slope toward its high side (tappet_contact.hpp); pushes add. Friction along
//           the cam isn't counted, nor the pull of a skew-cut drive gear, which isn't known.
// u95       the taper's, times the load; the springs are taken as they are given. Indicators and zero are the same for
//           all lobes, so that their errors go one way and the cam's u95 is the sum of its lobes'.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/contact/loaded_lobe.hpp"
#include "analysis/figures.hpp"
#include "analysis/run/run.hpp"

namespace lobewright {

/// A push along the cam, N, positive to the rear.
struct LobePush {
    std::string name;
    HighSide high_side = HighSide::unknown;
    Measured ramp_taper_mm;  // mean of opening and closing
    double width_mm = 0.0;
    Measured mean_n;     // over a turn; unknown without load
    Measured largest_n;  // by size, over a turn
    double largest_at_deg = 0.0;
};

struct PushAt {
    double cam_deg = 0.0;
    double push_n = 0.0;
};

struct ThrustMap {
    RunInfo run;
    Units units = Units::mm;
    Retention retention = Retention::thrust_plate;
    ThrustFigures by_taper;  // as compare and inspect state it (thrust.hpp)
    std::vector<LobePush> lobes;
    std::vector<PushAt> through_turn;  // every 2 degrees; empty without load
    Measured mean_n;                   // unknown without load
    PushAt farthest_front;             // the turn's least and greatest push
    PushAt farthest_rear;
    std::vector<std::string> notes;
};

/// Throws what inspect_run and loaded_lobes throw.
ThrustMap thrust_map(const Run& run, const ContactOptions& options = {});

}  // namespace lobewright
