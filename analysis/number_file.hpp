// number_file.hpp: the small TOML files that a shop writes once: a format, units, and one table of numbers.
#pragma once

#include <filesystem>
#include <functional>
#include <limits>
#include <map>
#include <span>
#include <string>
#include <string_view>

namespace lobewright {

/// One number that such a file may hold, from `least` to `most`; without bounds, any above 0.
struct NumberKey {
    std::string_view name;
    bool length = true;  // in the file's units
    double least = std::numeric_limits<double>::min();
    double most = std::numeric_limits<double>::max();
};

/// The numbers that stand in the file, by key; lengths in mm.
using Numbers = std::map<std::string, double, std::less<>>;

/// Takes `format = "<format>"`, `units = "mm" | "in"`, and under [table] some of `keys`. Bounds are in the file's units.
/// Throws DataError naming `file`, line and key for an unknown key, a wrong type, or a number out of its bounds.
Numbers parse_number_file(std::string_view text, const std::filesystem::path& file, std::string_view format,
                          std::string_view table, std::span<const NumberKey> keys);

/// The same of the file's text. Throws NoInputError or IoError too.
Numbers read_number_file(const std::filesystem::path& file, std::string_view format, std::string_view table,
                         std::span<const NumberKey> keys);

}  // namespace lobewright
