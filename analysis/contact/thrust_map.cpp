#include "analysis/contact/thrust_map.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/compare.hpp"

namespace lobewright {
namespace {

constexpr std::size_t kept_every = 4;  // grid angles: 2 degrees

double cam_deg_at(std::size_t g) {
    return wrapped_deg(deg_of_grid(static_cast<double>(g)));
}

LobePush lobe_push(const LoadedLobe& lobe, const LobeFigures& figures) {
    LobePush out;
    out.name = lobe.name;
    out.width_mm = lobe.width_mm;
    out.high_side = figures.taper.high_side;
    out.ramp_taper_mm = {0.5 * (figures.taper.opening_mm.value + figures.taper.closing_mm.value),
                         0.5 * (figures.taper.opening_mm.u95 + figures.taper.closing_mm.u95)};
    out.mean_n = lobe.mean_push_n;
    out.largest_n = lobe.largest_push_n;
    out.largest_at_deg = cam_deg_at(lobe.largest_push_at);
    return out;
}

void add_turn(ThrustMap& out, const std::vector<double>& all_n) {
    out.mean_n = {0.0, 0.0};
    for (const LobePush& lobe : out.lobes) {
        out.mean_n.value += lobe.mean_n.value;
        out.mean_n.u95 += lobe.mean_n.u95;
    }
    out.farthest_front = out.farthest_rear = {cam_deg_at(0), all_n[0]};
    for (std::size_t g = 0; g < all_n.size(); ++g) {
        const PushAt here{cam_deg_at(g), all_n[g]};
        if (here.push_n < out.farthest_front.push_n) out.farthest_front = here;
        if (here.push_n > out.farthest_rear.push_n) out.farthest_rear = here;
        if (g % kept_every == 0) out.through_turn.push_back(here);
    }
}

/// What holds the cam, and what that makes of the push (common practice, no source).
void note_retention(ThrustMap& out, Follower follower) {
    std::vector<std::string> high_to_front;
    for (const LobePush& lobe : out.lobes) {
        if (lobe.high_side == HighSide::front) high_to_front.push_back(lobe.name);
    }
    const bool forward = out.farthest_front.push_n < 0.0 && !out.through_turn.empty();
    switch (out.retention) {
        case Retention::none:
            out.notes.emplace_back(
                "no thrust plate: the taper alone holds the cam back against its stop, so every high side "
                "belongs to the "
                "rear");
            if (!high_to_front.empty()) {
                out.notes.push_back(
                    fmt::format("finding: high side to the front, so that the lobe pushes the cam forward, "
                                "where nothing holds it: {}",
                                fmt::join(high_to_front, ", ")));
            }
            if (forward) {
                out.notes.push_back(
                    fmt::format("finding: through part of the turn the lobes push the cam forward, by up to "
                                "{:.2g} N at {:.0f} deg",
                                -out.farthest_front.push_n, out.farthest_front.cam_deg));
            }
            break;
        case Retention::thrust_plate:
            out.notes.emplace_back(
                "a thrust plate holds the cam: high sides that alternate let the pushes cancel; all one way "
                "is a loss at "
                "the plate, no fault");
            break;
        case Retention::button:
            out.notes.emplace_back("a button at the front takes what pushes the cam forward");
            break;
    }
    out.notes.emplace_back(
        "a skew-cut drive gear pulls the cam one way under load and the other way on the overrun; it adds to "
        "this and "
        "isn't known here");
    if (follower != Follower::flat) {
        out.notes.emplace_back("these lobes need no taper: what push there is comes from wear or grinding");
    }
}

}  // namespace

ThrustMap thrust_map(const Run& run, const ContactOptions& options) {
    AnalysisOptions analysis;
    analysis.used = options.set_up;
    analysis.threads = options.threads;
    const auto prepared = prepare_runs({{&run, options.set_up}}, options.threads);
    const auto lobes = loaded_lobes(prepared.front(), options.running);
    const CamFigures figures = inspect_run(run, analysis);
    ThrustMap out;
    out.run = run.info;
    out.units = run.units;
    out.retention = run.cam.retention;
    out.by_taper = figures.thrust;
    std::vector<double> all_n;
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        const auto& push_n = lobes[i].push_n;
        out.lobes.push_back(lobe_push(lobes[i], figures.lobes[i]));
        all_n.resize(push_n.size(), 0.0);
        for (std::size_t g = 0; g < push_n.size(); ++g) all_n[g] += push_n[g];
    }
    if (all_n.empty()) {
        out.notes.emplace_back(
            "load isn't known ([valvetrain] seat_force_n and rate_n_per_mm), so pushes stand as shares of "
            "taper only");
    } else {
        add_turn(out, all_n);
        out.notes.emplace_back(
            "+/- is what the taper's uncertainty makes of a push: springs, and the mass where one is given, "
            "are "
            "taken as they are");
    }
    note_retention(out, run.cam.follower);
    return out;
}

}  // namespace lobewright
