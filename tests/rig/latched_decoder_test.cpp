#include "rig/acquisition/latched_decoder.hpp"

#include <catch2/catch.hpp>

#include "rig/decode/parse_message.hpp"
#include "rig/decode/rig_order.hpp"
#include "tests/rig/rig_lines.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

/// The events of lines that came at once at second 1 of the host's clock, after a hello.
EventList heard(const std::vector<std::string>& payloads) {
    EventList out;
    LatchedDecoder decoder(out.listener());
    std::string bytes = "half a li\n" + hello_line();
    for (const std::string& payload : payloads) bytes += rig_line(payload);
    decoder.bytes(1'000'000, bytes);
    return out;
}

using Texts = std::vector<std::string>;
const std::string back = "back bench 14400 0.0005 @0";

}  // namespace

TEST_CASE("messages are what the protocol says, or nothing", "[rig][decode]") {
    const auto sample = parse_message("S,7,8,-9,-,12");
    REQUIRE(sample);
    const Sample& s = std::get<Sample>(*sample);
    CHECK(s.seq == 7);
    CHECK(s.t_us == 8);
    CHECK(s.count == -9);
    CHECK_FALSE(s.front);
    CHECK(s.rear == 12);
    CHECK(std::get<Hello>(*parse_message("H,1,a b,14400,500,t")).turns);
    CHECK_FALSE(std::get<Hello>(*parse_message("H,1,,1,1,-")).turns);
    CHECK(std::get<Fault>(*parse_message("F,1,2,overrun")).code == FaultCode::overrun);
    CHECK(std::get<Stopped>(*parse_message("Q,4294967295")).seq == 4294967295U);
    for (const char* const bad : {"",
                                  "S",
                                  "S,",
                                  "S,1,2,3,4",
                                  "S,1,2,3,4,5,",
                                  "S,1,2,3,4,5,6",
                                  "S,1,2,3,4,5 ",
                                  "S, 1,2,3,4,5",
                                  "S,+1,2,3,4,5",
                                  "S,-1,2,3,4,5",
                                  "S,1,2,3,--,5",
                                  "S,1,2,3,4.0,5",
                                  "S,4294967296,2,3,4,5",
                                  "S,1,2,2147483648,4,5",
                                  "S,1,2,,4,5",
                                  "X,1,2",
                                  "X,1,2,3,4",
                                  "F,1,2,door",
                                  "F,1,2,",
                                  "F,1,2",
                                  "B,1,2,x",
                                  "Q,",
                                  "Q,1,2",
                                  "Z,1",
                                  "H,1,a,0,500,-",
                                  "H,1,a,14400,0,-",
                                  "H,1,a,14400,500",
                                  "H,1,a,14400,500,T",
                                  "H,0,a,14400,500,-",
                                  "H,1,a\x01,14400,500,-"}) {
        INFO(bad);
        CHECK_FALSE(parse_message(bad));
    }
}

TEST_CASE("orders carry their check sum", "[rig][decode]") {
    CHECK(order_line({RigOrder::Kind::hello}) == rig_line("hello"));
    CHECK(order_line({RigOrder::Kind::every, 10}) == rig_line("every,10"));
    CHECK(order_line({RigOrder::Kind::turn, -14400, 400}) == rig_line("turn,-14400,400"));
}

TEST_CASE("a stream becomes readings in mm, index marks, beats and faults, on the device's clock",
          "[rig][decode]") {
    const EventList out =
        heard({"S,1,500,10,3,-4", "X,2,1500,12", "S,3,2500,14,-,0", "F,4,2600,range-front", "B,5,3600,14"});
    CHECK(out.texts() == Texts{back, "reading 10 0.0015 -0.002 @0", "index 12 @1000", "reading 14 - 0 @2000",
                               "trouble 2 1 front indicator out of range @2100", "idle 14 @3100"});
}

TEST_CASE("numbers, clock and count wrap unseen", "[rig][decode]") {
    const EventList out =
        heard({"S,4294967294,4294967000,2147483646,1,1", "S,4294967295,4294967290,2147483647,1,1",
               "S,0,204,-2147483648,1,1", "S,1,1204,-2147483647,1,1"});
    CHECK(out.texts() ==
          Texts{back, "reading 2147483646 0.0005 0.0005 @0", "reading 2147483647 0.0005 0.0005 @290",
                "reading 2147483648 0.0005 0.0005 @500", "reading 2147483649 0.0005 0.0005 @1500"});
}

TEST_CASE("a gap in the numbers says how many lines were lost, the last ones too", "[rig][decode]") {
    EventList out = heard({"S,1,0,0,1,1", "S,4,3000,3,1,1", "Q,9"});
    CHECK(out.amount(TroubleKind::lines_lost) == 2 + 5);
    CHECK(out.amount(TroubleKind::line_damaged) == 0);
    CHECK(heard({"S,1,0,0,1,1", "Q,1"}).amount(TroubleKind::lines_lost) == 0);
}

TEST_CASE("a damaged line is told of and missing, never guessed at", "[rig][decode]") {
    EventList out;
    LatchedDecoder decoder(out.listener());
    std::string bad = rig_line("S,2,1000,1,5,5");
    bad[9] = '3';
    decoder.bytes(0, hello_line() + rig_line("S,1,0,0,1,1") + bad + rig_line("S,3,2000,2,1,1"));
    CHECK(out.texts(false) == Texts{"back bench 14400 0.0005", "reading 0 0.0005 0.0005",
                                    "trouble 1 1 1 line from the controller damaged on the way",
                                    "trouble 0 1 1 line from the controller lost",
                                    "reading 2 0.0005 0.0005"});
}

TEST_CASE("a count that no hand can turn is one bad line, or a jump that is named", "[rig][decode]") {
    const EventList one = heard({"S,1,0,0,1,1", "S,2,1000,7000,1,1", "S,3,2000,8,1,1"});
    CHECK(one.all<RigReading>().size() == 2);
    CHECK(one.amount(TroubleKind::line_damaged) == 1);
    CHECK(one.amount(TroubleKind::lines_lost) == 1);
    const EventList jump = heard({"S,1,0,0,1,1", "S,2,1000,7000,1,1", "S,3,2000,7004,1,1"});
    CHECK(jump.all<RigReading>().size() == 3);
    CHECK(jump.amount(TroubleKind::encoder) == 7000);
    // The first index mark makes the counts absolute: no jump.
    const EventList index = heard({"S,1,0,9000,1,1", "X,2,1000,0", "S,3,2000,4,1,1"});
    CHECK(index.all<RigTrouble>().empty());
    CHECK(index.all<RigReading>().back().count == 4);
}

TEST_CASE("a fault between two counts is no jump of the count", "[rig][decode]") {
    const EventList out =
        heard({"S,1,0,0,1,1", "F,2,999000,overrun", "S,3,1000000,14400,1,1", "S,4,1000100,14401,1,1"});
    CHECK(out.all<RigReading>().size() == 3);
    CHECK(out.all<RigTrouble>().size() == 1);
}

TEST_CASE("a controller that begins anew is a rig that is back", "[rig][decode]") {
    const Texts old{"S,5000,60000000,100,1,1", "S,5001,60001000,101,1,1"};
    const auto with = [&old](Texts more) {
        more.insert(more.begin(), old.begin(), old.end());
        return heard(more);
    };
    // With a hello of its own, at once; without one, as soon as a second line agrees with the first.
    CHECK(with({"H,1,bench,14400,500,-", "S,0,10,3,1,1"}).all<RigBack>().size() == 2);
    const EventList unsaid = with({"S,0,10,3,1,1", "S,1,1010,4,1,1"});
    CHECK(unsaid.all<RigBack>().size() == 2);
    CHECK(unsaid.all<RigReading>().size() == 4);
    CHECK(unsaid.all<RigReading>().back().count == 4);
    CHECK(unsaid.amount(TroubleKind::restarted) == 1);
    // A hello in answer to a question changes nothing.
    CHECK(with({"H,1,bench,14400,500,-", "S,5002,60002000,102,1,1"}).all<RigBack>().size() == 1);
    // Other counts a turn are another controller.
    CHECK(with({"H,1,bench,10000,500,-"}).all<RigBack>().size() == 2);
}

TEST_CASE("lines that come twice count once", "[rig][decode]") {
    const EventList out =
        heard({"S,1,0,0,1,1", "S,2,1000,1,1,1", "S,1,0,0,1,1", "S,2,1000,1,1,1", "S,3,2000,2,1,1"});
    CHECK(out.all<RigReading>().size() == 3);
    CHECK(out.all<RigBack>().size() == 1);
    CHECK(out.amount(TroubleKind::lines_lost) == 0);
}

TEST_CASE("an unplug voids what was, and the next hello begins anew", "[rig][decode]") {
    EventList out;
    LatchedDecoder decoder(out.listener());
    decoder.bytes(0, hello_line() + rig_line("S,1,0,0,1,1") + "S,2,10");
    decoder.note({3'000'000, "unplugged", "controller", 0, ""});
    CHECK_FALSE(decoder.greeted());
    decoder.note({4'000'000, "returned", "controller", 0, ""});
    decoder.bytes(5'000'000,
                  "00,1,1,1*99\n" + rig_line("S,3,5000,2,1,1") + hello_line() + rig_line("S,4,6000,3,1,1"));
    CHECK(out.texts() == Texts{back, "reading 0 0.0005 0.0005 @0",
                               "trouble 9 1 controller unplugged; waiting for it @3000000",
                               "back bench 14400 0.0005 @5000000", "reading 3 0.0005 0.0005 @5000000"});
}

TEST_CASE("a later version of the protocol is refused by its number", "[rig][decode]") {
    EventList out;
    LatchedDecoder decoder(out.listener());
    decoder.bytes(0, rig_line("H,2,new,14400,500,-,more"));
    CHECK(out.events.empty());
    CHECK(decoder.refusal() ==
          "the controller speaks version 2 of the rig's protocol; this program knows version 1");
}

TEST_CASE("the same bytes cut anywhere give the same events", "[rig][decode]") {
    std::string bytes = "rest of an old li\n" + hello_line();
    for (int i = 0; i < 60; ++i) {
        if (i == 20) continue;
        std::string line = rig_line(fmt::format("S,{},{},{},{},{}", i, i * 1000, i, i % 7, -i));
        if (i % 13 == 5) line[4] = '#';
        bytes += line;
    }
    EventList whole;
    LatchedDecoder(whole.listener()).bytes(0, bytes);
    REQUIRE(whole.all<RigReading>().size() == 54);
    for (std::size_t piece = 1; piece < 90; ++piece) {
        EventList cut;
        LatchedDecoder decoder(cut.listener());
        for (std::size_t at = 0; at < bytes.size(); at += piece)
            decoder.bytes(0, std::string_view(bytes).substr(at, piece));
        CHECK(cut.texts() == whole.texts());
    }
}
