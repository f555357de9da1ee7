#include "cli/study_lines.hpp"

#include <filesystem>
#include <fstream>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"

namespace lobewright {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_line_bytes = std::size_t{16} << 20;  // a cam of some ten thousand lobes

void require_plain(const std::string& file) {
    std::error_code problem;
    const fs::file_status status = fs::status(file, problem);
    if (status.type() == fs::file_type::not_found) throw NoInputError(place(file) + ": no such file");
    if (problem) throw IoError(fmt::format("{}: can't be read: {}", place(file), problem.message()));
    if (!fs::is_regular_file(status)) throw IoError(place(file) + ": isn't a plain file");
}

}  // namespace

std::size_t each_study_line(const std::string& file,
                            const std::function<void(const std::string& line, std::size_t at)>& take) {
    require_plain(file);
    std::ifstream stream(file, std::ios::binary);
    std::vector<char> block(std::size_t{1} << 18);
    std::string line;
    std::size_t at = 1;
    while (stream) {
        stream.read(block.data(), static_cast<std::streamsize>(block.size()));
        std::string_view rest(block.data(), static_cast<std::size_t>(stream.gcount()));
        for (std::size_t end = rest.find('\n'); end != std::string_view::npos; end = rest.find('\n')) {
            line += rest.substr(0, end);
            take(line, at++);
            line.clear();
            rest.remove_prefix(end + 1);
        }
        line += rest;
        if (line.size() > most_line_bytes)
            throw DataError(fmt::format(
                "{}: isn't a line of a study; name a file that lobewright study wrote", place(file, at)));
    }
    if (!stream.eof()) throw IoError(place(file) + ": can't be read");
    return line.size();
}

}  // namespace lobewright
