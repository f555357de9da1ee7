#include "rig/check/check_guide.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>

namespace lobewright {

std::span<const CheckStep> check_steps() {
    static const std::array steps{
        CheckStep{"Leave the cam alone, both indicators on a lobe.", 0.0, 3.0, false},
        CheckStep{"Turn it slowly the way it runs, two turns and a bit.", 2.2, 0.0, false},
        CheckStep{"Turn it back as slowly, two turns and a bit.", 2.2, 0.0, true},
        CheckStep{"Turn it the way it runs again, at least twice as fast.", 2.2, 0.0, false},
        CheckStep{"And back as fast.", 2.2, 0.0, true},
    };
    return steps;
}

void StepProgress::take(const RigEvent& event) {
    if (const auto* reading = std::get_if<RigReading>(&event)) take_count(reading->t_us, reading->count);
    if (const auto* idle = std::get_if<RigIdle>(&event)) take_count(idle->t_us, idle->count);
    if (std::holds_alternative<RigBack>(event)) first_count_.reset();
}

void StepProgress::take_count(std::int64_t t_us, std::int64_t count) {
    const bool moved = first_count_ && count != last_count_;
    if (!first_count_ || (step_.rest_s > 0.0 && moved)) {
        first_count_ = count;
        first_us_ = t_us;
    }
    last_count_ = count;
    last_us_ = t_us;
}

double StepProgress::done() const {
    if (!first_count_) return 0.0;
    const double part = step_.rest_s > 0.0 ? static_cast<double>(last_us_ - *first_us_) * 1e-6 / step_.rest_s
                                           : static_cast<double>(std::abs(last_count_ - *first_count_)) /
                                                 (step_.turns * static_cast<double>(counts_per_rev_));
    return std::clamp(part, 0.0, 1.0);
}

}  // namespace lobewright
