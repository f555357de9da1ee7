// put_before.cpp: put before the system's own functions (LD_PRELOAD), to make happen what a test can't wait for.
// The wall clock: in 2001, and a day off to and fro at each look; steady clocks go on. FAULTS_SIGNAL="fsync 2": a signal, once,
// while the second file is brought to the disk; "open .csv": while a file of that ending is opened; "poll 200": while the
// program waits for the 200th time. Which signal: FAULTS_SIGNAL_NUMBER.
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstdarg>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <fcntl.h>
#include <poll.h>
#include <string>
#include <sys/syscall.h>
#include <sys/time.h>
#include <unistd.h>

namespace {

constexpr time_t september_2001 = 1000000000;
constexpr time_t day = 86400;
std::atomic<unsigned> looks{0}, syncs{0}, waits{0};
std::atomic<bool> sent{false};

time_t jumping() {
    return september_2001 + (++looks % 2 == 0 ? day : -day);
}

bool told(const char* what, const std::string& which) {
    const char* order = std::getenv("FAULTS_SIGNAL");
    return order != nullptr && order == what + std::string(" ") + which;
}

/// To the whole program, as a terminal sends it.
void send_signal() {
    if (sent.exchange(true)) return;
    const char* number = std::getenv("FAULTS_SIGNAL_NUMBER");
    ::kill(::getpid(), number == nullptr ? SIGINT : std::atoi(number));
}

int open_and_tell(const char* file, int flags, unsigned mode) {
    const char* ending = std::strrchr(file, '.');
    if (ending != nullptr && told("open", ending)) send_signal();
    return static_cast<int>(::syscall(SYS_openat, AT_FDCWD, file, flags, mode));
}

}  // namespace

extern "C" {

int clock_gettime(clockid_t clock, timespec* now) noexcept {
    if (clock != CLOCK_REALTIME) return static_cast<int>(::syscall(SYS_clock_gettime, clock, now));
    *now = {jumping(), 0};
    return 0;
}

time_t time(time_t* now) noexcept {
    const time_t jumped = jumping();
    if (now != nullptr) *now = jumped;
    return jumped;
}

int gettimeofday(timeval* now, void* /*zone*/) noexcept {
    *now = {jumping(), 0};
    return 0;
}

int fsync(int file) {
    if (told("fsync", std::to_string(++syncs))) send_signal();
    return static_cast<int>(::syscall(SYS_fsync, file));
}

int poll(pollfd* watched, nfds_t many, int timeout_ms) {
    if (told("poll", std::to_string(++waits))) send_signal();
    const timespec timeout{timeout_ms / 1000, timeout_ms % 1000 * 1000000L};
    return static_cast<int>(
        ::syscall(SYS_ppoll, watched, many, timeout_ms < 0 ? nullptr : &timeout, nullptr, 0));
}

int open(const char* file, int flags, ...) {
    va_list more;
    va_start(more, flags);
    const unsigned mode = (flags & O_CREAT) != 0 ? va_arg(more, unsigned) : 0;
    va_end(more);
    return open_and_tell(file, flags, mode);
}

int open64(const char* file, int flags, ...) {
    va_list more;
    va_start(more, flags);
    const unsigned mode = (flags & O_CREAT) != 0 ? va_arg(more, unsigned) : 0;
    va_end(more);
    return open_and_tell(file, flags, mode);
}
}
