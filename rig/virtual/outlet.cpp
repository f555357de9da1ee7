#include "rig/virtual/outlet.hpp"

#include <arpa/inet.h>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <sys/inotify.h>
#include <sys/socket.h>
#include <termios.h>
#include <unistd.h>

#include <fmt/format.h>

#include "analysis/errors.hpp"

namespace lobewright::virtual_rig {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse_outlet(const std::string& where, const std::string& what) {
    throw IoError(fmt::format("{}: {}: {}", where, what, std::strerror(errno)));
}

sockaddr_in here(std::uint16_t port) {
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_port = htons(port);
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    return address;
}

/// Puts the link there in one move, so that a host never finds it missing in between.
void point(const fs::path& link, const std::string& to) {
    const fs::path beside = link.string() + ".new";
    std::error_code problem;
    fs::remove(beside, problem);
    fs::create_symlink(to, beside, problem);
    if (!problem) fs::rename(beside, link, problem);
    if (problem)
        throw IoError(
            fmt::format("{}: can't be made a link to {}: {}", link.string(), to, problem.message()));
}

}  // namespace

Descriptor& Descriptor::operator=(Descriptor&& other) noexcept {
    if (this == &other) return *this;
    reset();
    number_ = other.number_;
    other.number_ = -1;
    return *this;
}

void Descriptor::reset() {
    if (number_ >= 0) ::close(number_);
    number_ = -1;
}

Outlet Outlet::pseudo_terminal(const fs::path& link) {
    std::error_code ignored;
    const fs::file_status there = fs::symlink_status(link, ignored);
    if (fs::exists(there) && !fs::is_symlink(there))
        throw IoError(fmt::format("{}: is there and is no link; name a place for a new one", link.string()));
    Outlet outlet;
    outlet.link_ = link;
    outlet.plug();
    return outlet;
}

Outlet Outlet::tcp(std::uint16_t port) {
    Outlet outlet;
    outlet.port_ = port;
    outlet.plug();
    return outlet;
}

Outlet::~Outlet() {
    if (plugged_ && line_.is_open() && !link_.empty()) unplug();
}

std::string Outlet::name() const {
    return link_.empty() ? fmt::format("tcp:127.0.0.1:{}", port_) : link_.string();
}

void Outlet::plug() {
    if (link_.empty()) {
        listener_ = Descriptor(::socket(AF_INET, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0));
        const int on = 1;
        ::setsockopt(listener_.get(), SOL_SOCKET, SO_REUSEADDR, &on, sizeof on);
        sockaddr_in address = here(port_);
        socklen_t size = sizeof address;
        auto* const plain = reinterpret_cast<sockaddr*>(&address);
        if (::bind(listener_.get(), plain, size) != 0 || ::listen(listener_.get(), 4) != 0)
            refuse_outlet(name(), "can't be listened on");
        ::getsockname(listener_.get(), plain, &size);
        port_ = ntohs(address.sin_port);
    } else {
        line_ = Descriptor(::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC | O_NONBLOCK));
        char terminal[128] = {};
        if (!line_.is_open() || ::grantpt(line_.get()) != 0 || ::unlockpt(line_.get()) != 0 ||
            ::ptsname_r(line_.get(), terminal, sizeof terminal) != 0)
            refuse_outlet(name(), "no pseudo-terminal to be had");
        slave_ = Descriptor(::open(terminal, O_RDWR | O_NOCTTY | O_CLOEXEC));
        termios settings{};
        if (!slave_.is_open() || ::tcgetattr(slave_.get(), &settings) != 0)
            refuse_outlet(terminal, "can't be opened");
        ::cfmakeraw(&settings);
        ::tcsetattr(slave_.get(), TCSANOW, &settings);
        watch_ = Descriptor(::inotify_init1(IN_NONBLOCK | IN_CLOEXEC));
        ::inotify_add_watch(watch_.get(), terminal, IN_OPEN | IN_CLOSE);
        point(link_, terminal);
    }
    plugged_ = true;
}

void Outlet::unplug() {
    if (!link_.empty()) {
        std::error_code ignored;
        fs::remove(link_, ignored);
    }
    watch_.reset();
    slave_.reset();
    line_.reset();
    listener_.reset();
    plugged_ = false;
}

OutletNews Outlet::look() {
    if (!plugged_) return {};
    return link_.empty() ? look_tcp() : look_terminal();
}

OutletNews Outlet::look_terminal() {
    OutletNews news;
    alignas(inotify_event) char events[1024];
    for (ssize_t got = ::read(watch_.get(), events, sizeof events); got > 0;
         got = ::read(watch_.get(), events, sizeof events)) {
        for (ssize_t at = 0; at < got;) {
            inotify_event event{};
            std::memcpy(&event, events + at, sizeof event);
            if ((event.mask & IN_OPEN) != 0) {
                news.opened = true;
                news.closed = false;
            }
            if ((event.mask & IN_CLOSE) != 0) news.closed = true;
            at += static_cast<ssize_t>(sizeof event + event.len);
        }
    }
    read(news);
    return news;
}

OutletNews Outlet::look_tcp() {
    OutletNews news;
    Descriptor caller(::accept4(listener_.get(), nullptr, nullptr, SOCK_NONBLOCK | SOCK_CLOEXEC));
    if (caller.is_open() && !line_.is_open()) {
        const int on = 1;
        ::setsockopt(caller.get(), IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
        line_ = std::move(caller);
        news.opened = true;
    }
    if (line_.is_open()) read(news);
    return news;
}

void Outlet::read(OutletNews& news) {
    char bytes[4096];
    for (;;) {
        const ssize_t got = ::read(line_.get(), bytes, sizeof bytes);
        if (got > 0) {
            news.bytes.append(bytes, static_cast<std::size_t>(got));
            continue;
        }
        const bool gone = link_.empty() && (got == 0 || (errno != EAGAIN && errno != EINTR));
        if (gone) {
            line_.reset();
            news.closed = true;
        }
        return;
    }
}

std::size_t Outlet::write(std::string_view bytes) {
    if (!plugged_ || !line_.is_open()) return bytes.size();
    const ssize_t put = link_.empty() ? ::send(line_.get(), bytes.data(), bytes.size(), MSG_NOSIGNAL)
                                      : ::write(line_.get(), bytes.data(), bytes.size());
    if (put >= 0) return static_cast<std::size_t>(put);
    return errno == EAGAIN || errno == EINTR ? 0 : bytes.size();
}

}  // namespace lobewright::virtual_rig
