// analysis/run/sweep_csv.hpp: every form that docs/run-folder.md allows gives the numbers of the plain form.
#include "analysis/run/sweep_csv.hpp"

#include <charconv>
#include <cmath>
#include <limits>
#include <random>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "run_test_folder.hpp"

using namespace lobewright;
using lobewright_test::plain_sweep;

namespace {

void require_same_rows(const Sweep& a, const Sweep& b) {
    REQUIRE(a.of == b.of);
    REQUIRE(a.pass == b.pass);
    REQUIRE(a.t_us == b.t_us);
    REQUIRE(a.count == b.count);
    REQUIRE(a.angle_deg == b.angle_deg);
    REQUIRE(a.front_mm == b.front_mm);
    REQUIRE(a.rear_mm == b.rear_mm);
}

std::string all_replaced(const std::string& text, std::string_view from, std::string_view to) {
    std::string result;
    std::size_t at = 0;
    for (std::size_t next = text.find(from); next != std::string::npos; next = text.find(from, at)) {
        result.append(text, at, next - at).append(to);
        at = next + from.size();
    }
    return result.append(text, at);
}

/// The plain sweep's rows after another head.
std::string with_rows(const std::string& head, const std::string& rows) {
    return "# lobewright-sweep/1\n# of: 1E\n" + head + "\n" + rows;
}

}  // namespace

TEST_CASE("a plain sweep gives its columns", "[run][sweep_csv]") {
    const Sweep sweep = parse_sweep(plain_sweep, "s.csv", Units::mm);
    CHECK(sweep.file == "s.csv");
    CHECK(sweep.of == "1E");
    CHECK(sweep.pass == 1);
    CHECK(sweep.t_us == std::vector<std::int64_t>{0, 833, 1666});
    CHECK(sweep.count == std::vector<std::int64_t>{12, 13, 15});
    CHECK(sweep.angle_deg.empty());
    CHECK(sweep.front_mm == std::vector<double>{0.0010, 0.0015, -0.0120});
    CHECK(sweep.rear_mm == std::vector<double>{-0.0005, 0.0, 10.0005});
    CHECK(sweep.rows() == 3);
    CHECK(sweep.by_count());
}

TEST_CASE("sweep lengths in inches become millimetres", "[run][sweep_csv]") {
    const Sweep sweep = parse_sweep(plain_sweep, "s.csv", Units::in);
    CHECK(sweep.front_mm == std::vector<double>{0.0010 * 25.4, 0.0015 * 25.4, -0.0120 * 25.4});
    const Sweep by_hand = parse_sweep(with_rows("angle_deg,front,rear", "10,1,2\n"), "s.csv", Units::in);
    CHECK(by_hand.angle_deg == std::vector<double>{10.0});
    CHECK(by_hand.rear_mm == std::vector<double>{50.8});
}

TEST_CASE("every form of a sweep equals the plain one", "[run][sweep_csv]") {
    struct Row {
        std::string legend;
        std::string text;
    };
    const std::string semicolons = all_replaced(plain_sweep, ",", ";");
    const Row row = GENERATE_COPY(values<Row>({
        {"CRLF", all_replaced(plain_sweep, "\n", "\r\n")},
        {"byte-order mark", "\xef\xbb\xbf" + plain_sweep},
        {"byte-order mark and CRLF", "\xef\xbb\xbf" + all_replaced(plain_sweep, "\n", "\r\n")},
        {"no line end after the last row", plain_sweep.substr(0, plain_sweep.size() - 1)},
        {"CRLF cut before its LF at the end", plain_sweep.substr(0, plain_sweep.size() - 1) + "\r"},
        {"blank lines at the end", plain_sweep + "\n\r\n  \n"},
        {"semicolons", semicolons},
        {"semicolons and decimal comma", all_replaced(semicolons, ".", ",")},
        {"semicolons, decimal comma, CRLF", all_replaced(all_replaced(semicolons, ".", ","), "\n", "\r\n")},
        {"blanks round the cells", all_replaced(plain_sweep, ",", " ,\t ")},
        {"pass left to its default", all_replaced(plain_sweep, "# pass: 1\n", "")},
        {"keys in the other order", "# lobewright-sweep/1\n# pass: 1\n# of: 1E\n" + plain_sweep.substr(40)},
        {"no blank after # and a wide one before the value",
         "#lobewright-sweep/1\n#of:   1E \n#pass:1\n" + plain_sweep.substr(40)},
        {"a free remark",
         all_replaced(plain_sweep, "t_us,c", "# swept twice, kept the second: see 10:15\nt_us,c")},
        {"columns in another order",
         with_rows("rear,count,t_us,front",
                   "-0.0005,12,0,0.0010\n0.0000,13,833,0.0015\n10.0005,15,1666,-0.0120\n")},
        {"plus signs",
         with_rows("t_us,count,front,rear",
                   "+0,+12,+0.0010,-0.0005\n833,+13,0.0015,+0.0000\n1666,15,-0.0120,+10.0005\n")},
        {"exponents", with_rows("t_us,count,front,rear",
                                "0,12,1e-3,-5E-4\n833,13,0.15e-2,0\n1666,15,-1.20e-2,1.00005E+1\n")},
        {"no digit before or after the point",
         with_rows("t_us,count,front,rear", "0,12,.0010,-.0005\n833,13,.0015,0.\n1666,15,-.0120,10.0005\n")},
        {"more digits than a double has",
         with_rows("t_us,count,front,rear",
                   "0,12,0.001000000000000000000000000,-0.00050000000000000000000\n"
                   "833,13,0.0015,0.0000000000000000000000000000\n"
                   "1666,0000000000000000000000015,-0.0120,00000000000000000000010.0005\n")},
    }));
    INFO(row.legend);
    require_same_rows(parse_sweep(row.text, "s.csv", Units::mm),
                      parse_sweep(plain_sweep, "s.csv", Units::mm));
}

TEST_CASE("a table taken by hand has no times and any order of angles", "[run][sweep_csv]") {
    const Sweep sweep = parse_sweep(
        "# lobewright-sweep/1\n# of: 2I\n# pass: "
        "3\nangle_deg;front;rear\n355;0,01;0,02\n0;-0,01;0,00\n-5,5;1;2\n",
        "hand.csv", Units::mm);
    CHECK(sweep.pass == 3);
    CHECK(sweep.t_us.empty());
    CHECK_FALSE(sweep.by_count());
    CHECK(sweep.rows() == 3);
    CHECK(sweep.angle_deg == std::vector<double>{355.0, 0.0, -5.5});
    CHECK(sweep.front_mm == std::vector<double>{0.01, -0.01, 1.0});
}

TEST_CASE("a journal's sweep may hold one reading", "[run][sweep_csv]") {
    const Sweep sweep = parse_sweep(lobewright_test::journal_sweep, "j.csv", Units::mm);
    CHECK(sweep.front_mm.empty());
    CHECK(sweep.rear_mm == std::vector<double>{0.001, 0.002, 0.0015});
}

TEST_CASE("counts and times use the whole range of 64 bits", "[run][sweep_csv]") {
    const Sweep sweep =
        parse_sweep(with_rows("t_us,count,front,rear",
                              "9223372036854775807,-9223372036854775808,0,0\n-1,999999999999999999,0,0\n"),
                    "s.csv", Units::mm);
    CHECK(sweep.t_us == std::vector<std::int64_t>{std::numeric_limits<std::int64_t>::max(), -1});
    CHECK(sweep.count ==
          std::vector<std::int64_t>{std::numeric_limits<std::int64_t>::min(), 999999999999999999});
}

TEST_CASE("a reading is the double nearest to its decimal", "[run][sweep_csv]") {
    // Outside value: std::from_chars, which rounds correctly by the C++ standard [charconv.from.chars].
    std::mt19937_64 random(20260203);
    std::string rows;
    std::vector<double> expected;
    for (int i = 0; i < 20000; ++i) {
        std::string number(random() % 2 == 0 ? "-" : "");
        const auto before = random() % 4;
        const auto after = random() % 20;
        for (std::uint64_t k = 0; k <= before; ++k) number += static_cast<char>('0' + random() % 10);
        number += '.';
        for (std::uint64_t k = 0; k < after; ++k) number += static_cast<char>('0' + random() % 10);
        double value = 0.0;
        std::from_chars(number.data(), number.data() + number.size(), value);
        expected.push_back(value);
        rows.append("0,").append(number).append(",0\n");
    }
    const Sweep sweep = parse_sweep(with_rows("count,front,rear", rows), "s.csv", Units::mm);
    REQUIRE(sweep.front_mm.size() == expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) {
        if (sweep.front_mm[i] == expected[i] && std::signbit(sweep.front_mm[i]) == std::signbit(expected[i]))
            continue;
        FAIL("row " << i << ": " << sweep.front_mm[i] << " instead of " << expected[i]);
    }
}

TEST_CASE("a printed sweep is the plain form", "[run][sweep_csv]") {
    const Sweep sweep = parse_sweep(plain_sweep, "s.csv", Units::mm);
    CHECK(print_sweep(sweep, Units::mm, 4) == plain_sweep);
    CHECK(print_sweep(parse_sweep(lobewright_test::journal_sweep, "j.csv", Units::mm), Units::mm, 4) ==
          "# lobewright-sweep/1\n# of: J1\n# pass: 1\nangle_deg,rear\n0,0.0010\n120,0.0020\n240,0.0015\n");
}

TEST_CASE("a sweep in inches is printed as it was read", "[run][sweep_csv]") {
    std::mt19937 random(7);
    std::string rows;
    for (int i = 0; i < 5000; ++i) {
        const auto cell = [&] {
            std::array<char, 32> buffer{};
            const double inches = 2e-5 * static_cast<double>(static_cast<int>(random() % 40000) - 20000);
            const auto end =
                std::to_chars(buffer.begin(), buffer.end(), inches, std::chars_format::fixed, 5).ptr;
            return std::string(buffer.data(), end);
        };
        rows += fmt::format("{},{},{}\n", i, cell(), cell());
    }
    const std::string text = "# lobewright-sweep/1\n# of: 1E\n# pass: 2\ncount,front,rear\n" + rows;
    CHECK(print_sweep(parse_sweep(text, "s.csv", Units::in), Units::in, 5) == text);
}

TEST_CASE("a sweep that no file can hold isn't printed", "[run][sweep_csv]") {
    const Sweep good = parse_sweep(plain_sweep, "s.csv", Units::mm);
    const auto refusal = [](const Sweep& sweep) -> std::string {
        try {
            print_sweep(sweep, Units::mm, 4);
        } catch (const DataError& error) {
            return error.what();
        }
        return "printed";
    };
    Sweep bad = good;
    bad.rear_mm[1] = std::numeric_limits<double>::quiet_NaN();
    CHECK(refusal(bad) == "sweep of \"1E\" pass 1: column rear, row 2 isn't a finite number");
    bad = good;
    bad.front_mm.pop_back();
    CHECK(refusal(bad) == "sweep of \"1E\" pass 1: column front has 2 rows of 3");
    bad = good;
    bad.angle_deg = {1.0, 2.0, 3.0};
    CHECK(refusal(bad) == "sweep of \"1E\" pass 1: both count and angle_deg");
    bad = good;
    bad.front_mm.clear();
    bad.rear_mm.clear();
    CHECK(refusal(bad) == "sweep of \"1E\" pass 1: no reading");
    bad = good;
    bad.pass = 0;
    CHECK(refusal(bad) == "sweep of \"1E\" pass 0: passes count from 1");
    Sweep empty;
    empty.of = "1E";
    CHECK(refusal(empty) == "sweep of \"1E\" pass 1: no rows");
}
