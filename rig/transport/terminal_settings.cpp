#include "rig/transport/terminal_settings.hpp"

#include <array>
#include <cerrno>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>
#include <utility>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"

namespace lobewright {
namespace {

constexpr tcflag_t in_off =
    IGNBRK | BRKINT | PARMRK | ISTRIP | INLCR | IGNCR | ICRNL | IXON | IXOFF | IXANY | INPCK | IGNPAR;
constexpr tcflag_t local_off = ECHO | ECHOE | ECHOK | ECHONL | ICANON | ISIG | IEXTEN;
constexpr tcflag_t control_mask = CSIZE | PARENB | PARODD | CSTOPB | CREAD | CLOCAL | HUPCL | CRTSCTS;

constexpr std::array speeds{
    std::pair{50, B50},           std::pair{110, B110},         std::pair{300, B300},
    std::pair{600, B600},         std::pair{1200, B1200},       std::pair{2400, B2400},
    std::pair{4800, B4800},       std::pair{9600, B9600},       std::pair{19200, B19200},
    std::pair{38400, B38400},     std::pair{57600, B57600},     std::pair{115200, B115200},
    std::pair{230400, B230400},   std::pair{460800, B460800},   std::pair{500000, B500000},
    std::pair{576000, B576000},   std::pair{921600, B921600},   std::pair{1000000, B1000000},
    std::pair{1152000, B1152000}, std::pair{1500000, B1500000}, std::pair{2000000, B2000000},
    std::pair{2500000, B2500000}, std::pair{3000000, B3000000}, std::pair{3500000, B3500000},
    std::pair{4000000, B4000000}};

[[noreturn]] void fail(const PortSettings& port, const std::string& what, int error) {
    throw DeviceError(with_cause(fmt::format("{}: {}", port.name, what), error));
}

tcflag_t control_of(const PortSettings& port) {
    tcflag_t out = CREAD | CLOCAL;
    out |= port.data_bits == 7 ? CS7 : CS8;
    if (port.stop_bits == 2) out |= CSTOPB;
    if (port.parity != Parity::none) out |= PARENB;
    if (port.parity == Parity::odd) out |= PARODD;
    return out;
}

void set(int terminal, const PortSettings& port, const speed_t* speed) {
    termios now{};
    if (::tcgetattr(terminal, &now) != 0) fail(port, "not a serial port", errno);
    now.c_iflag &= ~in_off;
    now.c_oflag &= ~static_cast<tcflag_t>(OPOST);
    now.c_lflag &= ~local_off;
    now.c_cflag = (now.c_cflag & ~control_mask) | control_of(port);
    now.c_cc[VMIN] = 1;
    now.c_cc[VTIME] = 0;
    if (speed != nullptr && ::cfsetspeed(&now, *speed) != 0) fail(port, "the speed can't be set", errno);
    if (::tcsetattr(terminal, TCSANOW, &now) != 0) fail(port, "can't be set", errno);
    // tcsetattr is content when anything of it took.
    termios back{};
    if (::tcgetattr(terminal, &back) != 0) fail(port, "can't be read back", errno);
    const bool took = back.c_iflag == now.c_iflag && back.c_oflag == now.c_oflag &&
                      back.c_lflag == now.c_lflag &&
                      (back.c_cflag & control_mask) == (now.c_cflag & control_mask) && back.c_cc[VMIN] == 1 &&
                      back.c_cc[VTIME] == 0;
    if (!took) {
        throw DeviceError(fmt::format("{}: the port doesn't take {} data bits, {} stop bits and this parity",
                                      port.name, port.data_bits, port.stop_bits));
    }
    if (::fcntl(terminal, F_SETFD, FD_CLOEXEC) != 0) fail(port, "can't be set", errno);
}

}  // namespace

void set_raw(int terminal, const PortSettings& port) {
    set(terminal, port, nullptr);
}

void set_raw_with_speed(int terminal, const PortSettings& port) {
    for (const auto& [baud, speed] : speeds) {
        const auto wanted = static_cast<speed_t>(speed);
        if (baud == port.baud) return set(terminal, port, &wanted);
    }
    throw DeviceError(fmt::format("{}: no {} baud on this port", port.name, port.baud));
}

std::string who_has(const std::string& device) {
    namespace fs = std::filesystem;
    std::error_code error;
    const fs::path wanted = fs::canonical(device, error);
    if (error) return {};
    for (const fs::directory_entry& process : fs::directory_iterator("/proc", error)) {
        const std::string number = process.path().filename().string();
        if (number.find_first_not_of("0123456789") != std::string::npos ||
            number == std::to_string(::getpid()))
            continue;
        std::error_code ignored;
        for (fs::directory_iterator file(process.path() / "fd", ignored), end; !ignored && file != end;
             file.increment(ignored)) {
            if (fs::read_symlink(file->path(), ignored) != wanted) continue;
            std::string name;
            std::getline(std::ifstream(process.path() / "comm"), name);
            return fmt::format("; {} (process {}) has it", name, number);
        }
    }
    return {};
}

void take_exclusively(int terminal, const std::string& name) {
    if (::flock(terminal, LOCK_EX | LOCK_NB) != 0) {
        throw DeviceError(
            fmt::format("{}: in use by another program{}: end that first", name, who_has(name)));
    }
    if (::ioctl(terminal, TIOCEXCL) != 0) throw DeviceError(with_cause(name + ": can't be had alone", errno));
}

void release_exclusion(int terminal) {
    ::ioctl(terminal, TIOCNXCL);
}

}  // namespace lobewright
