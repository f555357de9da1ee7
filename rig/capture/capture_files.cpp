#include "rig/capture/capture_files.hpp"

#include <cerrno>
#include <fcntl.h>
#include <unistd.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"

namespace lobewright {

int make_capture_file(const std::filesystem::path& file) {
    return ::open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_APPEND | O_CLOEXEC, 0666);
}

int append_to_file(int file, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(file, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written <= 0) return written < 0 ? errno : ENOSPC;
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return 0;
}

int sync_folder_of(const std::filesystem::path& file) {
    try {
        sync_folder(file.has_parent_path() ? file.parent_path() : ".");
        return 0;
    } catch (const Error&) {
        return EIO;
    }
}

}  // namespace lobewright
