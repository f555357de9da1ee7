// check_guide.hpp: what to do with the cam, step by step, so that rig_figures has what it needs.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "rig/acquisition/rig_event.hpp"

namespace lobewright {

struct CheckStep {
    std::string says;
    double turns = 0.0;   // to turn, either way; 0: to leave alone
    double rest_s = 0.0;  // to leave alone
    bool back = false;    // the other way than the step before
};

std::span<const CheckStep> check_steps();

/// How much of `step` the events since it began have done, 0 to 1.
class StepProgress {
public:
    StepProgress(const CheckStep& step, std::int64_t counts_per_rev)
        : step_(step), counts_per_rev_(counts_per_rev) {}
    void take(const RigEvent& event);
    [[nodiscard]] double done() const;

private:
    void take_count(std::int64_t t_us, std::int64_t count);

    CheckStep step_;
    std::int64_t counts_per_rev_;
    std::optional<std::int64_t> first_count_, first_us_;
    std::int64_t last_count_ = 0, last_us_ = 0;
};

}  // namespace lobewright
