#include "rig/acquisition/rig_description.hpp"

#include <array>
#include <cmath>
#include <regex>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/toml_file.hpp"
#include "analysis/units.hpp"
#include "rig/acquisition/line_pattern.hpp"

namespace lobewright {
namespace {

constexpr std::size_t most_description_bytes = 1U << 20U;  // a description is a screenful
constexpr std::string_view description_format = "lobewright-rig/1";

/// One table of rig.toml: takes its keys one by one, then refuses what is left.
class Section {
public:
    Section(std::string file, std::string_view name, const toml::table& table)
        : file_(std::move(file)), name_(name), table_(table) {}

    template <class Value>
    void take(std::string_view key, Value& into, std::string_view must_be) {
        const toml::node* const node = find(key);
        if (node == nullptr) return;
        const auto value = node->value_exact<Value>();
        if (!value) fail(*node, fmt::format("{} must be {}", key, must_be));
        into = *value;
    }
    void number(std::string_view key, double& into, double least, double most) {
        const toml::node* const node = find(key);
        if (node == nullptr) return;
        const auto value = node->is_number() ? node->value<double>() : std::nullopt;
        if (!value || !(*value >= least && *value <= most))
            fail(*node, fmt::format("{} must be a number from {:g} to {:g}", key, least, most));
        into = *value + 0.0;  // -0.0 becomes 0, which prints as a number that reads back the same
    }
    template <class Whole>
    void whole(std::string_view key, Whole& into, std::int64_t least, std::int64_t most) {
        std::int64_t value = least;
        const toml::node* const node = find(key);
        if (node == nullptr) return;
        take(key, value, "a whole number");
        if (value < least || value > most)
            fail(*node, fmt::format("{} must be from {} to {}, not {}", key, least, most, value));
        into = static_cast<Whole>(value);
    }
    void sign(std::string_view key, int& into) {
        whole(key, into, -1, 1);
        if (into == 0) fail(*table_.get(key), fmt::format("{} must be 1 or -1", key));
    }
    /// One of `words`; its place.
    void choice(std::string_view key, std::size_t& into, const std::vector<std::string_view>& words) {
        std::string word;
        take(key, word, "one of " + joined(words));
        const toml::node* const node = table_.get(key);
        if (node == nullptr) return;
        const auto found = std::find(words.begin(), words.end(), word);
        if (found == words.end())
            fail(*node, fmt::format("{} must be one of {}, not {}", key, joined(words), in_quotes(word)));
        into = static_cast<std::size_t>(found - words.begin());
    }
    void pattern(std::string_view key, std::string& into) {
        take(key, into, "a regular expression in quotes");
        const toml::node* const node = table_.get(key);
        if (node == nullptr) return;
        if (const auto trouble = beyond_regex(into); !trouble.empty())
            fail(*node, fmt::format("{} {}: {}", key, trouble, in_quotes(into)));
        try {
            if (std::regex(into).mark_count() == 1) return;
        } catch (const std::regex_error&) {
            fail(*node, fmt::format("{} isn't a regular expression: {}", key, in_quotes(into)));
        }
        fail(*node, fmt::format("{} must have one pair of capturing brackets, around the value", key));
    }
    void require(std::string_view key) const {
        if (table_.get(key) == nullptr) {
            throw DataError(
                fmt::format("{}:{}: [{}] lacks the key {}", file_, table_.source().begin.line, name_, key));
        }
    }
    /// Refuses keys that nobody took.
    void end() const {
        for (const auto& [key, node] : table_) {
            if (std::find(known_.begin(), known_.end(), key.str()) == known_.end()) {
                fail(node, fmt::format("key {} isn't known; known are {}{}", in_quotes(key.str()),
                                       joined(known_), meant(key.str(), known_)));
            }
        }
    }

private:
    const toml::node* find(std::string_view key) {
        if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.push_back(key);
        return table_.get(key);
    }
    [[noreturn]] void fail(const toml::node& node, const std::string& what) const {
        throw DataError(fmt::format("{}:{}: [{}] {}", file_, node.source().begin.line, name_, what));
    }

    std::string file_;
    std::string_view name_;
    const toml::table& table_;
    std::vector<std::string_view> known_;
};

constexpr std::array unit_words{std::string_view("mm"), std::string_view("um"), std::string_view("in")};
constexpr std::array unit_mm{1.0, 0.001, mm_per_inch};

void take_port(Section& section, PortSettings& port) {
    section.require("port");
    section.take("port", port.name, "a port's name in quotes");
    section.whole("baud", port.baud, 50, 12'000'000);
    section.whole("data_bits", port.data_bits, 7, 8);
    section.whole("stop_bits", port.stop_bits, 1, 2);
    auto parity = static_cast<std::size_t>(port.parity);
    section.choice("parity", parity, {"none", "even", "odd"});
    port.parity = static_cast<Parity>(parity);
}

void take_line(Section& section, LineFormat& line) {
    section.require("pattern");
    section.pattern("pattern", line.pattern);
    section.sign("sign", line.sign);
    section.take("ask", line.ask, "text in quotes");
    section.number("ask_every_ms", line.ask_every_ms, 1.0, 10'000.0);
    section.number("latency_us", line.latency_us, 0.0, 1e6);
    section.number("latency_u_us", line.latency_u_us, 0.0, 1e6);
    DeviceClock clock;
    section.pattern("clock_pattern", clock.pattern);
    section.number("clock_us", clock.us_per_tick, 1e-3, 1e6);
    section.whole("clock_wraps", clock.wraps, 0, std::int64_t{1} << 62U);
    if (!clock.pattern.empty()) line.clock = clock;
}

void take_indicator(Section& section, LineFormat& line) {
    section.require("unit");
    std::size_t unit = 0;
    section.choice("unit", unit, {unit_words.begin(), unit_words.end()});
    line.mm_per_unit = unit_mm[unit];
    int decimals = -1;
    section.whole("decimals", decimals, 0, 9);
    if (decimals >= 0) line.decimals = decimals;
}

DeviceDescription take_device(Section& section, DeviceRole role, RigDescription& rig) {
    DeviceDescription device;
    device.role = role;
    if (role != DeviceRole::controller) device.port.baud = 9600;
    take_port(section, device.port);
    if (role == DeviceRole::controller) return device;
    take_line(section, device.line);
    if (role == DeviceRole::counter) {
        section.require("counts_per_rev");
        section.whole("counts_per_rev", rig.counts_per_rev, 1, 100'000'000);
        std::string index;
        section.pattern("index_pattern", index);
        if (!index.empty()) device.line.index_pattern = index;
    } else {
        take_indicator(section, device.line);
    }
    return device;
}

constexpr std::array roles{DeviceRole::controller, DeviceRole::counter, DeviceRole::front, DeviceRole::rear};

void check_whole(const RigDescription& rig, const std::string& file) {
    const auto has = [&rig](DeviceRole role) {
        return std::any_of(rig.devices.begin(), rig.devices.end(),
                           [role](const DeviceDescription& device) { return device.role == role; });
    };
    const bool separate = has(DeviceRole::counter) && (has(DeviceRole::front) || has(DeviceRole::rear));
    if (!rig.latched() && (!separate || has(DeviceRole::controller))) {
        throw DataError(
            fmt::format("{}: a rig is either [controller], or [counter] with [front], [rear] or both", file));
    }
    for (const DeviceDescription& device : rig.devices) {
        for (const DeviceDescription& other : rig.devices) {
            if (&device != &other && device.port.name == other.port.name) {
                throw DataError(fmt::format("{}: [{}] and [{}] name the same port {}", file,
                                            role_name(device.role), role_name(other.role),
                                            in_quotes(device.port.name)));
            }
        }
    }
}

}  // namespace

std::string_view role_name(DeviceRole role) {
    constexpr std::array names{std::string_view("controller"), std::string_view("counter"),
                               std::string_view("front"), std::string_view("rear")};
    return names[static_cast<std::size_t>(role)];
}

RigDescription controller_on(const std::string& port, int baud) {
    RigDescription rig;
    DeviceDescription device;
    device.port.name = port;
    device.port.baud = baud;
    rig.devices.push_back(device);
    return rig;
}

RigDescription parse_rig_description(std::string_view text, const std::filesystem::path& file) {
    const toml::table document = parse_toml(text, file);
    const std::string name = place(file);
    RigDescription rig;
    std::vector<std::string_view> known{"format"};
    for (const DeviceRole role : roles) known.push_back(role_name(role));
    for (const auto& [key, node] : document) {
        if (std::find(known.begin(), known.end(), key.str()) == known.end()) {
            throw DataError(fmt::format("{}:{}: key {} isn't known; known are {}{}", name,
                                        node.source().begin.line, in_quotes(key.str()), joined(known),
                                        meant(key.str(), known)));
        }
        if (key != "format" && !node.is_table()) {
            throw DataError(fmt::format("{0}:{1}: {2} is a table: write [{2}]", name,
                                        node.source().begin.line, key.str()));
        }
    }
    const auto format = document["format"].value<std::string>();
    if (!format || *format != description_format)
        throw DataError(fmt::format("{}: format must be \"{}\"", name, description_format));
    for (const DeviceRole role : roles) {
        const toml::table* const table = document[role_name(role)].as_table();
        if (table == nullptr) continue;
        Section section(name, role_name(role), *table);
        rig.devices.push_back(take_device(section, role, rig));
        section.end();
    }
    check_whole(rig, name);
    return rig;
}

RigDescription read_rig_description(const std::filesystem::path& file) {
    std::string text;
    read_file(file, text, most_description_bytes);
    return parse_rig_description(text, file);
}

}  // namespace lobewright
