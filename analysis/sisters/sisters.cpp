#include "analysis/sisters/sisters.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include <boost/math/distributions/normal.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/constants.hpp"
#include "analysis/judge/wording.hpp"
#include "analysis/lobe/lobe_on_grid.hpp"

namespace lobewright {
namespace {

constexpr double low_flank = 0.15;  // of the larger lift
constexpr double high_flank = 0.60;
constexpr double on_event = 0.02;
constexpr double mad_to_sigma = 0.6744897501960817;
constexpr double stands_out = 3.5;  // modified z score, as in along_cam.hpp

/// A lobe with its nose in the middle of the grid.
std::vector<double> centred(const SisterLobe& lobe) {
    std::vector<double> out(grid_points);
    const double half = 0.5 * static_cast<double>(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g)
        out[g] = value_at(lobe.lift_mm, lobe.nose_at + static_cast<double>(g) - half);
    return out;
}

double top_of(const std::vector<double>& profile) {
    return *std::max_element(profile.begin(), profile.end());
}

/// Root mean square of what two profiles' flanks differ by, the shift that fits them best taken out.
double flanks_differ_by(const std::vector<double>& a, const std::vector<double>& b) {
    const double top = std::max(top_of(a), top_of(b));
    double squares = 0.0, across = 0.0, slopes = 0.0, count = 0.0;
    for (std::size_t g = 1; g + 1 < grid_points; ++g) {
        const double lift = std::max(a[g], b[g]);
        if (lift < low_flank * top || lift > high_flank * top) continue;
        const double off = a[g] - b[g];
        const double slope = 0.25 * (a[g + 1] - a[g - 1] + b[g + 1] - b[g - 1]);
        squares += off * off;
        across += off * slope;
        slopes += slope * slope;
        count += 1.0;
    }
    if (count == 0.0 || !(slopes > 0.0)) return std::numeric_limits<double>::infinity();
    return std::sqrt(std::max(squares - across * across / slopes, 0.0) / count);
}

/// Family numbers by single linkage.
std::vector<std::size_t> families_of(const std::vector<SisterLobe>& lobes,
                                     const std::vector<std::vector<double>>& profiles) {
    std::vector<std::size_t> family(lobes.size());
    std::iota(family.begin(), family.end(), std::size_t{0});
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        for (std::size_t j = i + 1; j < lobes.size(); ++j) {
            if (lobes[i].kind != lobes[j].kind || family[i] == family[j]) continue;
            if (flanks_differ_by(profiles[i], profiles[j]) > same_profile_mm) continue;
            const std::size_t from = family[j], to = family[i];
            std::replace(family.begin(), family.end(), from, to);
        }
    }
    return family;
}

/// Root mean square of what is left of the flanks' difference when `worn` may also be `whole` wiped down, losing in
/// proportion to its lift; infinite when it would have to have gained.
double wiped_differs_by(const std::vector<double>& whole, const std::vector<double>& worn) {
    const double top = top_of(whole);
    // Normal equations of  whole - worn = share whole + shift slope.
    double ll = 0.0, ls = 0.0, ss = 0.0, lo = 0.0, so = 0.0, oo = 0.0, count = 0.0;
    for (std::size_t g = 1; g + 1 < grid_points; ++g) {
        const double lift = whole[g];
        if (lift < low_flank * top || lift > high_flank * top) continue;
        const double off = lift - worn[g], slope = 0.5 * (whole[g + 1] - whole[g - 1]);
        ll += lift * lift;
        ls += lift * slope;
        ss += slope * slope;
        lo += lift * off;
        so += slope * off;
        oo += off * off;
        count += 1.0;
    }
    const double det = ll * ss - ls * ls;
    if (count == 0.0 || !(det > 0.0)) return std::numeric_limits<double>::infinity();
    const double share = (lo * ss - so * ls) / det, shift = (so * ll - lo * ls) / det;
    if (share < 0.0) return std::numeric_limits<double>::infinity();
    return std::sqrt(std::max(oo - share * lo - shift * so, 0.0) / count);
}

std::vector<std::size_t> members(const std::vector<std::size_t>& family, std::size_t number) {
    std::vector<std::size_t> out;
    for (std::size_t i = 0; i < family.size(); ++i) {
        if (family[i] == number) out.push_back(i);
    }
    return out;
}

/// Of the family, the lobe itself among it; the angle-by-angle highest.
std::vector<double> envelope(const std::vector<std::vector<double>>& profiles,
                             const std::vector<std::size_t>& of) {
    std::vector<double> out = profiles[of.front()];
    for (const std::size_t i : of) {
        for (std::size_t g = 0; g < grid_points; ++g) out[g] = std::max(out[g], profiles[i][g]);
    }
    return out;
}

double largest_lift_of(const std::vector<SisterLobe>& lobes, const std::vector<std::size_t>& of) {
    double largest = 0.0;
    for (const std::size_t i : of) largest = std::max(largest, lobes[i].largest_mm.value);
    return largest;
}

void look_for_deepest(SisterFinding& out, const std::vector<double>& profile,
                      const std::vector<double>& best) {
    const double top = top_of(best);
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (best[g] < on_event * top || best[g] - profile[g] <= out.deepest_mm) continue;
        out.deepest_mm = best[g] - profile[g];
        out.deepest_at_deg = deg_of_grid(static_cast<double>(g) - 0.5 * static_cast<double>(grid_points));
    }
}

double nearest_of_kind(const std::vector<SisterLobe>& lobes, const std::vector<std::vector<double>>& profiles,
                       std::size_t of) {
    double nearest = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        if (i == of || lobes[i].kind != lobes[of].kind) continue;
        nearest = std::min(nearest, flanks_differ_by(profiles[of], profiles[i]));
    }
    return std::isfinite(nearest) ? nearest : 0.0;
}

/// Marks a lobe without sisters that may be one of a family wiped down: the nearest such family's best stands above it.
void look_for_wiped(SisterFinding& out, const std::vector<SisterLobe>& lobes,
                    const std::vector<std::vector<double>>& profiles, const std::vector<std::size_t>& family,
                    std::size_t of) {
    if (lobes[of].kind == LobeKind::other) return;
    double nearest = same_profile_mm;
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        const auto sisters = members(family, family[i]);
        if (lobes[i].kind != lobes[of].kind || sisters.size() < 2) continue;
        const double off = wiped_differs_by(profiles[i], profiles[of]);
        if (off > nearest) continue;
        nearest = off;
        out.scaled_down = true;
        out.below_best_mm = {largest_lift_of(lobes, sisters) - lobes[of].largest_mm.value,
                             std::numeric_limits<double>::infinity()};
    }
}

double median(std::vector<double> values) {
    const std::size_t half = values.size() / 2;
    std::sort(values.begin(), values.end());
    return values.size() % 2 == 1 ? values[half] : 0.5 * (values[half - 1] + values[half]);
}

/// Lobes of a family whose loss stands out from the family's.
std::vector<std::size_t> odd_ones(const std::vector<std::size_t>& of,
                                  const std::vector<SisterFinding>& findings) {
    if (of.size() < 3) return {};
    std::vector<double> losses, off, u95;
    for (const std::size_t i : of) {
        losses.push_back(findings[i].below_best_mm.value);
        u95.push_back(findings[i].below_best_mm.u95);
    }
    const double middle = median(losses);
    for (const double loss : losses) off.push_back(std::abs(loss - middle));
    const double spread = std::max(median(std::move(off)), mad_to_sigma * 0.5 * median(std::move(u95)));
    std::vector<std::size_t> out;
    for (const std::size_t i : of) {
        const double above = findings[i].below_best_mm.value - middle;
        if (mad_to_sigma * above > stands_out * spread && above > findings[i].below_best_mm.u95)
            out.push_back(i);
    }
    return out;
}

std::string names(const std::vector<SisterLobe>& lobes, const std::vector<std::size_t>& of) {
    std::vector<std::string> out;
    out.reserve(of.size());
    for (const std::size_t i : of) out.push_back(lobes[i].name);
    return fmt::format("{}", fmt::join(out, ", "));
}

void note_family(std::vector<std::string>& notes, const std::vector<SisterLobe>& lobes,
                 const std::vector<SisterFinding>& findings, const std::vector<std::size_t>& of,
                 Units units) {
    std::vector<std::string> lower;
    for (const std::size_t i : of) {
        const Measured& below = findings[i].below_best_mm;
        if (below.value > below.u95)
            lower.push_back(fmt::format("{} {}", lobes[i].name, say_cell(below.value, units)));
    }
    notes.push_back(
        lower.empty()
            ? fmt::format("sisters {}: one profile, none stands lower than the best of them by more than U",
                          names(lobes, of))
            : fmt::format("sisters {}: one profile; below the best of them at the nose: {}", names(lobes, of),
                          fmt::join(lower, ", ")));
    for (const std::size_t i : odd_ones(of, findings)) {
        notes.push_back(
            fmt::format("finding: {} is the odd one out among its sisters: {} below the best of them, "
                        "deepest {} deg from the nose",
                        lobes[i].name, say_figure(findings[i].below_best_mm, units),
                        fixed(findings[i].deepest_at_deg, 0)));
    }
}

}  // namespace

double range_of_normal_95(std::size_t n) {
    const boost::math::normal normal;
    // P(range < w) = n times the integral of phi(x) (Phi(x + w) - Phi(x))^(n - 1); by trapezia, smooth and dying both ways.
    const auto inside = [&](double w) {
        constexpr double step = 0.02;
        constexpr int reach = 400;  // steps: eight standard deviations
        double sum = 0.0;
        for (int i = -reach; i <= reach; ++i) {
            const double x = step * i;
            sum += boost::math::pdf(normal, x) *
                   std::pow(boost::math::cdf(normal, x + w) - boost::math::cdf(normal, x),
                            static_cast<double>(n - 1));
        }
        return static_cast<double>(n) * step * sum;
    };
    double low = 0.0, high = 10.0;
    for (int i = 0; i < 40; ++i) {
        const double half = 0.5 * (low + high);
        (inside(half) < 0.95 ? low : high) = half;
    }
    return 0.5 * (low + high);
}

std::vector<SisterFinding> hold_against_sisters(const std::vector<SisterLobe>& lobes) {
    std::vector<std::vector<double>> profiles;
    profiles.reserve(lobes.size());
    for (const SisterLobe& lobe : lobes) profiles.push_back(centred(lobe));
    const auto family = families_of(lobes, profiles);
    std::vector<SisterFinding> out(lobes.size());
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        const auto of = members(family, family[i]);
        out[i].family = family[i];
        out[i].sisters = of.size() - 1;
        if (of.size() == 1) {
            out[i].off_profile_mm = nearest_of_kind(lobes, profiles, i);
            look_for_wiped(out[i], lobes, profiles, family, i);
            continue;
        }
        double u95 = 0.0;
        for (const std::size_t k : of) u95 = std::max(u95, lobes[k].largest_mm.u95);
        out[i].below_best_mm = {largest_lift_of(lobes, of) - lobes[i].largest_mm.value,
                                range_of_normal_95(of.size()) / normal_95 * u95};
        look_for_deepest(out[i], profiles[i], envelope(profiles, of));
    }
    return out;
}

std::vector<std::string> sister_notes(const std::vector<SisterLobe>& lobes,
                                      const std::vector<SisterFinding>& findings, Units units) {
    std::vector<std::size_t> family;
    family.reserve(findings.size());
    for (const SisterFinding& finding : findings) family.push_back(finding.family);
    std::vector<std::string> notes;
    bool any = false;
    for (std::size_t number = 0; number < lobes.size(); ++number) {
        const auto of = members(family, number);
        if (of.size() < 2) continue;
        any = true;
        note_family(notes, lobes, findings, of, units);
    }
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        if (findings[i].sisters > 0 || !(findings[i].off_profile_mm > 0.0)) continue;
        if (findings[i].scaled_down) {
            notes.push_back(
                fmt::format("finding: {} has the flanks of its sisters in smaller proportion, {} lower at "
                            "the nose: wiped down, or ground "
                            "to less lift by design; a reference run tells which",
                            lobes[i].name, say_rounded(findings[i].below_best_mm.value, units)));
            continue;
        }
        notes.push_back(
            fmt::format("{} has no sister: its flanks differ from the nearest of its kind by {}, so it was "
                        "ground to another profile or "
                        "is worn out of shape; its lift loss can't be told",
                        lobes[i].name, say_rounded(findings[i].off_profile_mm, units)));
    }
    if (any) {
        notes.emplace_back(
            "the best of the sisters stands in for a reference run: what all of them have lost alike can't "
            "be seen, so a "
            "loss against them is a loss at the least");
    }
    return notes;
}

}  // namespace lobewright
