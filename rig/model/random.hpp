// random.hpp: random numbers that are the same on every machine, compiler and standard library, so that a
// simulated run can be written again bit for bit. (std::normal_distribution may differ between libraries.)
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>

namespace lobewright {

/// xoshiro256++ (Blackman and Vigna), its state filled by splitmix64 from a seed and a stream
/// number. Streams of one seed are independent: each sweep has its own, so that adding a
/// sweep leaves the others as they were.
class Random {
public:
    explicit Random(std::uint64_t seed, std::uint64_t stream = 0) {
        std::uint64_t state = seed ^ (0xD1342543DE82EF95U * (stream + 1));
        for (std::uint64_t& word : state_) word = splitmix(state);
    }

    /// 64 random bits.
    std::uint64_t bits() {
        const std::uint64_t result = std::rotl(state_[0] + state_[3], 23) + state_[0];
        const std::uint64_t shifted = state_[1] << 17U;
        state_[2] ^= state_[0];
        state_[3] ^= state_[1];
        state_[1] ^= state_[2];
        state_[0] ^= state_[3];
        state_[2] ^= shifted;
        state_[3] = std::rotl(state_[3], 45);
        return result;
    }

    /// Uniform in the open interval (0, 1), a multiple of 2^-53 plus 2^-54.
    double uniform() { return (static_cast<double>(bits() >> 11U) + 0.5) * 0x1.0p-53; }

    /// Uniform between `low` and `high`.
    double uniform(double low, double high) { return low + (high - low) * uniform(); }

    /// Normal with mean 0 and standard deviation 1.
    double normal() { return normal_quantile(uniform()); }

    /// Uniform among 0 .. n-1; n > 0 and far below 2^32.
    std::size_t below(std::size_t n) {
        return static_cast<std::size_t>(((bits() >> 32U) * static_cast<std::uint64_t>(n)) >> 32U);
    }

    /// The normal deviate whose lower tail is p, 0 < p < 1; relative error about 1e-7.
    /// Wichura, Algorithm AS 241 (PPND7), Applied Statistics 37 (1988), coefficients from
    /// memory and checked against known quantiles.
    static double normal_quantile(double p);

private:
    static std::uint64_t splitmix(std::uint64_t& state) {
        std::uint64_t mixed = (state += 0x9E3779B97F4A7C15U);
        mixed = (mixed ^ (mixed >> 30U)) * 0xBF58476D1CE4E5B9U;
        mixed = (mixed ^ (mixed >> 27U)) * 0x94D049BB133111EBU;
        return mixed ^ (mixed >> 31U);
    }

    std::array<std::uint64_t, 4> state_{};
};

}  // namespace lobewright
