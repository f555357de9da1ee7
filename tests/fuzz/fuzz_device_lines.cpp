// What stand-alone devices may send: anything, on three ports. What is joined is joined from what was sent.
#include <cstdint>
#include <cstdlib>
#include <string_view>
#include <variant>

#include "rig/acquisition/event_decoder.hpp"

using namespace lobewright;

namespace {

RigDescription separate() {
    RigDescription rig;
    rig.counts_per_rev = 400;
    for (const DeviceRole role : {DeviceRole::counter, DeviceRole::front, DeviceRole::rear}) {
        DeviceDescription device;
        device.role = role;
        device.line.pattern = "[A-Z]?([+-]? *[0-9]+(?:[.,][0-9]+)?)";
        rig.devices.push_back(device);
    }
    return rig;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    static const RigDescription three = separate();
    std::size_t readings = 0;
    EventDecoder devices(
        three,
        [&readings](const RigEvent& event) { readings += std::holds_alternative<RigReading>(event) ? 1 : 0; },
        {});
    constexpr std::string_view ports[] = {"counter", "front", "rear"};
    std::int64_t host_us = 0;
    for (std::size_t at = 0; at + 1 < size; at += 9) {
        host_us += std::int64_t{data[at]} * 500;
        devices.bytes(host_us, ports[data[at] % 3], bytes.substr(at + 1, 8));
    }
    if (readings > size) std::abort();
    return 0;
}
