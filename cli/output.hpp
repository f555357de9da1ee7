// output.hpp: text out of the program, whole or with an error: to standard output, to a file.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "analysis/errors.hpp"

namespace lobewright {

/// Whoever read standard output has gone (`lobewright compare ... | head`): an IoError that needs no message.
struct ClosedPipe : IoError {
    ClosedPipe() : IoError("standard output was closed by its reader") {}
};

/// Writes all of `text` to standard output. Throws ClosedPipe, or IoError with the system's cause.
/// SIGPIPE must be ignored (main does), else a closed pipe ends the program before it can say its exit code.
void write_stdout(std::string_view text);

/// Writes `text` beside `file` and renames it there, so that the file is whole or isn't there; Ctrl-C leaves nothing beside
/// it either. Replaces what stands there; of a link, the file that it names. Throws IoError naming the file and the system's
/// cause.
void write_file(const std::filesystem::path& named, std::string_view text);

/// Makes the folder where it isn't there. Throws IoError.
void make_folder(const std::filesystem::path& folder);

/// Throws IoError naming the first of these files that stands there already.
void refuse_existing(const std::vector<std::filesystem::path>& files);

/// A lobe's name, say, with an ending, as a file's name: bytes that file systems refuse as %XX.
std::filesystem::path file_name(const std::string& name, std::string_view ending);

/// Whether standard output is a terminal that takes colour: not `TERM=dumb`, and NO_COLOR isn't set to
/// anything (the convention of many command lines).
bool stdout_takes_colour();

/// `text` as one line that is safe on a terminal: line breaks become spaces, what else no terminal should get '?'
/// (`printable`).
std::string one_line(std::string_view text);

}  // namespace lobewright
