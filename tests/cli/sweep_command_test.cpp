// `lobewright sweep` as it is shipped, on a terminal of its own, against a controller at the end of a pseudo-terminal.
#include <algorithm>
#include <filesystem>

#include <catch2/catch.hpp>

#include "analysis/run/run_folder.hpp"
#include "rig/model/sample_runs.hpp"
#include "tests/cli/program.hpp"
#include "tests/cli/pty_program.hpp"
#include "tests/cli/pty_rig.hpp"

using namespace lobewright;
using namespace lobewright::tests;
namespace fs = std::filesystem;

namespace {

constexpr auto go = "Enter when set";
constexpr auto turn_now = "Turn the cam in its running direction";

/// A run of one lobe that the program makes, and the rig that it is swept on.
struct Bench {
    TempFolder folder;
    PtyRig rig;
    std::string run = folder / "run";

    explicit Bench(bool motor = false) : rig("1E", motor) {}

    [[nodiscard]] std::vector<std::string> command(std::vector<std::string> more = {}) const {
        std::vector<std::string> words{"sweep", run, "--port", rig.port()};
        if (!fs::exists(run + "/run.toml")) {
            const auto fresh = new_run_words();
            words.insert(words.end(), fresh.begin(), fresh.end());
        }
        words.insert(words.end(), more.begin(), more.end());
        return words;
    }
    [[nodiscard]] bool has(const std::string& file) const { return fs::exists(run + "/" + file); }
    [[nodiscard]] std::string capture() const {
        std::vector<fs::path> files;
        for (const auto& entry : fs::directory_iterator(run + "/captures"))
            if (entry.path().extension() == ".cap") files.push_back(entry.path());
        std::sort(files.begin(), files.end());
        return files.empty() ? "" : files.back().string();
    }
};

void begin_sweep(Bench& bench, PtyProgram& program) {
    REQUIRE(program.shows(go));
    program.press("\n");
    REQUIRE(program.shows(turn_now));
    REQUIRE(comes_true([&] { return bench.rig.streams(); }));
}

/// A sweep of the lobe that has begun.
struct Sweeping {
    Bench bench;
    PtyProgram program;

    Sweeping() : program(bench.command()) { begin_sweep(bench, program); }
};

}  // namespace

TEST_CASE("a lobe is swept, stands in the run, and its capture gives the same file again", "[cli][sweep]") {
    Sweeping sweep;
    sweep.bench.rig.turn_to(375.0);
    CHECK(sweep.program.shows("pass 1 is whole"));
    sweep.program.press("q");
    CHECK(sweep.program.ends() == 0);
    CHECK(sweep.program.terminal_is_as_before());
    CHECK(sweep.bench.has("sweeps/1E-1.csv"));
    CHECK_FALSE(sweep.bench.has("sweeps/1E-1.txt"));
    const Run run = read_run(sweep.bench.run);
    REQUIRE(run.sweeps.size() == 1);
    CHECK(run.rig.counts_per_rev == 14400);
    CHECK(run.rig.resolution_mm == Approx(0.0005));
    CHECK(run.sweeps[0].count.front() == 0);
    CHECK(run.sweeps[0].count.back() - run.sweeps[0].count.front() >= 370L * 40);
    const std::string remade = sweep.bench.folder / "remade.csv";
    const Finished replay = run_program({"replay", sweep.bench.capture(), "--to", remade});
    CHECK(replay.status == 0);
    CHECK(replay.err.empty());
    CHECK(text_of(remade) == text_of(sweep.bench.run + "/sweeps/1E-1.csv"));
    CHECK(run_program({"inspect", sweep.bench.run}).err.empty());
}

TEST_CASE("every trouble is on the screen while it happens", "[cli][sweep]") {
    Sweeping sweep;
    sweep.bench.rig.turn_to(80.0);
    sweep.bench.rig.turn_to(70.0);
    CHECK(sweep.program.shows("turned back at 80 deg"));
    sweep.bench.rig.turn_to(118.0);
    sweep.bench.rig.lose(80);
    sweep.bench.rig.turn_to(140.0);
    CHECK(sweep.program.shows("gap 118 to 126 deg"));
    CHECK(sweep.program.shows("80 lines lost"));
    sweep.bench.rig.fault("range-front");
    sweep.bench.rig.turn_to(150.0);
    CHECK(sweep.program.shows("front out of range"));
    sweep.bench.rig.turn_to(200.0);
    sweep.bench.rig.slip(3);
    sweep.bench.rig.turn_to(362.0);
    CHECK(sweep.program.shows("index off by 3 counts"));
    sweep.bench.rig.turn_to(735.0);
    CHECK(sweep.program.shows("pass 1 is whole"));
    sweep.program.press("q");
    CHECK(sweep.program.ends() == 0);
    const Run run = read_run(sweep.bench.run);
    for (const std::int64_t count : run.sweeps.at(0).count) CHECK(count >= 14400);
}

TEST_CASE("a sweep stopped short is kept, marked beside, and the program says that something is open",
          "[cli][sweep]") {
    Sweeping sweep;
    sweep.bench.rig.turn_to(200.0);
    REQUIRE(sweep.program.shows("missing: 200 to 355"));
    sweep.program.press("e");
    CHECK(sweep.program.shows("FALLS SHORT"));
    sweep.program.press("q");
    CHECK(sweep.program.ends() == 2);
    CHECK(text_of(sweep.bench.run + "/sweeps/1E-1.txt") == "gap 200 to 355 deg\n");
    const std::string remade = sweep.bench.folder / "remade.csv";
    CHECK(run_program({"replay", sweep.bench.capture(), "--to", remade}).status == 0);
    CHECK(text_of(remade) == text_of(sweep.bench.run + "/sweeps/1E-1.csv"));
}

TEST_CASE("unplugged in the middle and back: the sweep goes on and the missed stretch is read again",
          "[cli][sweep]") {
    Sweeping sweep;
    sweep.bench.rig.turn_to(200.0);
    REQUIRE(sweep.program.shows("missing: 200 to 355"));
    sweep.bench.rig.unplug();
    CHECK(sweep.program.shows("The rig is away"));
    sweep.bench.rig.turn_to(230.0);
    sweep.bench.rig.plug_again();
    REQUIRE(comes_true([&] { return sweep.bench.rig.streams(); }));
    sweep.bench.rig.turn_to(362.0);
    sweep.bench.rig.turn_to(735.0);
    CHECK(sweep.program.shows("pass 1 is whole"));
    sweep.program.press("q");
    CHECK(sweep.program.ends() == 0);
    CHECK(sweep.bench.has("sweeps/1E-1.csv"));
}

TEST_CASE("killed in the middle: the next start says what was saved, offers the rest, and nothing is lost",
          "[cli][sweep]") {
    Bench bench;
    {
        PtyProgram program(bench.command());
        begin_sweep(bench, program);
        bench.rig.turn_to(200.0);
        REQUIRE(program.shows("missing: 200 to 355"));
        program.signal(SIGKILL);
        CHECK(program.ends() == -SIGKILL);
    }
    CHECK_FALSE(bench.has("sweeps/1E-1.csv"));
    PtyProgram again(bench.command(), "dumb");
    CHECK(again.shows("Saved from its capture"));
    CHECK(again.shows("gap 200 to 355 deg"));
    REQUIRE(again.shows(go));
    CHECK(bench.has("sweeps/1E-1.csv"));
    const Run run = read_run(bench.run);
    CHECK(run.sweeps.at(0).count.back() >= 40L * 199);
    again.press("q");
    CHECK(again.ends() == 2);
    CHECK(run_program({"replay", bench.capture()}).status == 0);
}

TEST_CASE("signals and a closed terminal end in good order, the sweep kept", "[cli][sweep]") {
    Sweeping sweep;
    sweep.bench.rig.turn_to(100.0);
    REQUIRE(sweep.program.shows("missing: 100 to 355"));
    const int number = GENERATE(SIGINT, SIGTERM, SIGHUP, 0);
    if (number == 0)
        sweep.program.hang_up();
    else
        sweep.program.signal(number);
    CHECK(sweep.program.ends() == 2);
    if (number != 0) CHECK(sweep.program.terminal_is_as_before());
    CHECK(sweep.bench.has("sweeps/1E-1.csv"));
    CHECK(sweep.bench.has("sweeps/1E-1.txt"));
}

TEST_CASE("undo and repeat put sweeps aside and delete nothing", "[cli][sweep]") {
    Sweeping sweep;
    sweep.bench.rig.turn_to(90.0);
    REQUIRE(sweep.program.shows("missing: 90 to 355"));
    sweep.program.press("r");
    REQUIRE(sweep.program.shows("goes aside"));
    sweep.bench.rig.turn_to(91.0);
    sweep.bench.rig.turn_to(475.0);
    REQUIRE(sweep.program.shows("pass 1 is whole"));
    sweep.program.press("u");
    REQUIRE(sweep.program.shows("is undone"));
    sweep.program.press("q");
    CHECK(sweep.program.ends() == 2);
    CHECK(sweep.bench.has("aside/1E-1.csv"));
    CHECK(sweep.bench.has("aside/1E-1.2.csv"));
    CHECK(fs::is_empty(sweep.bench.run + "/sweeps"));
}

TEST_CASE("without block characters, without a cursor, and on a line: nothing but ASCII", "[cli][sweep]") {
    Bench bench;
    const bool dumb = GENERATE(true, false);
    PtyProgram program(bench.command(), dumb ? "dumb" : "xterm", "C");
    begin_sweep(bench, program);
    bench.rig.turn_to(200.0);
    REQUIRE(program.shows(dumb ? "missing 200 to 355" : "missing: 200 to 355"));
    program.press("q");
    CHECK(program.ends() == 2);
    const std::string shown = program.shown();
    CHECK(
        std::all_of(shown.begin(), shown.end(), [](char c) { return static_cast<unsigned char>(c) < 0x7F; }));
    CHECK((shown.find("\x1b[") == std::string::npos) == dumb);
}

TEST_CASE("the motor starts only after a typed yes and halts at any key", "[cli][sweep]") {
    Bench bench(true);
    PtyProgram program(bench.command({"--turn"}));
    REQUIRE(program.shows(go));
    program.press("\n");
    REQUIRE(program.shows("THE MOTOR WILL TURN THE CAM"));
    program.press("y\n");
    REQUIRE(program.shows("The motor stays off"));
    CHECK(bench.rig.orders().find("turn,") == std::string::npos);
    program.press("\nyes\n");
    REQUIRE(comes_true([&] { return bench.rig.orders().find("turn,31680,400\n") != std::string::npos; }));
    REQUIRE(comes_true([&] { return bench.rig.orders().find("keep\nkeep\nkeep\n") != std::string::npos; }));
    program.press(" ");
    REQUIRE(program.shows("a key was pressed"));
    REQUIRE(comes_true([&] { return bench.rig.orders().find("halt\n") != std::string::npos; }));
    bench.rig.turn_to(100.0);
    program.press("q");
    CHECK(program.ends() == 2);
    const std::string orders = bench.rig.orders();
    CHECK(orders.find("turn,") == orders.rfind("turn,"));
}

TEST_CASE("the motor halts at a fault and doesn't start again by itself after a return", "[cli][sweep]") {
    Bench bench(true);
    PtyProgram program(bench.command({"--turn", "--turn-speed", "5"}));
    REQUIRE(program.shows(go));
    program.press("\nyes\n");
    REQUIRE(comes_true([&] { return bench.rig.orders().find("turn,31680,200\n") != std::string::npos; }));
    bench.rig.turn_to(50.0);
    bench.rig.unplug();
    REQUIRE(program.shows("The motor is halted"));
    bench.rig.plug_again();
    REQUIRE(comes_true([&] { return bench.rig.streams(); }));
    bench.rig.turn_to(60.0);
    program.press("q");
    CHECK(program.ends() == 2);
    const std::string orders = bench.rig.orders();
    CHECK(orders.find("turn,") == orders.rfind("turn,"));
}

TEST_CASE("what can't be done is one line and an exit status of its own", "[cli][sweep]") {
    const TempFolder folder;
    const auto run = folder / "run";
    CHECK(run_program({"sweep", run}).status == 64);
    CHECK(run_program({"sweep", run, "--port", "/dev/x", "--rig", "rig.toml"}).status == 64);
    CHECK(run_program({"sweep", run, "--port", "/dev/x", "--turn"}).status == 64);
    const Finished fresh = run_program({"sweep", run, "--port", "/dev/x"});
    CHECK(fresh.status == 64);
    CHECK(fresh.err.find("the new run needs --set of run.condition, cam.follower") != std::string::npos);
    CHECK_FALSE(fs::exists(run));
    const std::string sample = LOBEWRIGHT_SOURCE_DIR "/sample_runs/launch-4-new";
    const Finished missing = run_program(
        {"sweep", run, "--port", folder / "no-such-port", "--like", sample, "--set", "run.condition=used"});
    CHECK(missing.status == 69);
    CHECK(missing.err.find("no-such-port") != std::string::npos);
    CHECK_FALSE(fs::exists(run));
    CHECK(run_program({"sweep", sample, "9X", "--port", "/dev/x"}).status == 64);
    CHECK(run_program({"sweep", sample, "--port", "/dev/x", "--like", sample}).status == 64);
    CHECK(run_program({"replay", folder / "none.cap"}).status == 66);
    CHECK(run_program({"datum", sample, "--port", "/dev/x"}).status == 64);
    CHECK(run_program({"datum", sample, "--take", "--port", "/dev/x", "--json"}).status == 64);
}

TEST_CASE("two programs can't make one run at once", "[cli][sweep]") {
    Bench bench;
    PtyProgram first(bench.command());
    REQUIRE(first.shows(go));
    const Finished second = run_program(bench.command());
    CHECK(second.status == 74);
    CHECK(second.err.find("another lobewright is making this run") != std::string::npos);
    first.press("q");
    CHECK(first.ends() == 2);
}

TEST_CASE("a zero is taken on a parallel and written, the old run.toml kept", "[cli][sweep]") {
    Bench bench;
    {
        PtyProgram program(bench.command());
        REQUIRE(program.shows(go));
        program.press("q");
        CHECK(program.ends() == 2);
    }
    PtyProgram program({"datum", bench.run, "--take", "--seatings", "2", "--port", bench.rig.port()});
    bench.rig.lay_parallel(1.0, 1.0015);
    REQUIRE(program.shows("Seating 1 of 2"));
    program.press("\n");
    double turned = 0.0;
    const auto read_one = [&](const std::string& words) {
        return comes_true([&] {
            bench.rig.turn_to(turned += 0.5);
            return program.shown().find(words) != std::string::npos;
        });
    };
    REQUIRE(read_one("Seating 2 of 2"));
    bench.rig.lay_parallel(1.0, 1.0025);
    program.press("\n");
    REQUIRE(read_one("[datum] is written"));
    CHECK(program.ends() == 0);
    const Run run = read_run(bench.run);
    REQUIRE(run.datum);
    CHECK(run.datum->rear_minus_front_mm == Approx(0.002));
    CHECK(bench.has("run.toml.1"));
}
