// Memory and room on the disk that run out. A limit on files' size stands for a full disk: it holds for root too, and needs no
// disk of its own; the program hears of it in the same place, by a write that fails.
#include <fmt/format.h>

#include "tests/cli/small_run.hpp"
#include "tests/faults/program_faults.hpp"

namespace lobewright::tests {
namespace {

constexpr std::size_t megabyte = std::size_t{1} << 20U;

/// Half a million rows, some 13 MB.
void write_big_sweep(Scene& scene) {
    if (sanitized) scene.skipped = "a sanitizer needs more memory than that itself";
    std::ofstream out(scene.folder / "new/sweeps/a.csv");
    out << "# lobewright-sweep/1\n# of: 1E\nangle_deg,front,rear\n";
    fmt::memory_buffer rows;
    for (int i = 0; i < 500000; ++i) {
        const double deg = 360.0 * i / 500000.0, lift_mm = small_lobe_lift(deg - 100.0, 5.5);
        fmt::format_to(std::back_inserter(rows), "{:.5f},{:.4f},{:.4f}\n", deg, lift_mm, lift_mm);
    }
    out.write(rows.data(), static_cast<std::streamsize>(rows.size()));
}

/// At every limit, a megabyte apart: not even begun, or the one line, or judged as without one; and nothing left half done.
std::string wrong_at_some_limit(Scene& scene, const std::vector<std::string>& words, int judged) {
    std::size_t without = 0, with = 0;
    for (std::size_t most = 12 * megabyte; most <= 24 * megabyte; most += megabyte) {
        const Ended ended = call_program({.words = words, .most_memory = most}, scene.folder.path());
        const bool enough = ended.status == judged && ended.signal == 0;
        // A study tells in the line of the run.
        const std::string said = ended.err + text_of(scene.folder / "a.ndjson");
        const bool told = ended.status == 74 && has(said, "memory") &&
                          std::count(ended.err.begin(), ended.err.end(), '\n') == 1;
        const bool not_begun = ended.status == 127 && has(ended.err, "loading shared libraries");
        if (!enough && !told && !not_begun)
            return fmt::format("at {} MB: status {}, signal {}: {}", most / megabyte, ended.status,
                               ended.signal, ended.err);
        (enough ? with : without) += 1;
        for (const auto& entry : std::filesystem::recursive_directory_iterator(scene.folder.path()))
            if (has(entry.path().filename().string(), ".part"))
                return "left behind: " + entry.path().string();
    }
    return with == 0 || without == 0 ? fmt::format("{} without enough, {} with", without, with) : "";
}

std::vector<ProgramFault> of_memory() {
    const auto small = [](Scene& scene) {
        if (sanitized) scene.skipped = "a sanitizer needs more memory than that itself";
    };
    ProgramFault big{.done = "a sweep of 500 000 rows in 24 MB",
                     .call = {.words = {"inspect", "new"}, .most_memory = 24 * megabyte},
                     .status = 74,
                     .says = "new: the run doesn't fit in memory",
                     .prepare = write_big_sweep};
    ProgramFault compared{.done = "each limit from 12 to 24 MB, 1 MB apart",
                          .call = {.words = {"compare", "new", "used", "--json"}},
                          .status = 1,
                          .prepare = small};
    compared.wrong = [](Scene& scene, const Ended&) {
        return wrong_at_some_limit(scene, {"compare", "new", "used", "--json"}, 1);
    };
    ProgramFault reported{.done = "each limit from 12 to 24 MB, 1 MB apart",
                          .call = {.words = {"report", "new", "used", "--to", "page.html"}},
                          .left = "page.html new",
                          .prepare = small};
    reported.wrong = [](Scene& scene, const Ended&) {
        return wrong_at_some_limit(scene, {"report", "new", "used", "--to", "page.html", "--overwrite"}, 0);
    };
    ProgramFault drawn{.done = "charts drawn in 30 MB",
                       .call = {.words = {"report", "used", "--to", "page.html", "--figures", "svg"},
                                .most_memory = 30 * megabyte},
                       .status = 74,
                       .says = "out of memory",
                       .prepare = small};
    ProgramFault studied{.done = "each limit from 12 to 24 MB, 1 MB apart",
                         .call = {.words = {"study", ".", "--out", "a.ndjson"}},
                         .says = "2 of 2 runs",
                         .left = "a.ndjson new",
                         .prepare = small};
    studied.wrong = [](Scene& scene, const Ended&) {
        return wrong_at_some_limit(scene, {"study", ".", "--out", "a.ndjson", "--overwrite"}, 0);
    };
    return {big, compared, reported, drawn, studied};
}

/// A command that writes; its files may grow to so many bytes.
ProgramFault full_after(std::size_t bytes, const std::vector<std::string>& words, const std::string& says,
                        const std::string& left = "as before") {
    return {.done = fmt::format("the disk is full after {} bytes", bytes),
            .call = {.words = words, .most_file = bytes},
            .status = 74,
            .says = says,
            .left = left};
}

ProgramFault full_out(const std::vector<std::string>& words) {
    return {.done = "standard output is full",
            .call = {.words = words, .out = "/dev/full"},
            .status = 74,
            .says = "standard output can't be written: No space left on device"};
}

void write_old_page(Scene& scene) {
    std::ofstream(scene.folder / "page.html") << "an older page</html>\n";
}

std::vector<ProgramFault> of_disk() {
    std::vector<ProgramFault> faults{
        full_after(100000, {"report", "new", "used", "--to", "page.html"},
                   "page.html.part: can't be written: File too large"),
        full_after(100000, {"report", "new", "used", "--to", "page.html", "--overwrite"},
                   "page.html.part: can't be written"),
        full_after(1000, {"report", "used", "--to", "page.html", "--figures", "svg"},
                   ".part: can't be written", "svg new"),
        full_after(1000, {"compare", "new", "used", "--csv", "curves"}, ".part: can't be written",
                   "curves new"),
        full_after(8000, {"study", ".", "--out", "a.ndjson"}, "a.ndjson: can't be written: File too large",
                   "a.ndjson new"),
        full_after(1000, {"manual", "man"}, ".part: can't be written", "man new"),
        full_after(300, {"regrind", "used", "--target", "new", "--table", "grind"}, ".part: can't be written",
                   "grind new"),
        full_out({"compare", "new", "used", "--json"}),
        full_out({"inspect", "used"}),
        full_out({"study", "."}),
        full_out({"budget", "used", "--against", "new"}),
        full_out({"--version"}),
    };
    faults[1].prepare = write_old_page;
    ProgramFault device{.done = "a device where a page should be",
                        .call = {.words = {"report", "new", "--to", "/dev/full", "--overwrite"}},
                        .status = 74,
                        .says = "/dev/full: isn't a file; name one to write"};
    faults.push_back(device);
    return faults;
}

std::vector<ProgramFault> of_disk_at_the_bench() {
    ProgramFault sweep = full_after(40000, sweep_words(),
                                    "sweeps/.1E-1.csv.part: can't be written: File too large", "run new");
    sweep.call.in = "BESIDE/enter";
    sweep.prepare = [](Scene& scene) { prepare_rig(scene); };
    sweep.wrong = [](Scene& scene, const Ended& ended) -> std::string {
        if (!has(ended.out, "recording failed")) return "doesn't tell that the capture fails";
        const bool none = std::filesystem::is_empty(scene.folder / "run/sweeps");
        return none ? "" : "something is left of the sweep";
    };
    ProgramFault capture = full_after(300, sweep_words(), "can't be written: File too large");
    capture.left = "run new";
    capture.prepare = [](Scene& scene) { prepare_rig(scene); };
    return {sweep, capture};
}

}  // namespace

std::vector<FaultGroup> faults_of_memory_and_disk() {
    return {{"Out of memory", of_memory()},
            {"Full disk", of_disk()},
            {"Full disk at the bench", of_disk_at_the_bench()}};
}

}  // namespace lobewright::tests
