// quadrature.hpp: counts of an encoder with two tracks a quarter period apart and an index mark. A leads B = up; each change
// of a track is one count, four to a line. A change of both at once is no move that an encoder can make: cable, supply,
// or a controller too slow for it. Part of the controller's firmware: no allocation, no exceptions.
#pragma once

#include <cstdint>

namespace lobewright::firmware {

/// What one look at the tracks told.
struct EncoderStep {
    std::int8_t counts = 0;  // -1, 0, +1
    bool illegal = false;    // the count can't be vouched for any more
    bool index = false;      // the mark was entered
};

class Quadrature {
public:
    EncoderStep look(bool a, bool b, bool index) {
        // Place in the period: 0, 1, 2, 3 for A B = 00, 10, 11, 01.
        const unsigned place = (b ? 2U : 0U) | (a != b ? 1U : 0U);
        EncoderStep step;
        if (known_) {
            const unsigned moved = (place - place_) & 3U;
            step.illegal = moved == 2;
            if (moved == 1) step.counts = 1;
            if (moved == 3) step.counts = -1;
            step.index = index && !index_;
        }
        known_ = true;
        place_ = place;
        index_ = index;
        count_ += static_cast<std::uint32_t>(std::int32_t{step.counts});
        return step;
    }

    /// Since power-up; wraps.
    [[nodiscard]] std::int32_t count() const { return static_cast<std::int32_t>(count_); }
    void set_count(std::int32_t count) { count_ = static_cast<std::uint32_t>(count); }

private:
    std::uint32_t count_ = 0;
    unsigned place_ = 0;
    bool index_ = false;
    bool known_ = false;  // the first look only tells where the tracks stand
};

}  // namespace lobewright::firmware
