// wire.hpp: what happens to bytes between a virtual rig and the host: the line's own pace, an adapter that holds them back,
// and noise. Time is the rig's own, in microseconds.
#pragma once

#include <cstdint>
#include <deque>
#include <string>
#include <string_view>

#include "rig/model/random.hpp"
#include "rig/virtual/fault_plan.hpp"

namespace lobewright::virtual_rig {

class Wire {
public:
    /// `baud` 0: as fast as you like.
    Wire(int baud, std::uint64_t seed) : baud_(baud), random_(seed, 13) {}

    /// How many bytes the line carries until `now_us`, from the last call on.
    std::size_t carries(std::int64_t now_us);
    /// Bytes as they are sent, through the faults that are on.
    void send(std::string_view bytes, std::int64_t now_us, const FaultPlan& faults);
    /// Random bytes on the line.
    void noise(std::size_t bytes, std::int64_t now_us);
    /// What has come out at the host's end by now.
    std::string arrived(std::int64_t now_us, const FaultPlan& faults);
    /// What is on the way is gone.
    void cut() { on_the_way_.clear(); }
    /// Bytes that faults have touched so far.
    [[nodiscard]] std::uint64_t touched() const { return touched_; }

private:
    void put(char byte, std::int64_t now_us) { on_the_way_.push_back({byte, now_us}); }

    struct Sent {
        char byte;
        std::int64_t us;
    };
    int baud_;
    Random random_;
    std::deque<Sent> on_the_way_;
    std::int64_t carried_us_ = 0;
    double carry_ = 0.0;
    std::uint64_t touched_ = 0;
};

}  // namespace lobewright::virtual_rig
