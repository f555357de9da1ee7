#include "rig/acquisition/clock_fit.hpp"

#include <algorithm>
#include <cmath>

namespace lobewright {
namespace {

constexpr std::size_t most_blocks = 40;
constexpr double longest_block_us = 3e6;
constexpr double most_drift = 200e-6;

/// The value below which the share `part` of `values` lies.
double quantile(std::vector<double>& values, double part) {
    const auto at = static_cast<std::ptrdiff_t>(std::lround(part * static_cast<double>(values.size() - 1)));
    std::nth_element(values.begin(), values.begin() + at, values.end());
    return values[static_cast<std::size_t>(at)];
}

}  // namespace

void ClockFit::add(double ticks, double host_us) {
    if (slope_ == 0.0 && !open_.empty() && ticks > open_.front().ticks)
        slope_ = (host_us - open_.front().host_us) / (ticks - open_.front().ticks);
    if (!open_.empty() && host_us - open_.front().host_us >= block_us_) close_block();
    open_.push_back({ticks, host_us});
    if (blocks_.empty()) {
        double least = delay(open_.front());
        for (const Point& point : open_) least = std::min(least, delay(point));
        intercept_ = least;
    }
}

double ClockFit::host_us(double ticks) const {
    return intercept_ + slope_ * ticks;
}

bool ClockFit::implausible() const {
    return nominal_us_ > 0.0 && settled() && std::abs(slope_ / nominal_us_ - 1.0) > most_drift + u_us_ / 1e6;
}

void ClockFit::close_block() {
    if (nominal_us_ == 0.0 && blocks_.empty()) {
        // The first block's own slope is all that is known yet: least delay makes no sense before it.
        slope_ = (open_.back().host_us - open_.front().host_us) /
                 std::max(1.0, open_.back().ticks - open_.front().ticks);
    }
    blocks_.push_back(*std::min_element(
        open_.begin(), open_.end(), [this](const Point& a, const Point& b) { return delay(a) < delay(b); }));
    open_.clear();
    if (blocks_.size() > most_blocks) {
        if (block_us_ < longest_block_us) {
            merge_pairs();
        } else {
            blocks_.erase(blocks_.begin());
        }
    }
    refit();
}

void ClockFit::merge_pairs() {
    std::vector<Point> merged;
    for (std::size_t i = 0; i + 1 < blocks_.size(); i += 2)
        merged.push_back(delay(blocks_[i]) < delay(blocks_[i + 1]) ? blocks_[i] : blocks_[i + 1]);
    if (blocks_.size() % 2 == 1) merged.push_back(blocks_.back());
    blocks_ = std::move(merged);
    block_us_ *= 2.0;
}

void ClockFit::refit() {
    std::vector<double> values;
    for (std::size_t i = 0; i < blocks_.size(); ++i) {
        for (std::size_t j = i + 1; j < blocks_.size(); ++j) {
            const double ticks = blocks_[j].ticks - blocks_[i].ticks;
            if (ticks > 0.0) values.push_back((blocks_[j].host_us - blocks_[i].host_us) / ticks);
        }
    }
    // Few and short blocks know the slope less well than the maker of the clock.
    if (!values.empty() && (settled() || nominal_us_ == 0.0)) slope_ = quantile(values, 0.5);
    values.clear();
    for (const Point& point : blocks_) values.push_back(delay(point));
    intercept_ = quantile(values, 0.25);
    for (double& value : values) value = std::abs(value - intercept_);
    constexpr double sigma_of_median = 1.4826;  // of a normal distribution's absolute deviations
    u_us_ = sigma_of_median * quantile(values, 0.5);
}

}  // namespace lobewright
