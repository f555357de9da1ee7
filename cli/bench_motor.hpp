// bench_motor.hpp: the rig's motor as the operator sees it: started by a typed word and nothing else, halted at any doubt
// about the sweep in hand, the rig or the one who watches. The orders are TurnGuard's.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "rig/session/sweep_session.hpp"
#include "rig/session/turn_guard.hpp"

namespace lobewright {

/// Powered turning, when it was asked for.
struct MotorWish {
    std::int64_t counts = 0;
    std::int64_t counts_per_s = 0;
};

class BenchMotor {
public:
    BenchMotor(TurnOrders orders, std::optional<MotorWish> wish) : guard_(std::move(orders)), wish_(wish) {}
    /// Halts it.
    ~BenchMotor() { halt("the program ends"); }
    BenchMotor(const BenchMotor&) = delete;
    BenchMotor& operator=(const BenchMotor&) = delete;

    [[nodiscard]] bool is_there() const { return wish_.has_value(); }
    [[nodiscard]] bool running() const { return guard_.running(); }
    /// When watch wants to be called again at the latest, by the steady clock.
    [[nodiscard]] std::optional<std::int64_t> next_us() const { return guard_.next_us(); }

    /// Asks for the word that starts it; what was typed of it so far, none when it isn't asked for.
    void ask() { typed_ = ""; }
    [[nodiscard]] const std::optional<std::string>& typed() const { return typed_; }
    void forget_word() { typed_.reset(); }
    enum class Word { goes_on, refused, given };
    /// A letter of it, a backspace, or Enter, which ends it.
    Word type(char key);

    /// The word was given: starts as soon as the session sweeps, unless trouble comes before.
    void start_with(const SweepSession& session);
    /// Called often; `heard_us`: when the rig was last heard. Starts, keeps or halts the motor; true when it was halted now.
    bool watch(const SweepSession& session, std::int64_t heard_us, std::int64_t now_us);
    /// Where it runs.
    void halt(const std::string& why);
    /// What to tell after a halt.
    [[nodiscard]] std::string halted_words() const;

private:
    [[nodiscard]] std::string first_trouble(const SweepSession& session) const;

    TurnGuard guard_;
    std::optional<MotorWish> wish_;
    std::optional<std::string> typed_;
    bool due_ = false;
    std::int64_t begun_us_ = 0;
    std::size_t troubles_then_ = 0;        // when the word was given, of rig and sweep
    std::size_t sweep_troubles_then_ = 0;  // and of the sweep in hand alone
};

}  // namespace lobewright
