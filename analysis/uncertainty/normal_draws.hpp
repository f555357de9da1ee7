// normal_draws.hpp: normal deviates by Box-Muller on SplitMix64 (G. Steele et al. 2014, from memory): the same on every
// platform, so that a figure that rests on draws is the same everywhere.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

namespace lobewright {

class NormalDraws {
public:
    explicit NormalDraws(std::uint64_t seed) : state_(seed) {}

    double operator()() {
        if (has_spare_) {
            has_spare_ = false;
            return spare_;
        }
        const double radius = std::sqrt(-2.0 * std::log(1.0 - uniform()));
        const double angle = 2.0 * std::numbers::pi * uniform();
        spare_ = radius * std::sin(angle);
        has_spare_ = true;
        return radius * std::cos(angle);
    }

    /// From 0 up to 1.
    double uniform() {
        std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ULL);
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
        return static_cast<double>((z ^ (z >> 31)) >> 11) * 0x1.0p-53;
    }

private:
    std::uint64_t state_;
    double spare_ = 0.0;
    bool has_spare_ = false;
};

}  // namespace lobewright
