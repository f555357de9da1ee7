// virtual_bench.hpp: the bench of a virtual rig, whatever devices stand on it: cam, hand, faults, and the truth that is
// written down. On a clock of its own, in microseconds, that runs only when it is told to. Positions are encoder counts
// in the running direction from the index mark, not wrapped.
#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "rig/virtual/bench_order.hpp"
#include "rig/virtual/fault_plan.hpp"
#include "rig/virtual/virtual_cam.hpp"
#include "rig/virtual/virtual_hand.hpp"

namespace lobewright::virtual_rig {

struct BenchSetup {
    SampleRun sample;   // cam, indicators, set-up
    std::string place;  // empty: the first from the front
    std::uint64_t seed = 1;
    double start_deg = -30.0;  // of the encoder at power-up, from the index mark
    double hand_deg_per_s = 20.0;
    double unevenness = 0.2;  // relative standard deviation of the hand's speed
    bool hand_turns = true;   // turns on and on while the host listens; else only as ordered
    std::vector<BenchOrder> script;
    std::vector<PlannedFault> faults;
};

/// Takes a line of the truth, without its line end.
using TruthLog = std::function<void(std::string_view line)>;

enum class TipNow { good, out_of_range };
struct ShownTip {
    TipNow state = TipNow::good;
    std::int32_t steps = 0;
    bool stuck = false;  // shows what it showed before, not the cam
};
struct ShownTips {
    ShownTip front;
    ShownTip rear;
};

class VirtualBench {
public:
    /// Throws UsageError when the place isn't on the cam, DataError when the cam can't be one.
    VirtualBench(const BenchSetup& setup, TruthLog truth);

    static constexpr std::int64_t tick_us = 1000;

    /// Does this after all else that was ordered; `halt` at once. Throws UsageError for a place that isn't there.
    void order(const BenchOrder& order);
    /// Goes on by one tick: hand, orders, faults; then calls `passed(position)` for each count that the encoder passed, with
    /// now_us() at that moment. Faults that happen once are given to `happens`.
    void tick(bool host_listens, const std::function<void(std::int64_t position)>& passed,
              const std::function<void(const PlannedFault&)>& happens);

    /// Both indicators at a position, in steps, stuck or out of range as the faults have it.
    ShownTips shown(std::int64_t position);
    /// Sets both indicators to zero where the cam stands.
    void zero() { cam_.zero(deg_of(position_)); }
    void motor(std::optional<double> deg_per_s) { hand_.motor(deg_per_s); }

    [[nodiscard]] std::int64_t now_us() const { return now_us_; }
    [[nodiscard]] std::int64_t position() const { return position_; }
    [[nodiscard]] double deg_of(std::int64_t position) const {
        return static_cast<double>(position) * 360.0 / static_cast<double>(counts_per_rev_);
    }
    [[nodiscard]] std::int64_t counts_per_rev() const { return counts_per_rev_; }
    [[nodiscard]] int direction() const { return cam_.rig().info.direction; }
    [[nodiscard]] std::int64_t step_nm() const { return step_nm_; }
    [[nodiscard]] const std::string& place() const { return cam_.place(); }
    [[nodiscard]] const std::vector<std::string>& places() const { return cam_.places(); }
    [[nodiscard]] FaultPlan& faults() { return faults_; }
    [[nodiscard]] VirtualHand& hand() { return hand_; }
    [[nodiscard]] bool has_ended() const { return ended_; }
    /// All that was ordered is done.
    [[nodiscard]] bool idle() const { return orders_.empty() && !hand_.has_moves(); }

    /// `kind,t_us,words` into the truth.
    void write_down(std::string_view kind, std::string_view words) const;

private:
    void obey(const BenchOrder& order);
    void do_orders(bool host_listens);
    ShownTip tip(double mm, bool stuck, bool out, ShownTip& before) const;

    VirtualCam cam_;
    VirtualHand hand_;
    FaultPlan faults_;
    TruthLog truth_;
    std::deque<BenchOrder> orders_;
    std::int64_t counts_per_rev_;
    std::int64_t step_nm_;
    std::int64_t now_us_ = 0;
    std::int64_t position_ = 0;
    Progression progress_;
    std::int64_t begun_us_ = 0;
    double begun_deg_ = 0.0;
    ShownTip front_before_, rear_before_;
    bool ended_ = false;
};

}  // namespace lobewright::virtual_rig
