// Profile files: read as written, refused with file and line for anything else.
#include "analysis/regrind/profile_file.hpp"

#include <cmath>
#include <fstream>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/lobe/lobe_on_grid.hpp"
#include "tests/cli/program.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr auto head =
    "format = \"lobewright-profile/1\"\nunits = \"mm\"\n[profile]\nname = \"mild\"\nkind = \"exhaust\"\n"
    "follower = \"flat\"\n";

/// A lift of 5 mm over 140 degrees about 30 degrees, its flanks alike.
double lift_mm(double deg) {
    const double x = 1.0 - std::fabs(deg - 30.0) / 70.0;
    return x > 0.0 ? 5.0 * x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x))) : 0.0;
}

std::string rows(double step_deg = 1.0) {
    std::string out = "angle_deg,lift\n";
    for (double deg = -40.0; deg <= 100.0; deg += step_deg)
        out += fmt::format("{},{:.7f}\n", deg, lift_mm(deg));
    return out;
}

std::string written(const TempFolder& folder, const std::string& text) {
    std::ofstream(folder / "a.profile") << text;
    return folder / "a.profile";
}

std::string refusal(const std::string& text) {
    const TempFolder folder;
    const std::string file = written(folder, text);
    try {
        (void)read_profile_file(file);
    } catch (const DataError& error) {
        return std::string(error.what()).substr(file.size());
    }
    return "accepted";
}

}  // namespace

TEST_CASE("a profile file gives the lift that was written, its centreline at zero", "[regrind][profile]") {
    const TempFolder folder;
    const ProfileFile profile = read_profile_file(written(folder, head + rows()));
    CHECK(profile.name == "mild");
    CHECK(profile.kind == LobeKind::exhaust);
    CHECK_FALSE(profile.taper_per_mm);
    const auto lift = lift_on_grid(profile);
    for (std::size_t g = 0; g < grid_points; ++g) {
        INFO(g);
        const double deg = wrapped_deg(0.5 * static_cast<double>(g));
        CHECK(lift[g] == Approx(lift_mm(deg + 30.0)).margin(2e-4));
    }
}

TEST_CASE("a profile in inches, with carriage returns and remarks, is the same profile",
          "[regrind][profile]") {
    const TempFolder folder;
    std::string text =
        "format = \"lobewright-profile/1\"\r\nunits = \"in\"\r\n[profile]\r\nname = \"mild\"\r\nkind = "
        "\"any\"\r\n"
        "follower = \"flat\"\r\ntaper = 0.001\r\nwidth = 0.5\r\nangle_deg,lift\r\n# heel\r\n";
    for (double deg = -40.0; deg <= 100.0; deg += 1.0)
        text += fmt::format("{}, {:.8f}\r\n", deg, lift_mm(deg) / 25.4);
    const ProfileFile profile = read_profile_file(written(folder, text));
    CHECK_FALSE(profile.kind);
    CHECK(profile.taper_per_mm.value() == Approx(0.002));
    CHECK(peak_of(lift_on_grid(profile)).value == Approx(5.0).margin(2e-4));
}

TEST_CASE("what isn't a profile file is refused, with file and line", "[regrind][profile]") {
    const std::string ok = head;
    CHECK(refusal(ok + rows()) == "accepted");
    CHECK(has(refusal(ok), "no rows: after the head comes the line angle_deg,lift"));
    CHECK(has(refusal(ok + "colour = 1\n" + rows()), ":7: [profile] key \"colour\" isn't known"));
    CHECK(has(refusal(ok + "taper = 0.02\n" + rows()), ":7: taper and width go together"));
    CHECK(
        has(refusal("format = \"lobewright-profile/2\"\n" + rows()), ":1: format \"lobewright-profile/2\""));
    CHECK(has(refusal("units = 'mm'\n" + rows()), "key 'format' is missing"));
    CHECK(has(refusal(ok + "follower_radius = 5\n" + rows()), "follower_radius belongs to a roller"));
    CHECK(has(refusal(ok + "angle_deg,lift\n0,0\n1,x\n"), ":9: column lift: \"x\" isn't a number"));
    CHECK(has(refusal(ok + "angle_deg,lift\n0,0\n1\n"), ":9: a row is angle_deg,lift"));
    CHECK(has(refusal(ok + "angle_deg,lift\n0,0\n0,1\n"), ":9: angles must rise"));
    CHECK(has(refusal(ok + "angle_deg,lift\n0,0\n9,1\n"), ":9: 9 deg from the row before"));
    CHECK(has(refusal(ok + "angle_deg,lift\n0,0\n1,-1\n"), ":9: a lift is from 0 up"));
    CHECK(has(refusal(ok + "angle_deg,lift\n0,0\n1,1\n"), "2 rows can't carry a profile"));
    CHECK(has(refusal(ok + rows().substr(0, rows().find("\n31,"))), "begin and end on the heel"));
    CHECK(has(refusal("kind = [\n" + rows()), ":"));
}
