#include "analysis/contact/stripe.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <utility>

#include <fmt/format.h>

#include "analysis/contact/hertz.hpp"
#include "analysis/contact/tappet_contact.hpp"
#include "analysis/errors.hpp"
#include "analysis/in_parallel.hpp"
#include "analysis/judge/wording.hpp"
#include "analysis/lobe/grid.hpp"

namespace lobewright {
namespace {

// Common practice, no source: crowns of 750 to 2000 mm are ground, this one often.
constexpr double usual_crown_mm = 1270.0;
// Assumed, no source: a hardened steel tappet on a lobe of hardened iron.
constexpr Elastic tappet_steel{207e3, 0.30};
constexpr Elastic lobe_iron{150e3, 0.26};
// What comes this near to touching is polished; no source. Beside the thick film's band and the thin one's the eye can't
// tell one film from another.
constexpr double polished_mm = 0.002;
constexpr double polished_thick_film_mm = 0.0003;
constexpr double polished_thin_film_mm = 0.005;
constexpr double caliper_mm = 0.5;  // how well a band's end is seen and measured
constexpr double edge_mm = 0.1;
constexpr std::size_t step = 4;          // grid angles between points worked out: 2 degrees
constexpr double least_radius_mm = 0.5;  // a sharper corner isn't a lobe's surface but a curve's noise

double cam_deg(double grid) {
    return wrapped_deg(deg_of_grid(grid));
}

class LobeContact {
public:
    LobeContact(const LoadedLobe& lobe, const CrownedTappet& tappet) : lobe_(lobe), tappet_(tappet) {}

    /// Nothing where load or radius isn't known, or the tappet has lifted off.
    [[nodiscard]] std::optional<TappetContact> at(std::size_t g, double polished) const {
        if (lobe_.load_n.empty() || !(lobe_.load_n[g] > 0.0) || !(lobe_.radius_mm(g) > least_radius_mm))
            return {};
        return tappet_contact(
            tappet_, {lobe_.radius_mm(g), lobe_.slope(g), lobe_.velocity[g], lobe_.width_mm, lobe_.load_n[g]},
            polished);
    }

    [[nodiscard]] StripeAt over(StripePlace place, const GridStretch& stretch) const {
        StripeAt out;
        out.at = place;
        out.cam_deg = cam_deg(stretch.middle());
        double count = 0.0, touched = 0.0, slope = 0.0, load = 0.0;
        Band contact, band, thick, thin;
        const auto add = [](Band& to, double from_mm, double to_mm) {
            to.from_mm += from_mm;
            to.to_mm += to_mm;
        };
        for (auto i = std::lround(std::ceil(stretch.from)); i <= std::lround(std::floor(stretch.to)); ++i) {
            const std::size_t g = on_turn(i);
            count += 1.0;
            slope += lobe_.slope(g);
            if (!lobe_.load_n.empty()) load += lobe_.load_n[g];
            const auto here = at(g, polished_mm);
            if (!here) continue;
            touched += 1.0;
            const auto wet = at(g, polished_thick_film_mm), dry = at(g, polished_thin_film_mm);
            add(contact, here->from_mm, here->to_mm);
            add(band, here->band_from_mm, here->band_to_mm);
            add(thick, wet->band_from_mm, wet->band_to_mm);
            add(thin, dry->band_from_mm, dry->band_to_mm);
            out.peak_n_per_mm2 = std::max(out.peak_n_per_mm2, here->peak_n_per_mm2);
            out.past_edge = out.past_edge || here->past_edge;
        }
        const double crown = tappet_.crown_radius_mm;
        out.centre_mm = {crown * slope / count,
                         crown * lobe_.taper_u95_mm[static_cast<std::size_t>(place)] / lobe_.width_mm};
        if (!lobe_.load_n.empty()) out.load_n = load / count;
        if (touched < count) return out;
        const auto mean = [count](const Band& sum) { return Band{sum.from_mm / count, sum.to_mm / count}; };
        out.contact = mean(contact);
        out.band = mean(band);
        out.thick_film = mean(thick);
        out.thin_film = mean(thin);
        return out;
    }

private:
    const LoadedLobe& lobe_;
    const CrownedTappet& tappet_;
};

void go_round(LobeStripe& out, const LoadedLobe& lobe, const LobeContact& contact,
              const CrownedTappet& tappet) {
    const auto nose = std::lround(lobe.nose.middle());
    const auto half = static_cast<std::ptrdiff_t>(grid_points / 2);
    for (std::ptrdiff_t i = nose - half; i < nose + half; i += static_cast<std::ptrdiff_t>(step)) {
        const std::size_t g = on_turn(i);
        StripePoint point{cam_deg(static_cast<double>(g)), {}};
        if (const auto here = contact.at(g, polished_mm)) {
            point.band = Band{here->band_from_mm, here->band_to_mm};
            if (!(here->peak_n_per_mm2 <= out.highest_peak_n_per_mm2.value_or(0.0))) {
                out.highest_peak_n_per_mm2 = here->peak_n_per_mm2;
                out.highest_at_deg = point.cam_deg;
            }
            if (tappet.diameter_mm) {
                const double clear = 0.5 * *tappet.diameter_mm - here->reach_mm;
                if (!out.least_clearance_mm || clear < *out.least_clearance_mm) {
                    out.least_clearance_mm = clear;
                    out.clearance_at_deg = point.cam_deg;
                }
            }
        }
        out.around.push_back(point);
    }
}

StripeMatch match_of(const Stripe& seen, const StripeAt& expected) {
    if (!expected.band) return StripeMatch::not_expected;
    const bool one_side = seen.side == StripeSide::front || seen.side == StripeSide::rear;
    if (one_side && std::abs(expected.centre_mm.value) > expected.centre_mm.u95 &&
        (seen.side == StripeSide::rear) != (expected.centre_mm.value > 0.0)) {
        return StripeMatch::other_side;
    }
    if (seen.width_mm > expected.thin_film->width_mm() + caliper_mm) return StripeMatch::wider;
    if (seen.width_mm < expected.thick_film->width_mm() - caliper_mm) return StripeMatch::narrower;
    return StripeMatch::as_expected;
}

std::string say_match(StripeMatch match, StripeSide side) {
    switch (match) {
        case StripeMatch::as_expected:
            return "as expected";
        case StripeMatch::wider:
            return side == StripeSide::both ? "bright over the whole width: taper or crown is gone there, or "
                                              "the tappet runs on its edge; "
                                              "look at the tappet's face"
                                            : "wider than taper, crown and load explain: less oil at this "
                                              "lobe, or a crown worn flatter; "
                                              "look at the tappet's face";
        case StripeMatch::narrower:
            return "narrower than expected: more oil at this lobe and a thicker film, or a weaker spring "
                   "than given";
        case StripeMatch::other_side:
            return "to the other side than the taper says: check which end was called the front, the "
                   "front-to-rear "
                   "zero, and the tappet's face";
        case StripeMatch::not_expected:
            break;
    }
    return "nothing can be expected here to hold it against";
}

void set_beside(LobeStripe& out, const std::vector<Stripe>& seen) {
    for (const Stripe& stripe : seen) {
        for (StripeAt& place : out.places) {
            if (place.at != stripe.at) continue;
            const StripeMatch match = match_of(stripe, place);
            place.seen = SeenStripe{stripe.width_mm, stripe.side, match, say_match(match, stripe.side)};
        }
    }
}

void note_order(LobeStripe& out) {
    const auto& [heel, opening, nose, closing] =
        std::tie(out.places[0], out.places[1], out.places[2], out.places[3]);
    if (!heel.band || !opening.band || !nose.band || !closing.band) return;
    const double ramps = std::max(opening.band->width_mm(), closing.band->width_mm());
    const double narrower = std::min(opening.band->width_mm(), closing.band->width_mm());
    if (heel.band->width_mm() < narrower && ramps < nose.band->width_mm()) return;
    out.notes.emplace_back(
        "the band doesn't widen from heel to ramps to nose, as it does on a lobe whose taper is the same all "
        "round");
}

void note_nose(LobeStripe& out) {
    const StripeAt& nose = out.places[2];
    if (!nose.band || std::abs(nose.centre_mm.value) <= nose.centre_mm.u95) return;
    const double half = 0.5 * out.width_mm;
    const double low = nose.centre_mm.value > 0.0 ? nose.band->from_mm + half : half - nose.band->to_mm;
    out.dull_at_nose_mm = std::max(low, 0.0);
    if (low <= edge_mm) {
        out.notes.emplace_back(
            "at the nose the band reaches the low side's edge: little taper is left there");
    }
}

void note_troubles(LobeStripe& out, Units units) {
    bool unproved = false;
    for (const StripeAt& place : {out.places[1], out.places[3]})
        unproved = unproved || std::abs(place.centre_mm.value) <= place.centre_mm.u95;
    if (unproved) {
        out.notes.emplace_back(
            "on a ramp the contact isn't proved to lie off the tappet's axis: nothing is sure to turn the "
            "tappet");
    }
    const auto past =
        std::any_of(out.places.begin(), out.places.end(), [](const StripeAt& at) { return at.past_edge; });
    if (past) {
        out.notes.emplace_back(
            "the contact would reach past the lobe's edge: pressure there is higher than said");
    }
    if (out.least_clearance_mm && *out.least_clearance_mm < 0.0) {
        out.notes.push_back(fmt::format("the contact runs over the tappet's edge by {} at {} deg",
                                        say_rounded(-*out.least_clearance_mm, units),
                                        fixed(out.clearance_at_deg, 0)));
    }
}

LobeStripe lobe_stripe(const LoadedLobe& lobe, const std::vector<Stripe>& seen, const CrownedTappet& tappet,
                       Units units) {
    const LobeContact contact(lobe, tappet);
    LobeStripe out;
    out.name = lobe.name;
    out.kind = lobe.kind;
    out.width_mm = lobe.width_mm;
    out.places = {
        contact.over(StripePlace::heel, lobe.heel), contact.over(StripePlace::opening, lobe.opening),
        contact.over(StripePlace::nose, lobe.nose), contact.over(StripePlace::closing, lobe.closing)};
    go_round(out, lobe, contact, tappet);
    set_beside(out, seen);
    note_order(out);
    note_nose(out);
    note_troubles(out, units);
    return out;
}

CrownedTappet tappet_of(const Run& run, std::vector<std::string>& assumed) {
    CrownedTappet tappet;
    tappet.modulus_n_per_mm2 = contact_modulus(tappet_steel, lobe_iron);
    tappet.crown_radius_mm = usual_crown_mm;
    if (run.tappet) {
        tappet.diameter_mm = run.tappet->diameter_mm;
        tappet.crown_radius_mm = run.tappet->crown_radius_mm.value_or(usual_crown_mm);
    }
    if (!run.tappet || !run.tappet->crown_radius_mm) {
        assumed.push_back(fmt::format("a crown of {} on the tappets ([tappet] crown_radius isn't given)",
                                      say_length(usual_crown_mm, run.units)));
    }
    assumed.emplace_back("tappets of hardened steel on lobes of hardened iron, standing over mid-lobe");
    assumed.push_back(
        fmt::format("on the heel a tenth of the seat force; polished is what comes within {} of touching",
                    say_rounded(polished_mm, run.units)));
    return tappet;
}

}  // namespace

StripeSide side_of(const Band& band, double lobe_width_mm) {
    const bool front = band.from_mm <= -0.5 * lobe_width_mm + edge_mm;
    const bool rear = band.to_mm >= 0.5 * lobe_width_mm - edge_mm;
    if (front && rear) return StripeSide::both;
    return front ? StripeSide::front : rear ? StripeSide::rear : StripeSide::neither;
}

StripeReport stripe_report(const Run& run, const ContactOptions& options) {
    if (run.cam.follower == Follower::flat_offset) {
        throw DataError(
            fmt::format("{}: a tappet set off the lobe's middle turns by that; taper and crown lay no band "
                        "to one side, so none is "
                        "worked out",
                        run.info.id));
    }
    const auto prepared = prepare_runs({{&run, options.set_up}}, options.threads);
    const auto lobes = loaded_lobes(prepared.front(), options.running);
    StripeReport out;
    out.run = run.info;
    out.units = run.units;
    const CrownedTappet tappet = tappet_of(run, out.assumed);
    out.crown_radius_mm = tappet.crown_radius_mm;
    if (!run.valvetrain || !run.valvetrain->seat_force_n || !run.valvetrain->rate_n_per_mm) {
        out.notes.emplace_back(
            "load isn't known ([valvetrain] seat_force_n and rate_n_per_mm), so no width or pressure is "
            "said; where the "
            "contact's middle lies doesn't hang on it");
    }
    for (const Lobe& lobe : run.lobes) {
        if (!lobe.base_diameter_mm) {
            out.notes.push_back(
                fmt::format("{}: no base_diameter, so no width or pressure is said", lobe.name));
        }
    }
    out.lobes.resize(lobes.size());
    in_parallel(lobes.size(), options.threads, [&](std::size_t i) {
        out.lobes[i] = lobe_stripe(lobes[i], run.lobes[i].stripes, tappet, run.units);
    });
    out.notes.insert(out.notes.end(), prepared.front().notes.begin(), prepared.front().notes.end());
    return out;
}

}  // namespace lobewright
