// The bench's screen, drawn from values: 80 columns, figures big enough, every trouble in words, nothing but ASCII where
// blocks can't be drawn.
#include <algorithm>

#include <catch2/catch.hpp>

#include "cli/big_figures.hpp"
#include "cli/present_sweep.hpp"

using namespace lobewright;

namespace {

SweepView turning() {
    SweepView view;
    view.stage = BenchStage::sweep;
    view.of = "1E";
    view.ordinal = 3;
    view.places = 11;
    view.port = "/dev/ttyUSB0";
    view.true_angles = true;
    view.angle_deg = 212.43;
    view.front_mm = -0.0123;
    view.rear_mm = 12.3456;
    view.speed_deg_per_s = 21.0;
    view.most_deg_per_s = 72.0;
    view.front_drift_mm = 0.0003;
    view.rear_drift_mm = -0.0001;
    view.missing = {{118.0, 126.0}, {212.4, 355.0}};
    view.to_index_deg = 147.5;
    view.troubles = {{"turned back at 80 deg", "go on in the running direction", true},
                     {"12 lines lost at 118 deg", "look to the cable", false},
                     {"gap 118 to 126 deg", "turn on round and over it again, slower", false}};
    view.keys = "e end here   r repeat   s skip   q quit";
    return view;
}

std::size_t width(const std::string& line) {
    return static_cast<std::size_t>(std::count_if(
        line.begin(), line.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

bool holds(const std::vector<std::string>& lines, const std::string& words) {
    return std::any_of(lines.begin(), lines.end(),
                       [&](const std::string& l) { return l.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("the screen fits the terminal whatever its size", "[cli][sweep-screen]") {
    const ScreenSize size =
        GENERATE(ScreenSize{80, 24}, ScreenSize{132, 50}, ScreenSize{79, 24}, ScreenSize{40, 10},
                 ScreenSize{80, 12}, ScreenSize{10, 2}, ScreenSize{1, 1});
    const bool blocks = GENERATE(true, false);
    for (const BenchStage stage : {BenchStage::place, BenchStage::sweep, BenchStage::finished}) {
        SweepView view = turning();
        view.stage = stage;
        view.says = {
            "Turning parts catch fingers, sleeves and rags; a cam is heavy and its edges are sharp. Unplug "
            "any drive."};
        const auto lines = present_sweep_screen(view, size, {blocks, false});
        CHECK(lines.size() <= size.lines);
        for (const std::string& line : lines) CHECK(width(line) <= size.columns);
    }
}

TEST_CASE("what to do about a trouble goes on below where the line is too short for it",
          "[cli][sweep-screen]") {
    SweepView view = turning();
    view.troubles = {{"front out of range from 118 to 126 deg",
                      "set the indicator anew in its stand, and then sweep this lobe once more", false}};
    const auto lines = present_sweep_screen(view, {80, 24}, {false, false});
    CHECK(holds(lines, "  ! front out of range from 118 to 126 deg: set the indicator anew in its stand,"));
    CHECK(holds(lines, "    and then sweep this lobe once more"));
}

TEST_CASE("while turning the screen says all that the hand must know", "[cli][sweep-screen]") {
    const auto lines = present_sweep_screen(turning(), {80, 24}, {false, false});
    CHECK(lines.size() == 24);
    for (const char* words :
         {"lobe 1E, pass 1   3 of 11", "cam degrees", "21 deg/s, at most 72",
          "drift +0.0003 front, -0.0001 rear", "index mark in 148 deg",
          "missing: 118 to 126 deg, 212 to 355 deg",
          "! gap 118 to 126 deg: turn on round and over it again, slower", "! 12 lines lost at 118 deg",
          "- turned back at 80 deg (put right)", "e end here"})
        CHECK(holds(lines, words));
    for (const std::string& line : lines)
        CHECK(std::all_of(line.begin(), line.end(), [](char c) { return c >= ' ' && c <= '~'; }));
}

TEST_CASE("the three figures stand five lines high", "[cli][sweep-screen]") {
    const auto lines = present_sweep_screen(turning(), {80, 24}, {false, false});
    for (const char* text : {"212.4", "-0.012", "12.346"}) {
        for (const std::string& row : big_figures(text, true, false)) {
            const std::size_t end = row.find_last_not_of(' ');
            CHECK(holds(lines, row.substr(0, end == std::string::npos ? 0 : end + 1)));
        }
    }
}

TEST_CASE("big figures are as wide as they say, wide or narrow", "[cli][sweep-screen]") {
    const bool wide = GENERATE(true, false);
    for (const char* text : {"0123456789", "-+.? ", "", "212.4"}) {
        for (const std::string& line : big_figures(text, wide, true))
            CHECK(width(line) == big_width(text, wide));
        for (const std::string& line : big_figures(text, wide, false))
            CHECK(line.size() == big_width(text, wide));
    }
}

TEST_CASE("the bar of the turn shows what is covered, partly covered and missing", "[cli][sweep-screen]") {
    CHECK(turn_bar({}, 12, false) == "############");
    CHECK(turn_bar({{0.0, 360.0}}, 12, false) == "............");
    CHECK(turn_bar({{30.0, 90.0}, {345.0, 370.0}}, 12, false) == "-..########-");
    CHECK(turn_bar({{90.0, 120.0}}, 4, true) == "\u2588\u2592\u2588\u2588");
}

TEST_CASE("missing stretches are told as far as there is room", "[cli][sweep-screen]") {
    const std::vector<Stretch> missing{{10.0, 20.0}, {118.0, 126.0}, {212.0, 355.0}};
    CHECK(missing_words(missing, 60) == "10 to 20 deg, 118 to 126 deg, 212 to 355 deg");
    CHECK(missing_words(missing, 30) == "10 to 20 deg and 2 more");
    CHECK(missing_words(missing, 12) == "3 stretches");
    CHECK(missing_words({}, 10) == "nothing");
    CHECK(missing_words({{0.0, 360.0}}, 20) == "the whole turn");
}

TEST_CASE("the live line fits and holds angle, both readings and what is missing", "[cli][sweep-screen]") {
    CHECK(present_sweep_line(turning(), 100) ==
          "1E 212.4 deg  front -0.012 rear 12.346  21 deg/s  missing 118 to 126 deg, 212 to 355 deg");
    CHECK(present_sweep_line(turning(), 79).size() <= 79);
    SweepView whole = turning();
    whole.missing.clear();
    CHECK(present_sweep_line(whole, 79) == "1E 212.4 deg  front -0.012 rear 12.346  21 deg/s  turn whole");
}

TEST_CASE("the live line says how fast the hand may turn where it turns faster", "[cli][sweep-screen]") {
    SweepView view = turning();
    view.most_deg_per_s = 10.4;
    CHECK_THAT(present_sweep_line(view, 79), Catch::Contains("21 deg/s, max 10  missing 2 stretches"));
    CHECK(present_sweep_line(view, 79).size() <= 79);
}

TEST_CASE("what isn't known is a question mark, never a zero", "[cli][sweep-screen]") {
    SweepView view = turning();
    view.angle_deg.reset();
    view.front_mm.reset();
    view.front_drift_mm.reset();
    view.rear_drift_mm.reset();
    const auto lines = present_sweep_screen(view, {80, 24}, {false, false});
    CHECK(holds(lines, "turn to the index mark"));
    CHECK(holds(lines, "drift not known yet"));
    CHECK(reading_text({}, Units::mm) == "?");
    CHECK(reading_text(-0.0004, Units::mm) == "0.000");
    CHECK(reading_text(25.4, Units::in) == "1.0000");
}

TEST_CASE("colour only repeats what stands there in words", "[cli][sweep-screen]") {
    const auto plain = present_sweep_screen(turning(), {80, 24}, {true, false});
    auto coloured = present_sweep_screen(turning(), {80, 24}, {true, true});
    CHECK(holds(coloured, "\x1b["));
    for (std::string& line : coloured) {
        for (std::size_t at = line.find('\x1b'); at != std::string::npos; at = line.find('\x1b'))
            line.erase(at, line.find('m', at) - at + 1);
    }
    CHECK(coloured == plain);
}
