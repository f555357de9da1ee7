// Help for every command, and what the program says to a command line that it can't understand.
#include <cctype>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "tests/cli/program.hpp"

using namespace lobewright::tests;

TEST_CASE("every command has help with worked examples and exit statuses", "[cli]") {
    using Row = std::pair<std::vector<std::string>, std::string>;  // arguments, an example that must be there
    const auto row = GENERATE(values<Row>({
        {{"--help"}, "\n  lobewright compare launch-4-new launch-4-used"},
        {{"-h"}, "\n  lobewright inspect launch-4-used"},
        {{"compare", "--help"}, "\n  lobewright compare launch-4-new launch-4-used --csv curves\n"},
        {{"compare", "-h"}, "\n  lobewright compare launch-4-before launch-4-after\n"},
        {{"inspect", "--help"}, "\n  lobewright inspect launch-4-new --lobe 1E\n"},
        {{"regrind", "--help"}, "\n  lobewright regrind launch-4-used --target launch-4-new --table grind\n"},
        {{"axis", "--help"}, "\n  lobewright axis launch-4-new --cutoff 50\n"},
        {{"datum", "--help"}, "\n  lobewright datum launch-4-new --turned launch-4-new-turned\n"},
        {{"budget", "--help"}, "\n  lobewright budget launch-4-used --against launch-4-new\n"},
        {{"repeat", "--help"}, "\n  lobewright repeat mon-a mon-b --want 0.003\n"},
        {{"rig-check", "--help"}, "\n  lobewright rig-check --capture proof.cap --json\n"},
        {{"ports", "--help"}, "\n  lobewright sweep my-cam --port usb:A10K3\n"},
        {{"virtual-rig", "--help"},
         "\n  lobewright virtual-rig --cam launch-4-used-nose --place 3E --tcp 4001\n"},
        {{"card", "--help"}, "\n  lobewright card launch-4-new --tdc 179.4\n"},
        {{"stripe", "--help"}, "\n  lobewright stripe launch-4-used-nose --lobe 1E\n"},
        {{"history", "--help"}, "\n  lobewright history pump-6-new pump-6-used\n"},
        {{"study", "--help"}, "\n  lobewright study cams --out cams.ndjson --resume\n"},
        {{"thrust", "--help"}, "\n  lobewright thrust launch-4-new\n"},
        {{"sweep", "--help"}, "\n  lobewright sweep my-cam --port usb:A10K2X\n"},
        {{"replay", "--help"}, "\n  lobewright replay CAPTURE --of 1E --to 1E.csv\n"},
    }));
    const Finished help = run_program(row.first);
    CHECK(help.status == 0);
    CHECK(help.err.empty());
    CHECK(help.out.find(row.second) != std::string::npos);
    CHECK(help.out.find("\nExit status: 0 ") != std::string::npos);
    CHECK(longest_line(help.out) <= 80);
}

TEST_CASE("the overview names every command", "[cli]") {
    const std::string out = run_program({"--help"}).out;
    CHECK(out.find("\n  compare ") != std::string::npos);
    CHECK(out.find("\n  inspect ") != std::string::npos);
    CHECK(out.find("\n  regrind ") != std::string::npos);
    CHECK(out.find("\n  budget ") != std::string::npos);
    CHECK(out.find("\n  repeat ") != std::string::npos);
    CHECK(out.find("\n  card ") != std::string::npos);
    CHECK(out.find("\n  stripe ") != std::string::npos);
    CHECK(out.find("\n  thrust ") != std::string::npos);
    CHECK(out.find("\n  history ") != std::string::npos);
    CHECK(out.find("\n  study ") != std::string::npos);
    CHECK(out.find("\n  sweep ") != std::string::npos);
    CHECK(out.find("\n  replay ") != std::string::npos);
}

TEST_CASE("the version says what it was built with", "[cli]") {
    const Finished version = run_program({"--version"});
    CHECK(version.status == 0);
    CHECK(version.err.empty());
    CHECK(version.out.rfind("lobewright 0.", 0) == 0);
    CHECK(longest_line(version.out) <= 80);
    // The compiler that made this test made the program.
    CHECK(
        has(version.out, fmt::format(" {}.{}.{} for Linux", __GNUC__, __GNUC_MINOR__, __GNUC_PATCHLEVEL__)));
    for (const char* library : {"fmt ", "Eigen ", "Boost ", "toml++ ", "nlohmann-json ", "CLI11 ",
                                "libserialport ", "Duktape ", "ECharts "}) {
        INFO(library);
        const std::size_t at = version.out.find(library);
        REQUIRE(at != std::string::npos);
        CHECK(std::isdigit(version.out[at + std::string(library).size()]) != 0);
    }
}

TEST_CASE("a command line that can't be understood is 64 and one line that says what would do", "[cli]") {
    struct Row {
        const char* legend;
        std::vector<std::string> arguments;
        std::string says;
    };
    const auto row = GENERATE(values<Row>({
        {"nothing", {}, "say what to do: compare, inspect, "},
        {"no such command", {"repair"}, "commands are compare, inspect, "},
        {"no runs", {"compare"}, "REFERENCE is required"},
        {"one run", {"compare", "a"}, "USED is required"},
        {"a run too many", {"compare", "a", "b", "c"}, "not expected: c"},
        {"no such option", {"inspect", "a", "--bogus"}, "--bogus"},
        {"unit that isn't one", {"inspect", "a", "--units", "cm"}, "--units: cm not in {mm,in}"},
        {"points that aren't a number", {"inspect", "a", "--csv", "c", "--curve-points", "many"}, "many"},
        {"too few points", {"inspect", "a", "--csv", "c", "--curve-points", "35"}, "must be 36 to 36000"},
        {"too many points", {"inspect", "a", "--csv", "c", "--curve-points", "36001"}, "must be 36 to 36000"},
        {"points of no curve", {"inspect", "a", "--curve-points", "72"}, "--curve-points needs curves"},
        {"curves on the screen", {"inspect", "a", "--curves"}, "--curves adds to --json"},
        {"overwrite what", {"inspect", "a", "--overwrite"}, "--overwrite goes with --csv"},
        {"lobe of JSON", {"inspect", "a", "--json", "--lobe", "1E"}, "--json always holds every lobe"},
        {"budget of no run", {"budget"}, "RUN is required"},
        {"budget of two runs", {"budget", "a", "b"}, "not expected: b"},
        {"budget against nothing", {"budget", "a", "--against"}, "--against"},
        {"budget in a unit that isn't one", {"budget", "a", "--units", "cm"}, "cm not in {mm,in}"},
        {"card of no run", {"card"}, "RUN is required"},
        {"speed without mass", {"stripe", "a", "--rpm", "3000"}, "--rpm needs the moving mass"},
        {"mass without speed", {"thrust", "a", "--mass", "0.2"}, "--mass needs a speed"},
        {"no speed at all", {"thrust", "a", "--rpm", "0", "--mass", "0.2"}, "--rpm 0: must be above 0"},
        {"card at a lift that isn't one", {"card", "a", "--at", "much"}, "much"},
        {"card at no lift", {"card", "a", "--at", "0"}, "--at 0: give a lift above zero"},
        {"card at a lift without end", {"card", "a", "--at", "inf"}, "--at inf: give a lift above zero"},
        {"dead centre that isn't an angle", {"card", "a", "--tdc", "nan"}, "--tdc nan: give a cam angle"},
        {"lobe of a card's JSON", {"card", "a", "--json", "--lobe", "1E"}, "always holds every lobe"},
        {"lobe of a budget's JSON", {"budget", "a", "--json", "--lobe", "1E"}, "always holds every lobe"},
    }));
    INFO(row.legend);
    const Finished finished = run_program(row.arguments);
    CHECK(finished.status == 64);
    CHECK(finished.out.empty());
    CHECK(finished.err.rfind("lobewright: ", 0) == 0);
    CHECK(finished.err.find(row.says) != std::string::npos);
    CHECK(std::count(finished.err.begin(), finished.err.end(), '\n') == 1);
}
