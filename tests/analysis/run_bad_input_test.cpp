// Damaged run folders: each ends in one line that says where and what, with the exit status of formats.md.
#include <functional>
#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "analysis/run/run_folder.hpp"
#include "run_test_folder.hpp"

using namespace lobewright;
using namespace lobewright_test;
namespace fs = std::filesystem;

namespace {

using Damage = std::function<void(const fs::path& folder)>;

struct BadInput {
    std::string legend;
    Damage damage;
    Exit exit;
    std::vector<std::string> says;  // every piece stands in the message
};

Damage in_file(const std::string& file, const std::string& from, const std::string& to) {
    return [=](const fs::path& folder) {
        write_text(folder / file, replaced(read_text(folder / file), from, to));
    };
}
Damage toml(const std::string& from, const std::string& to) {
    return in_file("run.toml", from, to);
}
Damage sweep(const std::string& from, const std::string& to) {
    return in_file("sweeps/a.csv", from, to);
}
std::string all_of(const std::string& piece, int times) {
    std::string text;
    for (int i = 0; i < times; ++i) text += piece;
    return text;
}

Damage whole(const std::string& file, const std::string& text) {
    return [=](const fs::path& folder) { write_text(folder / file, text); };
}

/// The message of the error that reading this folder ends in; fails the test when there is none of that kind.
std::string message_of(const fs::path& folder, Exit exit) {
    try {
        read_run(folder);
    } catch (const Error& error) {
        CHECK(static_cast<int>(error.exit()) == static_cast<int>(exit));
        return error.what();
    }
    FAIL("the folder was read");
    return {};
}

void require_refused(const BadInput& row) {
    INFO(row.legend);
    const TempFolder temp;
    const fs::path folder = make_run(temp.path() / "run");
    REQUIRE_NOTHROW(read_run(folder));
    row.damage(folder);
    const std::string message = message_of(folder, row.exit);
    CHECK(message.find('\n') == std::string::npos);
    for (const std::string& piece : row.says) CHECK_THAT(message, Catch::Contains(piece));
}

}  // namespace

TEST_CASE("a run.toml that isn't right is refused where it is wrong", "[run][bad_input]") {
    const auto data = Exit::data;
    const std::vector<BadInput> rows{
        {"not TOML", toml("id = \"launch-4-used\"", "id = launch"), data, {"run.toml:5:", "TOML"}},
        {"empty file", whole("run.toml", ""), data, {"run.toml: no format", "lobewright-run/1"}},
        {"binary",
         whole("run.toml", std::string("\x7f\x45\x4c\x46\0\0\xff", 7)),
         data,
         {"run.toml:1:", "TOML"}},
        {"larger than any run.toml",
         whole("run.toml", std::string(2000000, '\n')),
         data,
         {"run.toml:", "2000000"}},
        {"a key of points without end",
         whole("run.toml", "\n'.' = 1\n" + all_of("a . 'a' .", 60000) + "a = 1\n"),
         data,
         {"run.toml:3:", "points"}},
        {"a table of points without end",
         whole("run.toml", "[a" + all_of(".\"a\"", 60000) + "]\n"),
         data,
         {"run.toml:1:", "points"}},
        {"lists in lists", whole("run.toml", "a = " + std::string(3000, '[')), data, {"run.toml:1:", "TOML"}},
        {"a letter beyond ASCII outside quotes",
         toml("hours = 410.5",
              "# \xc3\xb6 '\nStunden = \xc3\xb6"
              "d"),
         data,
         {"run.toml:9:",
          "\"\xc3\xb6"
          "d\" outside quotes"}},
        {"a text that isn't closed",
         toml("note = \"", "note = \"\xc3\xb6\n\""),
         data,
         {"run.toml:10:", "TOML"}},
        {"later version",
         toml("run/1", "run/2"),
         data,
         {"run.toml:1:", "format", "lobewright-run/2", "lobewright-run/1 is"}},
        {"no format", toml("format = \"lobewright-run/1\"", ""), data, {"run.toml: no format"}},
        {"no units", toml("units = \"mm\"", ""), data, {"run.toml: no units"}},
        {"unknown units", toml("\"mm\"", "\"cm\""), data, {"run.toml:2: units", "\"cm\"", "mm, in"}},
        {"unknown key at the top",
         toml("units", "unit = \"mm\"\nunits"),
         data,
         {"run.toml:2: unit: unknown key", "mean units"}},
        {"unknown key with a slip",
         toml("hours", "huors"),
         data,
         {"run.toml:8: [run] huors: unknown key", "mean hours"}},
        {"unknown key like no other",
         toml("hours", "weather"),
         data,
         {"run.toml:8: [run] weather: unknown key"}},
        {"slip in a required key",
         toml("width = 12.0", "widht = 12.0"),
         data,
         {"run.toml:61: [[lobe]] widht", "mean width"}},
        {"unknown key in a stripe",
         toml("side = \"rear\"", "edge = \"rear\""),
         data,
         {"run.toml:68: [[lobe.stripe]] edge"}},
        {"unknown key with a line end in it",
         toml("hours", "\"ho\\nurs\""),
         data,
         {"run.toml:8:", "\"ho\\x0aurs\""}},
        {"unknown table", toml("[tappet]", "[lifter]"), data, {"run.toml:20: lifter: unknown key"}},
        {"key twice", toml("hours = 410.5", "hours = 1.0\nhours = 2.0"), data, {"run.toml:9:", "hours"}},
        {"no [cam]", toml("[cam]", "[run.cam]"), data, {"run.toml:12: [run] cam: unknown key"}},
        {"no [rig]",
         [](const fs::path& folder) {
             const std::string text = read_text(folder / "run.toml");
             const std::size_t rig = text.find("[rig]");
             write_text(folder / "run.toml", text.substr(0, rig) + text.substr(text.find("[datum]")));
         },
         data,
         {"run.toml: lacks the table [rig]"}},
        {"no id", toml("id = \"launch-4-used\"", ""), data, {"run.toml:4: [run] lacks the required key id"}},
        {"no taken", toml("taken = 2026-02-03T10:15:00Z", ""), data, {"run.toml:4: [run]", "taken"}},
        {"no tip", toml("tip = \"point\"", ""), data, {"[rig] lacks the required key tip"}},
        {"no front_z", toml("front_z = -4.25", ""), data, {"[rig] lacks the required key front_z"}},
        {"lobe without kind",
         toml("kind = \"exhaust\"", ""),
         data,
         {"run.toml:56: [[lobe]] lacks the required key kind"}},
        {"datum without its uncertainty",
         toml("u = 0.0004", ""),
         data,
         {"run.toml:41: [datum] lacks the required key u"}},
        {"taken as a text",
         toml("2026-02-03T10:15:00Z", "\"2026-02-03\""),
         data,
         {"run.toml:6: [run] taken", "quotes"}},
        {"taken without a time",
         toml("2026-02-03T10:15:00Z", "2026-02-03"),
         data,
         {"run.toml:6: [run] taken", "date and time"}},
        {"a day that isn't", toml("2026-02-03", "2026-02-30"), data, {"run.toml:6:"}},
        {"number as a text",
         toml("hours = 410.5", "hours = \"410\""),
         data,
         {"run.toml:8: [run] hours: must be a number"}},
        {"text as a number",
         toml("part = \"LE4-118\"", "part = 118"),
         data,
         {"run.toml:13: [cam] part", "quotes"}},
        {"word that isn't one",
         toml("\"flat\"", "\"flatt\""),
         data,
         {"run.toml:14: [cam] follower", "\"flatt\"", "flat, flat-offset, roller"}},
        {"not a number", toml("z = 30.0", "z = nan"), data, {"run.toml:60: [[lobe]] z", "finite"}},
        {"infinite",
         toml("crown_radius = 1270", "crown_radius = inf"),
         data,
         {"run.toml:22: [tappet] crown_radius", "finite"}},
        {"counts_per_rev of zero",
         toml("14400", "0"),
         data,
         {"run.toml:30: [rig] counts_per_rev: 0", "above 0"}},
        {"counts_per_rev with a point",
         toml("14400", "14400.5"),
         data,
         {"run.toml:30: [rig] counts_per_rev", "whole"}},
        {"direction of 2",
         toml("direction = -1", "direction = 2"),
         data,
         {"run.toml:31: [rig] direction", "1 (", "or -1"}},
        {"resolution of zero",
         toml("resolution = 0.0005", "resolution = 0.0"),
         data,
         {"[rig] resolution: 0", "above 0"}},
        {"error limit below zero",
         toml("error_limit = 0.002", "error_limit = -0.002"),
         data,
         {"[rig] error_limit: -0.002"}},
        {"uncertainty below zero", toml("u = 0.0004", "u = -1"), data, {"[datum] u: -1"}},
        {"lobe without width", toml("width = 12.0", "width = 0"), data, {"run.toml:61: [[lobe]] width: 0"}},
        {"V-block of 180 degrees",
         toml("v_angle_deg = 90.0", "v_angle_deg = 180"),
         data,
         {"[[journal]] v_angle_deg: 180"}},
        {"both indicators at one place",
         toml("rear_z = 4.5", "rear_z = -4.25"),
         data,
         {"run.toml:36: [rig] rear_z", "front_z"}},
        {"roller tip without a radius",
         toml("tip = \"point\"\ntip_radius = 1.5", "tip = \"roller\""),
         data,
         {"[rig] tip_radius", "roller"}},
        {"roller follower of radius zero",
         toml("follower = \"flat\"", "follower = \"roller\""),
         data,
         {"run.toml:15: [cam] follower_radius", "above 0"}},
        {"flat follower with a radius",
         toml("follower_radius = 0.0", "follower_radius = 9.0"),
         data,
         {"run.toml:15: [cam] follower_radius", "only a roller"}},
        {"two lobes of one name",
         toml("\"1I\"", "\"1E\""),
         data,
         {"run.toml:76: [[lobe]] name: \"1E\"", "line 57"}},
        {"lobe named like a journal",
         toml("\"1I\"", "\"J1\""),
         data,
         {"run.toml:76: [[lobe]] name: \"J1\"", "line 47"}},
        {"empty name", toml("\"1I\"", "\"\""), data, {"run.toml:76: [[lobe]] name"}},
        {"name of two lines", toml("\"1I\"", "\"1\\nI\""), data, {"run.toml:76: [[lobe]] name: \"1\\x0aI\""}},
        {"no lobe",
         [](const fs::path& folder) {
             const std::string text = read_text(folder / "run.toml");
             write_text(folder / "run.toml", text.substr(0, text.find("[[lobe]]")));
         },
         data,
         {"run.toml: no [[lobe]]"}},
        {"one lobe in single brackets",
         [](const fs::path& folder) {
             const std::string text = read_text(folder / "run.toml");
             write_text(folder / "run.toml",
                        text.substr(0, text.find("[[lobe]]")) + "[lobe]\nname = \"1E\"\n");
         },
         data,
         {"run.toml:56: lobe:", "[[lobe]]"}},
        {"[run] in double brackets",
         toml("[run]", "[[run]]"),
         data,
         {"run.toml:4: run: must be a table", "[run]"}},
    };
    for (const BadInput& row : rows) require_refused(row);
}

TEST_CASE("a sweep that isn't right is refused where it is wrong", "[run][bad_input]") {
    const auto data = Exit::data;
    const std::vector<BadInput> rows{
        {"empty file", whole("sweeps/a.csv", ""), data, {"a.csv:1:", "# lobewright-sweep/1"}},
        {"no first line",
         sweep("# lobewright-sweep/1\n", ""),
         data,
         {"a.csv:1:", "\"# of: 1E\"", "# lobewright-sweep/1"}},
        {"later version",
         sweep("sweep/1", "sweep/2"),
         data,
         {"a.csv:1:", "lobewright-sweep/2", "lobewright-sweep/1 is"}},
        {"UTF-16",
         whole("sweeps/a.csv", std::string("\xff\xfe#\0 \0l\0", 8)),
         data,
         {"a.csv:1:", "\\xff\\xfe"}},
        {"nothing but the first line",
         whole("sweeps/a.csv", "# lobewright-sweep/1\n"),
         data,
         {"a.csv:1:", "column names"}},
        {"no of", sweep("# of: 1E\n", ""), data, {"a.csv:3:", "# of:"}},
        {"empty of", sweep("# of: 1E", "# of:"), data, {"a.csv:2:", "of:"}},
        {"of twice", sweep("# pass: 1", "# of: 1I"), data, {"a.csv:3: of:", "line 2"}},
        {"of a lobe that isn't there", sweep("1E", "9X"), data, {"a.csv:2: of:", "\"9X\"", "1E, 1I, J1, J2"}},
        {"pass of zero", sweep("pass: 1", "pass: 0"), data, {"a.csv:3: pass:", "\"0\""}},
        {"pass beyond counting",
         sweep("pass: 1", "pass: 99999999999"),
         data,
         {"a.csv:3: pass:", "\"99999999999\""}},
        {"pass that isn't a number", sweep("pass: 1", "pass: 1st"), data, {"a.csv:3: pass:", "\"1st\""}},
        {"slip in pass", sweep("# pass: 1", "# pas: 1"), data, {"a.csv:3: \"pas\"", "mean pass"}},
        {"a key that isn't known",
         sweep("# pass: 1", "# turns: 2"),
         data,
         {"a.csv:3: \"turns\": unknown key"}},
        {"Latin-1", sweep("# pass: 1", "# gepr\xfc"), data, {"a.csv:3:", "gepr\\xfc", "UTF-8"}},
        {"blank line above the names", sweep("# pass: 1", ""), data, {"a.csv:3:", "blank"}},
        {"unknown column",
         sweep("front,rear", "front,back"),
         data,
         {"a.csv:4: column 4: \"back\"", "t_us, count"}},
        {"column in capitals", sweep("front", "Front"), data, {"a.csv:4: column 3: \"Front\"", "mean front"}},
        {"column twice", sweep("front,rear", "front,front"), data, {"a.csv:4: column front stands twice"}},
        {"column without a name", sweep("front,rear", "front,rear,"), data, {"a.csv:4: column 5"}},
        {"counts and angles",
         sweep("t_us,count", "angle_deg,count"),
         data,
         {"a.csv:4:", "count", "angle_deg"}},
        {"neither counts nor angles",
         sweep("t_us,count,front", "t_us,front"),
         data,
         {"a.csv:4:", "count", "angle_deg"}},
        {"no reading",
         whole("sweeps/a.csv", "# lobewright-sweep/1\n# of: J1\nt_us,count\n0,0\n"),
         data,
         {"a.csv:3:", "front", "rear"}},
        {"one reading on a lobe",
         whole("sweeps/a.csv", "# lobewright-sweep/1\n# of: 1E\ncount,front\n0,0\n"),
         data,
         {"a.csv:3: no column rear"}},
        {"no row", whole("sweeps/a.csv", plain_sweep.substr(0, 62)), data, {"a.csv:4: no rows"}},
        {"blank lines instead of rows",
         whole("sweeps/a.csv", plain_sweep.substr(0, 62) + "\n\n"),
         data,
         {"a.csv:4: no rows"}},
        {"bad cell", sweep("0.0015", "0.00l5"), data, {"a.csv:6: column front: \"0.00l5\""}},
        {"bad count", sweep("833,13,", "833,13.0,"), data, {"a.csv:6: column count: \"13.0\"", "whole"}},
        {"empty cell", sweep("833,13,0.0015,", "833,13,,"), data, {"a.csv:6: column front", "empty"}},
        {"missing cell", sweep("0.0015,0.0000", "0.0015"), data, {"a.csv:6: column rear", "3 of 4"}},
        {"a cell too many",
         sweep("0.0015,0.0000", "0.0015,0.0000,"),
         data,
         {"a.csv:6: column 5", "5 cells for 4"}},
        {"decimal commas among commas", sweep("0.0015", "0,0015"), data, {"a.csv:6: column 5"}},
        {"rows in semicolons",
         sweep("833,13,0.0015,0.0000", "833;13;0.0015;0.0000"),
         data,
         {"a.csv:6: column count"}},
        {"thousands among decimal commas",
         whole("sweeps/a.csv", "# lobewright-sweep/1\n# of: 1E\ncount;front;rear\n0;0,5;1.250\n"),
         data,
         {"a.csv:4: column rear: \"1.250\"", "decimal mark in this file is ,"}},
        {"not a number", sweep("0.0015", "nan"), data, {"a.csv:6: column front: \"nan\""}},
        {"infinite", sweep("0.0015", "-inf"), data, {"a.csv:6: column front: \"-inf\""}},
        {"hexadecimal", sweep("0.0015", "0x1p3"), data, {"a.csv:6: column front: \"0x1p3\""}},
        {"two signs", sweep("0.0015", "+-0.0015"), data, {"a.csv:6: column front: \"+-0.0015\""}},
        {"two signs on a count", sweep("833,13", "833,+-13"), data, {"a.csv:6: column count: \"+-13\""}},
        {"beyond a double", sweep("0.0015", "1e999"), data, {"a.csv:6: column front: \"1e999\"", "large"}},
        {"beyond 64 bits",
         sweep("833,13", "833,9223372036854775808"),
         data,
         {"a.csv:6: column count: \"9223372036854775808\"", "large"}},
        {"beyond 64 bits, negative",
         sweep("833,13", "-9223372036854775809,13"),
         data,
         {"a.csv:6: column t_us", "large"}},
        {"blank line among rows", sweep("833,13", "\n833,13"), data, {"a.csv:6:", "blank"}},
        {"remark among rows",
         sweep("833,13", "# here the cam slipped\n833,13"),
         data,
         {"a.csv:6:", "# here the cam"}},
        {"old line ends",
         whole("sweeps/a.csv", "# lobewright-sweep/1\r# of: 1E\rcount,front,rear\r0,0,0\r"),
         data,
         {"a.csv:1:"}},
        {"carriage return within a row",
         sweep("0.0015,0", "0.0015\r,0"),
         data,
         {"a.csv:6: column front: \"0.0015\\x0d\""}},
        {"NUL in a row",
         sweep("0.0015", std::string("0.0\0"
                                     "15",
                                     6)),
         data,
         {"a.csv:6: column front: \"0.0\\x0015\""}},
        {"torn last row",
         sweep("1666,15,-0.0120,10.0005\n", "1666,15,-0."),
         data,
         {"a.csv:7: column rear", "3 of 4"}},
        {"a very long cell is cut in the message",
         sweep("0.0015", std::string(100000, 'x')),
         data,
         {"a.csv:6: column front", "…"}},
        {"counts without counts_per_rev",
         toml("counts_per_rev = 14400\n", ""),
         data,
         {"a.csv:4: column count", "counts_per_rev"}},
        {"one pass twice",
         [](const fs::path& folder) { fs::copy(folder / "sweeps/a.csv", folder / "sweeps/c.csv"); },
         data,
         {"c.csv:3: pass:", "a.csv", "pass 1"}},
        {"one pass twice, once by default",
         whole("sweeps/c.csv", replaced(plain_sweep, "# pass: 1\n", "")),
         data,
         {"c.csv: pass:", "a.csv"}},
    };
    for (const BadInput& row : rows) require_refused(row);
}

TEST_CASE("a folder that can't be read says why", "[run][bad_input]") {
    const auto replace_by_folder = [](const std::string& file) {
        return [=](const fs::path& folder) {
            fs::remove(folder / file);
            fs::create_directory(folder / file);
        };
    };
    const auto replace_by_link_to_itself = [](const std::string& file) {
        return [=](const fs::path& folder) {
            fs::remove_all(folder / file);
            fs::create_symlink((folder / file).filename(), folder / file);
        };
    };
    const std::vector<BadInput> rows{
        {"no folder",
         [](const fs::path& folder) { fs::remove_all(folder); },
         Exit::no_input,
         {"run: no such run folder"}},
        {"a file where the folder should be",
         [](const fs::path& folder) {
             fs::remove_all(folder);
             write_text(folder, "run");
         },
         Exit::no_input,
         {"run: isn't a run folder"}},
        {"no run.toml",
         [](const fs::path& folder) { fs::remove(folder / "run.toml"); },
         Exit::no_input,
         {"run.toml: no such file"}},
        {"no sweeps folder",
         [](const fs::path& folder) { fs::remove_all(folder / "sweeps"); },
         Exit::no_input,
         {"sweeps: no such folder"}},
        {"a file where sweeps should be",
         [](const fs::path& folder) {
             fs::remove_all(folder / "sweeps");
             write_text(folder / "sweeps", "");
         },
         Exit::io,
         {"sweeps: can't be read"}},
        {"run.toml is a folder", replace_by_folder("run.toml"), Exit::io, {"run.toml: is a folder"}},
        {"run.toml is a link to itself",
         replace_by_link_to_itself("run.toml"),
         Exit::io,
         {"run.toml: can't be opened"}},
        {"the folder is a link to itself",
         [](const fs::path& folder) {
             fs::remove_all(folder);
             fs::create_symlink("run", folder);
         },
         Exit::io,
         {"run: can't be read"}},
        {"a sweep is a link to itself",
         replace_by_link_to_itself("sweeps/a.csv"),
         Exit::io,
         {"a.csv: can't be opened"}},
        {"a sweep is a pipe that nobody writes",
         [](const fs::path& folder) { REQUIRE(::mkfifo((folder / "sweeps/p.csv").c_str(), 0600) == 0); },
         Exit::io,
         {"p.csv: isn't a plain file"}},
        {"a sweep is a device",
         [](const fs::path& folder) { fs::create_symlink("/dev/zero", folder / "sweeps/z.csv"); },
         Exit::io,
         {"z.csv: isn't a plain file"}},
        {"a sweep larger than any memory",
         [](const fs::path& folder) { fs::resize_file(folder / "sweeps/a.csv", std::uintmax_t{1} << 40); },
         Exit::data,
         {"a.csv:", "1099511627776 bytes"}},
    };
    for (const BadInput& row : rows) require_refused(row);
}

TEST_CASE("a file without permission can't be read", "[run][bad_input]") {
    // Root may read every file: be nobody for as long as the folder is read.
    constexpr uid_t nobody = 65534;
    const uid_t self = ::geteuid();
    for (const std::string file : {"run.toml", "sweeps/a.csv", "sweeps"}) {
        INFO(file);
        const TempFolder temp;
        fs::permissions(temp.path(), fs::perms::all);
        const fs::path folder = make_run(temp.path() / "run");
        fs::permissions(folder / file, fs::perms::none);
        if (self == 0) REQUIRE(::seteuid(nobody) == 0);
        const std::string message = message_of(folder, Exit::io);
        REQUIRE(::seteuid(self) == 0);
        fs::permissions(folder / file, fs::perms::owner_all);
        CHECK_THAT(message, Catch::Contains(file + ": can't be "));
    }
}
