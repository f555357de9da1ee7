#include "cli/study_file.hpp"

#include <cerrno>
#include <fcntl.h>
#include <fstream>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

#include <fmt/format.h>

#include "analysis/run/file_bytes.hpp"
#include "cli/output.hpp"
#include "cli/study_line.hpp"

namespace lobewright {

StudyFile::StudyFile(std::string file, bool resume, bool overwrite) : file_(std::move(file)) {
    if (file_.empty()) return;
    if (!resume && !overwrite) {
        struct stat there {};
        if (::stat(file_.c_str(), &there) == 0)
            throw IoError(fmt::format(
                "{}: is there already: --resume carries it on, --overwrite begins it anew", file_));
    }
    // Without O_NONBLOCK the opening of a pipe would wait for its reader.
    number_ = ::open(file_.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC | O_NONBLOCK, 0666);
    if (number_ < 0) throw IoError(with_cause(fmt::format("{}: can't be written", file_), errno));
    struct stat found {};
    const bool plain = ::fstat(number_, &found) == 0 && S_ISREG(found.st_mode);
    const bool ours = plain && ::flock(number_, LOCK_EX | LOCK_NB) == 0;
    try {
        if (!plain) throw IoError(fmt::format("{}: isn't a file; name one to write", file_));
        if (!ours)
            throw IoError(
                fmt::format("{}: another study is writing to it; give each a file of its own", file_));
        if (resume) read_done();
        if (overwrite && ::ftruncate(number_, 0) != 0)
            throw IoError(with_cause(fmt::format("{}: can't be emptied", file_), errno));
    } catch (const Error&) {
        ::close(number_);
        throw;
    }
}

StudyFile::~StudyFile() {
    if (number_ >= 0) ::close(number_);
}

void StudyFile::read_done() {
    std::ifstream lines(file_, std::ios::binary);
    std::string line;
    off_t whole = 0;
    for (std::size_t at = 1; std::getline(lines, line); ++at) {
        if (lines.eof()) {  // no newline behind it: cut off while it was written
            dropped_ = line.size();
            break;
        }
        done_.insert(study_key_of(line, fmt::format("{}:{}", file_, at)));
        whole += static_cast<off_t>(line.size()) + 1;
    }
    if (lines.bad()) throw IoError(fmt::format("{}: can't be read", file_));
    if (dropped_ > 0 && ::ftruncate(number_, whole) != 0)
        throw IoError(with_cause(fmt::format("{}: can't be cut back to its whole lines", file_), errno));
}

void StudyFile::add(std::string_view line) {
    const std::lock_guard lock(mutex_);
    if (file_.empty()) {
        write_stdout(line);
        return;
    }
    struct stat before {};
    if (::fstat(number_, &before) != 0)
        throw IoError(with_cause(fmt::format("{}: can't be written", file_), errno));
    while (!line.empty()) {
        const ssize_t written = ::write(number_, line.data(), line.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) {
            const int cause = errno;
            static_cast<void>(::ftruncate(number_, before.st_size) == 0);  // a full disk: what is whole stays
            throw IoError(with_cause(fmt::format("{}: can't be written", file_), cause));
        }
        line.remove_prefix(static_cast<std::size_t>(written));
    }
}

}  // namespace lobewright
