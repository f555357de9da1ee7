// `lobewright sweep --turn` and the motor of `lobewright virtual-rig`, both as shipped: what stops it, and that it stays
// stopped. Where the cam truly is, the virtual rig tells.
#include <filesystem>

#include <catch2/catch.hpp>

#include "tests/cli/virtual_bench.hpp"

using namespace lobewright::tests;

namespace {

/// A cam that only the motor turns, and the program that may ask it to.
struct MotorBench {
    VirtualBench rig;
    PtyProgram program;

    explicit MotorBench(const std::vector<std::string>& faults = {}, const std::string& speed = "20")
        : rig(options(faults)),
          program(rig.sweep_words({"--port", rig.port()}, {"--turn", "--turn-speed", speed})) {}

    static std::vector<std::string> options(const std::vector<std::string>& faults) {
        std::vector<std::string> words{"--motor", "--still", "--pty", "PORT"};
        for (const std::string& fault : faults) words.insert(words.end(), {"--fault", fault});
        return words;
    }
    void start() {
        REQUIRE(program.shows("Enter when set"));
        program.press("\n");
        REQUIRE(program.shows("THE MOTOR WILL TURN THE CAM"));
        CHECK(rig.stands());
        program.press("yes\n");
        REQUIRE(program.shows("MOTOR TURNS"));
    }
    /// So many lines of samples have been sent, so that the cam has moved.
    bool turns() {
        return comes_true([&] { return rig.truth("latch").size() > 20; });
    }
};

}  // namespace

TEST_CASE("the motor sweeps a lobe, and stands when the turn is whole", "[cli][sweep][motor]") {
    MotorBench bench({}, "60");
    bench.start();
    REQUIRE(bench.program.shows("pass 1 is whole"));
    CHECK(bench.rig.stands());
    bench.program.press("q");
    CHECK(bench.program.ends() == 0);
    CHECK(std::filesystem::exists(bench.rig.run() + "/sweeps/1E-1.csv"));
}

TEST_CASE("a key halts the motor, and only t and another yes start it again", "[cli][sweep][motor]") {
    MotorBench bench;
    bench.start();
    REQUIRE(bench.turns());
    bench.program.press(" ");
    REQUIRE(bench.program.shows("The motor is halted: a key was pressed"));
    CHECK(bench.rig.stands());
    bench.program.press("\n \n");
    CHECK(bench.rig.stands());
    bench.program.press("tno\n");
    REQUIRE(bench.program.shows("The motor stays off"));
    CHECK(bench.rig.stands());
    const double before = bench.rig.place_deg();
    bench.program.press("tyes\n");
    REQUIRE(bench.program.shows("MOTOR TURNS"));
    CHECK(comes_true([&] { return bench.rig.place_deg() > before + 1.0; }));
    bench.program.press("x");
    REQUIRE(bench.program.shows("The motor is halted"));
    CHECK(bench.rig.stands());
}

TEST_CASE("every trouble halts the motor, and it stays halted", "[cli][sweep][motor]") {
    const auto [fault, named] =
        GENERATE(table<std::string, std::string>({{"lost-bytes:0.02@20deg+3deg", "lost"},
                                                  {"glued-lines:0.5@20deg+3deg", "damaged"},
                                                  {"silence@20deg+0.5s", "lost"},
                                                  {"encoder@20deg", "encoder fault"},
                                                  {"range-front@20deg+3deg", "front without a reading"},
                                                  {"stop-button@20deg", "motor halted"},
                                                  {"reset@20deg", "the controller started afresh"}}));
    INFO(fault);
    MotorBench bench({fault});
    bench.start();
    REQUIRE(bench.program.shows("The motor is halted"));
    CHECK(bench.rig.stands());
    CHECK(comes_true([&, &words = named] { return has(bench.program.shown(), words); }));
    CHECK(bench.rig.stands());
    CHECK(bench.rig.place_deg() < 5.0);  // the trouble came ten degrees before the mark
}

TEST_CASE("a rig that says nothing while the motor turns has it halted", "[cli][sweep][motor]") {
    MotorBench bench({"silence@20deg"});
    bench.start();
    REQUIRE(bench.program.shows("The motor is halted: the rig says nothing"));
    CHECK(bench.rig.stands());
}

TEST_CASE("the motor doesn't start by itself when the rig is back", "[cli][sweep][motor]") {
    MotorBench bench({"unplug:0.5@20deg"});
    bench.start();
    REQUIRE(bench.program.shows("The motor is halted"));
    REQUIRE(bench.program.shows("the rig is back"));
    CHECK(bench.rig.stands());
    bench.program.press("q");
    CHECK(bench.program.ends() == 2);
    CHECK(bench.rig.stands());
}

TEST_CASE("a closed terminal, an end, and a program that hangs or is killed leave the motor standing",
          "[cli][sweep][motor]") {
    const std::string how = GENERATE("hang up", "kill", "terminate", "hang", "control-c");
    INFO(how);
    MotorBench bench;
    bench.start();
    REQUIRE(bench.turns());
    if (how == "hang up") bench.program.hang_up();
    if (how == "kill") bench.program.signal(SIGKILL);
    if (how == "terminate") bench.program.signal(SIGTERM);
    if (how == "hang") bench.program.signal(SIGSTOP);
    if (how == "control-c") bench.program.press("\x03");
    if (how != "hang") {
        bench.program.ends();
    } else {
        // The rig itself notices that nobody says `keep`.
        REQUIRE(comes_true([&] {
            const auto sent = bench.rig.truth("sent");
            return std::any_of(sent.begin(), sent.end(), [](const auto& line) {
                return line.at(2) == "F" && has(line.back(), "halted");
            });
        }));
        CHECK(bench.rig.stands());
        bench.program.signal(SIGCONT);
        CHECK(bench.program.shows("The motor is halted"));
    }
    CHECK(comes_true([&] { return bench.rig.stands(); }));
}
