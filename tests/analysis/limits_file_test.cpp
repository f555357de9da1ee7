// A shop's limits file: what is read, and what is refused with file, line and key.
#include <filesystem>
#include <fstream>
#include <string>
#include <unistd.h>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "analysis/judge/limits.hpp"

using namespace lobewright;

namespace {

/// A limits file that is gone at the end of the test.
class LimitsFile {
public:
    explicit LimitsFile(const std::string& text)
        : path_(std::filesystem::temp_directory_path() /
                ("lobewright-limits-" + std::to_string(::getpid()) + ".toml")) {
        std::ofstream(path_, std::ios::binary) << text;
    }
    ~LimitsFile() { std::filesystem::remove(path_); }
    LimitsFile(const LimitsFile&) = delete;
    LimitsFile& operator=(const LimitsFile&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

std::string refusal(const std::string& text) {
    const LimitsFile file(text);
    try {
        read_limits(file.path());
    } catch (const DataError& error) {
        const std::string what = error.what();
        const std::string name = file.path().string();
        REQUIRE(what.rfind(name, 0) == 0);
        return what.substr(name.size());
    }
    return "accepted";
}

const std::string head = "format = \"lobewright-limits/1\"\nunits = \"mm\"\n[limits]\n";

}  // namespace

TEST_CASE("every key lands in its field", "[limits]") {
    const LimitsFile file(
        head +
        "lift_loss = 0.25\nbase_circle_runout = 0.04\nbend = 0.06\nleast_ramp_taper = 0.006\n"
        "flat_taper = 0.002\ntaper_without_need = 0.011\nleast_base_diameter = 27\n"
        "least_case_left = 0.6\nrun_in_lift_loss = 0.02\nrun_in_least_ramp_taper = 0.012\n");
    const Limits limits = read_limits(file.path());
    CHECK(limits.run_in_lift_loss_mm == 0.02);
    CHECK(limits.run_in_least_ramp_taper_mm == 0.012);
    CHECK(limits.lift_loss_mm == 0.25);
    CHECK(limits.base_circle_runout_mm == 0.04);
    CHECK(limits.bend_mm == 0.06);
    CHECK(limits.least_ramp_taper_mm == 0.006);
    CHECK(limits.flat_taper_mm == 0.002);
    CHECK(limits.taper_without_need_mm == 0.011);
    CHECK(limits.least_base_diameter_mm == 27.0);
    CHECK(limits.least_case_left_mm == 0.6);
    CHECK(limits.source == file.path().string());
}

TEST_CASE("limits in inches become millimetres", "[limits]") {
    const LimitsFile file("format = \"lobewright-limits/1\"\nunits = \"in\"\n[limits]\nlift_loss = 0.005\n");
    CHECK(read_limits(file.path()).lift_loss_mm == Approx(0.127).epsilon(1e-12));
}

TEST_CASE("keys left out keep common practice, and the source says which", "[limits]") {
    const LimitsFile file(head +
                          "lift_loss = 0.25\nbase_circle_runout = 0.04\nleast_ramp_taper = 0.006\n"
                          "flat_taper = 0.002\ntaper_without_need = 0.011\nleast_case_left = 0.6\n"
                          "run_in_lift_loss = 0.02\nrun_in_least_ramp_taper = 0.012\n");
    const Limits limits = read_limits(file.path());
    CHECK(limits.bend_mm == 0.05);
    CHECK_FALSE(limits.least_base_diameter_mm);
    CHECK(limits.source == file.path().string() + " (common practice for bend)");
}

TEST_CASE("a byte-order mark and CRLF are read", "[limits]") {
    const LimitsFile file(
        "\xEF\xBB\xBF"
        "format = \"lobewright-limits/1\"\r\nunits = \"mm\"\r\n[limits]\r\nbend = 0.07\r\n");
    CHECK(read_limits(file.path()).bend_mm == 0.07);
}

TEST_CASE("what isn't a limits file is refused by line and key", "[limits]") {
    CHECK(refusal(head + "lift_los = 0.1\n")
              .rfind(":4: [limits] key \"lift_los\" isn't known; known are lift_loss, ", 0) == 0);
    CHECK(refusal(head + "lift_los = 0.1\n").find("; did you mean lift_loss?") != std::string::npos);
    CHECK(refusal(head + "bend = \"0.1\"\n") == ":4: [limits] bend must be a number");
    CHECK(refusal(head + "\nbend = 0\n") == ":5: [limits] bend must be more than 0, not 0");
    CHECK(refusal(head + "bend = -0.05\n") == ":4: [limits] bend must be more than 0, not -0.05");
    CHECK(refusal(head + "bend = nan\n") == ":4: [limits] bend must be more than 0, not nan");
    CHECK(refusal(head + "bend = inf\n") == ":4: [limits] bend must be more than 0, not inf");
    CHECK(refusal("unit = \"mm\"\n") == ":1: key \"unit\" isn't known; known are format, units, [limits]");
    CHECK(refusal("units = \"mm\"\n") == ": key 'format' is missing; it must be \"lobewright-limits/1\"");
    CHECK(refusal("format = \"lobewright-limits/1\"\n") ==
          ": key 'units' is missing; it must be \"mm\" or \"in\"");
    CHECK(refusal("format = \"lobewright-limits/2\"\nunits = \"mm\"\n") ==
          ":1: format \"lobewright-limits/2\" isn't known; this program knows \"lobewright-limits/1\"");
    CHECK(refusal("format = \"lobewright-limits/1\"\nunits = \"cm\"\n") ==
          ":2: units are \"mm\" or \"in\", not \"cm\"");
    CHECK(refusal("format = 1\nunits = \"mm\"\n") == ":1: key 'format' must be \"lobewright-limits/1\"");
    CHECK(refusal("format = \"lobewright-limits/1\"\nunits = \"mm\"\nlimits = 3\n") ==
          ":3: limits is a table: write [limits]");
    CHECK(refusal(head + "bend = \n").rfind(":4:", 0) == 0);
}

TEST_CASE("a limits file that isn't there or can't be read is no data error", "[limits]") {
    CHECK_THROWS_AS(read_limits("/nowhere/limits.toml"), NoInputError);
    CHECK_THROWS_AS(read_limits(std::filesystem::temp_directory_path()), IoError);
}
