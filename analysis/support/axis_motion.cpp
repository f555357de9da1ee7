#include "analysis/support/axis_motion.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "analysis/support/v_block.hpp"

namespace lobewright {
namespace {

constexpr double significance = 3.0;  // of a harmonic above its noise, to be believed as the axis' motion

// Variance of an unswept journal's form in 2, 3, 4 and 5 undulations; a form of some low harmonics reaches about four
// standard deviations from its lowest to its highest.
constexpr std::array<double, 4> assumed_spectrum{0.5, 0.25, 0.125, 0.125};
constexpr double range_over_sd = 4.0;

}  // namespace

AxisMotion::Support AxisMotion::measured(const JournalCurve& journal) {
    const std::size_t count = journal.reading.size();
    Support out{journal.z_mm, std::vector<std::complex<double>>(count), std::vector<double>(count, 0.0)};
    std::vector<std::complex<double>> form(count);
    for (std::size_t n = 2; n < count; ++n) {
        if (!is_seen(journal, n) || std::abs(journal.reading[n]) < significance * journal.noise_mm) continue;
        const auto f = v_block_reading(static_cast<int>(n), journal.v_angle_deg, journal.indicator_deg);
        form[n] = journal.reading[n] / f;
        out.motion[n] = form[n] * (f - 1.0);
    }
    for (std::size_t n = 2; n < count; ++n) {
        if (is_seen(journal, n)) continue;
        const double below = n > 2 ? std::norm(form[n - 1]) : 0.0,
                     above = n + 1 < count ? std::norm(form[n + 1]) : 0.0;
        const double rise =
            std::abs(v_block_rise(static_cast<int>(n), journal.v_angle_deg, journal.indicator_deg));
        // Mean square of the neighbours' amplitudes; half of it is in the cosine, half in the sine.
        out.doubt_mm[n] = rise * std::sqrt(0.5 * 0.5 * (below + above));
    }
    return out;
}

AxisMotion::Support AxisMotion::assumed(const Journal& journal, const BenchSetUp& set_up) {
    Support out{journal.z_mm, {}, std::vector<double>(2 + assumed_spectrum.size(), 0.0)};
    const double sd = set_up.journal_roundness_mm / range_over_sd;
    for (std::size_t i = 0; i < assumed_spectrum.size(); ++i) {
        const auto n = static_cast<int>(i) + 2;
        out.doubt_mm[i + 2] = sd * std::sqrt(assumed_spectrum[i]) *
                              std::abs(v_block_rise(n, *journal.v_angle_deg, set_up.indicator_deg));
    }
    return out;
}

AxisMotion::AxisMotion(const Run& run, const std::vector<JournalCurve>& journals, const BenchSetUp& set_up,
                       std::vector<std::string>& notes) {
    std::vector<const Journal*> resting;
    for (const Journal& journal : run.journals) {
        if (journal.v_angle_deg) resting.push_back(&journal);
    }
    if (resting.empty()) return;
    if (resting.size() < 2) {
        notes.emplace_back("only one journal rests in a V-block: how the cam turns can't be told from it");
        return;
    }
    bool all_swept = true;
    const auto support = [&](const Journal& journal) {
        const auto swept = std::find_if(journals.begin(), journals.end(),
                                        [&](const JournalCurve& j) { return j.name == journal.name; });
        all_swept = all_swept && swept != journals.end();
        return swept == journals.end() ? assumed(journal, set_up) : measured(*swept);
    };
    near_ = support(*resting.front());
    far_ = support(*resting.back());
    if (all_swept) return;
    notes.emplace_back(
        "the journals in the V-blocks weren't both swept: what an unswept one's roundness moves the cam by "
        "stands in the "
        "lift and isn't taken off; u95 counts it at a size that is common practice");
}

std::complex<double> AxisMotion::harmonic(double z_mm, std::size_t n) const {
    if (!known()) return {};
    const double s = share(z_mm);
    const auto at = [n](const Support& support) {
        return n < support.motion.size() ? support.motion[n] : std::complex<double>{};
    };
    return (1.0 - s) * at(near_) + s * at(far_);
}

double AxisMotion::at(double z_mm, double theta_rad) const {
    double sum = 0.0;
    for (std::size_t n = 2; n < std::max(near_.motion.size(), far_.motion.size()); ++n) {
        sum += (harmonic(z_mm, n) * std::polar(1.0, -static_cast<double>(n) * theta_rad)).real();
    }
    return sum;
}

std::vector<double> AxisMotion::doubt_mm(double z_mm) const {
    const std::size_t count = std::max(near_.doubt_mm.size(), far_.doubt_mm.size());
    if (count == 0) return {};
    const double s = share(z_mm);
    const auto at = [](const Support& support, std::size_t n) {
        return n < support.doubt_mm.size() ? support.doubt_mm[n] : 0.0;
    };
    std::vector<double> out(count);
    for (std::size_t n = 0; n < count; ++n) out[n] = std::hypot((1.0 - s) * at(near_, n), s * at(far_, n));
    return out;
}

}  // namespace lobewright
