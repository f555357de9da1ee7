#include "rig/capture/capture_reader.hpp"

#include <algorithm>
#include <charconv>
#include <limits>
#include <optional>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "rig/capture/capture_format.hpp"
#include "rig/capture/crc32c.hpp"

namespace lobewright {
namespace {

constexpr std::size_t most_capture_bytes = std::size_t{16} << 30U;  // four days of three ports flat out
constexpr std::string_view first_byte = "@";                        // of a record
constexpr std::uint64_t no_limit = std::numeric_limits<std::uint64_t>::max();

struct Found {
    CaptureRecord record;
    std::size_t size = 0;  // of the record with its header and line ends
};

bool is_word(std::string_view port) {
    constexpr std::string_view letters = "abcdefghijklmnopqrstuvwxyz0123456789-_";
    return !port.empty() && port.find_first_not_of(letters) == std::string_view::npos;
}

template <class Number>
bool whole_number(std::string_view text, Number& into) {
    const auto parsed = std::from_chars(text.data(), text.data() + text.size(), into);
    return parsed.ec == std::errc{} && parsed.ptr == text.data() + text.size() && !text.empty();
}

/// The whole, undamaged record that begins at `at`.
std::optional<Found> record_at(std::string_view text, std::size_t at) {
    constexpr std::size_t longest_header = 128;
    const std::string_view header = text.substr(at, longest_header);
    const std::size_t line_end = header.find('\n');
    if (header.empty() || header.front() != '@' || line_end == std::string_view::npos) return std::nullopt;
    const std::size_t port_at = header.find(' ') + 1;
    const std::size_t size_at = header.find(' ', port_at) + 1;
    const std::size_t crc_at = header.find(' ', size_at) + 1;
    if (port_at == 0 || size_at == 0 || crc_at == 0 || crc_at > line_end) return std::nullopt;
    Found out;
    std::size_t size = 0;
    const std::string_view crc_text = header.substr(crc_at, line_end - crc_at);
    out.record.port = header.substr(port_at, size_at - 1 - port_at);
    if (!whole_number(header.substr(1, port_at - 2), out.record.host_us) || !is_word(out.record.port) ||
        !whole_number(header.substr(size_at, crc_at - 1 - size_at), size)) {
        return std::nullopt;
    }
    const std::size_t bytes_at = at + line_end + 1;
    const std::size_t left = text.size() - bytes_at;
    if (left == 0 || size > left - 1 || text[bytes_at + size] != '\n') return std::nullopt;
    out.record.bytes = text.substr(bytes_at, size);
    out.size = line_end + 1 + size + 1;
    const std::string crc = fmt::format("{:08x}", crc32c(header.substr(0, crc_at), out.record.bytes));
    return crc == crc_text ? std::optional(out) : std::nullopt;
}

/// Where the next undamaged record begins behind `at`; text.size() when there is none. The line end before it may be
/// what was damaged.
std::size_t next_record(std::string_view text, std::size_t at) {
    do {
        at = text.find('@', at + 1);
    } while (at != std::string_view::npos && !record_at(text, at));
    return std::min(at, text.size());
}

CaptureHead head_of(std::string_view text, const std::string& name) {
    const std::optional<Found> first = record_at(text, 0);
    if (!first || first->record.port != meta_port)
        throw DataError(fmt::format("{}: not a capture, or its first record is damaged", name));
    return parse_capture_head(first->record.bytes, name);
}

/// Reads up to `most` records, with the first, of one file's text.
CaptureContents read_text(std::string_view text, const std::string& name, PastDamage past_damage,
                          std::uint64_t most, const std::function<void(const CaptureRecord&)>& take) {
    CaptureContents out;
    out.head = head_of(text, name);
    out.records = 1;
    std::size_t at = record_at(text, 0)->size;
    while (at < text.size() && out.records < most) {
        if (const std::optional<Found> found = record_at(text, at)) {
            take(found->record);
            ++out.records;
            at += found->size;
            continue;
        }
        const std::size_t next = next_record(text, at);
        if (next == text.size()) {
            out.notes.push_back(
                fmt::format("{}: the last {} bytes aren't a whole record and were dropped: what came in the "
                            "moment when recording was cut off",
                            name, text.size() - at));
            break;
        }
        const std::string damage = fmt::format("{}: damaged from byte {} to byte {}", name, at, next - 1);
        if (past_damage == PastDamage::refuse) {
            throw DataError(damage + "; what lies before and after can be read on request");
        }
        out.notes.push_back(damage + ", left out");
        at = next;
    }
    if (most != no_limit && out.records < most) {
        out.notes.push_back(fmt::format("{}: {} records are missing at its end", name, most - out.records));
    }
    return out;
}

}  // namespace

CaptureContents read_capture_bytes(std::string_view bytes, const std::string& name, PastDamage past_damage,
                                   const std::function<void(const CaptureRecord&)>& take) {
    return read_text(bytes, name, past_damage, no_limit, take);
}

CaptureHead read_capture_head(const std::filesystem::path& file) {
    std::string text;
    read_file(file, text, most_capture_bytes, first_byte);
    return head_of(text, file.string());
}

CaptureContents read_capture(const std::filesystem::path& file, PastDamage past_damage,
                             const std::function<void(const CaptureRecord&)>& take) {
    std::string text;
    read_file(file, text, most_capture_bytes, first_byte);
    CaptureContents out;
    std::filesystem::path current = file;
    for (unsigned part = 2;; ++part) {
        // Is there a file that goes on from this one, and from where?
        std::filesystem::path next;
        std::string next_text;
        CaptureHead next_head;
        for (; std::filesystem::exists(capture_part(file, part)); ++part) {
            read_file(capture_part(file, part), next_text, most_capture_bytes, first_byte);
            if (!record_at(next_text, 0)) continue;
            next_head = head_of(next_text, capture_part(file, part).string());
            if (next_head.continues == current.filename().string()) {
                next = capture_part(file, part);
                break;
            }
        }
        const std::uint64_t most = next.empty() ? no_limit : next_head.records_there;
        CaptureContents read = read_text(text, current.string(), past_damage, most, take);
        if (current == file) out.head = read.head;
        out.records += read.records;
        out.notes.insert(out.notes.end(), read.notes.begin(), read.notes.end());
        if (next.empty()) return out;
        current = next;
        text = std::move(next_text);
    }
}

}  // namespace lobewright
