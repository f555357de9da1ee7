#include "rig/check/repeat_check.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace lobewright {
namespace {

double heel_mean(const TurnPasses& passes, const TurnPass& pass) {
    double sum = 0.0;
    double bins = 0.0;
    for (std::size_t i = 0; i < passes.bins(); ++i) {
        if (!on_heel(passes, i)) continue;
        sum += pass.bins[i].mm;
        bins += 1.0;
    }
    return bins > 0.0 ? sum / bins : 0.0;
}

}  // namespace

RepeatCheck check_repeat(const TurnPasses& passes) {
    RepeatCheck check;
    double squares = 0.0, freedom = 0.0, offset = 0.0, largest = -1.0;
    for (const int way : {1, -1}) {
        std::vector<const TurnPass*> same;
        std::vector<double> zero;
        for (const TurnPass& pass : passes.passes) {
            if (pass.way != way) continue;
            same.push_back(&pass);
            zero.push_back(heel_mean(passes, pass));
        }
        if (same.size() < 2) continue;
        check.passes += same.size();
        const auto [least, most] = std::minmax_element(zero.begin(), zero.end());
        offset = std::max(offset, *most - *least);
        for (std::size_t i = 0; i < passes.bins(); ++i) {
            double mean = 0.0, low = 0.0, high = 0.0;
            for (std::size_t p = 0; p < same.size(); ++p) {
                const double here = same[p]->bins[i].mm - zero[p];
                mean += here / static_cast<double>(same.size());
                low = p == 0 ? here : std::min(low, here);
                high = p == 0 ? here : std::max(high, here);
            }
            for (std::size_t p = 0; p < same.size(); ++p)
                squares += std::pow(same[p]->bins[i].mm - zero[p] - mean, 2);
            freedom += static_cast<double>(same.size() - 1);
            if (high - low <= largest) continue;
            largest = high - low;
            check.largest_at_deg =
                360.0 * (static_cast<double>(i) + 0.5) / static_cast<double>(passes.bins());
        }
    }
    if (check.passes == 0) return check;
    check.deviation_mm = std::sqrt(squares / freedom);
    check.offset_mm = offset;
    check.largest_mm = largest;
    return check;
}

}  // namespace lobewright
