#include "analysis/card/card.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/in_parallel.hpp"
#include "analysis/lobe/lobe_alone.hpp"
#include "analysis/prepared_run.hpp"

namespace lobewright {
namespace {

constexpr double same_lift_mm = 1e-6;

std::vector<double> lifts_of(const CardOptions& options, Units units) {
    std::vector<double> lifts{advertised_lift_mm, checking_lift_mm};
    for (const double lift : options.lifts_mm) {
        if (!(lift > 0.0) || !std::isfinite(lift)) {
            throw UsageError(fmt::format("a duration at a lift of {:.6g} {} can't be; give a lift above zero",
                                         lift / mm_per(units), word(units)));
        }
        lifts.push_back(lift);
    }
    std::sort(lifts.begin(), lifts.end());
    lifts.erase(std::unique(lifts.begin(), lifts.end(),
                            [](double a, double b) { return std::abs(a - b) < same_lift_mm; }),
                lifts.end());
    return lifts;
}

std::vector<LobeCard> lobe_cards(const Run& run, const PreparedRun& prepared,
                                 const std::vector<double>& lifts_mm, unsigned threads) {
    std::vector<LobeCard> out(run.lobes.size());
    in_parallel(run.lobes.size(), threads, [&](std::size_t i) {
        const LobeAlone alone(*prepared.curves[i], run.lobes[i], run);
        const LobeCurve given_back = smoothing_given_back(*prepared.curves[i]);
        const LobeAlone sharper(given_back, run.lobes[i], run);
        out[i] = lobe_card(run, run.lobes[i], alone.view(), sharper.view(), lifts_mm);
    });
    return out;
}

void note_unknowns(Card& card, const Run& run) {
    if (card.rocker_ratio) {
        card.notes.emplace_back(
            "lift at the valve is lift times rocker_ratio, taken as exact; lash and bending aren't taken "
            "off");
    } else {
        card.notes.emplace_back("lift at the valve can't be known: [valvetrain] rocker_ratio isn't given");
    }
    if (run.cam.follower == Follower::roller) {
        card.notes.emplace_back(
            "clearance to the tappet's edge and least radius of curvature are stated for flat followers "
            "only");
        return;
    }
    if (!run.tappet || !run.tappet->diameter_mm) {
        card.notes.emplace_back(
            "clearance to the tappet's edge can't be known: [tappet] diameter isn't given");
    } else if (run.cam.follower == Follower::flat_offset) {
        card.notes.emplace_back(
            "clearance to the tappet's edge is that of a tappet over mid-lobe; its offset along the cam "
            "takes some off");
    }
    const bool all = std::all_of(run.lobes.begin(), run.lobes.end(),
                                 [](const Lobe& lobe) { return lobe.base_diameter_mm.has_value(); });
    if (!all) {
        card.notes.emplace_back(
            "least radius of curvature needs base_diameter: measure the heel by micrometer");
    }
}

}  // namespace

Card card_of(const Run& run, const CardOptions& options) {
    if (options.tdc_deg && !std::isfinite(*options.tdc_deg)) {
        throw UsageError("top dead centre must be an angle: give the cam's angle in degrees");
    }
    Card card;
    card.run = run.info;
    card.cam = run.cam;
    card.units = run.units;
    card.lifts_mm = lifts_of(options, run.units);
    card.tdc_deg = options.tdc_deg;
    if (run.valvetrain) card.rocker_ratio = run.valvetrain->rocker_ratio;
    const PreparedRun prepared = std::move(prepare_runs({{&run, options.set_up}}, options.threads).front());
    card.lobes = lobe_cards(run, prepared, card.lifts_mm, options.threads);
    if (!run.rig.error_limit_mm) {
        card.notes.emplace_back(
            "[rig] error_limit isn't given: +/- carries repeatability only, not the indicators' own error");
    }
    note_unknowns(card, run);
    card.cylinders = cylinder_cards(card.lobes, card.tdc_deg, card.notes);
    card.kinds = kind_cards(card.lobes);
    card.notes.insert(card.notes.end(), prepared.notes.begin(), prepared.notes.end());
    return card;
}

}  // namespace lobewright
