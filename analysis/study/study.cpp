#include "analysis/study/study.hpp"

#include <algorithm>
#include <chrono>
#include <exception>
#include <new>
#include <thread>
#include <utility>

#include "analysis/compare.hpp"
#include "analysis/in_parallel.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/run_folder.hpp"

namespace lobewright {
namespace {

void judge_run(JudgedRun& out, const StudyOptions& options, unsigned threads) {
    AnalysisOptions analysis;
    analysis.flat_taper_mm = options.limits.flat_taper_mm;
    analysis.threads = threads;
    analysis.used = options.used;
    analysis.reference = options.reference;
    const StudyItem& item = *out.item;
    std::optional<Run> reference;
    if (!item.reference.empty()) reference = read_run(item.reference, threads);
    out.used = read_run(item.path, threads);
    if (options.units) out.used.units = *options.units;
    out.figures = reference ? compare_runs(*reference, out.used, analysis) : inspect_run(out.used, analysis);
    out.judgement = judge(out.figures, options.limits, out.used.units);
    out.tappets = place_tappets(reference ? &*reference : nullptr, out.used, out.judgement.lobes,
                                out.judgement.verdict, false);
    note_tappets(out.tappets, out.judgement.lobes);
    out.used.sweeps = {};
}

}  // namespace

JudgedRun study_run(const StudyItem& item, const StudyOptions& options, unsigned threads) {
    JudgedRun out;
    out.item = &item;
    out.failure = item.failure;
    if (out.failure) return out;
    const auto begun = std::chrono::steady_clock::now();
    try {
        judge_run(out, options, threads);
    } catch (const Error& error) {
        out.failure = error;
    } catch (const std::bad_alloc&) {
        out.failure = IoError(place(item.path) + ": the run doesn't fit in memory");
    } catch (const std::exception& error) {
        out.failure = IoError(place(item.path) + ": " + error.what());
    }
    if (out.failure) {
        JudgedRun failed;
        failed.item = &item;
        failed.failure = std::move(out.failure);
        out = std::move(failed);
    }
    out.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count();
    return out;
}

void study(const std::vector<StudyItem>& items, const StudyOptions& options,
           const std::function<void(const JudgedRun&)>& done, const std::atomic<bool>& stop) {
    const std::size_t threads =
        options.threads > 0 ? options.threads : std::max(1U, std::thread::hardware_concurrency());
    std::atomic<bool> broken{false};
    in_parallel(items.size(), static_cast<unsigned>(threads), [&](std::size_t i) {
        if (stop || broken) return;
        // The threads that found no run of their own are free to help with the last ones.
        const std::size_t left = std::min(items.size() - i, threads);
        try {
            done(study_run(items[i], options, static_cast<unsigned>(threads / left)));
        } catch (...) {
            broken = true;
            throw;
        }
    });
}

}  // namespace lobewright
