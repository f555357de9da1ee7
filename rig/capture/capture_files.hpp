// capture_files.hpp: a capture's file as the system sees it: made new, written whole, brought to the disk.
#pragma once

#include <filesystem>
#include <string_view>

namespace lobewright {

/// Makes `file`, for appending; below 0 with errno when it is there already or can't be made.
int make_capture_file(const std::filesystem::path& file);

/// Writes all of it. 0, or the system's error.
int append_to_file(int file, std::string_view bytes);

/// Has the entry of `file` in its folder on the disk. 0, or the system's error.
int sync_folder_of(const std::filesystem::path& file);

}  // namespace lobewright
