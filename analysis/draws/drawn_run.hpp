// drawn_run.hpp: a run as it might have come out on another occasion: the same cam, hand and rig, every input of the
// uncertainty budget drawn afresh from the distribution that the budget gives it (JCGM 101:2008 section 6, from memory).
//
// Model    reading = L + (growth of L) + e(L) + wander(angle) + passes + table + noise, in whole steps of the
//          indicator, at the angle where the cam really stood. L is what the tip reads of the fitted curve and of the
//          axis' motion: never the rows themselves, whose noise would then count twice.
//
// input                  distribution
// noise, a reading       normal, sigma from the heel, Student's where that was judged from few rows (6.4.9)
// step                   readings rounded to it, where its marks lie is anyone's guess
// indicator              indicator_error.hpp, each indicator and lobe its own, less the error at the heel's reading: the
//                        datum was read near there and holds it, too
// encoder                rectangular over a count, the same for all readings taken at that count in a row; its own error,
//                        where the set-up limits it, normal harmonics of a turn, one for the whole run
// table                  normal, of the size found by leaving rows out, alike within a row's stretch of the event
// datum                  normal
// passes, a sweep        normal, the front's level against the rear's as they scattered
// drift, a sweep         a random walk from the sweep's start, of both indicators alike and of each its own way, as strong
//                        as the curves' turns say, Student's where they say little; a journal's as normal harmonics
// support                normal harmonics of what isn't known of the axis' motion, the same in both runs
// temperature            the cam's growth between two runs, given
//
// The heel's own form isn't drawn: the fitted curve has it. What the rows had besides (backward turns, spikes, slips,
// offsets between passes) was taken off before the curve was fitted and isn't drawn. Lengths mm, angles rad unless they
// say otherwise. Throws as clean_sweep does.
#pragma once

#include <complex>
#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "analysis/draws/indicator_error.hpp"
#include "analysis/draws/swept_part.hpp"
#include "analysis/prepared_run.hpp"
#include "analysis/run/run.hpp"

namespace lobewright {

/// What both runs of a draw have alike: for each lobe, harmonics of unit variance of what isn't known of its axis.
using AxisDraw = std::map<std::string, std::vector<std::complex<double>>>;
AxisDraw draw_axis(const Run& run, DrawEngine& engine);

/// A run that can be drawn; what was prepared must outlive this.
class RunDraws {
public:
    /// `turned_deg`: by lobe, this run's cam angle less that of the run whose angles the axis is drawn in.
    explicit RunDraws(const PreparedRun& prepared, const std::map<std::string, double>& turned_deg = {});

    /// A fresh run. Its lifts are larger by the share `growth`.
    [[nodiscard]] Run draw(DrawEngine& engine, const AxisDraw& axis = {}, double growth = 0.0) const;

private:
    const Run& run_;
    double encoder_limit_rad_;
    double lean_;                     // what a leaning tip travels for a millimetre of the cam
    std::vector<std::string> names_;  // of the parts
    std::vector<SweptPart> parts_;
    std::vector<std::size_t> part_of_;  // sweep -> part
};

}  // namespace lobewright
