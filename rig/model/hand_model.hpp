// hand_model.hpp: a hand turning the cam: uneven, with pauses and now and then a few degrees back.
#pragma once

#include <optional>
#include <vector>

#include "rig/model/random.hpp"

namespace lobewright {

/// How the cam is turned. Rates are per turn, on average; each kind of event comes at uneven distances.
struct HandModel {
    double mean_deg_per_s = 20.0;
    double unevenness = 0.25;  // relative standard deviation of the speed while turning
    double pauses_per_turn = 1.0;
    double pause_s_min = 0.3;
    double pause_s_max = 2.0;
    double backward_per_turn = 0.2;
    double backward_deg_min = 1.0;
    double backward_deg_max = 4.0;
    double backlash_deg = 0.0;  // turning back, the encoder moves this far before the cam follows
    double turns_min = 1.1;
    double turns_max = 1.6;
    std::optional<double> start_deg;  // encoder's angle at the start; anywhere in a turn when not given
};

/// The cam at one instant.
struct HandPoint {
    double t_s = 0.0;
    double encoder_deg = 0.0;  // what the encoder sees, in the running direction
    double cam_deg = 0.0;      // where the cam is: the same when turning forward
};

/// One sweep's motion, `rate_hz` points a second, from standstill at the start until the turns are done.
/// Throws UsageError unless mean speed and rate are positive.
std::vector<HandPoint> hand_path(const HandModel& hand, double rate_hz, Random& random);

}  // namespace lobewright
