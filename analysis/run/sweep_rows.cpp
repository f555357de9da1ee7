// Two readers of a row. The quick one takes the plain form that machines write (digits, one mark, no blanks)
// and gives up on anything else, without a word. The careful one then takes the row again: blanks, `+`,
// exponents, long mantissas; and it alone knows the errors. Where both take a row they give the same numbers,
// because both round the decimal to the nearest double.
#include "analysis/run/sweep_rows.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <span>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"

namespace lobewright {

namespace {

constexpr std::size_t most_columns = 4;  // t_us, count or angle_deg, front, rear

/// Powers of ten that a double holds exactly.
constexpr std::array<double, 20> powers_of_ten{1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,
                                               1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19};

constexpr std::uint64_t exact_integers = std::uint64_t{1} << 53;  // up to here each one is a double
constexpr std::size_t block_rows = 128;                           // fit the nearest cache
constexpr std::ptrdiff_t safe_digits = 18;                        // 10^18 < 2^63: no overflow up to here

bool is_whole(SweepColumn column) {
    return column == SweepColumn::t_us || column == SweepColumn::count;
}

/// A column and where its cells go.
struct Target {
    SweepColumn column = SweepColumn::t_us;
    bool whole = false;
    double scale = 1.0;  // mm in a unit of the file, 1 for angles
    std::vector<std::int64_t>* integers = nullptr;
    std::vector<double>* reals = nullptr;
};

struct Cell {
    std::int64_t integer = 0;
    double real = 0.0;
};
using Row = std::array<Cell, most_columns>;

/// Reads digits from `at` into `value` and returns where they end. Ends at the latest at the text's last LF.
inline const char* digits(const char* at, std::uint64_t& value) {
    for (unsigned digit = 0; (digit = static_cast<unsigned char>(*at) - unsigned{'0'}) < 10; ++at)
        value = value * 10 + digit;
    return at;
}

/// Returns where the cell ends, nullptr when it isn't plain.
inline const char* quick_integer(const char* at, std::int64_t& integer) {
    const bool negative = *at == '-';
    at += negative ? 1 : 0;
    std::uint64_t value = 0;
    const char* end = digits(at, value);
    if (end == at || end - at > safe_digits) return nullptr;
    integer = negative ? -static_cast<std::int64_t>(value) : static_cast<std::int64_t>(value);
    return end;
}

/// Returns where the cell ends, nullptr when it isn't plain. Mantissa and power of ten are exact doubles, so
/// that their quotient is the double nearest to the decimal.
inline const char* quick_real(const char* at, char mark, double& real) {
    const bool negative = *at == '-';
    at += negative ? 1 : 0;
    std::uint64_t mantissa = 0;
    const char* end = digits(at, mantissa);
    std::ptrdiff_t count = end - at;
    std::ptrdiff_t decimals = 0;
    if (*end == mark) {
        const char* from = end + 1;
        end = digits(from, mantissa);
        decimals = end - from;
        count += decimals;
    }
    if (count == 0 || count > safe_digits || mantissa > exact_integers) return nullptr;
    const double size = static_cast<double>(mantissa) / powers_of_ten[static_cast<std::size_t>(decimals)];
    // No branch: on the heel the sign is noise, and every other guess of it wrong.
    real = std::bit_cast<double>(std::bit_cast<std::uint64_t>(size) | std::uint64_t{negative} << 63U);
    return end;
}

/// The number without its plus sign, which std::from_chars doesn't take.
std::string_view without_plus(std::string_view cell) {
    return cell.substr(cell.starts_with('+') && !cell.starts_with("+-") ? 1 : 0);
}

class RowReader {
public:
    RowReader(std::string_view text, const SweepHeader& header, const std::filesystem::path& file,
              Units units, Sweep& sweep)
        : rest_(text.substr(header.rows_at)),
          guard_(rest_.data()),
          header_(header),
          file_(file),
          line_(header.columns_line + 1) {
        for (const SweepColumn column : header.columns) targets_[columns_++] = target(column, units, sweep);
        // With semicolons the first mark in the rows settles which one the file uses, so that a `,` for
        // thousands among points, or the reverse, is found out.
        if (header.separator == ';' && rest_.find_first_of(".,") != std::string_view::npos)
            mark_ = rest_[rest_.find_first_of(".,")];
        const std::size_t last_line_end = rest_.rfind('\n');
        if (last_line_end != std::string_view::npos) guard_ = rest_.data() + last_line_end + 1;
    }

    void read() {
        reserve();
        while (!rest_.empty()) {
            read_plain_rows();
            if (!rest_.empty()) read_careful_row();
        }
        const std::size_t rows = line_ - header_.columns_line - 1;
        line_ = header_.columns_line;
        if (rows == 0) fail("no rows below the column names");
    }

private:
    static Target target(SweepColumn column, Units units, Sweep& sweep) {
        const double scale = column == SweepColumn::angle_deg ? 1.0 : mm_per(units);
        Target target{.column = column, .whole = is_whole(column), .scale = scale};
        if (column == SweepColumn::t_us) target.integers = &sweep.t_us;
        if (column == SweepColumn::count) target.integers = &sweep.count;
        if (column == SweepColumn::angle_deg) target.reals = &sweep.angle_deg;
        if (column == SweepColumn::front) target.reals = &sweep.front_mm;
        if (column == SweepColumn::rear) target.reals = &sweep.rear_mm;
        return target;
    }

    void reserve();
    void read_plain_rows();
    const char* quick_row(const char* at, Row& row) const;
    void read_careful_row();
    void require_end();
    void append(std::span<const Row> rows);
    std::int64_t careful_integer(std::string_view cell, const Target& target) const;
    double careful_real(std::string_view cell, const Target& target) const;
    [[noreturn]] void fail(const std::string& what) const {
        throw DataError(fmt::format("{}: {}", place(file_, line_), what));
    }
    [[noreturn]] void fail(const Target& target, const std::string& what) const {
        fail(fmt::format("column {}: {}", name_of(target.column), what));
    }

    std::string_view rest_;
    const char* guard_;  // just past the text's last LF
    const SweepHeader& header_;
    const std::filesystem::path& file_;
    std::size_t line_;
    std::array<Target, most_columns> targets_{};
    std::size_t columns_ = 0;
    char mark_ = '.';
};

/// Room for as many rows as the mean length of the first and the last one makes likely.
void RowReader::reserve() {
    const std::string_view body = rest_.substr(0, rest_.find_last_not_of(" \t\r\n") + 1);
    if (body.empty()) return;
    const std::size_t first = std::min(body.find('\n'), body.size() - 1) + 1;
    const std::size_t last =
        body.size() - (body.rfind('\n') == std::string_view::npos ? 0 : body.rfind('\n') + 1) + 1;
    const std::size_t rows = 2 * body.size() / (first + last);
    for (std::size_t i = 0; i < columns_; ++i) {
        if (targets_[i].whole)
            targets_[i].integers->reserve(rows + rows / 16 + 2);
        else
            targets_[i].reals->reserve(rows + rows / 16 + 2);
    }
}

void RowReader::append(std::span<const Row> rows) {
    for (std::size_t i = 0; i < columns_; ++i) {
        const Target& target = targets_[i];
        if (target.whole) {
            const std::size_t from = target.integers->size();
            target.integers->resize(from + rows.size());
            std::int64_t* to = target.integers->data() + from;
            for (const Row& row : rows) *to++ = row[i].integer;
        } else {
            const std::size_t from = target.reals->size();
            target.reals->resize(from + rows.size());
            double* to = target.reals->data() + from;
            for (const Row& row : rows) *to++ = row[i].real * target.scale;
        }
    }
    line_ += rows.size();
}

/// Returns where the next row begins, nullptr when this one isn't plain.
inline const char* RowReader::quick_row(const char* at, Row& row) const {
    for (std::size_t i = 0; i < columns_; ++i) {
        if (i > 0 && *at++ != header_.separator) return nullptr;
        at = targets_[i].whole ? quick_integer(at, row[i].integer) : quick_real(at, mark_, row[i].real);
        if (at == nullptr) return nullptr;
    }
    at += *at == '\r' ? 1 : 0;
    return *at == '\n' ? at + 1 : nullptr;
}

/// Reads rows for as long as they are plain and end in LF: no step goes past an LF, so that the text's last one stands
/// guard over all of them. By blocks, whose columns go where they belong while they are still near.
void RowReader::read_plain_rows() {
    const char* at = rest_.data();
    std::array<Row, block_rows> block;
    std::size_t rows = 0;
    do {
        rows = 0;
        for (const char* next = nullptr; rows < block_rows && at < guard_; ++rows, at = next) {
            next = quick_row(at, block[rows]);
            if (next == nullptr) break;
        }
        append({block.data(), rows});
    } while (rows == block_rows);
    rest_.remove_prefix(static_cast<std::size_t>(at - rest_.data()));
}

void RowReader::read_careful_row() {
    const std::size_t end = std::min(rest_.find('\n'), rest_.size());
    std::string_view line = rest_.substr(0, end);
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (trimmed(line).empty()) {
        require_end();
        return;
    }
    if (line.starts_with('#'))
        fail(fmt::format("{} among the rows; # lines stand above the column names", in_quotes(line)));
    const std::size_t cells =
        1 + static_cast<std::size_t>(std::count(line.begin(), line.end(), header_.separator));
    if (cells < columns_)
        fail(targets_[cells], fmt::format("no cell; the row has {} of {}", cells, columns_));
    if (cells > columns_)
        fail(fmt::format("column {}: a cell without a column name; the row has {} cells for {} columns",
                         columns_ + 1, cells, columns_));
    Row row;
    for (std::size_t i = 0; i < columns_; ++i) {
        const std::size_t cell_end = std::min(line.find(header_.separator), line.size());
        const std::string_view cell = trimmed(line.substr(0, cell_end));
        if (targets_[i].whole)
            row[i].integer = careful_integer(cell, targets_[i]);
        else
            row[i].real = careful_real(cell, targets_[i]);
        line.remove_prefix(std::min(cell_end + 1, line.size()));
    }
    append({&row, 1});
    rest_.remove_prefix(std::min(end + 1, rest_.size()));
}

/// Blank lines may end a file but not stand among its rows.
void RowReader::require_end() {
    if (rest_.find_first_not_of(" \t\r\n") != std::string_view::npos) fail("a blank line among the rows");
    rest_ = {};
}

std::int64_t RowReader::careful_integer(std::string_view cell, const Target& target) const {
    if (cell.empty()) fail(target, "an empty cell");
    const std::string_view number = without_plus(cell);
    std::int64_t integer = 0;
    const auto [end, problem] = std::from_chars(number.data(), number.data() + number.size(), integer);
    if (problem == std::errc::result_out_of_range) fail(target, in_quotes(cell) + " is too large");
    if (problem != std::errc{} || end != number.data() + number.size())
        fail(target, in_quotes(cell) + " isn't a whole number");
    return integer;
}

double RowReader::careful_real(std::string_view cell, const Target& target) const {
    if (cell.empty()) fail(target, "an empty cell");
    std::string number(without_plus(cell));
    const char other_mark = mark_ == ',' ? '.' : ',';
    if (number.find(other_mark) != std::string::npos)
        fail(target,
             fmt::format("{} isn't a number; the decimal mark in this file is {}", in_quotes(cell), mark_));
    std::replace(number.begin(), number.end(), mark_, '.');
    double real = 0.0;
    const auto [end, problem] = std::from_chars(number.data(), number.data() + number.size(), real);
    if (problem == std::errc::result_out_of_range)
        fail(target, in_quotes(cell) + " is too large or too small");
    if (problem != std::errc{} || end != number.data() + number.size() || !std::isfinite(real))
        fail(target, in_quotes(cell) + " isn't a number");
    if (!std::isfinite(real * target.scale)) fail(target, in_quotes(cell) + " is too large");
    return real;
}

}  // namespace

void parse_sweep_rows(std::string_view text, const SweepHeader& header, const std::filesystem::path& file,
                      Units units, Sweep& sweep) {
    RowReader(text, header, file, units, sweep).read();
}

}  // namespace lobewright
