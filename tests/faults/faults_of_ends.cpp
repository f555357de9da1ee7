// Closed streams, and signals at the worst moment.
#include <csignal>
#include <cstring>

#include <fmt/format.h>

#include "tests/faults/program_faults.hpp"

namespace lobewright::tests {
namespace {

namespace fs = std::filesystem;

ProgramFault closed_stream(const std::string& done, Conditions call, int status, const std::string& says,
                           const std::string& left = "as before") {
    return {.done = done, .call = std::move(call), .status = status, .says = says, .left = left};
}

std::vector<ProgramFault> of_streams() {
    ProgramFault page = closed_stream(
        "all three closed",
        {.words = {"report", "new", "used", "--to", "page.html"}, .in = closed, .out = closed, .err = closed},
        74, "", "page.html new");
    page.wrong = [](Scene& scene, const Ended&) {
        return text_of(scene.folder / "page.html").starts_with("<!DOCTYPE html>")
                   ? ""
                   : "something else is in the page";
    };
    const std::string cannot = "standard output can't be written: Bad file descriptor";
    return {
        closed_stream("the reader has gone", {.words = {"compare", "new", "used"}, .out = reader_gone}, 74,
                      ""),
        closed_stream("the reader has gone",
                      {.words = {"compare", "new", "used", "--json"}, .out = reader_gone}, 74, ""),
        closed_stream("the reader has gone", {.words = {"study", "."}, .out = reader_gone}, 74, ""),
        closed_stream("the reader has gone", {.words = {"--help"}, .out = reader_gone}, 74, ""),
        closed_stream("standard output closed", {.words = {"inspect", "used"}, .out = closed}, 74, cannot),
        closed_stream("standard output closed", {.words = {"study", ".", "--out", "a.ndjson"}, .out = closed},
                      0, "2 of 2 runs", "a.ndjson new"),
        closed_stream("standard error closed", {.words = {"study", ".", "--out", "a.ndjson"}, .err = closed},
                      0, "", "a.ndjson new"),
        closed_stream("standard error closed", {.words = {"inspect", "nowhere"}, .err = closed}, 66, ""),
        closed_stream("standard input closed", {.words = {"compare", "new", "used"}, .in = closed}, 1, ""),
        closed_stream(
            "all three closed",
            {.words = {"study", ".", "--out", "a.ndjson"}, .in = closed, .out = closed, .err = closed}, 0, "",
            "a.ndjson new"),
        page,
    };
}

/// The signal comes at that moment (put_before.cpp).
ProgramFault told_to_end(int number, const std::string& when, const std::string& moment,
                         std::vector<std::string> words, int status, const std::string& left = "as before") {
    ProgramFault fault{.done = fmt::format("SIG{} {}", ::sigabbrev_np(number), when),
                       .call = {.words = std::move(words)},
                       .status = status,
                       .says = "",
                       .left = left};
    fault.call.environment = {std::string("LD_PRELOAD=") + LOBEWRIGHT_PUT_BEFORE, "FAULTS_SIGNAL=" + moment,
                              fmt::format("FAULTS_SIGNAL_NUMBER={}", number)};
    fault.prepare = [](Scene& scene) {
        if (sanitized) scene.skipped = "nothing can be put before a sanitizer";
    };
    return fault;
}

std::vector<ProgramFault> of_signals() {
    std::vector<ProgramFault> faults;
    for (const int number : {SIGINT, SIGTERM, SIGHUP}) {
        faults.push_back(
            told_to_end(number, "while a sweep is read", "open .csv", {"compare", "new", "used"}, -number));
        faults.push_back(told_to_end(number, "while a page is written", "fsync 1",
                                     {"report", "new", "used", "--to", "page.html"}, -number));
    }
    ProgramFault old = told_to_end(SIGINT, "while an old page is replaced", "fsync 1",
                                   {"report", "new", "used", "--to", "page.html", "--overwrite"}, -SIGINT);
    old.prepare = [before = old.prepare](Scene& scene) {
        before(scene);
        std::ofstream(scene.folder / "page.html") << "an older page</html>\n";
    };
    faults.push_back(old);
    faults.push_back(told_to_end(SIGINT, "at the third chart", "fsync 3",
                                 {"report", "used", "--to", "page.html", "--figures", "svg"}, -SIGINT,
                                 "svg new"));
    faults.push_back(told_to_end(SIGINT, "while curves are written", "fsync 2",
                                 {"compare", "new", "used", "--csv", "curves"}, -SIGINT, "curves new"));
    for (const int number : {SIGINT, SIGTERM, SIGHUP}) {
        ProgramFault study =
            told_to_end(number, "while the first of 80 runs is read", "open .csv",
                        {"study", ".", "--out", "a.ndjson", "--threads", "1"}, 2, "a.ndjson new");
        study.says = "ending after the runs in hand";
        study.prepare = [before = study.prepare](Scene& scene) {
            before(scene);
            for (int i = 0; i < 78; ++i)
                fs::copy(scene.folder / "used", scene.folder / fmt::format("used-{}", i),
                         fs::copy_options::recursive);
        };
        faults.push_back(study);
    }
    return faults;
}

/// The hand stops in the middle of the turn, so that it is the signal that ends it.
ProgramFault bench_told_to_end(int number, const std::string& command) {
    ProgramFault fault =
        told_to_end(number, "in the middle of a turn", "poll 400", sweep_words(command), 2, "run new");
    if (command == "bench") fault.call.words.insert(fault.call.words.end(), {"--page-port", "0"});
    fault.call.in = "BESIDE/enter";
    fault.prepare = [before = fault.prepare](Scene& scene) {
        before(scene);
        if (scene.skipped.empty()) prepare_rig(scene, "await\nturn 200 60\n");
    };
    fault.wrong = [](Scene& scene, const Ended&) -> std::string {
        for (const auto& entry : fs::directory_iterator(scene.folder / "run/sweeps"))
            if (entry.path().extension() == ".csv" &&
                !fs::exists(fs::path(entry.path()).replace_extension(".txt")))
                return "half a turn isn't marked";
        const Ended read = call_program({.words = {"inspect", "run"}}, scene.folder.path());
        return read.signal == 0 && !has(read.err, "run.toml") ? "" : "the run can't be read: " + read.err;
    };
    return fault;
}

}  // namespace

std::vector<FaultGroup> faults_of_ends() {
    return {{"Closed streams", of_streams()},
            {"Signals", of_signals()},
            {"Signals at the bench",
             {bench_told_to_end(SIGINT, "sweep"), bench_told_to_end(SIGTERM, "sweep"),
              bench_told_to_end(SIGHUP, "sweep"), bench_told_to_end(SIGINT, "bench")}}};
}

}  // namespace lobewright::tests
