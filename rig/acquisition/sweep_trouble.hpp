// sweep_trouble.hpp: what can go wrong while the cam is turned, with where, in the machinist's words. Plain values.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace lobewright {

enum class SweepTroubleKind {
    turned_back,
    gap,          // passed over without a reading
    too_fast,     // amount: deg/s
    time_doubt,   // too fast for readings whose time is known no better; amount: thousandths of a degree
    front_range,  // the rig says so
    rear_range,
    front_missing,  // readings without this indicator's figure
    rear_missing,
    front_stuck,
    rear_stuck,
    slip,  // amount: counts
    no_index,
    encoder,
    overrun,
    lines_lost,     // amount: lines
    lines_damaged,  // amount: lines
    drift,          // amount: micrometres, the larger of both indicators'
    unplugged,
    restarted,
    not_answering,
    motor_halted,
    port_errors,  // amount
    recording,
};

struct SweepTrouble {
    SweepTroubleKind kind = SweepTroubleKind::gap;
    std::int64_t t_us = 0;           // when it was first seen
    std::int64_t last_us = 0;        // and last
    std::optional<double> from_deg;  // cam degrees, not wrapped; none while the angle isn't known
    std::optional<double> to_deg;    // the same as from_deg for a place
    std::int64_t amount = 0;
    std::string says;        // the rig's own words, where it sent some
    bool put_right = false;  // the turn is whole without what it touched
};

/// "gap 118 to 126 deg", "index off by 3 counts", "12 lines lost at 40 deg".
std::string trouble_words(const SweepTrouble& trouble);

/// What the machinist does about it, one short sentence.
std::string_view trouble_advice(SweepTroubleKind kind);

/// "118 to 126 deg"; a short stretch with a decimal.
std::string stretch_words(double from_deg, double to_deg);

}  // namespace lobewright
