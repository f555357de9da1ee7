#include <csignal>
#include <sys/resource.h>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "rig/acquisition/replay_events.hpp"
#include "rig/capture/capture_format.hpp"
#include "rig/capture/capture_recorder.hpp"
#include "rig/capture/crc32c.hpp"
#include "tests/cli/program.hpp"
#include "tests/rig/rig_lines.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

struct Record {
    std::int64_t host_us;
    std::string port, bytes;
    bool operator==(const Record& other) const {
        return host_us == other.host_us && port == other.port && bytes == other.bytes;
    }
};

struct ReadBack {
    std::vector<Record> records;
    CaptureContents contents;
};

ReadBack read_back(const std::string& bytes, PastDamage past_damage = PastDamage::refuse) {
    ReadBack out;
    out.contents = read_capture_bytes(bytes, "c.cap", past_damage, [&out](const CaptureRecord& record) {
        out.records.push_back({record.host_us, std::string(record.port), std::string(record.bytes)});
    });
    return out;
}

/// A capture of a few records, some of them nasty; where each ends; and what they hold.
struct Example {
    std::string bytes;
    std::vector<std::size_t> ends;
    std::vector<Record> records;
    Example() {
        append_record(bytes, 5, meta_port,
                      print_capture_head({"2026-02-03T10:15:00Z", controller_on("/dev/ttyUSB0"), "", 0}));
        ends.push_back(bytes.size());
        add(10, "controller", hello_line());
        add(20, "controller", "S,1");
        add(20, "controller", "");
        add(21, "controller", "\n@20 controller 3 00000000\nS,1\n");
        add(30, "meta", print_capture_note({30, "asked", "", 0, "turn \"slower\"\n"}));
        add(40, "controller", std::string("\x00\xff\n\n", 4));
    }
    void add(std::int64_t host_us, std::string_view port, const std::string& more) {
        append_record(bytes, host_us, port, more);
        ends.push_back(bytes.size());
        records.push_back({host_us, std::string(port), more});
    }
};

/// No file of this program grows beyond `bytes` while this lives: the disk is full, as far as it can tell.
class FullDisk {
public:
    explicit FullDisk(rlim_t bytes) {
        ::getrlimit(RLIMIT_FSIZE, &before_);
        const rlimit limit{bytes, before_.rlim_max};
        handler_ = std::signal(SIGXFSZ, SIG_IGN);
        ::setrlimit(RLIMIT_FSIZE, &limit);
    }
    ~FullDisk() { room(); }
    FullDisk(const FullDisk&) = delete;
    FullDisk& operator=(const FullDisk&) = delete;
    void room() {
        ::setrlimit(RLIMIT_FSIZE, &before_);
        std::signal(SIGXFSZ, handler_);
    }

private:
    rlimit before_{};
    void (*handler_)(int) = nullptr;
};

}  // namespace

TEST_CASE("the capture's check sum has its published check value", "[rig][capture]") {
    CHECK(crc32c("123456789") == 0xE3069283U);
    CHECK(crc32c("1234", "56789") == 0xE3069283U);
    std::string record;
    append_record(record, 12, "front", "+0.001\r");
    CHECK(record == fmt::format("@12 front 7 {:08x}\n+0.001\r\n", crc32c("@12 front 7 +0.001\r")));
}

TEST_CASE("a capture reads back as it was written", "[rig][capture]") {
    const Example example;
    const ReadBack out = read_back(example.bytes);
    CHECK(out.records == example.records);
    CHECK(out.contents.notes.empty());
    CHECK(out.contents.head.wall_time == "2026-02-03T10:15:00Z");
    CHECK(out.contents.head.rig.devices.at(0).port.name == "/dev/ttyUSB0");
    const auto note = parse_capture_note(example.records[4].bytes, 30);
    REQUIRE(note);
    CHECK(note->event == "asked");
    CHECK(note->text == "turn \"slower\"\n");
}

TEST_CASE("cut at any byte, every whole record is there and the rest is a note", "[rig][capture]") {
    const Example example;
    for (std::size_t size = 0; size < example.bytes.size(); ++size) {
        INFO("cut at " << size);
        if (size < example.ends.front()) {
            CHECK_THROWS_AS(read_back(example.bytes.substr(0, size)), DataError);
            continue;
        }
        const ReadBack out = read_back(example.bytes.substr(0, size));
        const auto whole = static_cast<std::size_t>(
            std::upper_bound(example.ends.begin(), example.ends.end(), size) - example.ends.begin() - 1);
        CHECK(out.records == std::vector<Record>(example.records.begin(),
                                                 example.records.begin() + static_cast<long>(whole)));
        CHECK(out.contents.notes.empty() == (example.ends[whole] == size));
    }
    // As some file systems leave a file after a power cut.
    const ReadBack zeros = read_back(example.bytes + std::string(4096, '\0'));
    CHECK(zeros.records == example.records);
    CHECK(zeros.contents.notes.size() == 1);
}

TEST_CASE("a flipped bit is found wherever it is, and costs one record", "[rig][capture]") {
    const Example example;
    const std::size_t last_begin = example.ends[example.ends.size() - 2];
    for (std::size_t at = example.ends.front(); at < example.bytes.size(); ++at) {
        for (unsigned bit = 0; bit < 8; ++bit) {
            INFO("byte " << at << ", bit " << bit);
            std::string bytes = example.bytes;
            bytes[at] = static_cast<char>(static_cast<unsigned char>(bytes[at]) ^ (1U << bit));
            const ReadBack out = read_back(bytes, PastDamage::read_on);
            const auto hit = static_cast<long>(
                std::upper_bound(example.ends.begin(), example.ends.end(), at) - example.ends.begin() - 1);
            std::vector<Record> left = example.records;
            left.erase(left.begin() + hit);
            CHECK(out.records == left);
            CHECK(out.contents.notes.size() == 1);
            // Damage in the middle is refused unless asked for; at the end it can't be told from a torn record.
            if (at < last_begin) CHECK_THROWS_AS(read_back(bytes), DataError);
        }
    }
}

TEST_CASE("damage says where it is", "[rig][capture]") {
    Example example;
    example.bytes[example.ends[0] + 40] ^= 1;
    const std::string where =
        fmt::format("c.cap: damaged from byte {} to byte {}", example.ends[0], example.ends[1] - 1);
    CHECK_THROWS_WITH(read_back(example.bytes), Catch::Contains(where));
    CHECK(read_back(example.bytes, PastDamage::read_on).contents.notes ==
          std::vector<std::string>{where + ", left out"});
}

TEST_CASE("what isn't a capture, or one of a later version, is refused", "[rig][capture]") {
    CHECK_THROWS_WITH(read_back("t_us,count\n"), Catch::Contains("not a capture"));
    std::string later;
    append_record(later, 0, meta_port, "format = \"lobewright-capture/2\"\n");
    CHECK_THROWS_WITH(read_back(later), Catch::Contains("\"lobewright-capture/2\" isn't known"));
}

TEST_CASE("the recorder's file holds what was recorded", "[rig][capture]") {
    const TempFolder folder;
    const std::string file = folder / "a.cap";
    {
        CaptureRecorder recorder(file, controller_on("tcp:bench:2001"));
        recorder.record(100, "controller", "S,1\n");
        CHECK(read_back(text_of(file)).records.size() ==
              1);  // before any sync: a killed program loses nothing
        recorder.record({200, "sweep_begin", "", 1, "1E"});
        CHECK(recorder.sync());
        CHECK_THROWS_AS(CaptureRecorder(file, controller_on("x")), IoError);
    }
    const ReadBack out = read_back(text_of(file));
    REQUIRE(out.records.size() == 2);
    CHECK(out.records[0] == Record{100, "controller", "S,1\n"});
    CHECK(out.contents.head.rig.devices.at(0).port.name == "tcp:bench:2001");
    CHECK_THROWS_AS(CaptureRecorder(folder / "no/such/folder.cap", controller_on("x")), IoError);
}

TEST_CASE("killed at any moment, nothing that was recorded is lost", "[rig][capture]") {
    for (const int wanted : {1, 2, 3, 10, 100, 1000, 3000}) {
        const TempFolder folder;
        const std::string file = folder / "a.cap";
        int told[2];
        REQUIRE(::pipe(told) == 0);
        const pid_t child = ::fork();
        if (child == 0) {
            CaptureRecorder recorder(file, controller_on("x"));
            for (int i = 0;; ++i) {
                recorder.record(i, "controller", "S,1\n");
                if (::write(told[1], &i, sizeof i) != sizeof i) ::_exit(1);
            }
        }
        ::close(told[1]);
        int last = -1;
        while (last < wanted && ::read(told[0], &last, sizeof last) == sizeof last) {
        }
        ::kill(child, SIGKILL);
        ::waitpid(child, nullptr, 0);
        while (::read(told[0], &last, sizeof last) == sizeof last) {
        }
        ::close(told[0]);
        REQUIRE(last >= wanted);
        const ReadBack out = read_back(text_of(file));
        // One more may be there than the child came to tell of.
        CHECK(static_cast<int>(out.records.size()) >= last + 1);
        CHECK(static_cast<int>(out.records.size()) <= last + 2);
    }
}

TEST_CASE("a full disk costs nothing: recording goes on in a new file, and reads back as one",
          "[rig][capture]") {
    const TempFolder folder;
    const std::string file = folder / "a.cap";
    std::vector<std::string> said;
    std::mutex guard;
    {
        CaptureRecorder recorder(file, controller_on("/dev/ttyUSB0"));
        recorder.on_trouble([&](const std::string& line) {
            const std::lock_guard<std::mutex> lock(guard);
            said.push_back(line);
        });
        for (int i = 0; i < 10; ++i) recorder.record(i, "controller", std::string(100, 'a'));
        REQUIRE(recorder.sync());
        FullDisk full(2000);
        for (int i = 10; i < 40; ++i) recorder.record(i, "controller", std::string(100, 'b'));
        CHECK_FALSE(recorder.sync());
        for (int i = 40; i < 50; ++i) recorder.record(i, "controller", std::string(100, 'c'));
        full.room();
        CHECK(recorder.sync());
        CHECK(recorder.file() == folder / "a-2.cap");
        recorder.record(50, "controller", "d");
    }
    std::vector<std::int64_t> seen;
    const CaptureContents contents = read_capture(
        file, PastDamage::refuse, [&seen](const CaptureRecord& record) { seen.push_back(record.host_us); });
    std::vector<std::int64_t> all(51);
    for (std::size_t i = 0; i < all.size(); ++i) all[i] = static_cast<std::int64_t>(i);
    CHECK(seen == all);
    CHECK(contents.notes.empty());
    const std::lock_guard<std::mutex> lock(guard);
    REQUIRE(said.size() >= 2);
    CHECK(has(said.front(), "a.cap can't be written"));
    CHECK(has(said.back(), "recording goes on in"));
}

TEST_CASE("a capture replays to events and notes in their order", "[rig][capture]") {
    const TempFolder folder;
    const std::string file = folder / "a.cap";
    {
        CaptureRecorder recorder(file, controller_on("/dev/ttyUSB0"));
        recorder.record(100, "controller", hello_line() + rig_line("S,1,0,0,1,1"));
        recorder.record({200, "sweep_begin", "", 1, "1E"});
        recorder.record(300, "controller", rig_line("S,2,1000,1,1,1"));
        recorder.record({400, "unplugged", "controller", 0, ""});
    }
    std::vector<std::string> heard;
    replay_events(
        file, [&heard](const RigEvent& event) { heard.push_back(event_text(event)); },
        [&heard](const CaptureNote& note) { heard.push_back(note.event + " " + note.text); });
    CHECK(heard == std::vector<std::string>{"back bench 14400 0.0005 @0", "reading 0 0.0005 0.0005 @0",
                                            "sweep_begin 1E", "reading 1 0.0005 0.0005 @1000",
                                            "trouble 9 1 controller unplugged; waiting for it @1100"});
}
