// open_port.hpp: ports by name, opened: a serial port through libserialport, a pseudo-terminal by itself, tcp through a
// socket. What comes out is the same: bytes to read and write without waiting, for this program alone.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>

#include "rig/transport/port_list.hpp"
#include "rig/transport/port_settings.hpp"

namespace lobewright {

/// What the port's driver has counted, from TIOCGICOUNT.
struct LineErrors {
    std::int64_t framing = 0, parity = 0, overrun = 0, breaks = 0;
    [[nodiscard]] std::int64_t sum() const { return framing + parity + overrun + breaks; }
};

/// An open port. Closing gives the port back as it was found.
class OpenPort {
public:
    struct Handle;
    explicit OpenPort(std::unique_ptr<Handle> handle);
    ~OpenPort();
    OpenPort(OpenPort&&) noexcept;
    OpenPort& operator=(OpenPort&&) noexcept;

    /// A file descriptor of its own, which whoever takes it closes, before this is closed.
    int take_descriptor();
    [[nodiscard]] bool is_socket() const;
    /// What is known of the device, to find it again; none for tcp and pseudo-terminals.
    [[nodiscard]] const std::optional<PortInfo>& identity() const;
    /// None where the driver doesn't count.
    [[nodiscard]] std::optional<LineErrors> errors() const;

private:
    std::unique_ptr<Handle> handle_;
};

/// Opens `port`; `as_before` finds a device again that may have another name now. May take seconds on tcp. Throws
/// DeviceError: one line with what is wrong and what to do.
OpenPort open_port(const PortSettings& port, const std::optional<PortInfo>& as_before = std::nullopt);

}  // namespace lobewright
