#include <array>

#include <fmt/format.h>

#include "analysis/toml_text.hpp"
#include "rig/acquisition/rig_description.hpp"

namespace lobewright {
namespace {

std::string print_line(const LineFormat& line, bool indicator) {
    std::string out = fmt::format("pattern = {}\n", toml_text(line.pattern));
    if (indicator) {
        out += fmt::format("unit = \"{}\"\n", line.mm_per_unit == 1.0     ? "mm"
                                              : line.mm_per_unit == 0.001 ? "um"
                                                                          : "in");
        if (line.decimals) out += fmt::format("decimals = {}\n", *line.decimals);
    }
    out += fmt::format("sign = {}\n", line.sign);
    if (!line.ask.empty()) out += fmt::format("ask = {}\n", toml_text(line.ask));
    out += fmt::format("ask_every_ms = {}\nlatency_us = {}\nlatency_u_us = {}\n", line.ask_every_ms,
                       line.latency_us, line.latency_u_us);
    if (line.index_pattern) out += fmt::format("index_pattern = {}\n", toml_text(*line.index_pattern));
    if (line.clock) {
        out += fmt::format("clock_pattern = {}\nclock_us = {}\nclock_wraps = {}\n",
                           toml_text(line.clock->pattern), line.clock->us_per_tick, line.clock->wraps);
    }
    return out;
}

}  // namespace

std::string print_rig_description(const RigDescription& rig) {
    constexpr std::array parities{"none", "even", "odd"};
    std::string out = "format = \"lobewright-rig/1\"\n";
    for (const DeviceDescription& device : rig.devices) {
        const PortSettings& port = device.port;
        out += fmt::format("\n[{}]\nport = {}\nbaud = {}\ndata_bits = {}\nparity = \"{}\"\nstop_bits = {}\n",
                           role_name(device.role), toml_text(port.name), port.baud, port.data_bits,
                           parities[static_cast<std::size_t>(port.parity)], port.stop_bits);
        if (device.role == DeviceRole::controller) continue;
        if (device.role == DeviceRole::counter)
            out += fmt::format("counts_per_rev = {}\n", rig.counts_per_rev);
        out += print_line(device.line, device.role != DeviceRole::counter);
    }
    return out;
}

}  // namespace lobewright
