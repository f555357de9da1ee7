// stripe.hpp: the bright band that running leaves round each lobe, as taper, crown, curvature and load let one expect it,
// and beside it what the eye saw (docs/stripe.md).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/contact/loaded_lobe.hpp"
#include "analysis/run/run.hpp"

namespace lobewright {

/// A band across the lobe: places along z from its middle, positive to the rear.
struct Band {
    double from_mm = 0.0;
    double to_mm = 0.0;

    [[nodiscard]] double width_mm() const { return to_mm - from_mm; }
};

/// Which edges a band reaches, on a lobe of this width; within a tenth of a millimetre counts.
StripeSide side_of(const Band& band, double lobe_width_mm);

enum class StripeMatch { as_expected, wider, narrower, other_side, not_expected };

/// What the eye saw at one place, held against what is expected there.
struct SeenStripe {
    double width_mm = 0.0;
    StripeSide side = StripeSide::neither;
    StripeMatch match = StripeMatch::as_expected;
    std::string says;
};

/// One place of the lobe, means over its stretch.
struct StripeAt {
    StripePlace at = StripePlace::nose;
    double cam_deg = 0.0;  // middle of the stretch
    Measured centre_mm;    // of the contact, off the tappet's axis toward the rear: the arm that turns it
    std::optional<double> load_n;
    // The rest is known where load and base diameter are, and the tappet doesn't lift off.
    std::optional<Band> contact;     // what touches
    std::optional<Band> band;        // what is polished
    std::optional<Band> thick_film;  // the same with a thicker oil film, and with a thinner one
    std::optional<Band> thin_film;
    double peak_n_per_mm2 = 0.0;
    bool past_edge = false;
    std::optional<SeenStripe> seen;
};

/// The band at one angle, for the picture.
struct StripePoint {
    double cam_deg = 0.0;
    std::optional<Band> band;
};

struct LobeStripe {
    std::string name;
    LobeKind kind = LobeKind::other;
    double width_mm = 0.0;
    std::vector<StripeAt> places;           // heel, opening, nose, closing
    std::vector<StripePoint> around;        // every 2 degrees from half a turn before the nose
    std::optional<double> dull_at_nose_mm;  // of the low side, where taper is proved there
    std::optional<double> highest_peak_n_per_mm2;
    double highest_at_deg = 0.0;
    std::optional<double> least_clearance_mm;  // of the contact to the tappet's edge; negative: it overruns
    double clearance_at_deg = 0.0;
    std::vector<std::string> notes;
};

struct StripeReport {
    RunInfo run;
    Units units = Units::mm;
    double crown_radius_mm = 0.0;
    std::vector<std::string> assumed;
    std::vector<LobeStripe> lobes;
    std::vector<std::string> notes;
};

/// Throws what inspect_run and loaded_lobes throw, and DataError for a tappet set off the lobe's middle: it turns by that,
/// and leaves no band to one side.
StripeReport stripe_report(const Run& run, const ContactOptions& options = {});

}  // namespace lobewright
