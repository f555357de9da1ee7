// The controller's core against the protocol's text, with a bench of variables instead of hardware; and against the host's
// own decoder.
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "rig/acquisition/latched_decoder.hpp"
#include "rig/firmware/controller.hpp"
#include "tests/cli/pty_rig.hpp"

using namespace lobewright;
using namespace lobewright::tests;
using firmware::TipState;

namespace {

/// What the core would find on a bench.
struct Board {
    std::uint32_t now_us = 0;
    firmware::TipReading front{TipState::good, 0};
    firmware::TipReading rear{TipState::good, 0};
    int zeroed = 0;
    std::int32_t motor = 0;
    std::uint32_t place = 0;
    firmware::Controller core;

    explicit Board(bool motor_there = false)
        : core(
              {"bench", 7200, 500, 1000},
              {this, [](void* self) { return static_cast<Board*>(self)->now_us; },
               [](void* self, firmware::TipReading& front, firmware::TipReading& rear) {
                   front = static_cast<Board*>(self)->front;
                   rear = static_cast<Board*>(self)->rear;
               },
               [](void* self) { ++static_cast<Board*>(self)->zeroed; },
               motor_there ? +[](void* self, std::int32_t speed) { static_cast<Board*>(self)->motor = speed; }
                           : nullptr,
               nullptr}) {
        look(false);
    }
    Board(const Board&) = delete;
    Board& operator=(const Board&) = delete;

    void look(bool index) { core.edge(((place + 1) & 2U) != 0, (place & 2U) != 0, index); }
    void step(int counts, bool index = false) {
        for (int i = 0; i < std::abs(counts); ++i) {
            place += counts > 0 ? 1U : 3U;
            now_us += 100;
            look(index);
        }
    }
    void hear(const std::string& bytes) {
        for (const char c : bytes) core.receive(c);
    }
    void order(const std::string& payload) { hear(checked(payload)); }
    std::string said() {
        std::string text;
        char bytes[64];
        core.poll();
        for (std::size_t n = core.take(bytes, sizeof bytes); n > 0; n = core.take(bytes, sizeof bytes))
            text.append(bytes, n);
        return text;
    }
    std::vector<std::string> payloads() {
        std::vector<std::string> out;
        std::string text;
        for (std::string more = said(); !more.empty(); more = said()) text += more;
        for (std::size_t end = text.find('\n'); end != std::string::npos; end = text.find('\n')) {
            const std::string line = text.substr(0, end + 1);
            text.erase(0, end + 1);
            const std::string payload = line.substr(0, line.rfind('*'));
            CHECK(line == checked(payload));  // a check sum of the test's own making
            out.push_back(payload);
        }
        CHECK(text.empty());
        return out;
    }
};

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("quadrature: four counts a line, either way, and a double change is no move", "[firmware]") {
    firmware::Quadrature encoder;
    encoder.look(false, false, false);
    CHECK(encoder.look(true, false, false).counts == 1);
    CHECK(encoder.look(true, true, false).counts == 1);
    CHECK(encoder.look(false, true, false).counts == 1);
    CHECK(encoder.look(false, false, false).counts == 1);
    CHECK(encoder.look(false, true, false).counts == -1);
    CHECK(encoder.count() == 3);
    const auto step = encoder.look(true, false, false);
    CHECK(step.illegal);
    CHECK(step.counts == 0);
    CHECK(encoder.count() == 3);
}

TEST_CASE("the index mark is told once, at the count where it is entered", "[firmware]") {
    Board board;
    board.order("start");
    board.step(2);
    board.step(1, true);
    board.step(1, true);
    board.step(1, false);
    CHECK(board.payloads() == Lines{"S,1,100,1,0,0", "S,2,200,2,0,0", "X,3,300,3", "S,4,300,3,0,0",
                                    "S,5,400,4,0,0", "S,6,500,5,0,0"});
}

TEST_CASE("hello, start, every, stop: the talk as the protocol has it", "[firmware]") {
    Board board;
    board.order("hello");
    CHECK(board.payloads() == Lines{"H,1,bench,7200,500,-"});
    board.step(5);
    CHECK(board.payloads().empty());  // nothing before it is asked to
    board.order("every,4");
    board.order("start");
    board.front.steps = -12;
    board.rear = {TipState::absent, 0};
    board.step(4);
    CHECK(board.payloads() == Lines{"S,1,800,8,-12,-"});
    board.step(-9);
    CHECK(board.payloads() == Lines{"S,2,1400,4,-12,-", "S,3,1800,0,-12,-"});
    board.order("stop");
    board.step(8);
    CHECK(board.payloads() == Lines{"Q,3"});
    board.order("zero");
    CHECK(board.zeroed == 1);
}

TEST_CASE("a cam that trembles on one count sends one sample", "[firmware]") {
    Board board;
    board.order("every,10");
    board.order("start");
    board.step(10);
    for (int i = 0; i < 5; ++i) {
        board.step(1);
        board.step(-1);
    }
    CHECK(board.payloads().size() == 1);
}

TEST_CASE("orders that are damaged, too long or unknown are passed over and counted", "[firmware]") {
    Board board(true);
    std::string bad = checked("start");
    bad[2] ^= 1;
    board.hear(bad);
    board.hear(std::string(500, 'x') + "\n");
    for (const char* nonsense : {"begin", "every", "every,0", "every,-3", "every,2147483648", "every,3,4",
                                 "turn,5", "turn,0,5", "turn,5,0", "hello,1", "every,1x", ""})
        board.order(nonsense);
    board.hear("start\n");
    CHECK(board.core.refused_orders() == 15);
    board.step(4);
    CHECK(board.payloads().empty());
    CHECK(board.motor == 0);
    board.order("start");
    board.step(1);
    CHECK(board.payloads().size() == 1);
}

TEST_CASE("what there is no room for is never lost silently", "[firmware]") {
    Board board;
    board.order("start");
    board.step(300);  // and nobody sends meanwhile
    board.order("stop");
    const Lines lines = board.payloads();
    std::uint32_t last = 0, missing = 0;
    bool told = false;
    for (const std::string& line : lines) {
        const auto seq = static_cast<std::uint32_t>(std::stoul(line.substr(2)));
        if (line[0] == 'Q') {
            CHECK(seq == last);
            break;
        }
        missing += seq - last - 1;
        told = told || has(line, "overrun");
        last = seq;
    }
    CHECK(lines.back()[0] == 'Q');
    CHECK(missing > 0);
    const auto samples = static_cast<std::uint32_t>(
        std::count_if(lines.begin(), lines.end(), [](const std::string& l) { return l[0] == 'S'; }));
    CHECK(samples + missing == 300);
    CHECK(told);
}

TEST_CASE("a beat when a second has passed with nothing else to send", "[firmware]") {
    Board board;
    board.order("start");
    board.now_us += 999'999;
    CHECK(board.payloads().empty());
    board.now_us += 1;
    CHECK(board.payloads() == Lines{"B,1,1000000,0"});
    board.now_us += 1'000'000;
    CHECK(board.payloads() == Lines{"B,2,2000000,0"});
}

TEST_CASE("out of range: a fault as it begins, and no reading", "[firmware]") {
    Board board;
    board.order("start");
    board.front.state = TipState::out_of_range;
    board.step(2);
    CHECK(board.payloads() == Lines{"S,1,100,1,-,0", "F,2,100,range-front", "S,3,200,2,-,0"});
    board.front.state = TipState::good;
    board.rear.state = TipState::out_of_range;
    board.step(1);
    CHECK(board.payloads() == Lines{"S,4,300,3,0,-", "F,5,300,range-rear"});
}

TEST_CASE("both tracks at once: encoder fault", "[firmware]") {
    Board board;
    board.order("start");
    board.place += 2;
    board.look(false);
    CHECK(board.payloads() == Lines{"F,1,0,encoder"});
}

TEST_CASE("the motor turns so far, at no more than its fastest, and stops there", "[firmware]") {
    Board board(true);
    board.order("hello");
    CHECK(board.payloads() == Lines{"H,1,bench,7200,500,t"});
    board.order("start");
    board.order("every,1000");
    board.order("turn,20,5000");
    CHECK(board.motor == 1000);
    board.step(19);
    CHECK(board.motor == 1000);
    board.step(1);
    CHECK(board.motor == 0);
    board.order("turn,-4,200");
    CHECK(board.motor == -200);
    board.order("halt");
    CHECK(board.motor == 0);
    CHECK(board.payloads().empty());  // ended as asked: no fault
}

TEST_CASE("dead man: without keep the motor halts within 300 ms and never starts by itself", "[firmware]") {
    Board board(true);
    board.order("start");
    board.order("turn,100000,500");
    for (int i = 0; i < 10; ++i) {
        board.now_us += 300'000;
        board.core.poll();
        CHECK(board.motor == 500);
        board.order("keep");
    }
    static_cast<void>(board.payloads());
    board.now_us += 300'001;
    board.core.poll();
    CHECK(board.motor == 0);
    const Lines said = board.payloads();
    REQUIRE_FALSE(said.empty());
    CHECK(has(said.front(), "halted"));
    board.order("keep");
    board.core.poll();
    CHECK(board.motor == 0);
}

TEST_CASE("stop button, any fault, stop: the motor halts", "[firmware]") {
    Board board(true);
    board.order("start");
    board.order("every,1000");
    board.order("turn,100000,500");
    board.core.stop_button();
    CHECK(board.motor == 0);
    CHECK(board.payloads() == Lines{"F,1,0,halted"});
    board.order("turn,100000,500");
    board.place += 2;
    board.look(false);
    CHECK(board.motor == 0);
    CHECK(board.payloads() == Lines{"F,2,0,encoder", "F,3,0,halted"});
    board.order("turn,100000,500");
    board.order("stop");
    CHECK(board.motor == 0);
    Board by_hand;
    by_hand.order("turn,100,100");
    CHECK(by_hand.motor == 0);
}

TEST_CASE("clock and count wrap without a seam", "[firmware]") {
    Board board;
    board.now_us = 0xFFFFFFFFU - 150;
    board.core.set_count(INT32_MAX - 1);
    board.order("start");
    board.step(3);
    CHECK(board.payloads() ==
          Lines{"S,1,4294967245,2147483647,0,0", "S,2,49,-2147483648,0,0", "S,3,149,-2147483647,0,0"});
}

TEST_CASE("the host's decoder understands every line of the controller", "[firmware]") {
    Board board;
    std::vector<RigEvent> events;
    LatchedDecoder decoder([&](const RigEvent& event) { events.push_back(event); });
    const auto deliver = [&] { decoder.bytes(board.now_us, board.said()); };
    board.order("hello");
    board.order("start");
    deliver();
    for (int i = 1; i <= 500; ++i) {
        board.front.steps = i;
        board.rear.steps = -i;
        board.step(1, i == 250);
        deliver();
    }
    board.order("stop");
    deliver();
    REQUIRE(events.size() == 502);
    CHECK(std::get<RigBack>(events.front()).counts_per_rev == 7200);
    std::int64_t n = 0;
    for (const RigEvent& event : events) {
        CHECK_FALSE(std::holds_alternative<RigTrouble>(event));
        if (const auto* reading = std::get_if<RigReading>(&event)) {
            ++n;
            CHECK(reading->count == n);
            CHECK(*reading->front_mm == Approx(0.0005 * static_cast<double>(n)));
            CHECK(*reading->rear_mm == Approx(-0.0005 * static_cast<double>(n)));
        }
    }
    CHECK(n == 500);
}
