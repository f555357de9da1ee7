// What a controller may send: anything. Its events must not depend on how its bytes were cut.
#include <cstdint>
#include <cstdlib>
#include <string_view>
#include <variant>

#include "rig/acquisition/event_decoder.hpp"

using namespace lobewright;

namespace {

struct Counts {
    std::size_t backs = 0, readings = 0;
    std::int64_t last_count = 0;
    bool operator==(const Counts& other) const {
        return backs == other.backs && readings == other.readings && last_count == other.last_count;
    }
};

RigListener counting(Counts& counts) {
    return [&counts](const RigEvent& event) {
        if (std::holds_alternative<RigBack>(event)) {
            ++counts.backs;
        } else if (const auto* reading = std::get_if<RigReading>(&event)) {
            ++counts.readings;
            counts.last_count = reading->count;
        }
    };
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    Counts whole, cut;
    EventDecoder at_once(controller_on("x"), counting(whole), {});
    at_once.bytes(0, "controller", bytes);
    EventDecoder in_pieces(controller_on("x"), counting(cut), {});
    for (std::size_t at = 0; at < size; at += 7) in_pieces.bytes(0, "controller", bytes.substr(at, 7));
    if (!(whole == cut)) std::abort();
    return 0;
}
