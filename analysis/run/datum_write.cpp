#include "analysis/run/datum_write.hpp"

#include <cmath>
#include <system_error>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/run_toml.hpp"

namespace lobewright {

namespace {

namespace fs = std::filesystem;

/// The line without what follows `#`, and without blanks.
std::string_view bare(std::string_view line) {
    return trimmed(line.substr(0, line.find('#')));
}

/// To a thousand-millionth of the run's unit: no parallel is known better, and sixteen digits only look so.
double without_noise_digits(double mm, Units units) {
    constexpr double parts = 1e9;
    return std::round(mm / mm_per(units) * parts) / parts * mm_per(units);
}

bool same_but_datum(Run a, const Run& b) {
    a.datum = b.datum;
    return print_run_toml(a) == print_run_toml(b);
}

void put_in_place(const fs::path& from, const fs::path& to) {
    std::error_code problem;
    fs::rename(from, to, problem);
    if (problem) throw IoError(with_cause(place(to) + ": can't be put in place", problem.value()));
}

}  // namespace

std::string with_datum(std::string_view text, const DatumInfo& datum, const std::filesystem::path& file) {
    const Run before = parse_run_toml(text, file);
    const std::string table =
        fmt::format("[datum]\nmethod           = \"{}\"\nrear_minus_front = {}\nu                = {}\n",
                    word(datum.method),
                    length_text(without_noise_digits(datum.rear_minus_front_mm, before.units), before.units),
                    length_text(without_noise_digits(datum.u_mm, before.units), before.units));
    std::string written;
    bool inside = false, done = false;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        const std::string_view line = text.substr(at, end - at);
        const std::string_view says = bare(line);
        at = end + 1;
        if (says.starts_with('[')) {
            inside = says == "[datum]";
            if (!done && (inside || says.starts_with("[["))) {
                written += table + "\n";
                done = true;
            }
            if (inside) continue;
        }
        const bool remark = says.empty() && !trimmed(line).empty();
        if (inside && !remark) continue;
        written += line;
        written += '\n';
    }
    if (!done) written += "\n" + table;
    const Run after = parse_run_toml(written, file);
    const bool right = after.datum && after.datum->method == datum.method && same_but_datum(before, after);
    if (!right)
        throw DataError(fmt::format("{}: its datum can't be replaced line by line; put this in by hand: {}",
                                    place(file), in_quotes(table)));
    return written;
}

std::filesystem::path write_datum(const std::filesystem::path& folder, const DatumInfo& datum) {
    const fs::path file = folder / "run.toml";
    std::string text;
    read_file(file, text, most_run_toml_bytes);
    const std::string written = with_datum(text, datum, file);
    std::error_code ignored;
    fs::path kept;
    for (int number = 1; kept.empty() || fs::exists(fs::symlink_status(kept, ignored)); ++number)
        kept = folder / fmt::format("run.toml.{}", number);
    write_new_file(kept, text);
    const fs::path part = folder / ".run.toml.part";
    fs::remove(part, ignored);
    write_new_file(part, written);
    put_in_place(part, file);
    sync_folder(folder);
    return kept;
}

}  // namespace lobewright
