#include "rig/acquisition/rig_description.hpp"

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"

using namespace lobewright;

namespace {

const std::string separate = R"(format = "lobewright-rig/1"

[counter]
port           = "usb:CNT7"
baud           = 19200
pattern        = 'C([+-]?\d+)'
index_pattern  = 'Z([+-]?\d+)'
counts_per_rev = 14400
sign           = -1

[front]
port       = "/dev/ttyUSB1"
data_bits  = 7
parity     = "even"
stop_bits  = 2
pattern    = '\s*([+-] *\d+[.,]\d+) mm'
unit       = "mm"
decimals   = 3
ask        = "?\r"
ask_every_ms = 40
latency_us = 30000
latency_u_us = 2000
clock_pattern = '(\d+);.*'
clock_us = 1000
clock_wraps = 65536
)";

std::string refusal(const std::string& text) {
    try {
        parse_rig_description(text, "rig.toml");
    } catch (const DataError& error) {
        return error.what();
    }
    return "accepted";
}

}  // namespace

TEST_CASE("a rig of stand-alone devices is read as it is written", "[rig][description]") {
    const RigDescription rig = parse_rig_description(separate, "rig.toml");
    CHECK_FALSE(rig.latched());
    CHECK(rig.counts_per_rev == 14400);
    REQUIRE(rig.devices.size() == 2);
    const DeviceDescription& counter = rig.devices[0];
    CHECK(counter.role == DeviceRole::counter);
    CHECK(counter.port.name == "usb:CNT7");
    CHECK(counter.port.baud == 19200);
    CHECK(counter.line.sign == -1);
    CHECK(counter.line.index_pattern == R"(Z([+-]?\d+))");
    CHECK(counter.line.ask.empty());
    const DeviceDescription& front = rig.devices[1];
    CHECK(front.role == DeviceRole::front);
    CHECK(front.port.baud == 9600);
    CHECK(front.port.data_bits == 7);
    CHECK(front.port.parity == Parity::even);
    CHECK(front.port.stop_bits == 2);
    CHECK(front.line.ask == "?\r");
    CHECK(front.line.ask_every_ms == 40.0);
    CHECK(front.line.decimals == 3);
    CHECK(front.line.latency_us == 30000.0);
    REQUIRE(front.line.clock);
    CHECK(front.line.clock->wraps == 65536);
    // And printed so that it reads the same.
    const std::string printed = print_rig_description(rig);
    CHECK(print_rig_description(parse_rig_description(printed, "again")) == printed);
}

TEST_CASE("a minus before a zero is no other zero", "[rig][description]") {
    std::string text = separate;
    text.replace(text.find("latency_us = 30000"), 18, "latency_us = -0.0");
    const std::string printed = print_rig_description(parse_rig_description(text, "rig.toml"));
    CHECK(printed.find("latency_us = 0\n") != std::string::npos);
    CHECK(print_rig_description(parse_rig_description(printed, "again")) == printed);
}

TEST_CASE("one port is a controller on it", "[rig][description]") {
    const RigDescription rig = controller_on("/dev/ttyACM0", 460800);
    CHECK(rig.latched());
    CHECK(rig.devices.front().port.baud == 460800);
    CHECK(parse_rig_description(print_rig_description(rig), "again").latched());
}

TEST_CASE("a wrong description is refused with file, line and what would do", "[rig][description]") {
    const std::string head = "format = \"lobewright-rig/1\"\n";
    const std::string front = "[front]\nport = \"b\"\npattern = '(x)'\nunit = \"mm\"\n";
    const std::string counter = "[counter]\nport = \"a\"\npattern = '(x)'\ncounts_per_rev = 4\n";
    struct Row {
        std::string text, says;
    };
    const std::vector<Row> rows{
        {"", "rig.toml: format must be \"lobewright-rig/1\""},
        {head, "either [controller], or [counter] with"},
        {head + front, "either [controller], or [counter] with"},
        {head + counter + front + "[controller]\nport = \"c\"\n", "either [controller], or"},
        {head + "[controller]\nbaud = 9600\n", "rig.toml:2: [controller] lacks the key port"},
        {head + "[controller]\nport = 3\n", "rig.toml:3: [controller] port must be"},
        {head + "[controller]\nport = \"a\"\nbaud = 9600.5\n",
         "rig.toml:4: [controller] baud must be a whole number"},
        {head + "[controller]\nport = \"a\"\nbaud = 1\n", "baud must be from 50 to 12000000, not 1"},
        {head + "[controller]\nport = \"a\"\nboud = 9600\n",
         "rig.toml:4: [controller] key \"boud\" isn't known"},
        {head + "[controller]\nport = \"a\"\nparity = \"mark\"\n", "one of none, even, odd, not \"mark\""},
        {head + "[controler]\nport = \"a\"\n", "rig.toml:2: key \"controler\" isn't known"},
        {head + "controller = 3\n", "controller is a table: write [controller]"},
        {head + counter + "[front]\nport = \"b\"\npattern = '(x)'\n", "[front] lacks the key unit"},
        {head + counter + "[front]\nport = \"b\"\npattern = '(x'\nunit = \"mm\"\n",
         "pattern isn't a regular expression"},
        {head + counter + "[front]\nport = \"b\"\npattern = 'x'\nunit = \"mm\"\n",
         "one pair of capturing brackets"},
        {head + counter + "[front]\nport = \"b\"\npattern = '(x)\\55555555555555555555'\nunit = \"mm\"\n",
         "pattern refers back by a backslash and a digit, which isn't supported"},
        {head + counter + "[front]\nport = \"b\"\npattern = '(x){2,55555555555555555555}'\nunit = \"mm\"\n",
         "pattern repeats more than 9999 times"},
        {head + counter + "[front]\nport = \"a\"\npattern = '(x)'\nunit = \"mm\"\n",
         "[counter] and [front] name the same port \"a\""},
        {head + counter + front + "latency_us = -1\n", "latency_us must be a number from 0 to 1e+06"},
        {head + counter + front + "sign = 0\n", "sign must be 1 or -1"},
    };
    for (const Row& row : rows) {
        INFO(row.text);
        CHECK_THAT(refusal(row.text), Catch::Contains(row.says));
    }
}
