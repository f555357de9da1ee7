#include "analysis/number_file.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/toml_file.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

constexpr std::size_t most_bytes = 1U << 20U;  // such a file is a screenful; this is no such file

/// Reading of one file, for messages that name it.
class NumberReader {
public:
    NumberReader(const std::filesystem::path& file, std::string_view format, std::string_view table,
                 std::span<const NumberKey> keys)
        : path_(file), file_(place(file)), format_(format), table_(table), keys_(keys) {}

    Numbers read(std::string_view text) {
        const toml::table document = parse_toml(text, path_);
        for (const auto& [key, node] : document) {
            if (key != "format" && key != "units" && key != table_) {
                fail(node, fmt::format("key {} isn't known; known are format, units, [{}]",
                                       in_quotes(key.str()), table_));
            }
        }
        const std::string format = text_at(document, "format", fmt::format("\"{}\"", format_));
        if (format != format_) {
            fail(*document.get("format"),
                 fmt::format("format {} isn't known; this program knows \"{}\"", in_quotes(format), format_));
        }
        const std::string units = text_at(document, "units", "\"mm\" or \"in\"");
        if (units != "mm" && units != "in") {
            fail(*document.get("units"), fmt::format("units are \"mm\" or \"in\", not {}", in_quotes(units)));
        }
        return read_table(document, mm_per(units == "in" ? Units::in : Units::mm));
    }

private:
    Numbers read_table(const toml::table& document, double mm_per_unit) {
        const toml::node* node = document.get(table_);
        if (node == nullptr) return {};
        if (!node->is_table()) fail(*node, fmt::format("{0} is a table: write [{0}]", table_));
        Numbers out;
        for (const auto& [found, value] : *node->as_table()) {
            const std::string_view name = found.str();
            const auto key = std::find_if(keys_.begin(), keys_.end(),
                                          [name](const NumberKey& k) { return k.name == name; });
            if (key == keys_.end()) {
                fail(value, fmt::format("[{}] key {} isn't known; known are {}{}", table_, in_quotes(name),
                                        joined(names()), meant(name, names())));
            }
            out[std::string(key->name)] = number(*key, value) * (key->length ? mm_per_unit : 1.0);
        }
        return out;
    }

    double number(const NumberKey& key, const toml::node& node) {
        const auto value = node.is_number() ? node.value<double>() : std::nullopt;
        if (!value) fail(node, fmt::format("[{}] {} must be a number", table_, key.name));
        if (std::isfinite(*value) && *value >= key.least && *value <= key.most) return *value;
        const std::string bounds = key.least == NumberKey{}.least
                                       ? std::string("more than 0")
                                       : fmt::format("from {:g} to {:g}", key.least, key.most);
        fail(node, fmt::format("[{}] {} must be {}, not {}", table_, key.name, bounds, *value));
    }

    std::vector<std::string_view> names() const {
        std::vector<std::string_view> out;
        out.reserve(keys_.size());
        for (const NumberKey& key : keys_) out.push_back(key.name);
        return out;
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
    std::string_view format_, table_;
    std::span<const NumberKey> keys_;
};

}  // namespace

Numbers parse_number_file(std::string_view text, const std::filesystem::path& file, std::string_view format,
                          std::string_view table, std::span<const NumberKey> keys) {
    return NumberReader(file, format, table, keys).read(text);
}

Numbers read_number_file(const std::filesystem::path& file, std::string_view format, std::string_view table,
                         std::span<const NumberKey> keys) {
    std::string text;
    read_file(file, text, most_bytes);
    return parse_number_file(text, file, format, table, keys);
}

}  // namespace lobewright
