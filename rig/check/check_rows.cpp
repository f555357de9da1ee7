#include "rig/check/check_rows.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace lobewright {
namespace {

// Limits: common practice, no source. Each is a few times what a sound bench with 0.001 mm indicators shows, and small
// against the few hundredths of taper that are to be measured; halved they would cry wolf on coarse indicators, doubled
// they would let a tenth of the taper pass.
constexpr double most_noise_mm = 0.001;
constexpr double most_repeat_mm = 0.002;
constexpr double most_drift_mm = 0.002;
constexpr double most_hysteresis_mm = 0.003;
constexpr double most_backlash_deg = 0.1;
constexpr std::int64_t most_index_off = 1;  // counts: one edge either way

CheckRow row(std::string what, std::string found, bool good, std::string advice) {
    return {std::move(what), std::move(found), good ? CheckVerdict::pass : CheckVerdict::look,
            good ? std::string() : std::move(advice)};
}

CheckRow open_row(std::string what, std::string missing) {
    return {std::move(what), "-", CheckVerdict::unknown, std::move(missing)};
}

CheckRow length_row(const std::string& what, std::optional<double> found, double most,
                    const std::string& advice, const std::string& missing) {
    if (!found) return open_row(what, missing);
    return row(what, fmt::format("{:.4f} mm", *found), std::abs(*found) <= most, advice);
}

CheckRow index_row(const RigFigures& figures) {
    if (figures.index_off.empty())
        return open_row("counts between index marks",
                        "two marks passed the same way; some encoders have none");
    const std::int64_t worst = *std::max_element(figures.index_off.begin(), figures.index_off.end(),
                                                 [](auto a, auto b) { return std::abs(a) < std::abs(b); });
    const std::string found = worst == 0 ? fmt::format("exact, {} turns", figures.index_off.size())
                                         : fmt::format("off by {:+d} counts", worst);
    return row("counts between index marks", found, std::abs(worst) <= most_index_off,
               "counts slip: check the coupling, the cable and its screen, the encoder's supply");
}

void indicator_rows(const std::string& name, const IndicatorFigures& of, std::vector<CheckRow>& out) {
    if (!of.there) {
        out.push_back(open_row(name, "no readings from it"));
        return;
    }
    out.push_back(row(name + " moves", of.stuck ? "stuck" : "yes", !of.stuck,
                      "it read the same all around: is its tip on the lobe, its spindle free?"));
    out.push_back(length_row(name + " noise at rest", of.noise_mm, most_noise_mm,
                             "check its clamp, and what shakes the bench", "readings while the cam stands"));
    out.push_back(length_row(name + " drift", of.drift_mm, most_drift_mm,
                             "let it warm up; check its clamp and that the cam doesn't creep endways",
                             "two whole turns the same way"));
    out.push_back(length_row(name + " repeatability", of.repeat_mm, most_repeat_mm,
                             "check its clamp, dirt on the lobe, and that the cam sits firmly",
                             "two whole turns the same way"));
    out.push_back(length_row(name + " hysteresis", of.hysteresis_mm, most_hysteresis_mm,
                             "its spindle sticks, or its clamp gives: sweep one way only",
                             "a turn one way and a turn back, on a lobe"));
    if (of.backlash_deg) {
        out.push_back(row(name + " backlash", fmt::format("{:.3f} deg", *of.backlash_deg),
                          std::abs(*of.backlash_deg) <= most_backlash_deg,
                          "play between encoder and cam: tighten the coupling; sweep one way only"));
        out.push_back(
            {name + " latency", fmt::format("{:.1f} ms", *of.latency_us / 1000.0), CheckVerdict::pass, ""});
    } else if (of.lag_deg) {
        out.push_back(row(name + " lag, one way to the other", fmt::format("{:.3f} deg", *of.lag_deg),
                          std::abs(*of.lag_deg) <= most_backlash_deg,
                          "play, or late readings: turn at two speeds to tell which"));
    } else {
        out.push_back(open_row(name + " latency", "a turn each way, slowly and faster, on a lobe"));
    }
}

}  // namespace

std::vector<CheckRow> check_rows(const RigFigures& figures) {
    std::vector<CheckRow> out;
    out.push_back(index_row(figures));
    indicator_rows("front", figures.front, out);
    indicator_rows("rear", figures.rear, out);
    out.push_back(row("lines lost or damaged",
                      fmt::format("{} lost, {} damaged", figures.lines_lost, figures.lines_damaged),
                      figures.lines_lost + figures.lines_damaged == 0,
                      "noise on the line or a slow link: check cable, ferrite, baud"));
    out.push_back(row("faults the rig told of", fmt::format("{}", figures.faults + figures.interruptions),
                      figures.faults + figures.interruptions == 0,
                      "range, encoder, speed or an unplugging: see what it said above"));
    return out;
}

std::string rig_lines_for_run(const RigFigures& figures) {
    std::string out = fmt::format("counts_per_rev = {}\n", figures.counts_per_rev);
    if (figures.step_mm) out += fmt::format("resolution     = {}  # mm\n", *figures.step_mm);
    return out;
}

}  // namespace lobewright
