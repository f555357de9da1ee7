// rig_check.hpp: is the rig fit to measure with? From the events of a rig that was left standing and then turned both ways
// over a lobe, at two speeds: every figure, and a row for each that says pass, look at this, or can't be told and why. The
// limits are common practice, no source; what each guards stands in docs/rig-check.md.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analysis/measured.hpp"
#include "rig/check/both_ways.hpp"
#include "rig/check/check_record.hpp"
#include "rig/check/index_check.hpp"
#include "rig/check/noise_check.hpp"
#include "rig/check/repeat_check.hpp"

namespace lobewright {

enum class CheckVerdict { pass, look, unknown };

/// What a row's figure is, so that it can be shown in the reader's units.
enum class CheckQuantity { number, counts, length, length_per_min, degrees, microseconds };

struct CheckRow {
    std::string key;   // of --json
    std::string what;  // in words
    CheckQuantity quantity = CheckQuantity::number;
    Measured
        value;  // in mm and its like; unknown where nothing was seen to tell it from; u95 unknown for a plain tally
    double limit = 0.0;
    CheckVerdict verdict = CheckVerdict::unknown;
    std::string says;  // what to do, or why it can't be told; empty when it passes
};

struct IndicatorCheck {
    Indicator which = Indicator::front;
    bool seen = false;       // it gave any reading
    double travel_mm = 0.0;  // largest less smallest reading
    NoiseCheck noise;
    StuckCheck stuck;
    BothWaysCheck both_ways;
    RepeatCheck repeat;
};

struct RigCheck {
    std::string name;
    std::int64_t counts_per_rev = 0;
    int direction = 0;  // way of the first whole turn: +1 counts rise, -1 they fall; 0: no whole turn
    std::optional<double> resolution_mm;
    std::uint64_t readings = 0;
    double doubt_us = 0.0;  // median of the readings'
    TroubleTally troubles;
    IndexCheck index;
    std::array<IndicatorCheck, 2> indicators;  // front, rear
    std::vector<CheckRow> rows;
    CheckVerdict verdict = CheckVerdict::unknown;
};

/// Throws DataError when the record holds no word of how many counts a turn has.
RigCheck check_rig(const CheckRecord& record);

/// The rows for the figures of `check`.
std::vector<CheckRow> check_rows(const RigCheck& check);

}  // namespace lobewright
