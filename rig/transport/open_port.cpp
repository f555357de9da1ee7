#include "rig/transport/open_port.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <fcntl.h>
#include <filesystem>
#include <grp.h>
#include <libserialport.h>
#include <linux/serial.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "rig/transport/connect_tcp.hpp"
#include "rig/transport/terminal_settings.hpp"

namespace lobewright {

struct OpenPort::Handle {
    sp_port* serial = nullptr;  // libserialport's, which closes its own descriptor
    int descriptor = -1;
    bool socket = false;
    std::optional<PortInfo> identity;
    std::optional<serial_struct> as_found;  // driver settings to put back

    Handle() = default;
    Handle(const Handle&) = delete;
    Handle& operator=(const Handle&) = delete;
    ~Handle() {
        if (descriptor >= 0 && !socket) {
            if (as_found) ::ioctl(descriptor, TIOCSSERIAL, &*as_found);
            release_exclusion(descriptor);
        }
        if (serial != nullptr) {
            sp_close(serial);
            sp_free_port(serial);
        } else if (descriptor >= 0) {
            ::close(descriptor);
        }
    }
};

namespace {

constexpr std::string_view usb_prefix = "usb:", tcp_prefix = "tcp:";

std::string group_of(const std::string& device) {
    struct stat status {};
    if (::stat(device.c_str(), &status) != 0) return {};
    // Several ports are opened anew at once, each from its own thread.
    std::array<char, 4096> names{};
    group entry{};
    group* owner = nullptr;
    const int failed = ::getgrgid_r(status.st_gid, &entry, names.data(), names.size(), &owner);
    return failed != 0 || owner == nullptr ? std::string() : std::string(owner->gr_name);
}

[[noreturn]] void fail_open(const std::string& name, const std::string& device, int error) {
    if (error == ENOENT || error == ENXIO || error == ENODEV) {
        throw DeviceError(fmt::format("{}: no such port; 'lobewright ports' lists those there are", name));
    }
    if (error == EACCES || error == EPERM) {
        const std::string group = group_of(device);
        const std::string hint =
            group.empty() || group == "root"
                ? std::string("ask whoever runs this computer")
                : fmt::format("join its group with 'sudo usermod -aG {} $USER', then log in again", group);
        throw DeviceError(fmt::format("{}: you may not open this port: {}", name, hint));
    }
    if (error == EBUSY) {
        throw DeviceError(
            fmt::format("{}: in use by another program{}: end that first (just plugged in: a modem or "
                        "braille service may hold it for some seconds)",
                        name, who_has(device)));
    }
    throw DeviceError(with_cause(fmt::format("{}: can't be opened", name), error));
}

void check(sp_return result, const PortSettings& port, const char* what) {
    if (result == SP_OK) return;
    throw DeviceError(fmt::format("{}: {} can't be set", port.name, what));
}

/// One millisecond instead of sixteen between a byte and its coming, where the driver knows of it.
void ask_low_latency(OpenPort::Handle& handle) {
    serial_struct found{};
    if (::ioctl(handle.descriptor, TIOCGSERIAL, &found) != 0) return;
    serial_struct wanted = found;
    wanted.flags |= ASYNC_LOW_LATENCY;
    if (::ioctl(handle.descriptor, TIOCSSERIAL, &wanted) == 0) handle.as_found = found;
}

void open_serial(OpenPort::Handle& handle, const std::string& device, const PortSettings& port) {
    if (sp_open(handle.serial, SP_MODE_READ_WRITE) != SP_OK) {
        const int error = sp_last_error_code();
        sp_free_port(std::exchange(handle.serial, nullptr));
        fail_open(port.name, device, error);
    }
    sp_get_port_handle(handle.serial, &handle.descriptor);
    take_exclusively(handle.descriptor, device);
    check(sp_set_baudrate(handle.serial, port.baud), port, "the speed");
    check(sp_set_bits(handle.serial, port.data_bits), port, "the number of data bits");
    check(sp_set_flowcontrol(handle.serial, SP_FLOWCONTROL_NONE), port, "no flow control");
    set_raw(handle.descriptor, port);
    ask_low_latency(handle);
}

void open_terminal(OpenPort::Handle& handle, const std::string& device, const PortSettings& port) {
    handle.descriptor = ::open(device.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
    if (handle.descriptor < 0) fail_open(port.name, device, errno);
    if (::isatty(handle.descriptor) == 0) throw DeviceError(fmt::format("{}: not a serial port", port.name));
    take_exclusively(handle.descriptor, device);
    set_raw_with_speed(handle.descriptor, port);
}

/// The name that a USB adapter's serial number has now.
std::string device_by_serial(const PortSettings& port, const std::vector<PortInfo>& ports) {
    const std::string_view serial = std::string_view(port.name).substr(usb_prefix.size());
    std::vector<std::string> found;
    for (const PortInfo& info : ports) {
        if (info.usb && info.serial == serial) found.push_back(info.name);
    }
    if (found.size() == 1) return found.front();
    if (found.empty()) {
        throw DeviceError(fmt::format(
            "{}: no USB port with this serial number; 'lobewright ports' lists those there are", port.name));
    }
    throw DeviceError(fmt::format("{}: {} and {} both have this serial number: name the port itself",
                                  port.name, found[0], found[1]));
}

std::string device_of(const PortSettings& port, const std::optional<PortInfo>& as_before) {
    const bool by_serial = port.name.starts_with(usb_prefix);
    if (!by_serial && !(as_before && as_before->usb)) return port.name;
    const std::vector<PortInfo> ports = list_ports();
    if (as_before && as_before->usb) {
        const auto found = std::find_if(ports.begin(), ports.end(),
                                        [&](const PortInfo& now) { return same_device(*as_before, now); });
        if (found != ports.end()) return found->name;
        throw DeviceError(fmt::format("{}: not plugged in", port.name));
    }
    return device_by_serial(port, ports);
}

std::optional<PortInfo> identity_of(const std::string& device) {
    for (PortInfo& info : list_ports()) {
        if (info.name == device) return std::move(info);
    }
    return std::nullopt;
}

}  // namespace

OpenPort::OpenPort(std::unique_ptr<Handle> handle) : handle_(std::move(handle)) {}
OpenPort::~OpenPort() = default;
OpenPort::OpenPort(OpenPort&&) noexcept = default;
OpenPort& OpenPort::operator=(OpenPort&&) noexcept = default;

int OpenPort::take_descriptor() {
    const int copy = ::fcntl(handle_->descriptor, F_DUPFD_CLOEXEC, 0);
    if (copy < 0) throw DeviceError(with_cause("a port can't be read", errno));
    return copy;
}

bool OpenPort::is_socket() const {
    return handle_->socket;
}

const std::optional<PortInfo>& OpenPort::identity() const {
    return handle_->identity;
}

std::optional<LineErrors> OpenPort::errors() const {
    serial_icounter_struct counted{};
    if (handle_->socket || ::ioctl(handle_->descriptor, TIOCGICOUNT, &counted) != 0) return std::nullopt;
    return LineErrors{counted.frame, counted.parity, std::int64_t{counted.overrun} + counted.buf_overrun,
                      counted.brk};
}

OpenPort open_port(const PortSettings& port, const std::optional<PortInfo>& as_before) {
    auto handle = std::make_unique<OpenPort::Handle>();
    if (port.name.starts_with(tcp_prefix)) {
        handle->descriptor = connect_tcp(port.name.substr(tcp_prefix.size()));
        handle->socket = true;
        return OpenPort(std::move(handle));
    }
    const std::string named = device_of(port, as_before);
    std::error_code error;
    const std::filesystem::path canonical = std::filesystem::canonical(named, error);
    if (error) fail_open(port.name, named, error.value());
    const std::string device = canonical.string();
    if (sp_get_port_by_name(device.c_str(), &handle->serial) == SP_OK) {
        open_serial(*handle, device, port);
        handle->identity = identity_of(device);
    } else {
        handle->serial = nullptr;
        open_terminal(*handle, device, port);
    }
    return OpenPort(std::move(handle));
}

}  // namespace lobewright
