#include "analysis/run/sweep_csv.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/sweep_rows.hpp"
#include "analysis/run/sweep_text.hpp"

namespace lobewright {

namespace {

constexpr std::array<double, 13> exact_powers_of_ten{1e0, 1e1, 1e2, 1e3,  1e4,  1e5, 1e6,
                                                     1e7, 1e8, 1e9, 1e10, 1e11, 1e12};

/// Whether printing with so many decimals and parsing gives exactly this length again.
bool is_kept(double length_mm, double unit_mm, int decimals) {
    const double power = exact_powers_of_ten[static_cast<std::size_t>(decimals)];
    const double mantissa = std::nearbyint(length_mm / unit_mm * power);
    constexpr double exact_integers = 9007199254740992.0;  // 2^53
    return std::abs(mantissa) < exact_integers && mantissa / power * unit_mm == length_mm;
}

[[noreturn]] void refuse(const Sweep& sweep, const std::string& what) {
    throw DataError(fmt::format("sweep of {} pass {}: {}", in_quotes(sweep.of), sweep.pass, what));
}

void require_printable(const Sweep& sweep, const auto& column, std::string_view name) {
    if (column.empty()) return;
    if (column.size() != sweep.rows())
        refuse(sweep, fmt::format("column {} has {} rows of {}", name, column.size(), sweep.rows()));
    for (std::size_t row = 0; row < column.size(); ++row)
        if (!std::isfinite(static_cast<double>(column[row])))
            refuse(sweep, fmt::format("column {}, row {} isn't a finite number", name, row + 1));
}

/// Throws DataError for a sweep that no file can hold.
void require_printable(const Sweep& sweep) {
    if (sweep.pass < 1) refuse(sweep, "passes count from 1");
    if (sweep.rows() == 0) refuse(sweep, "no rows");
    if (sweep.by_count() && !sweep.angle_deg.empty()) refuse(sweep, "both count and angle_deg");
    if (sweep.front_mm.empty() && sweep.rear_mm.empty()) refuse(sweep, "no reading");
    require_printable(sweep, sweep.t_us, "t_us");
    require_printable(sweep, sweep.angle_deg, "angle_deg");
    require_printable(sweep, sweep.front_mm, "front");
    require_printable(sweep, sweep.rear_mm, "rear");
}

/// Prints rows, the columns in the order of docs/run-folder.md.
struct Printer {
    const Sweep& sweep;
    double unit_mm;
    int decimals;
    std::string printed = {};

    template <class... Format>
    void number(auto value, Format... format) {
        std::array<char, 352> buffer{};  // 309 digits, sign, point and 12 decimals at most
        const auto end = std::to_chars(buffer.begin(), buffer.end(), value, format...).ptr;
        printed.append(buffer.data(), end);
    }
    void length(double length_mm) { number(length_mm / unit_mm, std::chars_format::fixed, decimals); }

    void row(std::size_t i) {
        if (!sweep.t_us.empty()) {
            number(sweep.t_us[i]);
            printed += ',';
        }
        if (sweep.by_count())
            number(sweep.count[i]);
        else
            number(sweep.angle_deg[i]);
        for (const auto* column : {&sweep.front_mm, &sweep.rear_mm}) {
            if (column->empty()) continue;
            printed += ',';
            length((*column)[i]);
        }
        printed += '\n';
    }
};

}  // namespace

SweepText parse_sweep_text(std::string_view text, const std::filesystem::path& file, Units units) {
    SweepText parsed{.sweep = {}, .header = parse_sweep_header(text, file)};
    parsed.sweep.file = file;
    parsed.sweep.of = parsed.header.of;
    parsed.sweep.pass = parsed.header.pass;
    parse_sweep_rows(text, parsed.header, file, units, parsed.sweep);
    return parsed;
}

Sweep parse_sweep(std::string_view text, const std::filesystem::path& file, Units units) {
    return parse_sweep_text(text, file, units).sweep;
}

int decimals_that_keep(const Sweep& sweep, Units units, int at_least) {
    constexpr int most = static_cast<int>(exact_powers_of_ten.size()) - 1;
    int decimals = std::min(at_least, most);
    for (const auto* column : {&sweep.front_mm, &sweep.rear_mm}) {
        for (const double length_mm : *column) {
            while (decimals <= most && !is_kept(length_mm, mm_per(units), decimals)) ++decimals;
            if (decimals > most) return std::max(at_least, 9);
        }
    }
    return decimals;
}

std::string print_sweep(const Sweep& sweep, Units units, int length_decimals) {
    require_printable(sweep);
    Printer printer{.sweep = sweep, .unit_mm = mm_per(units), .decimals = length_decimals};
    printer.printed = fmt::format("# lobewright-sweep/1\n# of: {}\n# pass: {}\n", sweep.of, sweep.pass);
    printer.printed +=
        fmt::format("{}{}{}{}\n", sweep.t_us.empty() ? "" : "t_us,", sweep.by_count() ? "count" : "angle_deg",
                    sweep.front_mm.empty() ? "" : ",front", sweep.rear_mm.empty() ? "" : ",rear");
    for (std::size_t i = 0; i < sweep.rows(); ++i) printer.row(i);
    return printer.printed;
}

}  // namespace lobewright
