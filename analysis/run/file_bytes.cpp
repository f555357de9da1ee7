#include "analysis/run/file_bytes.hpp"

#include <algorithm>
#include <cerrno>
#include <fcntl.h>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"

namespace lobewright {

namespace {

/// An open file that closes itself. Writers call close() themselves, because a failed close is a failed
/// write.
class OpenFile {
public:
    OpenFile(const std::filesystem::path& path, int flags)
        : number_(::open(path.c_str(), flags | O_CLOEXEC, 0666)) {}
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    ~OpenFile() {
        if (number_ >= 0) ::close(number_);
    }

    [[nodiscard]] bool is_open() const { return number_ >= 0; }
    [[nodiscard]] int number() const { return number_; }
    [[nodiscard]] bool close() {
        const int number = number_;
        number_ = -1;
        return ::close(number) == 0;
    }

private:
    int number_;
};

[[noreturn]] void fail(const std::filesystem::path& path, std::string_view action) {
    const int cause = errno;
    throw IoError(with_cause(fmt::format("{}: {}", place(path), action), cause));
}

}  // namespace

std::string with_cause(const std::string& what, int error_number) {
    return fmt::format("{}: {}", what, std::generic_category().message(error_number));
}

void read_file(const std::filesystem::path& file, std::string& into, std::size_t most_bytes,
               std::string_view begins) {
    // Without O_NONBLOCK the opening of a pipe would wait for its writer.
    const OpenFile input(file, O_RDONLY | O_NONBLOCK);
    if (!input.is_open()) {
        const int cause = errno;
        if (cause == ENOENT || cause == ENOTDIR) throw NoInputError(place(file) + ": no such file");
        throw IoError(with_cause(place(file) + ": can't be opened", cause));
    }
    struct stat facts {};
    if (::fstat(input.number(), &facts) != 0) fail(file, "can't be read");
    if (S_ISDIR(facts.st_mode)) throw IoError(place(file) + ": is a folder where a file should be");
    if (!S_ISREG(facts.st_mode)) throw IoError(place(file) + ": isn't a plain file");
    auto size = static_cast<std::size_t>(facts.st_size);
    if (size > most_bytes)
        throw DataError(fmt::format("{}: {} bytes, more than the {} that such a file can need", place(file),
                                    size, most_bytes));
    char first[16] = {};
    const std::size_t compared = std::min({begins.size(), size, sizeof first});
    if (compared > 0 && (::pread(input.number(), first, compared, 0) != static_cast<ssize_t>(compared) ||
                         begins.substr(0, compared) != std::string_view(first, compared)))
        size = compared;
    into.resize(size);
    std::size_t have = 0;
    while (have < size) {
        const ssize_t got = ::read(input.number(), into.data() + have, size - have);
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) fail(file, "can't be read");
        if (got == 0) throw IoError(place(file) + ": became shorter while it was read; read it again");
        have += static_cast<std::size_t>(got);
    }
}

void write_new_file(const std::filesystem::path& file, std::string_view bytes) {
    OpenFile output(file, O_WRONLY | O_CREAT | O_EXCL);
    if (!output.is_open()) fail(file, "can't be made");
    bool written = true;
    while (written && !bytes.empty()) {
        const ssize_t put = ::write(output.number(), bytes.data(), bytes.size());
        if (put < 0 && errno == EINTR) continue;
        written = put >= 0;
        if (written) bytes.remove_prefix(static_cast<std::size_t>(put));
    }
    if (written && ::fsync(output.number()) == 0 && output.close()) return;
    const int cause = errno;
    ::unlink(file.c_str());  // half a file on a full disk
    errno = cause;
    fail(file, "can't be written");
}

void sync_folder(const std::filesystem::path& folder) {
    const OpenFile opened(folder, O_RDONLY | O_DIRECTORY);
    if (!opened.is_open() || ::fsync(opened.number()) != 0) fail(folder, "can't be written to the disk");
}

}  // namespace lobewright
