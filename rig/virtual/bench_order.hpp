// bench_order.hpp: what somebody does at a virtual rig, as a line of a script or of the control pipe, or as a key:
//   lobe NAME | next | previous     puts the tips there
//   turn DEG [DEG_PER_S]            turns so far (negative: back)
//   rest SECONDS                    hands off
//   await                           waits until the host listens
//   run | halt                      turns on and on while the host listens; stops all turning
//   speed DEG_PER_S                 of the hand from now on
//   parallel MM | cam               lays a true parallel under the tips; takes it away
//   fault KIND[:AMOUNT][@WHERE][+FOR]
//   quit                            ends the virtual rig
// They are done one after another, each when the one before is done; `halt` at once.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "rig/virtual/fault_plan.hpp"

namespace lobewright::virtual_rig {

enum class BenchDoes { stand_on, step, turn, rest, await, run, halt, speed, parallel, cam, fault, quit };

struct BenchOrder {
    BenchDoes does = BenchDoes::halt;
    std::string place;
    double amount = 0.0;  // degrees, seconds, mm, places
    double deg_per_s = 0.0;
    PlannedFault fault;
};

/// Throws UsageError that says what can't be read.
BenchOrder parse_bench_order(std::string_view line);

/// A whole script: an order a line, empty lines and what is behind a # passed over. `name` and the line's number stand in
/// errors (UsageError).
std::vector<BenchOrder> parse_bench_script(std::string_view text, const std::string& name);

}  // namespace lobewright::virtual_rig
