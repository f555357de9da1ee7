// port_list.hpp: the serial ports that this machine has now, with what tells one from another.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace lobewright {

struct PortInfo {
    std::string name;         // /dev/ttyUSB0
    std::string description;  // in the words of the system or the adapter
    bool usb = false;
    int vendor_id = 0;   // USB
    int product_id = 0;  // USB
    std::string serial;  // of the USB adapter; many have none
    std::string
        usb_socket;  // where it is plugged in, as 1-2.3: an identity for those without a serial number
};

/// In the system's order. Opens some ports for a moment: not for while a sweep runs. Throws DeviceError.
std::vector<PortInfo> list_ports();

/// Whether `now` is the device that was `then`, by serial number, else by USB socket, else by name.
bool same_device(const PortInfo& then, const PortInfo& now);

}  // namespace lobewright
