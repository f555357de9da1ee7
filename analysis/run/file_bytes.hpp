// file_bytes.hpp: whole files in, whole files out, each failure a one-line error.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

namespace lobewright {

/// Reads a plain file whole into `into`, whose memory is used again from call to call. Never waits: a pipe or
/// a device is refused. Throws NoInputError when there is no such file, IoError when it can't be read,
/// DataError when it is larger than `most_bytes`. Of a file that doesn't begin with `begins` (up to 16 bytes) no more is read
/// than shows it: the wrong file may be a huge one.
void read_file(const std::filesystem::path& file, std::string& into, std::size_t most_bytes,
               std::string_view begins = {});

/// Makes a new file of these bytes and waits until they are on the disk. Throws IoError, also when it exists; a file that
/// couldn't be written whole is taken away again.
void write_new_file(const std::filesystem::path& file, std::string_view bytes);

/// Waits until what was made, renamed or removed in this folder is on the disk. Throws IoError.
void sync_folder(const std::filesystem::path& folder);

/// "what: cause", the cause in the system's words.
std::string with_cause(const std::string& what, int error_number);

}  // namespace lobewright
