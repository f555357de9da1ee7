// sweep_header.hpp: the part of a sweep file above its rows: the `#` lines and the row of column names.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace lobewright {

enum class SweepColumn { t_us, count, angle_deg, front, rear };

/// The column's name in a file.
std::string_view name_of(SweepColumn column);

/// Lines are counted from 1.
struct SweepHeader {
    std::string of;
    std::size_t of_line = 0;
    int pass = 1;
    std::size_t pass_line = 0;  // 0 where the default stands
    std::vector<SweepColumn> columns;
    std::size_t columns_line = 0;
    char separator = ',';
    std::size_t rows_at = 0;  // offset of the first row in the text
};

/// Reads up to and including the row of column names. Throws DataError that names `file`, line and column or
/// key.
SweepHeader parse_sweep_header(std::string_view text, const std::filesystem::path& file);

}  // namespace lobewright
