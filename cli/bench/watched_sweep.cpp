#include "cli/bench/watched_sweep.hpp"

#include <limits>
#include <utility>

#include "cli/bench/bench_state.hpp"

namespace lobewright {
namespace {

char key_of(BenchAsk ask) {
    switch (ask) {
        case BenchAsk::go:
            return '\n';
        case BenchAsk::skip:
            return 's';
        case BenchAsk::repeat:
            return 'r';
        case BenchAsk::undo:
            return 'u';
        case BenchAsk::back:
            return 'b';
        case BenchAsk::end:
            break;
    }
    return 'e';
}

}  // namespace

WatchedSweep::WatchedSweep(BenchPage* page, std::vector<BenchPlace> places,
                           std::function<bool(const std::string&)> is_done)
    : page_(page), places_(std::move(places)), is_done_(std::move(is_done)) {}

void WatchedSweep::follow(const SweepSession& session) {
    if (page_ == nullptr) return;
    const SweepInHand* hand = session.bench().in_hand();
    if (hand == nullptr || !hand->begun()) {
        trace_is_old_ = true;
        return;
    }
    if (std::exchange(trace_is_old_, false)) trace_.clear();
    if (!hand->angle_deg()) return;
    const double unread = std::numeric_limits<double>::quiet_NaN();
    trace_.add(*hand->angle_deg(), hand->front_mm().value_or(unread), hand->rear_mm().value_or(unread));
}

void WatchedSweep::show(const SweepView& view, bool confirming_motor, std::int64_t heard_us) {
    if (page_ == nullptr) return;
    std::vector<ShownPlace> places;
    for (const BenchPlace& place : places_)
        places.push_back({place.name, place.journal, is_done_(place.name)});
    page_->show(bench_state(view, trace_, places, confirming_motor, heard_us));
}

std::vector<std::string> WatchedSweep::news() {
    return page_ != nullptr ? page_->news() : std::vector<std::string>{};
}

std::vector<char> WatchedSweep::keys() {
    std::vector<char> keys;
    if (page_ == nullptr) return keys;
    for (const BenchAsk ask : page_->take()) keys.push_back(key_of(ask));
    return keys;
}

}  // namespace lobewright
