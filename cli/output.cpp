#include "cli/output.hpp"

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <iterator>
#include <string>
#include <system_error>
#include <unistd.h>

#include <fmt/format.h>

#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "cli/unfinished_file.hpp"

namespace lobewright {
namespace {

/// Writes all of `text`; false with errno set when the system won't take it.
bool write_all(int descriptor, std::string_view text) {
    while (!text.empty()) {
        const ssize_t written = ::write(descriptor, text.data(), text.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) return false;
        text.remove_prefix(static_cast<std::size_t>(written));
    }
    return true;
}

/// The file that a link names, there or not: a link stays a link when what it names is written.
std::filesystem::path behind_links(std::filesystem::path file) {
    constexpr int most_links = 40;  // as the system itself follows
    for (int i = 0; i < most_links; ++i) {
        std::error_code error;
        const auto named = std::filesystem::read_symlink(file, error);
        if (error) return file;
        file = file.parent_path() / named;  // `named` alone where it begins at the root
    }
    throw IoError(fmt::format("{}: links lead round in a circle; name a file", file.string()));
}

}  // namespace

void write_stdout(std::string_view text) {
    if (write_all(STDOUT_FILENO, text)) return;
    if (errno == EPIPE) throw ClosedPipe();
    throw IoError(fmt::format("standard output can't be written: {}", std::strerror(errno)));
}

void write_file(const std::filesystem::path& named, std::string_view text) {
    const std::filesystem::path file = behind_links(named);
    std::error_code error;
    const auto there = std::filesystem::status(file, error);
    // A rename would put the file in a device's place.
    if (std::filesystem::exists(there) && !std::filesystem::is_regular_file(there))
        throw IoError(fmt::format("{}: isn't a file; name one to write", file.string()));
    std::filesystem::path beside = file;
    beside += ".part";
    std::filesystem::remove(beside, error);  // left by a run that was cut off
    const UnfinishedFile unfinished(beside);
    write_new_file(beside, text);
    std::filesystem::rename(beside, file, error);
    if (!error) return;
    const std::string cause = error.message();
    std::filesystem::remove(beside, error);
    throw IoError(fmt::format("{}: can't be put in place: {}", file.string(), cause));
}

void make_folder(const std::filesystem::path& folder) {
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    if (error) throw IoError(fmt::format("{}: can't be made: {}", folder.string(), error.message()));
}

void refuse_existing(const std::vector<std::filesystem::path>& files) {
    for (const std::filesystem::path& file : files) {
        std::error_code error;
        if (!std::filesystem::exists(file, error)) continue;
        throw IoError(
            fmt::format("{}: is there already: give another name, or say --overwrite", file.string()));
    }
}

std::filesystem::path file_name(const std::string& name, std::string_view ending) {
    constexpr std::string_view refused = "/\\:*?\"<>|%";
    std::string out;
    for (const char c : name) {
        const auto byte = static_cast<unsigned char>(c);
        // A leading dot would hide the file.
        const bool escape =
            byte < 0x20 || refused.find(c) != std::string_view::npos || (c == '.' && out.empty());
        if (escape) {
            fmt::format_to(std::back_inserter(out), "%{:02X}", byte);
        } else {
            out += c;
        }
    }
    return out.append(ending);
}

bool stdout_takes_colour() {
    const char* no_color = std::getenv("NO_COLOR");
    const char* term = std::getenv("TERM");
    const bool refused = no_color != nullptr && *no_color != '\0';
    const bool dumb = term == nullptr || std::strcmp(term, "dumb") == 0;
    return !refused && !dumb && ::isatty(STDOUT_FILENO) == 1;
}

std::string one_line(std::string_view text) {
    std::string line(text);
    for (char& c : line)
        if (c == '\n' || c == '\r' || c == '\t') c = ' ';
    return printable(line);
}

}  // namespace lobewright
