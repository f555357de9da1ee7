// What stand-alone devices may send: anything, on three ports. What is joined is joined from what was sent.
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <variant>

#include "rig/acquisition/event_decoder.hpp"

using namespace lobewright;

namespace {

/// `all`: an index mark and clocks of the devices' own beside the readings; the front's clock wraps, the rear's begins anew.
RigDescription separate(bool all) {
    RigDescription rig;
    rig.counts_per_rev = 400;
    for (const DeviceRole role : {DeviceRole::counter, DeviceRole::front, DeviceRole::rear}) {
        DeviceDescription device;
        device.role = role;
        device.line.pattern = "[A-Z]?([+-]? *[0-9]+(?:[.,][0-9]+)?)";
        if (all && role == DeviceRole::counter) device.line.index_pattern = "Z([0-9]+)";
        if (all && role != DeviceRole::counter) {
            device.line.clock.emplace();
            device.line.pattern = "([+-]?[0-9]+(?:[.,][0-9]+)?)(?:;.*)?";
            device.line.clock->pattern = "[^;]*;([0-9]+x?)";
            device.line.clock->wraps = role == DeviceRole::front ? 100 : 0;
        }
        rig.devices.push_back(device);
    }
    return rig;
}

/// How many readings are joined. A byte 255 unplugs the port and plugs it in again.
std::size_t joined(const RigDescription& rig, std::string_view bytes) {
    std::size_t readings = 0;
    EventDecoder devices(
        rig,
        [&readings](const RigEvent& event) { readings += std::holds_alternative<RigReading>(event) ? 1 : 0; },
        {});
    constexpr std::string_view ports[] = {"counter", "front", "rear"};
    std::int64_t host_us = 0;
    for (std::size_t at = 0; at + 1 < bytes.size(); at += 9) {
        const auto when = static_cast<unsigned char>(bytes[at]);
        const std::string_view port = ports[when % 3];
        host_us += std::int64_t{when} * 500;
        if (when == 255) {
            devices.note({host_us, "unplugged", std::string(port), 0, ""});
            if (devices.answered(port)) std::abort();
            devices.note({host_us, "returned", std::string(port), 0, ""});
        }
        devices.bytes(host_us, port, bytes.substr(at + 1, 8));
    }
    return readings;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    static const RigDescription plain = separate(false), with_all = separate(true);
    const bool all =
        size > 0 && data[0] % 2 == 1;  // one of the two: compiling their patterns is what a run costs
    if (joined(all ? with_all : plain, bytes) > size) std::abort();
    return 0;
}
