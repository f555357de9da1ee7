#include "rig/virtual/virtual_bench.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "analysis/errors.hpp"

namespace lobewright::virtual_rig {

VirtualBench::VirtualBench(const BenchSetup& setup, TruthLog truth)
    : cam_(setup.sample, setup.seed),
      hand_(setup.start_deg, setup.hand_deg_per_s, setup.unevenness, setup.seed),
      faults_(setup.faults),
      truth_(std::move(truth)),
      orders_(setup.script.begin(), setup.script.end()),
      counts_per_rev_(setup.sample.rig.info.counts_per_rev.value_or(7200)),
      step_nm_(std::llround(1e6 * setup.sample.rig.info.resolution_mm.value_or(0.0005))) {
    if (!setup.place.empty()) cam_.stand_on(setup.place);
    hand_.keep_turning(setup.hand_turns);
    position_ = std::llround(setup.start_deg * static_cast<double>(counts_per_rev_) / 360.0);
    write_down("place", cam_.place());
}

void VirtualBench::write_down(std::string_view kind, std::string_view words) const {
    if (truth_) truth_(fmt::format("{},{},{}", kind, now_us_, words));
}

void VirtualBench::order(const BenchOrder& order) {
    if (order.does == BenchDoes::halt) {
        orders_.clear();
        return obey(order);
    }
    const auto& there = cam_.places();
    if (order.does == BenchDoes::stand_on &&
        std::find(there.begin(), there.end(), order.place) == there.end())
        return cam_.stand_on(order.place);  // which says what is wrong
    orders_.push_back(order);
}

void VirtualBench::obey(const BenchOrder& order) {
    switch (order.does) {
        case BenchDoes::stand_on:
            cam_.stand_on(order.place);
            return write_down("place", cam_.place());
        case BenchDoes::step:
            cam_.step(static_cast<int>(order.amount));
            return write_down("place", cam_.place());
        case BenchDoes::turn:
            return hand_.then({order.amount, order.deg_per_s, 0.0});
        case BenchDoes::rest:
            return hand_.then({0.0, 0.0, order.amount});
        case BenchDoes::run:
            return hand_.keep_turning(true);
        case BenchDoes::halt:
            hand_.drop_moves();
            return hand_.keep_turning(false);
        case BenchDoes::speed:
            return hand_.set_speed(order.amount);
        case BenchDoes::parallel:
            cam_.lay_parallel(order.amount);
            return write_down("place", "parallel");
        case BenchDoes::cam:
            cam_.lay_parallel(std::nullopt);
            return write_down("place", cam_.place());
        case BenchDoes::fault:
            return faults_.add(order.fault);
        case BenchDoes::quit:
            ended_ = true;
            return;
        case BenchDoes::await:
            return;
    }
}

void VirtualBench::do_orders(bool host_listens) {
    while (!orders_.empty() && !hand_.has_moves()) {
        if (orders_.front().does == BenchDoes::await && !host_listens) return;
        const BenchOrder next = orders_.front();
        orders_.pop_front();
        obey(next);
    }
}

void VirtualBench::tick(bool host_listens, const std::function<void(std::int64_t)>& passed,
                        const std::function<void(const PlannedFault&)>& happens) {
    const std::int64_t from_us = now_us_;
    do_orders(host_listens);
    const double per_deg = static_cast<double>(counts_per_rev_) / 360.0;
    hand_.advance(1e-6 * tick_us, host_listens);
    const std::int64_t to = std::llround(hand_.deg() * per_deg);
    const std::int64_t counts = std::abs(to - position_);
    const std::int64_t way = to > position_ ? 1 : -1;
    for (std::int64_t i = 1; i <= counts; ++i) {
        position_ += way;
        now_us_ = from_us + tick_us * i / (counts + 1);
        passed(position_);
    }
    now_us_ = from_us + tick_us;
    if (host_listens && !progress_.begun) {
        progress_.begun = true;
        begun_us_ = now_us_;
        begun_deg_ = deg_of(position_);
    }
    progress_.seconds = progress_.begun ? 1e-6 * static_cast<double>(now_us_ - begun_us_) : 0.0;
    if (progress_.begun)
        progress_.turned_deg = std::max(progress_.turned_deg, deg_of(position_) - begun_deg_);
    for (const PlannedFault& fault : faults_.due(progress_)) {
        write_down("fault", fmt::format("{:.3f},{}", deg_of(position_), fault_text(fault)));
        if (fault.kind == FaultKind::back) hand_.first({-fault.amount, 0.0, 0.0});
        happens(fault);
    }
}

ShownTip VirtualBench::tip(double mm, bool stuck, bool out, ShownTip& before) const {
    if (out) return {TipNow::out_of_range, 0, false};
    if (!stuck)
        before.steps = static_cast<std::int32_t>(std::llround(1e6 * mm / static_cast<double>(step_nm_)));
    before.stuck = stuck;
    return before;
}

ShownTips VirtualBench::shown(std::int64_t position) {
    const Edges mm = cam_.shown_mm(deg_of(position));
    const auto on = [&](FaultKind kind) { return faults_.on(kind).has_value(); };
    return {tip(mm.front, on(FaultKind::stuck_front), on(FaultKind::range_front), front_before_),
            tip(mm.rear, on(FaultKind::stuck_rear), on(FaultKind::range_rear), rear_before_)};
}

}  // namespace lobewright::virtual_rig
