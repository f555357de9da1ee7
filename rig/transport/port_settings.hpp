// port_settings.hpp: how a port is named and set. Plain values.
#pragma once

#include <string>

namespace lobewright {

enum class Parity { none, even, odd };

/// `name` is a device's path, `usb:SERIAL` for a USB adapter by its serial number wherever it turns up, or
/// `tcp:host:port` for a network serial server. The rest means nothing on tcp.
struct PortSettings {
    std::string name;
    int baud = 921600;
    int data_bits = 8;
    Parity parity = Parity::none;
    int stop_bits = 1;
};

}  // namespace lobewright
