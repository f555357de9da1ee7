#include "rig/acquisition/line_fit.hpp"

#include <cmath>

namespace lobewright {
namespace {

/// Faster than any hand: guards against a count that came wrong through every check. At half of it a cam spun by a
/// drill would be refused; at double a wrong bit in a count's upper digits still is.
constexpr double fastest_turns_per_s = 20.0;
/// Counts that may always pass, however little time did: the clock is read beside the count, not with it.
constexpr double free_turns = 0.02;
/// A line at most this far behind the last one, in number and time, is one that came twice.
constexpr std::uint32_t stale_lines = 256;
constexpr std::uint32_t stale_us = 2'000'000;

}  // namespace

std::optional<LineHead> line_head(const RigMessage& message) {
    if (const auto* sample = std::get_if<Sample>(&message))
        return LineHead{sample->seq, sample->t_us, sample->count, sample->t_us};
    if (const auto* index = std::get_if<IndexMark>(&message))
        return LineHead{index->seq, index->t_us, index->count, index->t_us};
    if (const auto* beat = std::get_if<Beat>(&message))
        return LineHead{beat->seq, beat->t_us, beat->count, beat->t_us};
    if (const auto* fault = std::get_if<Fault>(&message))
        return LineHead{fault->seq, fault->t_us, std::nullopt, 0};
    return std::nullopt;
}

LineFit fit_of(const LineHead& before, const LineHead& head, std::int64_t counts_per_rev) {
    const std::uint32_t lines = head.seq - before.seq;
    const std::uint32_t us = head.t_us - before.t_us;
    if (lines == 0 || lines >= half_of_numbers || us >= half_of_numbers) {
        const bool stale = 0U - lines < stale_lines && 0U - us < stale_us;
        return stale ? LineFit::stale : LineFit::behind;
    }
    if (head.count && before.count) {
        const auto step = static_cast<std::int32_t>(static_cast<std::uint32_t>(*head.count) -
                                                    static_cast<std::uint32_t>(*before.count));
        const double turns = std::abs(static_cast<double>(step)) / static_cast<double>(counts_per_rev);
        if (turns > free_turns + fastest_turns_per_s * (head.t_us - before.count_t_us) * 1e-6)
            return LineFit::count_jumps;
    }
    return LineFit::follows;
}

}  // namespace lobewright
