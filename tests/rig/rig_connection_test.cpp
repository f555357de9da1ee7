#include "rig/acquisition/rig_connection.hpp"

#include <sys/file.h>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "rig/acquisition/replay_events.hpp"
#include "tests/cli/program.hpp"
#include "tests/rig/pty_controller.hpp"
#include "tests/rig/rig_lines.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

std::string sample(int number) {
    return rig_line(
        fmt::format("S,{},{},{},{},{}", number, number * 1000, number * 4, number % 700, number % 300));
}

auto readings(std::size_t least) {
    return [least](const EventList& list) { return list.all<RigReading>().size() >= least; };
}

auto backs(std::size_t least) {
    return [least](const EventList& list) { return list.all<RigBack>().size() >= least; };
}

}  // namespace

TEST_CASE("a controller on a pty is greeted, told what to do, and heard", "[rig][connection]") {
    const TempFolder folder;
    PtyController controller(folder / "port");
    LiveEvents heard;
    RigConnection rig(controller_on(folder / "port"), nullptr, heard.listener());
    CHECK(rig.rig().name == "bench");
    CHECK(rig.rig().counts_per_rev == 14400);
    rig.send({RigOrder::Kind::zero});
    rig.send({RigOrder::Kind::every, 4});
    rig.send({RigOrder::Kind::start});
    REQUIRE(controller.was_told("start"));
    CHECK(controller.was_told("zero"));
    CHECK(controller.was_told("every,4"));
    constexpr int lines = 5000;
    for (int i = 0; i < lines; ++i) controller.send(sample(i));
    REQUIRE(heard.wait(readings(lines)));
    const EventList list = heard.list();
    CHECK(list.all<RigTrouble>().empty());
    CHECK(list.all<RigReading>().back().count == (lines - 1L) * 4);
}

TEST_CASE("what is heard live is what the capture gives again", "[rig][connection]") {
    const TempFolder folder;
    const std::string file = folder / "live.cap";
    LiveEvents heard;
    std::vector<std::string> notes;
    {
        PtyController controller(folder / "port");
        RigConnection rig(controller_on(folder / "port"),
                          std::make_shared<CaptureRecorder>(file, controller_on(folder / "port")),
                          heard.listener(),
                          [&notes](const CaptureNote& note) { notes.push_back(note.event); });
        rig.send({RigOrder::Kind::start});
        REQUIRE(controller.was_told("start"));
        for (int i = 0; i < 300; ++i) {
            std::string line = sample(i);
            if (i % 50 == 7) line[5] = 'x';
            if (i % 40 != 9) controller.send(line);
            if (i == 150) rig.note({0, "sweep_begin", "", 1, "1E"});
        }
        REQUIRE(heard.wait(readings(286)));
        controller.unplug();
        REQUIRE(heard.wait([](const EventList& list) { return list.amount(TroubleKind::unplugged) == 1; }));
        controller.plug();
        REQUIRE(heard.wait(backs(2)));
        controller.send(sample(4) + sample(5));
        REQUIRE(heard.wait(readings(288)));
    }
    EventList again;
    std::vector<std::string> notes_again;
    const CaptureContents contents =
        replay_events(file, again.listener(),
                      [&notes_again](const CaptureNote& note) { notes_again.push_back(note.event); });
    CHECK(again.texts() == heard.list().texts());
    CHECK(notes_again == notes);
    CHECK(notes == std::vector<std::string>{"sweep_begin"});
    CHECK(contents.notes.empty());
}

TEST_CASE("an unplugged controller is waited for, found again and told again what it was told",
          "[rig][connection]") {
    const TempFolder folder;
    PtyController controller(folder / "port", rig_line("H,1,bench,14400,500,t"));
    LiveEvents heard;
    RigConnection rig(controller_on(folder / "port"), nullptr, heard.listener());
    rig.send({RigOrder::Kind::every, 10});
    rig.send({RigOrder::Kind::start});
    rig.send({RigOrder::Kind::turn, 14400, 400});
    REQUIRE(controller.was_told("turn,14400,400"));
    controller.unplug();
    REQUIRE(heard.wait([](const EventList& list) { return list.amount(TroubleKind::unplugged) == 1; }));
    controller.plug();
    REQUIRE(heard.wait(backs(2)));
    CHECK(controller.was_told("every,10", 2));
    CHECK(controller.was_told("start", 2));
    CHECK_FALSE(heard.list().all<RigBack>().empty());
    // A motor never starts again by itself: nothing but greetings and those two were said since.
    CHECK(controller.was_told("turn,14400,400", 1));
}

TEST_CASE("leaving stops the stream and halts the motor", "[rig][connection]") {
    const TempFolder folder;
    PtyController controller(folder / "port", rig_line("H,1,bench,14400,500,t"));
    {
        RigConnection rig(controller_on(folder / "port"), nullptr, {});
        rig.send({RigOrder::Kind::start});
    }
    CHECK(controller.was_told("halt"));
    CHECK(controller.was_told("stop", 2));  // the first is said before hello
}

TEST_CASE("a port that can't be had is one line that says why", "[rig][connection]") {
    const TempFolder folder;
    const auto connect = [](const std::string& port) { RigConnection(controller_on(port), nullptr, {}); };
    CHECK_THROWS_WITH(connect(folder / "none"),
                      Catch::EndsWith("no such port; 'lobewright ports' lists those there are"));
    CHECK_THROWS_WITH(connect("/dev/null"), "/dev/null: not a serial port");
    CHECK_THROWS_WITH(connect("usb:no-such-serial"), Catch::Contains("no USB port with this serial number"));
    CHECK_THROWS_WITH(connect("tcp:localhost"), Catch::Contains("name the port as tcp:host:number"));
    CHECK_THROWS_WITH(connect("tcp:127.0.0.1:1"), Catch::Contains("refused"));
    PtyController controller(folder / "port");
    const RigConnection first(controller_on(folder / "port"), nullptr, {});
    CHECK_THROWS_WITH(connect(folder / "port"), Catch::Contains("in use by another program"));
    CHECK_THROWS_AS(connect(folder / "port"), DeviceError);
}

TEST_CASE("a port that talks, but not as a controller does, is said to", "[rig][connection]") {
    const TempFolder folder;
    PtyController other(folder / "port", rig_line("H,2,new,14400,500,-"));
    CHECK_THROWS_WITH(RigConnection(controller_on(folder / "port"), nullptr, {}),
                      Catch::Contains("speaks version 2 of the rig's protocol"));
}

TEST_CASE("a bytewise slow, damaged hello is waited for", "[rig][connection]") {
    const TempFolder folder;
    PtyController controller(folder / "port", "\xff\xfe boot v3\r\nhalf a line" + hello_line());
    const RigConnection rig(controller_on(folder / "port"), nullptr, {});
    CHECK(rig.rig().name == "bench");
}
