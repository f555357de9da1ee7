// Where each figure's uncertainty comes from, on the bench's screen.
#include <algorithm>
#include <cmath>
#include <cstdio>

#include "tests/cli/budget_pair.hpp"

using namespace lobewright::tests;

namespace {

std::string largest_source(const Json& figure) {
    std::string largest;
    double most = 0.0;
    for (const auto& [name, u] : figure["sources"].items()) {
        if (u.get<double>() > most) largest = name, most = u.get<double>();
    }
    return largest;
}

/// The line below the one that starts with `start`, without its indent.
std::string below(const std::string& screen, const std::string& start) {
    std::istringstream stream(screen);
    for (std::string line; std::getline(stream, line);) {
        if (line.rfind(start, 0) == 0 && std::getline(stream, line))
            return line.substr(line.find_first_not_of(' '));
    }
    return "";
}

void check_plain(const std::string& text) {
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) {
        INFO(line);
        CHECK(line.size() <= 80);
        CHECK((line.empty() || line.back() != ' '));
    }
    CHECK(text.find('\x1b') == std::string::npos);
}

}  // namespace

TEST_CASE("the indicator leads the nose's wear where its error limit counts, and not where that is 0",
          "[cli][budget][screen]") {
    const TempFolder folder;
    write_pair(folder);
    const std::vector<std::string> json{"budget", folder / "used", "--against", folder / "new", "--json"};
    const std::vector<std::string> screen{"budget", folder / "used", "--against", folder / "new"};
    CHECK(largest_source(figure_of(json_of(json)["lobes"][1], "wear.nose_depth")) == "indicator");
    const std::string limited = run_program(screen).out;
    CHECK(below(limited, "wear, nose ").rfind("indicator ", 0) == 0);
    CHECK(limited.find("error_limit") == std::string::npos);

    for (const char* run : {"new", "used"}) set_line(folder / run, "error_limit", "error_limit = 0.0");
    const Json perfect = json_of(json);
    CHECK(figure_of(perfect["lobes"][1], "wear.nose_depth")["sources"]["indicator"] == 0.0);
    const std::string unlimited = run_program(screen).out;
    CHECK_FALSE(below(unlimited, "wear, nose ").empty());
    CHECK(unlimited.find("indicator ") == std::string::npos);
    CHECK(unlimited.find("error_limit") == std::string::npos);  // it is given: none
}

TEST_CASE("what is left without the largest source stands beside +/-", "[cli][budget][screen]") {
    const TempFolder folder;
    write_pair(folder);
    const Json json = json_of({"budget", folder / "used", "--against", folder / "new", "--json"});
    const Json& figure = figure_of(json["lobes"][0], "taper.opening");
    double squares = 0.0;
    double largest = 0.0;
    for (const Json& u : figure["sources"]) {
        squares += u.get<double>() * u.get<double>();
        largest = std::max(largest, u.get<double>());
    }
    const double u95 = figure["u95"];
    const double left = u95 * std::sqrt((squares - largest * largest) / squares);
    const std::string out =
        run_program({"budget", folder / "used", "--against", folder / "new", "--lobe", "1E"}).out;
    const std::size_t at = out.find("taper, opening ramp");
    REQUIRE(at != std::string::npos);
    std::istringstream cells(out.substr(at + std::string("taper, opening ramp").size()));
    double shown_value = 0.0, shown_u95 = 0.0, shown_left = 0.0;
    std::string unit;
    cells >> shown_value >> shown_u95 >> shown_left >> unit;
    CHECK(shown_value == Approx(figure["value"].get<double>()).margin(0.5001e-5));
    CHECK(shown_u95 == Approx(u95).margin(0.5001e-5));
    CHECK(shown_left == Approx(left).margin(0.5001e-5));
    CHECK(unit == "mm");
}

TEST_CASE("where an error limit isn't given the screen says that only repeatability is counted",
          "[cli][budget][screen]") {
    const TempFolder folder;
    write_pair(folder);
    set_line(folder / "used", "error_limit", "");
    const std::string out = run_program({"budget", folder / "used", "--against", folder / "new"}).out;
    check_plain(out);
    CHECK(out.find("[rig] error_limit isn't given in cam-used: ") != std::string::npos);
    CHECK(out.find("repeatability") != std::string::npos);
    set_line(folder / "new", "error_limit", "");
    CHECK(run_program({"budget", folder / "used", "--against", folder / "new"})
              .out.find("[rig] error_limit isn't given in cam-used and cam-new: ") != std::string::npos);
}

TEST_CASE("without a datum the taper's budget is the relative one, and the screen says so",
          "[cli][budget][screen]") {
    const TempFolder folder;
    SmallRun run;
    run.datum = false;
    write_small_run(folder / "run", run);
    const std::string out = run_program({"budget", folder / "run"}).out;
    check_plain(out);
    CHECK(out.find("no front-to-rear zero ([datum])") != std::string::npos);
    CHECK(out.find("taper, base circle") == std::string::npos);
    CHECK(out.find("taper, opening ramp") != std::string::npos);
    CHECK(out.find("datum 1") == std::string::npos);
}

TEST_CASE("the summary holds the figures that decide, each on its least certain lobe, and what to improve",
          "[cli][budget][screen]") {
    const TempFolder folder;
    write_pair(folder);
    // Readings of lobe 1I that scatter by some micrometres: its heel is the less certain one.
    std::ifstream old(folder / "used/sweeps/b.csv");
    std::string rough;
    for (std::string line; std::getline(old, line);) {
        double deg = 0.0, front = 0.0, rear = 0.0;
        if (std::sscanf(line.c_str(), "%lf,%lf,%lf", &deg, &front, &rear) != 3) {
            rough += line + "\n";
            continue;
        }
        const double jitter = 0.004 * std::sin(2.4 * deg * deg);
        rough += fmt::format("{},{:.5f},{:.5f}\n", deg, front + jitter, rear - jitter);
    }
    std::ofstream(folder / "used/sweeps/b.csv") << rough;
    const std::string out = run_program({"budget", folder / "used", "--against", folder / "new"}).out;
    check_plain(out);
    CHECK(out.rfind("Where the uncertainty comes from\n", 0) == 0);
    CHECK(out.find("\ncam-used against cam-new; lengths in millimetres\n") != std::string::npos);
    for (const char* start :
         {"lift, loss ", "phase shift ", "base circle, runout front  1I ", "base circle, runout rear   1I ",
          "taper, base circle ", "taper, opening ramp ", "taper, closing ramp ", "wear, nose "}) {
        INFO(start);
        CHECK(below(out, start).find(" %") != std::string::npos);
    }
    CHECK(out.find("wear, area") == std::string::npos);
    CHECK(out.find("lift, used") == std::string::npos);
    CHECK(out.find("\nImprove first: ") != std::string::npos);
    CHECK(run_program({"budget", folder / "new"}).out.find("lift, used ") != std::string::npos);
}

TEST_CASE("the option --lobe shows every figure of the lobes in the order asked for",
          "[cli][budget][screen][samples]") {
    const std::string out = run_program({"budget", sample("hand-4-used"), "--against", sample("hand-4-new"),
                                         "--lobe", "1I", "--lobe", "1E"})
                                .out;
    check_plain(out);
    const std::size_t first = out.find("\nLobe 1I (intake)\n");
    const std::size_t second = out.find("\nLobe 1E (exhaust)\n");
    REQUIRE(first != std::string::npos);
    REQUIRE(second != std::string::npos);
    CHECK(first < second);
    CHECK(below(out, "nose radius, used ").find("table ") != std::string::npos);
    CHECK(below(out, "taper, base circle ").find("datum ") != std::string::npos);
    CHECK(out.find("\nImprove first: indicator, ") != std::string::npos);
}

TEST_CASE("a budget in inches fits the screen as well", "[cli][budget][screen]") {
    const TempFolder folder;
    write_pair(folder);
    const std::string out =
        run_program({"budget", folder / "used", "--against", folder / "new", "--lobe", "1E", "--units", "in"})
            .out;
    check_plain(out);
    CHECK(out.find("lengths in inches\n") != std::string::npos);
    CHECK(out.find("  in x deg\n") != std::string::npos);
    CHECK(out.find("  in3\n") != std::string::npos);
}
