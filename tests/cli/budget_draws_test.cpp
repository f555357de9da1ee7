// `budget --draws`: u95 checked by draws, on the screen and for a program.
#include <algorithm>
#include <cmath>

#include "tests/cli/budget_pair.hpp"

using namespace lobewright::tests;

TEST_CASE("budget --draws --json adds an object to each figure", "[cli][budget][draws][json]") {
    const Json json = json_of(
        {"budget", sample("hand-4-used"), "--against", sample("hand-4-new"), "--json", "--draws", "100"});
    CHECK(keys_of(json) ==
          std::vector<std::string>{"format", "units", "used", "reference", "draws", "lobes"});
    CHECK(json["draws"] == Json{{"number", 100}, {"seed", 1}});
    for (const Json& lobe : json["lobes"]) {
        for (const Json& figure : lobe["figures"]) {
            INFO(lobe["name"] << " " << figure["figure"]);
            CHECK(keys_of(figure) == std::vector<std::string>{"figure", "value", "u95", "sources", "draws"});
            const Json& draws = figure["draws"];
            CHECK(keys_of(draws) == std::vector<std::string>{"known_in", "mean", "sd", "u95", "interval",
                                                             "shortest_u95", "shortest_interval", "tolerance",
                                                             "chance", "agrees"});
            CHECK(draws["known_in"] == 100);
            const double low = draws["interval"][0], high = draws["interval"][1];
            CHECK(draws["u95"].get<double>() == Approx(0.5 * (high - low)));
            CHECK(draws["shortest_u95"].get<double>() <= draws["u95"].get<double>() * (1.0 + 1e-12));
            const double value = figure["value"], u95 = figure["u95"];
            const double off = std::max(std::abs(value - u95 - low), std::abs(value + u95 - high));
            const double allowed = draws["tolerance"].get<double>() + draws["chance"].get<double>();
            CHECK(draws["agrees"] == (off <= allowed));
        }
        CHECK(figure_of(lobe, "wear.nose_depth")["draws"]["agrees"] == true);
        CHECK(figure_of(lobe, "lift.loss")["draws"]["agrees"] == true);
    }
}

TEST_CASE("draws in inches are those in millimetres by 25.4, and angles as they are",
          "[cli][budget][draws][json]") {
    const Json mm = json_of({"budget", sample("hand-4-new"), "--json", "--draws", "100", "--seed", "7"});
    const Json in =
        json_of({"budget", sample("hand-4-new"), "--json", "--draws", "100", "--seed", "7", "--units", "in"});
    CHECK(mm["draws"]["seed"] == 7);
    for (const Json& figure : mm["lobes"][0]["figures"]) {
        const double per = figure["figure"] == "nose_deg" ? 1.0 : 25.4;
        const Json& other = figure_of(in["lobes"][0], figure["figure"]);
        INFO(figure["figure"]);
        CHECK(figure["draws"]["sd"].get<double>() ==
              Approx(per * other["draws"]["sd"].get<double>()).epsilon(1e-9));
        CHECK(figure["draws"]["agrees"] == other["draws"]["agrees"]);
    }
}

TEST_CASE("the screen says how many draws, +/- both ways, and how many agree",
          "[cli][budget][draws][screen]") {
    const std::vector<std::string> plain{"budget", sample("hand-4-new")};
    auto asked = plain;
    asked.insert(asked.end(), {"--draws", "120", "--seed", "3"});
    const Finished drawn = run_program(asked);
    CHECK(drawn.status == 0);
    CHECK(drawn.err.empty());  // no terminal, no progress
    // What stood there before stands there still.
    CHECK(drawn.out.rfind(run_program(plain).out, 0) == 0);
    CHECK(drawn.out.find("\nChecked by 120 draws (seed 3): ") != std::string::npos);
    CHECK(drawn.out.find("  by draws  ") != std::string::npos);
    CHECK(drawn.out.find(" of 6 agree.\n") != std::string::npos);

    asked.insert(asked.end(), {"--lobe", "1I", "--lobe", "1E"});
    const std::string lobes = run_program(asked).out;
    const auto first = lobes.find("Checked by"), last = lobes.rfind("Checked by");
    CHECK(first == last);  // told once
    CHECK(lobes.find("Lobe 1I") < lobes.find("agree.\n"));
    for (const std::string& text : {drawn.out, lobes}) {
        std::istringstream lines(text);
        for (std::string line; std::getline(lines, line);) {
            INFO(line);
            CHECK(line.size() <= 80);
            CHECK((line.empty() || line.back() != ' '));
        }
    }
}

TEST_CASE("draws that can't be made are refused in one line", "[cli][budget][draws]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    struct Row {
        std::vector<std::string> options;
        std::string says;
    };
    const std::vector<Row> rows{{{"--draws", "99"}, "give at least 100"},
                                {{"--draws", "0"}, "give at least 100"},
                                {{"--draws", "-400"}, "give at least 100"},
                                {{"--draws", "100001"}, "give at most"},
                                {{"--draws", "1e9"}, "--draws"},
                                {{"--draws", "many"}, "--draws"},
                                {{"--draws"}, "--draws"},
                                {{"--seed", "3"}, "give --draws N"},
                                {{"--draws", "100", "--seed", "-3"}, "--seed"}};
    for (const Row& row : rows) {
        std::vector<std::string> arguments{"budget", folder / "new"};
        arguments.insert(arguments.end(), row.options.begin(), row.options.end());
        const Finished finished = run_program(arguments);
        INFO(row.options.back() << ": " << finished.err);
        CHECK(finished.status == 64);
        CHECK(finished.out.empty());
        CHECK(finished.err.find(row.says) != std::string::npos);
        CHECK(std::count(finished.err.begin(), finished.err.end(), '\n') == 1);
    }
}
