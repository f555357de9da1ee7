#include "rig/capture/capture_format.hpp"

#include <chrono>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/toml_file.hpp"
#include "analysis/toml_text.hpp"
#include "rig/capture/crc32c.hpp"

namespace lobewright {
namespace {

constexpr std::string_view format_name = "lobewright-capture/1";

}  // namespace

void append_record(std::string& out, std::int64_t host_us, std::string_view port, std::string_view bytes) {
    const std::size_t begin = out.size();
    fmt::format_to(std::back_inserter(out), "@{} {} {} ", host_us, port, bytes.size());
    const std::uint32_t crc = crc32c(std::string_view(out).substr(begin), bytes);
    fmt::format_to(std::back_inserter(out), "{:08x}\n", crc);
    out += bytes;
    out += '\n';
}

std::string print_capture_head(const CaptureHead& head) {
    std::string out = fmt::format("format = \"{}\"\ntaken = {}\n", format_name, head.wall_time);
    if (!head.continues.empty()) {
        out += fmt::format("continues = {}\nrecords_there = {}\n", toml_text(head.continues),
                           head.records_there);
    }
    // The description is a file of its own kind; in quotes of three it stays readable.
    std::string rig;
    for (const char c : print_rig_description(head.rig)) {
        if (c == '\\' || c == '"') rig += '\\';
        rig += c;
    }
    return out + fmt::format("rig = \"\"\"\n{}\"\"\"\n", rig);
}

CaptureHead parse_capture_head(std::string_view toml, const std::string& name) {
    const toml::table table = parse_toml(toml, name);
    const auto format = table["format"].value<std::string>();
    if (!format) throw DataError(fmt::format("{}: not a capture: its first record has no format", name));
    if (*format != format_name) {
        throw DataError(fmt::format("{}: format {} isn't known; this program knows \"{}\"", name,
                                    in_quotes(*format), format_name));
    }
    CaptureHead head;
    const toml::node* const taken = table.get("taken");
    const auto rig = table["rig"].value<std::string>();
    if (taken == nullptr || !taken->is_date_time() || !rig)
        throw DataError(fmt::format("{}: the capture's first record lacks taken or rig", name));
    const toml::date_time when = taken->as_date_time()->get();
    head.wall_time = fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", when.date.year, when.date.month,
                                 when.date.day, when.time.hour, when.time.minute, when.time.second);
    head.rig = parse_rig_description(*rig, name + " (rig)");
    head.continues = table["continues"].value_or(std::string());
    head.records_there = static_cast<std::uint64_t>(
        std::max<std::int64_t>(0, table["records_there"].value_or(std::int64_t{0})));
    return head;
}

std::int64_t steady_now_us() {
    return std::chrono::duration_cast<std::chrono::microseconds>(
               std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

std::filesystem::path capture_part(const std::filesystem::path& first, unsigned part) {
    return first.parent_path() /
           fmt::format("{}-{}{}", first.stem().string(), part, first.extension().string());
}

}  // namespace lobewright
