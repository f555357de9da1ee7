#include "analysis/study/study_plan.hpp"

#include <algorithm>
#include <cstddef>
#include <map>
#include <string>
#include <system_error>
#include <utility>

#include <fmt/format.h>

#include "analysis/in_parallel.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/run_folder.hpp"

namespace lobewright {
namespace {

namespace fs = std::filesystem;

bool holds_run(const fs::path& folder) {
    std::error_code problem;
    return fs::exists(fs::symlink_status(folder / "run.toml", problem));
}

void add_runs_below(const fs::path& folder, std::vector<StudyItem>& items) {
    if (holds_run(folder)) {
        items.push_back({folder, {}, {}});
        return;
    }
    std::error_code problem;
    std::vector<fs::path> below;
    fs::directory_iterator entries(folder, problem);
    for (; !problem && entries != fs::directory_iterator(); entries.increment(problem)) {
        std::error_code ignored;
        const bool hidden = entries->path().filename().string().front() == '.';
        if (hidden || !entries->is_directory(ignored)) continue;
        // A link may lead anywhere, back up too: what it leads to counts only where that is a run itself.
        if (!entries->is_symlink(ignored) || holds_run(entries->path())) below.push_back(entries->path());
    }
    if (problem)
        items.push_back(
            {folder, {}, IoError(with_cause(place(folder) + ": can't be read", problem.value()))});
    std::sort(below.begin(), below.end());
    for (const fs::path& one : below) add_runs_below(one, items);
}

/// A run that others may be held against.
struct Candidate {
    fs::path path;
    Condition condition = Condition::as_new;
    std::optional<std::string> part;
    std::vector<std::string> lobes;  // sorted
};

std::vector<std::string> lobe_names(const Run& run) {
    std::vector<std::string> names;
    names.reserve(run.lobes.size());
    for (const Lobe& lobe : run.lobes) names.push_back(lobe.name);
    std::sort(names.begin(), names.end());
    return names;
}

/// run.toml of this folder, or nothing where it can't be read.
std::optional<Run> peek(const fs::path& folder) {
    try {
        return read_run_toml(folder);
    } catch (const Error&) {
        return std::nullopt;
    }
}

/// A folder's own name, however it was named ("cams/launch-4-new/", ".").
std::string name_of(const fs::path& folder) {
    std::error_code problem;
    const fs::path whole = fs::absolute(folder, problem).lexically_normal();
    return (whole.has_filename() ? whole : whole.parent_path()).filename().string();
}

fs::path folder_of(const fs::path& run) {
    const fs::path plain = run.has_filename() ? run : run.parent_path();
    const bool named = plain.filename() != "." && plain.filename() != "..";
    return named ? plain.parent_path() : plain / "..";
}

/// "launch-4-" of "launch-4-new"; nothing of a name that doesn't end in its condition: that one fits any.
std::string stem_of(const Candidate& candidate) {
    const std::string name = name_of(candidate.path);
    const std::string_view last = word(candidate.condition);
    return name.ends_with(last) ? name.substr(0, name.size() - last.size()) : "";
}

std::vector<Candidate> candidates_in(const fs::path& folder, unsigned threads) {
    std::vector<fs::path> runs;
    std::error_code problem;
    fs::directory_iterator entries(folder.empty() ? fs::path(".") : folder, problem);
    for (; !problem && entries != fs::directory_iterator(); entries.increment(problem)) {
        const fs::path path = folder.empty() ? entries->path().filename() : entries->path();
        if (holds_run(path)) runs.push_back(path);
    }
    std::sort(runs.begin(), runs.end());
    std::vector<std::optional<Candidate>> found(runs.size());
    in_parallel(runs.size(), threads, [&](std::size_t i) {
        const auto run = peek(runs[i]);
        if (!run || (run->info.condition != Condition::as_new && run->info.condition != Condition::before))
            return;
        found[i] = Candidate{runs[i], run->info.condition, run->cam.part, lobe_names(*run)};
    });
    std::vector<Candidate> out;
    for (auto& one : found) {
        if (one) out.push_back(std::move(*one));
    }
    return out;
}

std::vector<const Candidate*> best_named(const std::string& name, const Run& run, Condition condition,
                                         const std::vector<Candidate>& candidates) {
    const auto lobes = lobe_names(run);
    std::vector<const Candidate*> best;
    std::size_t longest = 0;
    for (const Candidate& one : candidates) {
        const std::string stem = stem_of(one);
        const bool fits = one.condition == condition && one.lobes == lobes && name.starts_with(stem) &&
                          (!one.part || !run.cam.part || *one.part == *run.cam.part);
        if (!fits || stem.size() < longest) continue;
        if (stem.size() > longest) best.clear();
        longest = stem.size();
        best.push_back(&one);
    }
    return best;
}

void pair_run(StudyItem& item, const std::vector<Candidate>& candidates) {
    if (candidates.empty()) return;
    const auto run = peek(item.path);
    if (!run || (run->info.condition != Condition::used && run->info.condition != Condition::after)) return;
    const std::string name = name_of(item.path);
    std::vector<const Candidate*> best;
    if (run->info.condition == Condition::after) best = best_named(name, *run, Condition::before, candidates);
    if (best.empty()) best = best_named(name, *run, Condition::as_new, candidates);
    if (best.size() == 1) item.reference = best.front()->path;
    if (best.size() < 2) return;
    item.failure =
        DataError(fmt::format("{}: {} and {} could both be its reference; list it with the one that is",
                              place(item.path), place(best[0]->path), place(best[1]->path)));
}

}  // namespace

std::vector<StudyItem> find_runs(const std::vector<fs::path>& folders) {
    std::vector<StudyItem> items;
    for (const fs::path& folder : folders) {
        std::error_code problem;
        if (!fs::is_directory(folder, problem))
            throw NoInputError(place(folder) + ": no such folder; name one that holds runs");
        add_runs_below(folder, items);
    }
    std::stable_sort(items.begin(), items.end(),
                     [](const StudyItem& a, const StudyItem& b) { return a.path < b.path; });
    const auto same = [](const StudyItem& a, const StudyItem& b) { return a.path == b.path; };
    items.erase(std::unique(items.begin(), items.end(), same), items.end());
    return items;
}

std::vector<StudyItem> listed_runs(std::string_view text, const fs::path& name) {
    std::vector<StudyItem> items;
    for (std::size_t line = 1; !text.empty(); ++line) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        std::string_view row = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (row.ends_with('\r')) row.remove_suffix(1);
        if (row.empty()) continue;
        const std::size_t tab = row.find('\t');
        const std::string_view used = tab == std::string_view::npos ? row : row.substr(tab + 1);
        const std::string_view reference = tab == std::string_view::npos ? "" : row.substr(0, tab);
        if (used.empty() || used.find('\t') != std::string_view::npos || (tab == 0)) {
            throw DataError(fmt::format("{}: {} isn't RUN, or REFERENCE, a tab and USED", place(name, line),
                                        in_quotes(row)));
        }
        items.push_back({fs::path(used), fs::path(reference), {}});
    }
    return items;
}

void pair_runs(std::vector<StudyItem>& items, unsigned threads) {
    std::map<fs::path, std::vector<std::size_t>> beside;
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (items[i].reference.empty() && !items[i].failure) beside[folder_of(items[i].path)].push_back(i);
    }
    std::vector<std::pair<const fs::path, std::vector<std::size_t>>*> groups;
    groups.reserve(beside.size());
    for (auto& group : beside) groups.push_back(&group);
    // Many folders of few runs, or few folders of many: threads where there is more to share out.
    const bool many = groups.size() > 1;
    in_parallel(groups.size(), many ? threads : 1, [&](std::size_t g) {
        const auto& [folder, runs] = *groups[g];
        const auto candidates = candidates_in(folder, many ? 1 : threads);
        in_parallel(runs.size(), many ? 1 : threads,
                    [&, &to_pair = runs](std::size_t i) { pair_run(items[to_pair[i]], candidates); });
    });
}

}  // namespace lobewright
