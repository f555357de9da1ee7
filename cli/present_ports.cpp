#include "cli/present_ports.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "cli/output.hpp"
#include "cli/text_table.hpp"

namespace lobewright {
namespace {

std::string usb_id(const PortInfo& port) {
    return port.usb ? fmt::format("{:04x}:{:04x}", port.vendor_id, port.product_id) : std::string();
}

}  // namespace

std::string present_ports(const std::vector<PortInfo>& ports) {
    if (ports.empty())
        return "no serial ports: plug the rig in, or name a network serial server as tcp:host:port\n";
    std::vector<std::vector<Cell>> rows;
    bool by_serial = false;
    for (const PortInfo& port : ports) {
        rows.push_back({{one_line(port.name)},
                        {port.serial.empty() ? std::string() : "usb:" + one_line(port.serial)},
                        {usb_id(port)},
                        {one_line(port.description)}});
        by_serial = by_serial || !port.serial.empty();
    }
    std::string out = format_table({{"port"}, {"by serial number"}, {"USB id"}, {"what"}}, rows, false);
    if (by_serial)
        out += "\n" + paragraph("A name by serial number stays when the adapter is plugged in elsewhere.");
    return out;
}

std::string present_ports_json(const std::vector<PortInfo>& ports) {
    using Json = nlohmann::ordered_json;
    Json list = Json::array();
    for (const PortInfo& port : ports) {
        Json one{{"port", port.name}, {"description", port.description}, {"usb", nullptr}};
        if (port.usb) {
            one["usb"] = {{"vendor", port.vendor_id},
                          {"product", port.product_id},
                          {"serial", port.serial.empty() ? Json(nullptr) : Json(port.serial)},
                          {"socket", port.usb_socket.empty() ? Json(nullptr) : Json(port.usb_socket)}};
        }
        list.push_back(one);
    }
    const Json out{{"format", "lobewright-ports/1"}, {"ports", list}};
    return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace lobewright
