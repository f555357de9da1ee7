#include <random>
#include <set>

#include <catch2/catch.hpp>

#include "rig/framing/line_framer.hpp"
#include "tests/rig/rig_lines.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

struct Framed {
    std::vector<std::string> lines;
    int damaged = 0;
};

/// Feeds `bytes` cut into pieces of `piece`.
Framed framed(const std::string& bytes, std::size_t piece) {
    Framed out;
    LineFramer framer;
    for (std::size_t at = 0; at < bytes.size(); at += piece) {
        framer.feed(
            std::string_view(bytes).substr(at, piece),
            [&](std::string_view line) { out.lines.emplace_back(line); }, [&] { ++out.damaged; });
    }
    return out;
}

std::string sample_payload(int number) {
    return fmt::format("S,{},{},{},{},{}", number, number * 1000, number * 4, number % 700, -(number % 300));
}

}  // namespace

TEST_CASE("the check sum has its published check value", "[rig][framing]") {
    // CRC-16/IBM-3740 in the catalogue of parametrised CRC algorithms (reveng.sourceforge.io).
    CHECK(crc16("123456789", 9) == 0x29B1);
    CHECK(crc16("", 0) == 0xFFFF);
}

TEST_CASE("eight bytes at a time the check sum is the same, however long the text", "[rig][framing]") {
    CHECK(crc16_sliced("123456789", 9) == 0x29B1);  // the same source
    std::mt19937 random(3);
    std::string text;
    for (std::size_t size = 0; size < 200; ++size) {
        CHECK(crc16_sliced(text.data(), text.size()) == crc16(text.data(), text.size()));
        text += static_cast<char>(random());
    }
}

TEST_CASE("lines come out whole however the bytes are cut", "[rig][framing]") {
    std::string bytes;
    std::vector<std::string> payloads;
    for (int i = 0; i < 200; ++i) {
        payloads.push_back(sample_payload(i));
        bytes += rig_line(payloads.back());
    }
    for (const std::size_t piece :
         {std::size_t{1}, std::size_t{2}, std::size_t{7}, std::size_t{64}, bytes.size()}) {
        const Framed out = framed(bytes, piece);
        CHECK(out.lines == payloads);
        CHECK(out.damaged == 0);
    }
}

TEST_CASE("the longest line passes, one byte more doesn't", "[rig][framing]") {
    const std::string longest = "H," + std::string(longest_rig_line - 1 - 5 - 2, 'x');
    const auto between = [](const std::string& line) {
        return rig_line("Q,1").append(line).append(rig_line("Q,2"));
    };
    for (const std::size_t piece : {std::size_t{1}, std::size_t{1000}}) {
        const Framed fits = framed(between(rig_line(longest)), piece);
        CHECK(fits.lines == std::vector<std::string>{"Q,1", longest, "Q,2"});
        const Framed too_long = framed(between(rig_line(longest + "x")), piece);
        CHECK(too_long.lines == std::vector<std::string>{"Q,1", "Q,2"});
        CHECK(too_long.damaged == 1);
    }
}

TEST_CASE("a line end that was hit costs only its own line", "[rig][framing]") {
    const std::string hit = rig_text(sample_payload(1));
    const std::string good = rig_line(sample_payload(2));
    for (const char in_place_of_end : {'\x00', 'K', '\x8a', '\x0b', 'S', ','}) {
        for (const std::size_t piece : {std::size_t{1}, std::size_t{3}, std::size_t{500}}) {
            std::string bytes = hit;
            bytes.append(1, in_place_of_end).append(good);
            const Framed out = framed(bytes, piece);
            CHECK(out.lines == std::vector<std::string>{sample_payload(2)});
            CHECK(out.damaged == 1);
        }
        // And so many times in a row that the text grows longer than a line may be.
        std::string many;
        for (int i = 0; i < 9; ++i) many += hit + in_place_of_end;
        CHECK(framed(many + good, 5).lines == std::vector<std::string>{sample_payload(2)});
    }
}

TEST_CASE("noise never makes a line, and no more lines are lost than were hit", "[rig][framing]") {
    constexpr int lines = 20000;
    for (const double bit_error_rate : {1e-4, 1e-3, 1e-2}) {
        std::mt19937_64 random(7);
        std::bernoulli_distribution hit_bit(bit_error_rate);
        std::string bytes;
        std::set<std::string> sent;
        int hit_lines = 0;
        for (int i = 0; i < lines; ++i) {
            std::string line = rig_line(sample_payload(i));
            sent.insert(sample_payload(i));
            bool hit = false;
            for (char& c : line) {
                for (int bit = 0; bit < 8; ++bit) {
                    if (!hit_bit(random)) continue;
                    c = static_cast<char>(static_cast<unsigned char>(c) ^ (1U << static_cast<unsigned>(bit)));
                    hit = true;
                }
            }
            hit_lines += hit ? 1 : 0;
            bytes += line;
        }
        const Framed out = framed(bytes, 4096);
        const auto wrong = std::count_if(out.lines.begin(), out.lines.end(),
                                         [&sent](const std::string& line) { return sent.count(line) == 0; });
        CHECK(wrong == 0);
        CHECK(lines - static_cast<int>(out.lines.size()) <= hit_lines);
    }
}
