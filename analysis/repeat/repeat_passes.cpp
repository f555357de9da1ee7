#include "analysis/repeat/repeat_passes.hpp"

#include <algorithm>
#include <filesystem>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "analysis/repeat/split_passes.hpp"

namespace lobewright {
namespace {

std::ptrdiff_t passes_of(const Run& run, const std::string& lobe) {
    return std::count_if(run.sweeps.begin(), run.sweeps.end(), [&](const Sweep& s) { return s.of == lobe; });
}

void check_same_lobes(const Run& first, const Run& other) {
    const auto refuse = [](const std::string& lobe, const Run& has, const Run& lacks) {
        throw DataError(fmt::format("lobe '{}' stands in {} only, not in {}; give runs of one cam", lobe,
                                    has.folder.string(), lacks.folder.string()));
    };
    for (const Lobe& lobe : other.lobes) {
        if (!has_lobe(first, lobe.name)) refuse(lobe.name, other, first);
    }
    for (const Lobe& lobe : first.lobes) {
        if (!has_lobe(other, lobe.name)) refuse(lobe.name, first, other);
    }
}

void check_same_state(const Run& first, const Run& other) {
    const auto refuse = [&](const std::string& what, const std::string& here, const std::string& there) {
        throw DataError(
            fmt::format("{} differs: {} in {}, {} in {}; give runs of one cam in one state, or wear counts "
                        "as scatter",
                        what, here, first.folder.string(), there, other.folder.string()));
    };
    if (first.info.condition != other.info.condition) {
        refuse("[run] condition", std::string(word(first.info.condition)),
               std::string(word(other.info.condition)));
    }
    if (first.info.hours && other.info.hours && *first.info.hours != *other.info.hours) {
        refuse("[run] hours", fmt::format("{}", *first.info.hours), fmt::format("{}", *other.info.hours));
    }
    if (first.cam.follower != other.cam.follower) {
        refuse("[cam] follower", std::string(word(first.cam.follower)),
               std::string(word(other.cam.follower)));
    }
}

bool same_folder(const Run& a, const Run& b) {
    std::error_code failed;  // runs that aren't on disk are as different as their names
    const bool same = std::filesystem::equivalent(a.folder, b.folder, failed);
    return !failed && same;
}

void check_runs(const std::vector<Run>& runs) {
    bool repeated = runs.size() > 1;
    for (std::size_t i = 0; i < runs.size(); ++i) {
        check_same_lobes(runs.front(), runs[i]);
        check_same_state(runs.front(), runs[i]);
        for (std::size_t j = 0; j < i; ++j) {
            if (same_folder(runs[i], runs[j])) {
                throw DataError(
                    fmt::format("{} is given twice; a run repeats nothing by being read again: take another",
                                runs[i].folder.string()));
            }
        }
        for (const Lobe& lobe : runs[i].lobes) {
            const auto passes = passes_of(runs[i], lobe.name);
            repeated = repeated || passes > 1;
            if (passes > 0) continue;
            throw DataError(fmt::format("{}: lobe '{}' has no sweep; sweep it or take it out of run.toml",
                                        runs[i].folder.string(), lobe.name));
        }
    }
    if (!repeated) {
        throw DataError(fmt::format(
            "{}: every lobe was swept once, so nothing is repeated; sweep at least one lobe twice, or give "
            "a second run of this cam",
            runs.empty() ? std::string("no run") : runs.front().folder.string()));
    }
}

/// Measures the passes of one run; those that can't be measured alone are noted, and thrown when there are no others.
class OneRun {
public:
    OneRun(const Run& run, std::size_t index, unsigned threads, MeasuredPasses& out)
        : run_(run), index_(index), out_(out) {
        options_.curve_points = 36;  // the curves aren't used
        options_.threads = threads;
    }

    void measure() {
        const std::size_t before = out_.passes.size();
        for (const Run& one : split_passes(run_)) measure_pass(one);
        if (out_.passes.size() == before && failure_) throw DataError(*failure_);
    }

private:
    void measure_pass(const Run& one) {
        try {
            keep(one);
        } catch (const DataError&) {
            // One lobe's pass that doesn't cover a turn mustn't take the others with it.
            for (const Lobe& lobe : one.lobes) try_lobe(only_lobe(one, lobe.name));
        }
    }

    void try_lobe(const Run& single) {
        try {
            keep(single);
        } catch (const DataError& error) {
            failure_ = error.what();
            out_.notes.push_back(fmt::format("left out, as it can't be measured alone: {}", error.what()));
        }
    }

    void keep(const Run& one) {
        CamFigures figures = inspect_run(one, options_);
        for (LobeFigures& lobe : figures.lobes) {
            const auto at = std::find(out_.lobes.begin(), out_.lobes.end(), lobe.name);
            const auto sweep = std::find_if(one.sweeps.begin(), one.sweeps.end(),
                                            [&](const Sweep& s) { return s.of == lobe.name; });
            out_.passes.push_back(
                {static_cast<std::size_t>(at - out_.lobes.begin()), index_, sweep->pass, std::move(lobe)});
        }
    }

    const Run& run_;
    std::size_t index_;
    MeasuredPasses& out_;
    AnalysisOptions options_;
    std::optional<std::string> failure_;
};

}  // namespace

MeasuredPasses measure_passes(const std::vector<Run>& runs, unsigned threads) {
    check_runs(runs);
    MeasuredPasses out;
    for (const Lobe& lobe : runs.front().lobes) out.lobes.push_back(lobe.name);
    for (std::size_t i = 0; i < runs.size(); ++i) OneRun(runs[i], i, threads, out).measure();
    return out;
}

}  // namespace lobewright
