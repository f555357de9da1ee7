#include "analysis/judge/limits.hpp"

#include <array>
#include <cmath>
#include <cstddef>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/toml_file.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

constexpr std::string_view format_name = "lobewright-limits/1";
constexpr std::size_t most_bytes = 1U << 20U;  // a limits file is a screenful; this is no limits file

struct Key {
    std::string_view name;
    void (*set)(Limits&, double length_mm);
};

constexpr std::array keys{
    Key{"lift_loss", [](Limits& limits, double mm) { limits.lift_loss_mm = mm; }},
    Key{"base_circle_runout", [](Limits& limits, double mm) { limits.base_circle_runout_mm = mm; }},
    Key{"bend", [](Limits& limits, double mm) { limits.bend_mm = mm; }},
    Key{"least_ramp_taper", [](Limits& limits, double mm) { limits.least_ramp_taper_mm = mm; }},
    Key{"flat_taper", [](Limits& limits, double mm) { limits.flat_taper_mm = mm; }},
    Key{"taper_without_need", [](Limits& limits, double mm) { limits.taper_without_need_mm = mm; }},
    Key{"least_base_diameter", [](Limits& limits, double mm) { limits.least_base_diameter_mm = mm; }},
    Key{"least_case_left", [](Limits& limits, double mm) { limits.least_case_left_mm = mm; }},
};

std::vector<std::string_view> key_names() {
    std::vector<std::string_view> names;
    names.reserve(keys.size());
    for (const Key& key : keys) names.push_back(key.name);
    return names;
}

const Key* find_key(std::string_view name) {
    for (const Key& key : keys) {
        if (key.name == name) return &key;
    }
    return nullptr;
}

/// Reading of one file, for messages that name it.
class LimitsReader {
public:
    explicit LimitsReader(const std::filesystem::path& file) : path_(file), file_(place(file)) {}

    Limits read(const std::string& text) { return read_document(parse_toml(text, path_)); }

private:
    Limits read_document(const toml::table& document) {
        for (const auto& [key, node] : document) {
            if (key != "format" && key != "units" && key != "limits") {
                fail(node, fmt::format("key {} isn't known; known are format, units, [limits]",
                                       in_quotes(key.str())));
            }
        }
        const std::string format = text_at(document, "format", fmt::format("\"{}\"", format_name));
        if (format != format_name) {
            fail(*document.get("format"), fmt::format("format {} isn't known; this program knows \"{}\"",
                                                      in_quotes(format), format_name));
        }
        const std::string units = text_at(document, "units", "\"mm\" or \"in\"");
        if (units != "mm" && units != "in") {
            fail(*document.get("units"), fmt::format("units are \"mm\" or \"in\", not {}", in_quotes(units)));
        }
        return read_limits_table(document, units == "in" ? Units::in : Units::mm);
    }

    Limits read_limits_table(const toml::table& document, Units units) {
        Limits limits;
        limits.source = file_;
        const toml::node* node = document.get("limits");
        if (node == nullptr) return with_defaults_named(limits, {});
        if (!node->is_table()) fail(*node, "limits is a table: write [limits]");
        const toml::table& table = *node->as_table();
        for (const auto& [name, value] : table) {
            const Key* key = find_key(name.str());
            if (key == nullptr) {
                fail(value, fmt::format("[limits] key {} isn't known; known are {}{}", in_quotes(name.str()),
                                        joined(key_names()), meant(name.str(), key_names())));
            }
            key->set(limits, positive(name.str(), value) * mm_per(units));
        }
        return with_defaults_named(limits, table);
    }

    /// Common practice stays named as such for the keys that the file leaves out.
    Limits with_defaults_named(Limits limits, const toml::table& table) const {
        std::string left_out;
        for (const Key& key : keys) {
            if (table.contains(key.name) || key.name == "least_base_diameter") continue;
            (left_out += left_out.empty() ? "" : ", ") += key.name;
        }
        if (!left_out.empty()) limits.source += fmt::format(" (common practice for {})", left_out);
        return limits;
    }

    double positive(std::string_view name, const toml::node& node) {
        const auto value = node.is_number() ? node.value<double>() : std::nullopt;
        if (!value) fail(node, fmt::format("[limits] {} must be a number", name));
        if (!std::isfinite(*value) || *value <= 0.0) {
            fail(node, fmt::format("[limits] {} must be more than 0, not {}", name, *value));
        }
        return *value;
    }

    std::string text_at(const toml::table& document, std::string_view name, std::string_view choices) {
        const toml::node* node = document.get(name);
        if (node == nullptr) {
            throw DataError(fmt::format("{}: key '{}' is missing; it must be {}", file_, name, choices));
        }
        if (!node->is_string()) fail(*node, fmt::format("key '{}' must be {}", name, choices));
        return node->as_string()->get();
    }

    [[noreturn]] void fail(const toml::node& node, const std::string& what) {
        throw DataError(fmt::format("{}:{}: {}", file_, node.source().begin.line, what));
    }

    std::filesystem::path path_;
    std::string file_;
};

}  // namespace

Limits read_limits(const std::filesystem::path& file) {
    std::string text;
    read_file(file, text, most_bytes);
    return LimitsReader(file).read(text);
}

}  // namespace lobewright
