#include <cmath>

#include <fmt/format.h>

#include "analysis/units.hpp"
#include "rig/check/rig_check.hpp"

namespace lobewright {
namespace {

// Common practice, no source. docs/rig-check.md says what each one guards.
constexpr double index_limit_counts = 1.0;
constexpr double width_limit_counts = 4.0;
constexpr double noise_limit_mm = 0.002;
constexpr double drift_limit_mm_per_min = 0.002;
constexpr double hysteresis_limit_mm = 0.003;
constexpr double lag_limit_us = 1000.0;
constexpr double doubt_limit_us = 1000.0;
constexpr double play_limit_deg = 0.1;
constexpr double repeat_limit_mm = 0.002;
constexpr double seen_turns = 1.1;

/// A figure against its limit: it may be over the limit, or too little known to say, by its own uncertainty.
CheckVerdict judge(const Measured& value, double limit) {
    if (!value.known()) return CheckVerdict::unknown;
    const double size = std::fabs(value.value);
    const double u95 = std::isfinite(value.u95) ? value.u95 : 0.0;
    if (size <= limit) return u95 <= limit ? CheckVerdict::pass : CheckVerdict::unknown;
    return size > u95 ? CheckVerdict::look : CheckVerdict::unknown;
}

Measured tally(double value) {
    Measured out;
    out.value = value;
    return out;
}

Measured maybe(const std::optional<double>& value) {
    return value ? tally(*value) : Measured{};
}

struct Words {
    std::string look;
    std::string unknown;
};

CheckRow row_of(std::string key, std::string what, CheckQuantity quantity, const Measured& value,
                double limit, const Words& words) {
    CheckRow row{std::move(key), std::move(what), quantity, value, limit, judge(value, limit), ""};
    if (row.verdict == CheckVerdict::look) row.says = words.look;
    if (row.verdict == CheckVerdict::unknown) row.says = words.unknown;
    return row;
}

CheckRow lost_row(const RigCheck& check) {
    const TroubleTally& t = check.troubles;
    const std::uint64_t lost = t.lines_lost + t.lines_damaged + t.port_errors;
    const Measured seen = check.readings + lost > 0 ? tally(static_cast<double>(lost)) : Measured{};
    return row_of(
        "lines_lost", "lines lost or damaged", CheckQuantity::number, seen, 0.0,
        {fmt::format("{} lost, {} damaged, {} port errors: look at cable, plug, ground and speed; keep "
                     "the cable away from drives",
                     t.lines_lost, t.lines_damaged, t.port_errors),
         "no reading came: turn the cam, and look whether the rig streams"});
}

CheckRow fault_row(const RigCheck& check) {
    const TroubleTally& t = check.troubles;
    std::string which;
    const auto name = [&](std::uint64_t times, std::string_view words) {
        if (times > 0) which += fmt::format("{}{} {}", which.empty() ? "" : ", ", times, words);
    };
    name(t.range_front, "front out of range");
    name(t.range_rear, "rear out of range");
    name(t.encoder, "encoder fault");
    name(t.overrun, "overrun: turn slower, or fewer samples a turn");
    name(t.silent, "silence");
    name(t.unplugged, "unplugged");
    name(t.restarted, "controller started afresh");
    name(t.recording, "not recorded");
    const auto all = static_cast<double>(t.range_front + t.range_rear + t.encoder + t.overrun + t.silent +
                                         t.unplugged + t.restarted + t.recording);
    return row_of("faults", "faults told", CheckQuantity::number, tally(all), 0.0, {which, ""});
}

CheckRow index_row(const RigCheck& check) {
    const IndexCheck& index = check.index;
    Measured miss;
    if (index.worst_counts) miss = tally(static_cast<double>(*index.worst_counts));
    const std::string found = index.counts_found
                                  ? fmt::format("the marks lie {} counts apart, not {}: mend counts_per_rev",
                                                *index.counts_found, check.counts_per_rev)
                                  : "counts slipped between two marks: look at coupling, cable and supply";
    CheckRow row =
        row_of("index", "mark to mark, off whole turns", CheckQuantity::counts, miss, index_limit_counts,
               {found, "turn further: the mark must go by twice the same way"});
    if (row.verdict == CheckVerdict::unknown && index.marks == 0 && index.turns > seen_turns) {
        row.verdict = CheckVerdict::look;
        row.says = fmt::format("no index mark in {:.1f} turns: a slip would go unnoticed", index.turns);
    }
    return row;
}

CheckRow width_row(const RigCheck& check) {
    return row_of(
        "index_width", "mark forward, off mark backward", CheckQuantity::counts,
        maybe(check.index.width_counts), width_limit_counts,
        {"the mark is wide, or the coupling has play: sweep one way only", "turn past the mark both ways"});
}

std::string advice_on_lag(const IndicatorCheck& one) {
    return fmt::format("put {:+.0f} onto latency_us of the {} indicator in rig.toml, then check again",
                       one.both_ways.lag_us.value, one.which == Indicator::front ? "front" : "rear");
}

void indicator_rows(std::vector<CheckRow>& rows, const IndicatorCheck& one, bool latched) {
    const std::string name = one.which == Indicator::front ? "front" : "rear";
    if (!one.seen) {
        rows.push_back({name + "_seen", name + ": readings", CheckQuantity::number, tally(0.0), 0.0,
                        CheckVerdict::look, "no reading came from it: look at plug and cable"});
        return;
    }
    const auto add = [&](const std::string& key, const std::string& what, CheckQuantity quantity,
                         const Measured& value, double limit, const Words& words) {
        rows.push_back(row_of(name + key, name + what, quantity, value, limit, words));
    };
    add("_noise", one.noise.from == NoiseFrom::heel ? ": noise on the heel" : ": noise at rest",
        CheckQuantity::length, one.noise.deviation_mm, noise_limit_mm,
        {"unsteady: look at holder, cable and ground, and at what shakes the bench",
         "leave the cam standing for ten seconds, or turn it a whole turn"});
    add("_drift", ": drift", CheckQuantity::length_per_min, one.noise.drift_mm_per_min,
        drift_limit_mm_per_min,
        {"let it warm up; look at holder and clamp", "stand still for longer, or turn twice the same way"});
    CheckRow stuck{name + "_stuck",
                   name + ": still while the other moved",
                   CheckQuantity::length,
                   one.stuck.judged ? tally(one.stuck.other_moved_mm) : Measured{},
                   0.05,
                   CheckVerdict::pass,
                   ""};
    if (one.stuck.stuck) {
        stuck.verdict = CheckVerdict::look;
        stuck.says = fmt::format("from count angle {:.0f} deg on: clean spindle and tip, look at the clamp",
                                 one.stuck.at_deg);
    } else if (!one.stuck.judged) {
        stuck.verdict = CheckVerdict::unknown;
        stuck.says = "put both tips on a lobe and turn it once";
    }
    rows.push_back(std::move(stuck));
    add("_hysteresis", ": rising less falling", CheckQuantity::length, one.both_ways.hysteresis_mm,
        hysteresis_limit_mm,
        {"the spindle sticks or the holder gives: clean it, clamp it shorter",
         "turn a lobe twice both ways"});
    add("_lag", ": lag behind the count", CheckQuantity::microseconds, one.both_ways.lag_us, lag_limit_us,
        {latched ? "a latched reading must not lag: look at the indicator's filter" : advice_on_lag(one),
         "turn a lobe both ways, once slowly and once twice as fast"});
    add("_repeat", ": turn to turn", CheckQuantity::length, maybe(one.repeat.deviation_mm), repeat_limit_mm,
        {fmt::format("worst at count angle {:.0f} deg: is the cam seated, stopped endwise and clean?",
                     one.repeat.largest_at_deg),
         "turn twice the same way"});
}

CheckRow play_row(const RigCheck& check) {
    // The encoder's, so both indicators tell it; the one that knows better counts.
    const auto& [front, rear] = check.indicators;
    const Measured& a = front.both_ways.play_rad;
    const Measured& b = rear.both_ways.play_rad;
    const Measured& better = a.known() && (!b.known() || a.u95 <= b.u95) ? a : b;
    Measured deg;
    if (better.known()) deg = {deg_from_rad(better.value), deg_from_rad(better.u95)};
    return row_of("play", "play of the encoder's drive", CheckQuantity::degrees, deg, play_limit_deg,
                  {"look at coupling and belt; sweep one way only",
                   "turn a lobe both ways, once slowly and once twice as fast"});
}

}  // namespace

std::vector<CheckRow> check_rows(const RigCheck& check) {
    const bool latched = check.doubt_us <= 0.0;
    std::vector<CheckRow> rows{lost_row(check), fault_row(check), index_row(check), width_row(check)};
    for (const IndicatorCheck& one : check.indicators) indicator_rows(rows, one, latched);
    rows.push_back(play_row(check));
    const Measured doubt = check.readings > 0 ? tally(check.doubt_us) : Measured{};
    rows.push_back(row_of(
        "doubt", "count and reading apart in time", CheckQuantity::microseconds, doubt, doubt_limit_us,
        {"turn slowly: stand-alone readings are joined by time, see docs/rig-check.md", "no reading came"}));
    return rows;
}

}  // namespace lobewright
