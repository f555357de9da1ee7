// How lengths are said: U to two significant digits, the value to the same decimals.
#include <catch2/catch.hpp>

#include "analysis/judge/wording.hpp"

using namespace lobewright;

TEST_CASE("a figure is said with the decimals that its U deserves", "[judge]") {
    CHECK(say_figure({0.019512, 0.00187}, Units::mm) == "0.0195 +/- 0.0019 mm");
    CHECK(say_figure({5.4783, 0.0214}, Units::mm) == "5.478 +/- 0.021 mm");
    CHECK(say_figure({5.4783, 2.0}, Units::mm) == "5.478 +/- 2.000 mm");
    CHECK(say_figure({0.019512, 0.0000001}, Units::mm) == "0.01951 +/- 0.00000 mm");
    CHECK(say_figure({0.019512, 0.0}, Units::mm) == "0.01951 +/- 0.00000 mm");
    CHECK(say_figure({0.0254, 0.00254}, Units::in) == "0.00100 +/- 0.00010 in");
    CHECK(say_figure({5.08, 0.0508}, Units::in) == "0.2000 +/- 0.0020 in");
    CHECK(say_figure({-0.00001, 0.002}, Units::mm) == "0.0000 +/- 0.0020 mm");
    CHECK(say_figure({}, Units::mm) == "unknown");
}

TEST_CASE("a length that was given is said as it was given", "[judge]") {
    CHECK(say_length(0.13, Units::mm) == "0.13 mm");
    CHECK(say_length(0.0045, Units::mm) == "0.0045 mm");
    CHECK(say_length(27.0, Units::mm) == "27 mm");
    CHECK(say_length(100.0, Units::mm) == "100 mm");
    CHECK(say_length(0.127, Units::in) == "0.005 in");
    CHECK(say_length(0.005, Units::in) == "0.000197 in");
}

TEST_CASE("a cell shows what a bench reads", "[judge]") {
    CHECK(say_cell(0.0304, Units::mm) == "0.030");
    CHECK(say_cell(-0.0001, Units::mm) == "0.000");
    CHECK(say_cell(0.0254, Units::in) == "0.00100");
    CHECK(say_rounded(0.40352, Units::mm) == "0.404 mm");
    CHECK(say_rounded(0.0254, Units::in) == "0.00100 in");
    CHECK(say_cell(Measured{}.value, Units::mm) == "-");
}
