#include "rig/session/recover.hpp"

#include <algorithm>
#include <cerrno>
#include <fcntl.h>
#include <sys/file.h>
#include <system_error>
#include <unistd.h>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "rig/session/replay_sweeps.hpp"

namespace lobewright {

namespace {

namespace fs = std::filesystem;

fs::path record_of(fs::path capture) {
    return capture.replace_extension(".recovered");
}

std::vector<fs::path> captures_in(const fs::path& folder) {
    std::vector<fs::path> captures;
    std::error_code problem;
    for (fs::directory_iterator entry(folder, problem), end; !problem && entry != end;
         entry.increment(problem))
        if (entry->path().extension() == ".cap") captures.push_back(entry->path());
    std::sort(captures.begin(), captures.end());
    return captures;
}

/// Whether the file goes on from another, and is read with that one.
bool goes_on(const fs::path& capture) {
    std::string bytes;
    read_file(capture, bytes, std::size_t{1} << 34);
    return !read_capture_bytes(bytes, capture.string(), PastDamage::read_on, [](const CaptureRecord&) {
            }).head.continues.empty();
}

SweepOutcome write(SweepStore& store, const TakenSweep& taken) {
    SweepOutcome outcome{.taken = taken, .file = {}, .aside = true};
    if (taken.end != SweepEnd::dropped && holds_enough(taken.sweep)) {
        outcome.file = store.keep(taken.sweep, taken.marks).file;
        outcome.aside = false;
    } else if (taken.sweep.rows() > 0) {
        outcome.file = store.keep_aside(taken.sweep, taken.marks);
    }
    return outcome;
}

}  // namespace

Recovered recover_sweeps(SweepStore& store, const std::filesystem::path& run_folder) {
    Recovered recovered;
    for (const fs::path& capture : captures_in(run_folder / "captures")) {
        std::error_code ignored;
        if (fs::exists(record_of(capture), ignored)) continue;
        try {
            if (goes_on(capture)) continue;
            const ReplayedCapture replayed = replay_sweeps(capture, PastDamage::read_on);
            if (replayed.closed) continue;
            std::vector<std::string> done;
            for (const ReplayedSweep& sweep : replayed.sweeps) {
                const SweepPlan& plan = sweep.taken.plan;
                if (sweep.settled || store.has(plan.of, plan.pass)) continue;
                recovered.sweeps.push_back(write(store, sweep.taken));
                done.push_back(
                    fmt::format("{} pass {}: {}", plan.of, plan.pass, recovered.sweeps.back().file.string()));
            }
            for (const std::string& note : replayed.contents.notes)
                recovered.says.push_back(fmt::format("{}: {}", place(capture), note));
            write_new_file(record_of(capture),
                           fmt::format("{}\n", done.empty() ? "nothing was left to write"
                                                            : fmt::format("{}", fmt::join(done, "\n"))));
        } catch (const DataError& problem) {
            recovered.says.emplace_back(problem.what());
        }
    }
    return recovered;
}

RunLock::RunLock(const std::filesystem::path& run_folder)
    : descriptor_(::open(run_folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
    if (descriptor_ < 0) throw IoError(with_cause(place(run_folder) + ": can't be opened", errno));
    if (::flock(descriptor_, LOCK_EX | LOCK_NB) == 0) return;
    ::close(descriptor_);
    throw IoError(place(run_folder) + ": another lobewright is making this run; end that one first");
}

RunLock::~RunLock() {
    ::close(descriptor_);
}

}  // namespace lobewright
