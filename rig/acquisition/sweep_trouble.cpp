#include "rig/acquisition/sweep_trouble.hpp"

#include <cmath>

#include <fmt/format.h>

#include "rig/acquisition/turn_track.hpp"

namespace lobewright {

namespace {

constexpr double short_stretch_deg = 3.0;  // below it whole degrees would hide it

std::string counted(std::int64_t n, std::string_view what) {
    return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s");
}

std::string deg_text(double deg, int decimals) {
    const double scale = decimals == 0 ? 1.0 : 10.0;
    const double shown = std::fmod(std::round(in_turn_deg(deg) * scale) / scale, 360.0);
    return fmt::format("{:.{}f}", shown, decimals);
}

/// " at 212 deg", " from 118 to 126 deg", or nothing.
std::string where(const SweepTrouble& trouble) {
    if (!trouble.from_deg) return "";
    if (std::abs(trouble.to_deg.value_or(*trouble.from_deg) - *trouble.from_deg) < 1.0)
        return fmt::format(" at {} deg", deg_text(*trouble.from_deg, 0));
    return fmt::format(" from {}", stretch_words(*trouble.from_deg, *trouble.to_deg));
}

}  // namespace

std::string stretch_words(double from_deg, double to_deg) {
    const int decimals = to_deg - from_deg < short_stretch_deg ? 1 : 0;
    // A stretch that ends with the turn ends at 360; one that begins with it begins at 0.
    const std::string end = deg_text(to_deg, decimals);
    const bool whole_turn = std::stod(end) == 0.0 && to_deg > from_deg;
    return fmt::format("{} to {} deg", deg_text(from_deg, decimals), whole_turn ? "360" : end);
}

std::string trouble_words(const SweepTrouble& trouble) {
    const std::string at = where(trouble);
    switch (trouble.kind) {
        case SweepTroubleKind::turned_back:
            return "turned back" + at;
        case SweepTroubleKind::gap:
            if (!trouble.from_deg) return "gap";
            return "gap " + stretch_words(*trouble.from_deg, *trouble.to_deg);
        case SweepTroubleKind::too_fast:
            return fmt::format("too fast, {} deg/s{}", trouble.amount, at);
        case SweepTroubleKind::time_doubt:
            return fmt::format("too fast for these indicators{}: angle known to {:.2f} deg only", at,
                               1e-3 * static_cast<double>(trouble.amount));
        case SweepTroubleKind::front_range:
            return "front out of range" + at;
        case SweepTroubleKind::rear_range:
            return "rear out of range" + at;
        case SweepTroubleKind::front_missing:
            return "front without a reading" + at;
        case SweepTroubleKind::rear_missing:
            return "rear without a reading" + at;
        case SweepTroubleKind::front_stuck:
            return "front stuck" + at;
        case SweepTroubleKind::rear_stuck:
            return "rear stuck" + at;
        case SweepTroubleKind::slip:
            return fmt::format("index off by {}", counted(trouble.amount, "count"));
        case SweepTroubleKind::no_index:
            return "no index mark in a whole turn";
        case SweepTroubleKind::encoder:
            return "encoder fault" + at;
        case SweepTroubleKind::overrun:
            return "the rig couldn't send fast enough" + at;
        case SweepTroubleKind::lines_lost:
            return counted(trouble.amount, "line") + " lost" + at;
        case SweepTroubleKind::lines_damaged:
            return counted(trouble.amount, "line") + " damaged" + at;
        case SweepTroubleKind::drift:
            return fmt::format("drift {:.3f} mm over a turn", 1e-3 * static_cast<double>(trouble.amount));
        case SweepTroubleKind::unplugged:
            return "unplugged" + at;
        case SweepTroubleKind::restarted:
            return "the controller started afresh" + at;
        case SweepTroubleKind::not_answering:
            return "the rig doesn't answer" + at;
        case SweepTroubleKind::motor_halted:
            return "motor halted" + at;
        case SweepTroubleKind::port_errors:
            return counted(trouble.amount, "port error") + at;
        case SweepTroubleKind::recording:
            return "recording failed" + at + (trouble.says.empty() ? "" : ": " + trouble.says);
    }
    return {};
}

std::string_view trouble_advice(SweepTroubleKind kind) {
    switch (kind) {
        case SweepTroubleKind::turned_back:
            return "go on in the running direction";
        case SweepTroubleKind::gap:
            return "turn on round and over it again, slower";
        case SweepTroubleKind::too_fast:
        case SweepTroubleKind::time_doubt:
        case SweepTroubleKind::overrun:
            return "turn slower";
        case SweepTroubleKind::front_range:
        case SweepTroubleKind::rear_range:
            return "set it anew in its stand, repeat";
        case SweepTroubleKind::front_missing:
        case SweepTroubleKind::rear_missing:
            return "look to it and its cable";
        case SweepTroubleKind::front_stuck:
        case SweepTroubleKind::rear_stuck:
            return "free the indicator's stem, then repeat";
        case SweepTroubleKind::slip:
            return "not used between these marks: turn on, see to the coupling";
        case SweepTroubleKind::no_index:
            return "look to the encoder's index wire, then repeat";
        case SweepTroubleKind::encoder:
            return "turn on to the index mark, which tells whether counts were lost";
        case SweepTroubleKind::lines_lost:
        case SweepTroubleKind::lines_damaged:
        case SweepTroubleKind::port_errors:
            return "look to the cable and what runs beside it";
        case SweepTroubleKind::drift:
            return "let the rig warm through, check the stands, then repeat";
        case SweepTroubleKind::unplugged:
            return "plug it in again: the sweep goes on";
        case SweepTroubleKind::restarted:
            return "turn to the mark, see to its power";
        case SweepTroubleKind::not_answering:
            return "look to the rig's power";
        case SweepTroubleKind::motor_halted:
            return "it starts again only when you say so";
        case SweepTroubleKind::recording:
            return "make room on the disk";
    }
    return {};
}

}  // namespace lobewright
