#include "tests/faults/fault_study.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <sstream>

#include <fmt/format.h>

#include "tests/cli/started_program.hpp"

namespace lobewright::tests {
namespace {

namespace fs = std::filesystem;

constexpr int counts_per_rev = 7200;
constexpr double step_mm = 0.0005;
/// Without end: some troubles are only over when somebody does something about them.
constexpr std::chrono::seconds patience{20};

std::vector<std::string> cells_of(const std::string& line) {
    std::vector<std::string> cells;
    std::istringstream stream(line);
    for (std::string cell; std::getline(stream, cell, ',');) cells.push_back(cell);
    return cells;
}

int within_a_turn(long long count) {
    return static_cast<int>((count % counts_per_rev + counts_per_rev) % counts_per_rev);
}

/// What was latched: by place in the turn, the pairs of readings that the indicators truly gave there.
struct Truth {
    std::map<int, std::set<std::pair<int, int>>> latched;
    std::size_t injected = 0;
};

Truth truth_of(const std::string& file) {
    Truth truth;
    std::istringstream stream(text_of(file));
    for (std::string line; std::getline(stream, line);) {
        const auto cells = cells_of(line);
        if (!cells.empty() && cells[0] == "fault") ++truth.injected;
        // latch, t_us, place, position, count, front, rear, true|stuck
        if (cells.size() != 8 || cells[0] != "latch" || cells[7] != "true" || cells[5] == "-" ||
            cells[6] == "-")
            continue;
        truth.latched[within_a_turn(std::stoll(cells[3]))].insert({std::stoi(cells[5]), std::stoi(cells[6])});
    }
    return truth;
}

int steps_of(const std::string& mm) {
    return static_cast<int>(std::lround(std::stod(mm) / step_mm));
}

/// Rows of the sweeps, and how many of them aren't true.
void compare(const fs::path& sweeps, const Truth& truth, FaultOutcome& outcome) {
    if (!fs::exists(sweeps)) return;
    for (const auto& entry : fs::directory_iterator(sweeps)) {
        if (entry.path().extension() != ".csv") continue;
        std::istringstream stream(text_of(entry.path()));
        std::map<std::string, std::size_t> column;
        for (std::string line; std::getline(stream, line);) {
            if (line.rfind('#', 0) == 0) continue;
            const auto cells = cells_of(line);
            if (column.empty()) {
                for (std::size_t i = 0; i < cells.size(); ++i) column[cells[i]] = i;
                continue;
            }
            ++outcome.rows;
            const auto there = truth.latched.find(within_a_turn(std::stoll(cells.at(column.at("count")))));
            const std::pair<int, int> shown{steps_of(cells.at(column.at("front"))),
                                            steps_of(cells.at(column.at("rear")))};
            if (there == truth.latched.end() || there->second.count(shown) == 0) ++outcome.wrong;
        }
    }
}

/// "! 12 lines lost at 40 deg: what to do" without how many, where, and what to do: "lines lost".
std::string kind_of_trouble(const std::string& line) {
    std::string words = line.substr(2, line.find(':') - 2);
    words.erase(0, words.find_first_not_of("0123456789 "));
    for (const char* place : {" at ", " from "}) words.erase(std::min(words.find(place), words.size()));
    for (const char* kind : {"gap", "too fast"})
        if (words.rfind(kind, 0) == 0) words = kind;
    if (words.rfind("line ", 0) == 0) words.insert(4, "s");
    return words;
}

std::vector<std::string> named_in(const std::string& said) {
    std::vector<std::string> named;
    std::istringstream stream(said);
    for (std::string line; std::getline(stream, line);) {
        if (line.rfind("! ", 0) != 0) continue;
        const std::string words = kind_of_trouble(line);
        if (std::find(named.begin(), named.end(), words) == named.end()) named.push_back(words);
    }
    return named;
}

std::vector<std::string> sweep_command(const std::string& run, const std::string& port) {
    std::vector<std::string> words{"sweep", run, "1E", "--port", port, "--lobe", "1E,exhaust,40,12"};
    for (const char* setting : {"run.condition=new", "cam.follower=flat", "cam.retention=thrust-plate",
                                "rig.tip=flat", "rig.front_z=-4.0", "rig.rear_z=4.0"})
        words.insert(words.end(), {"--set", setting});
    return words;
}

FaultCase with(const std::string& name, const std::string& fault) {
    return {name, {"--fault", fault}};
}

}  // namespace

std::vector<FaultCase> fault_cases() {
    return {{"no fault", {}},
            with("a bit in 10 000 turned over", "bit-errors:0.0001"),
            with("a bit in 1000 turned over", "bit-errors:0.001"),
            with("a byte in 1000 lost", "lost-bytes:0.001"),
            with("a byte in 1000 twice", "doubled-bytes:0.001"),
            with("one line in 50 split", "split-lines:0.02"),
            with("one line in 50 glued to the next", "glued-lines:0.02"),
            with("garbage when the port opens", "garbage:300"),
            with("garbage in the middle", "garbage:300@120deg"),
            with("bursts each 16 ms", "bursts:16"),
            with("front indicator stuck over 30 deg", "stuck-front@140deg+30deg"),
            with("rear indicator stuck over 30 deg", "stuck-rear@140deg+30deg"),
            with("front out of range over 15 deg", "range-front@90deg+15deg"),
            with("rear out of range over 15 deg", "range-rear@90deg+15deg"),
            with("3 counts lost", "slip:3@200deg"),
            with("3 counts too many", "slip:-3@200deg"),
            with("both encoder tracks at once", "encoder@200deg"),
            {"no index mark", {"--fault", "no-index", "--script"}},
            with("turned back 10 deg", "back:10@150deg"),
            with("unplugged for 1 s", "unplug:1@150deg"),
            with("controller starts afresh", "reset@150deg"),
            with("controller starts afresh on open", "reset-on-open"),
            with("silent for 3 s", "silence@150deg+3s"),
            with("clock wraps", "clock-wrap:5"),
            with("count wraps", "count-wrap:2000"),
            {"turned too fast for the line", {"--baud", "9600", "--hand-speed", "300"}}};
}

std::vector<FaultCase> fault_cases(const std::vector<std::string>& names) {
    const auto all = fault_cases();
    std::vector<FaultCase> some;
    for (const std::string& name : names) {
        const auto found =
            std::find_if(all.begin(), all.end(), [&](const FaultCase& c) { return c.name == name; });
        if (found == all.end()) throw std::runtime_error("no fault case " + name);
        some.push_back(*found);
    }
    return some;
}

FaultOutcome try_fault(const FaultCase& fault) {
    const TempFolder folder;
    const std::string port = folder / "rig", truth = folder / "truth", run = folder / "run";
    std::vector<std::string> serve{"virtual-rig", "--place", "1E",      "--speed", "max",
                                   "--pty",       port,      "--truth", truth};
    serve.insert(serve.end(), fault.options.begin(), fault.options.end());
    if (serve.back() == "--script") {  // a hand that stops: what is missing then will never come
        std::ofstream(folder / "script") << "await\nturn 900\n";
        serve.push_back(folder / "script");
    }
    FaultOutcome outcome;
    outcome.name = fault.name;
    StartedProgram rig(serve);
    if (!rig.says("ready at")) throw std::runtime_error("the virtual rig doesn't start: " + rig.said());
    StartedProgram sweep(sweep_command(run, port), "\n");
    outcome.ended = sweep.ends_within(patience);
    if (!outcome.ended) sweep.end(SIGINT);
    outcome.said = sweep.said();
    outcome.whole = sweep.status() == 0;
    rig.end(SIGINT);
    const Truth latched = truth_of(truth);
    outcome.injected = latched.injected;
    outcome.named = named_in(outcome.said);
    compare(fs::path(run) / "sweeps", latched, outcome);
    return outcome;
}

std::string fault_page(const std::vector<FaultOutcome>& outcomes) {
    std::string page =
        "# What becomes of a rig's troubles\n\n"
        "Made by `lobewright_rig_faults`: each trouble is put on by `lobewright virtual-rig` while "
        "`lobewright sweep` takes\n"
        "a lobe over it, and every row of the sweep is compared with what the controller truly latched (*not "
        "true*: it isn't\n"
        "that, or the indicator was stuck).\n\n"
        "- *put right*: the turn is whole and every row true; *not whole*: the sweep is kept, and marked as "
        "falling short\n"
        "- *goes on asking*: the turn stays open until somebody does something about it; here broken off "
        "after 20 s, and what\n"
        "  there is kept and marked\n"
        "- *named*: what the machinist is told\n\n"
        "| trouble | outcome | rows | not true | named |\n| --- | --- | --- | --- | --- |\n";
    for (const FaultOutcome& outcome : outcomes) {
        std::string what = outcome.wrong == 0 && outcome.whole ? "put right"
                           : outcome.whole                     ? "in the data"
                                                               : "not whole";
        if (!outcome.ended) what = "goes on asking";
        if (!outcome.named.empty()) what += ", named";
        if (outcome.silent()) what += ", SILENT";
        std::string named;
        for (const std::string& words : outcome.named) named += (named.empty() ? "" : "; ") + words;
        page += fmt::format("| {} | {} | {} | {} | {} |\n", outcome.name, what, outcome.rows, outcome.wrong,
                            named);
    }
    return page;
}

}  // namespace lobewright::tests
