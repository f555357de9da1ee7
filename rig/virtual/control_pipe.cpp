#include "rig/virtual/control_pipe.hpp"

#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fmt/format.h>

#include "analysis/errors.hpp"

namespace lobewright::virtual_rig {

ControlPipe::ControlPipe(const std::filesystem::path& file) : file_(file) {
    if (file_.empty()) return;
    if (::mkfifo(file_.c_str(), 0600) != 0 && errno != EEXIST)
        throw IoError(fmt::format("{}: can't be made: {}", file_.string(), std::strerror(errno)));
    // Open for writing as well, so that it never ends when a writer goes.
    pipe_ = Descriptor(::open(file_.c_str(), O_RDWR | O_NONBLOCK | O_CLOEXEC));
    struct stat what {};
    if (!pipe_.is_open() || ::fstat(pipe_.get(), &what) != 0 || !S_ISFIFO(what.st_mode))
        throw IoError(fmt::format("{}: is there and is no pipe; name a place for a new one", file_.string()));
}

ControlPipe::~ControlPipe() {
    std::error_code ignored;
    if (pipe_.is_open()) std::filesystem::remove(file_, ignored);
}

std::vector<std::string> ControlPipe::lines() {
    std::vector<std::string> lines;
    char bytes[1024];
    if (!pipe_.is_open()) return lines;
    for (ssize_t got = ::read(pipe_.get(), bytes, sizeof bytes); got > 0;
         got = ::read(pipe_.get(), bytes, sizeof bytes))
        heard_.append(bytes, static_cast<std::size_t>(got));
    for (std::size_t end = heard_.find('\n'); end != std::string::npos; end = heard_.find('\n')) {
        lines.push_back(heard_.substr(0, end));
        heard_.erase(0, end + 1);
    }
    return lines;
}

}  // namespace lobewright::virtual_rig
