#include "rig/transport/port_list.hpp"

#include <filesystem>
#include <libserialport.h>
#include <memory>

#include "analysis/errors.hpp"

namespace lobewright {
namespace {

std::string text_or_nothing(const char* text) {
    return text == nullptr ? std::string() : std::string(text);
}

/// The part like 1-2.3 of where the system keeps the device, or nothing.
std::string usb_socket_of(const std::string& name) {
    std::error_code error;
    const std::filesystem::path tty = std::filesystem::path(name).filename();
    const auto device = std::filesystem::canonical("/sys/class/tty" / tty / "device", error);
    if (error) return {};
    for (const std::filesystem::path& part : device) {
        const std::string text = part.string();
        const std::size_t colon = text.find(':');  // 1-2.3:1.0 is an interface of the device 1-2.3
        if (colon != std::string::npos && text.find('-') < colon &&
            text.find('.', colon) != std::string::npos)
            return text.substr(0, colon);
    }
    return {};
}

PortInfo info_of(const sp_port* port) {
    PortInfo out;
    out.name = text_or_nothing(sp_get_port_name(port));
    out.description = text_or_nothing(sp_get_port_description(port));
    out.usb = sp_get_port_transport(port) == SP_TRANSPORT_USB;
    if (out.usb) {
        sp_get_port_usb_vid_pid(port, &out.vendor_id, &out.product_id);
        out.serial = text_or_nothing(sp_get_port_usb_serial(port));
        out.usb_socket = usb_socket_of(out.name);
    }
    return out;
}

}  // namespace

std::vector<PortInfo> list_ports() {
    sp_port** found = nullptr;
    if (sp_list_ports(&found) != SP_OK) throw DeviceError("the system doesn't list its serial ports");
    const std::unique_ptr<sp_port*, decltype(&sp_free_port_list)> owner(found, &sp_free_port_list);
    std::vector<PortInfo> out;
    for (sp_port** port = found; *port != nullptr; ++port) out.push_back(info_of(*port));
    return out;
}

bool same_device(const PortInfo& then, const PortInfo& now) {
    if (!then.usb) return then.name == now.name;
    if (!now.usb || then.vendor_id != now.vendor_id || then.product_id != now.product_id) return false;
    if (!then.serial.empty() || !now.serial.empty()) return then.serial == now.serial;
    return then.usb_socket.empty() ? then.name == now.name : then.usb_socket == now.usb_socket;
}

}  // namespace lobewright
