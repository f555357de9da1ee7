// Where a crowned tappet touches a tapered lobe, and which way that pushes and turns.
#include "analysis/contact/tappet_contact.hpp"

#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/contact/hertz.hpp"

using namespace lobewright;

namespace {

const CrownedTappet tappet{1270.0, 22.0, contact_modulus({207e3, 0.30}, {150e3, 0.26})};

LobePoint lobe(double load_n, double radius_mm, double taper_mm) {
    return {radius_mm, taper_mm / 12.0, 0.0, 12.0, load_n};
}

}  // namespace

TEST_CASE("the contact's middle lies crown radius x slope toward the high side", "[contact]") {
    // 0.020 mm over 12 mm under a crown of 1270 mm: 2.116667 mm (geometry, derived).
    const TappetContact rear = tappet_contact(tappet, lobe(500.0, 10.0, 0.020), 0.0);
    CHECK(rear.centre_mm == Approx(2.116667).epsilon(1e-6));
    const TappetContact front = tappet_contact(tappet, lobe(500.0, 10.0, -0.020), 0.0);
    CHECK(front.centre_mm == Approx(-rear.centre_mm));
    CHECK(front.from_mm == Approx(-rear.to_mm));
}

TEST_CASE("the ellipse ends where the lobe does", "[outside][contact]") {
    // 1000 N, radius 10 mm, slope 0.002, width 12 mm: half length 3.536419 mm (independent calculation with scipy's
    // elliptic integrals), middle 2.54 mm, so that it would reach 6.08 mm where the lobe ends at 6.
    const TappetContact contact = tappet_contact(tappet, {10.0, 0.002, 0.0, 12.0, 1000.0}, 0.0);
    CHECK(contact.from_mm == Approx(2.54 - 3.536419).epsilon(1e-5));
    CHECK(contact.to_mm == 6.0);
    CHECK(contact.past_edge);
    CHECK_FALSE(tappet_contact(tappet, {10.0, 0.001, 0.0, 12.0, 1000.0}, 0.0).past_edge);
}

TEST_CASE("the polished band is wider than what touches, and grows with the gap that counts", "[contact]") {
    const auto contact = tappet_contact(tappet, lobe(500.0, 10.0, 0.020), 0.001);
    const auto wider = tappet_contact(tappet, lobe(500.0, 10.0, 0.020), 0.002);
    CHECK(contact.band_from_mm < contact.from_mm);
    CHECK(wider.band_from_mm < contact.band_from_mm);
    CHECK(wider.from_mm == contact.from_mm);
}

TEST_CASE("the push is toward the high side: a free body says so", "[contact]") {
    // The lobe's surface at z lies at r(z) = r0 + slope z; its outward normal in the plane of axis and contact is
    // (-slope, 1)/sqrt(1 + slope^2) along (z, r). The tappet presses the lobe with the load along r, thus with
    // N = load sqrt(1 + slope^2) against the normal; N's part along z is what pushes the cam.
    for (const double taper_mm : {0.020, -0.035}) {
        const LobePoint at = lobe(600.0, 10.0, taper_mm);
        const double normal_z = -at.slope / std::sqrt(1.0 + at.slope * at.slope);
        const double press_n = at.load_n * std::sqrt(1.0 + at.slope * at.slope);
        const double along_z_n = -press_n * normal_z;
        CHECK(tappet_contact(tappet, at, 0.0).push_n == Approx(along_z_n));
        CHECK((along_z_n > 0.0) == (taper_mm > 0.0));  // rear high: to the rear
    }
}

TEST_CASE("how far the contact reaches from the tappet's axis", "[contact]") {
    LobePoint at = lobe(500.0, 10.0, 0.0);
    at.velocity = 9.0;
    const auto contact = tappet_contact(tappet, at, 0.0);
    // 9 mm off round the lobe; along it 2.806858 mm (the Hertz test's table), across it 0.1336 mm.
    CHECK(contact.reach_mm == Approx(std::hypot(9.0, 2.806858)).epsilon(1e-6));
    at.width_mm = 1.0;
    CHECK(tappet_contact(tappet, at, 0.0).reach_mm == Approx(9.0 + 0.1336086).epsilon(1e-6));
}
