#include "rig/check/check_guide.hpp"

#include <algorithm>
#include <variant>

namespace lobewright {
namespace {

constexpr std::int64_t rest_us = 10'000'000;
constexpr std::int64_t rest_counts = 2;  // over an encoder's edge a count may dither
constexpr double turns_a_step = 2.1;

}  // namespace

CheckGuide::CheckGuide(std::int64_t counts_per_rev, bool rests)
    : counts_per_rev_(counts_per_rev), step_(rests ? CheckStep::rest : CheckStep::slow) {}

void CheckGuide::begin(CheckStep step) {
    step_ = step;
    share_ = 0.0;
    begun_ = false;
}

void CheckGuide::take(const RigEvent& event) {
    if (std::holds_alternative<RigBack>(event)) return begin(step_);  // counts before it are void
    if (const auto* reading = std::get_if<RigReading>(&event)) {
        step_ == CheckStep::rest ? at_rest(reading->t_us, reading->count) : turned(reading->count);
    }
}

/// Ten seconds in one piece.
void CheckGuide::at_rest(std::int64_t t_us, std::int64_t count) {
    low_ = begun_ ? std::min(low_, count) : count;
    high_ = begun_ ? std::max(high_, count) : count;
    if (!begun_ || high_ - low_ > rest_counts) {
        since_us_ = t_us;
        low_ = high_ = count;
        begun_ = true;
    }
    share_ = std::clamp(static_cast<double>(t_us - since_us_) / static_cast<double>(rest_us), 0.0, 1.0);
    if (share_ >= 1.0) begin(CheckStep::slow);
}

/// Counted from where the step was furthest back, so that a rock to and fro brings nothing.
void CheckGuide::turned(std::int64_t count) {
    if (step_ == CheckStep::done) return;
    low_ = begun_ ? std::min(low_, count) : count;
    high_ = begun_ ? std::max(high_, count) : count;
    begun_ = true;
    if (way_ == 0) {
        if (high_ - low_ < counts_per_rev_ / 10) return;
        way_ = count == high_ ? 1 : -1;
    }
    const int way = step_ == CheckStep::back ? -way_ : way_;
    const std::int64_t gone = way > 0 ? count - low_ : high_ - count;
    share_ = std::clamp(static_cast<double>(gone) / (turns_a_step * static_cast<double>(counts_per_rev_)),
                        0.0, 1.0);
    if (share_ < 1.0) return;
    begin(step_ == CheckStep::slow   ? CheckStep::fast
          : step_ == CheckStep::fast ? CheckStep::back
                                     : CheckStep::done);
    if (step_ == CheckStep::done) share_ = 1.0;
}

}  // namespace lobewright
