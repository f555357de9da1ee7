// A capture from anywhere. What is refused is refused by a DataError; what is read past damage holds only whole records.
#include <cstdint>
#include <cstdlib>

#include "analysis/errors.hpp"
#include "rig/capture/capture_note.hpp"
#include "rig/capture/capture_reader.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace lobewright;
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    for (const PastDamage past_damage : {PastDamage::refuse, PastDamage::read_on}) {
        try {
            std::size_t inside = 0;
            read_capture_bytes(bytes, "fuzz", past_damage, [&](const CaptureRecord& record) {
                inside += record.bytes.size();
                parse_capture_note(record.bytes, record.host_us);
            });
            if (inside > size) std::abort();
        } catch (const DataError&) {
        }
    }
    if (const auto note = parse_capture_note(bytes, 0)) {
        const auto again = parse_capture_note(print_capture_note(*note), 0);
        if (!again || print_capture_note(*again) != print_capture_note(*note)) std::abort();
    }
    return 0;
}
