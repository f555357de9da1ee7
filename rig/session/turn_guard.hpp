// turn_guard.hpp: the host's half of the motor's dead man (docs/rig-protocol.md): the motor runs on only while `keep` comes
// at least each 300 ms, and `keep` goes out only while everything is well. Any doubt halts; nothing but a fresh word of
// the operator starts it again.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>

namespace lobewright {

/// Orders to the rig.
struct TurnOrders {
    std::function<void(std::int64_t counts, std::int64_t counts_per_s)> turn;
    std::function<void()> keep;
    std::function<void()> halt;
};

class TurnGuard {
public:
    explicit TurnGuard(TurnOrders orders) : orders_(std::move(orders)) {}

    /// The operator's deliberate word. `now_us` of a steady clock.
    void start(std::int64_t counts, std::int64_t counts_per_s, std::int64_t now_us);
    /// Called often; sends `keep` when one is due. When the calls themselves came too late (the terminal hung, the machine
    /// was asleep) the motor has halted by itself and stays halted.
    void tick(std::int64_t now_us);
    /// Always sends `halt`, running or not.
    void halt(const std::string& why);

    [[nodiscard]] bool running() const { return running_; }
    /// Why it halted last.
    [[nodiscard]] const std::string& why() const { return why_; }
    /// When tick wants to be called again at the latest; none when nothing runs.
    [[nodiscard]] std::optional<std::int64_t> next_us() const;

private:
    TurnOrders orders_;
    bool running_ = false;
    std::int64_t kept_us_ = 0;
    std::string why_;
};

}  // namespace lobewright
