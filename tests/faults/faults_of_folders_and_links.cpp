// Folders that can't be written, disks that can only be read, and links of every kind.
#include <unistd.h>

#include "tests/faults/program_faults.hpp"

namespace lobewright::tests {
namespace {

namespace fs = std::filesystem;

/// The scene as its owner locked it; `nobody` may look and no more.
void lock(Scene& scene) {
    fs::permissions(scene.folder.path(), ::geteuid() == 0 ? fs::perms(0755) : fs::perms(0555));
    const auto reached = [](const fs::path& folder) {
        return (fs::status(folder).permissions() & fs::perms::others_exec) != fs::perms::none;
    };
    for (fs::path folder = fs::path(LOBEWRIGHT_PROGRAM).parent_path(); folder != folder.root_path();
         folder = folder.parent_path())
        if (::geteuid() == 0 && !reached(folder)) scene.skipped = "another user can't reach the program";
}

ProgramFault locked(const std::vector<std::string>& words, const std::string& says) {
    return {.done = "a folder of somebody else's",
            .call = {.words = words, .as_nobody = true},
            .status = 74,
            .says = says,
            .prepare = lock};
}

ProgramFault read_only(const std::vector<std::string>& words, const std::string& says, int status = 74) {
    return {.done = "a disk that can only be read",
            .call = {.words = words, .read_only = true},
            .status = status,
            .says = says};
}

ProgramFault no_folder(const std::vector<std::string>& words, const std::string& says) {
    return {.done = "a file where a folder should be",
            .call = {.words = words},
            .status = 74,
            .says = says,
            .prepare = [](Scene& scene) { std::ofstream(scene.folder / "file") << "text\n"; }};
}

void write_lines(Scene& scene) {
    std::ofstream(scene.folder / "old.ndjson") << "";
}

ProgramFault linked(const std::string& done, const std::vector<std::string>& words, int status,
                    const std::string& says, const std::string& left,
                    const std::vector<std::pair<std::string, std::string>>& links) {
    return {.done = done,
            .call = {.words = words},
            .status = status,
            .says = says,
            .left = left,
            .prepare = [links](Scene& scene) {
                for (const auto& [name, to] : links) {
                    std::error_code ignored;
                    fs::remove(scene.folder / name, ignored);
                    fs::create_symlink(to, scene.folder / name);
                }
            }};
}

std::vector<ProgramFault> of_links() {
    ProgramFault through =
        linked("a page that is a link to a page", {"report", "new", "--to", "page.html", "--overwrite"}, 0,
               "", "there.html replaced", {{"page.html", "there.html"}});
    through.prepare = [before = through.prepare](Scene& scene) {
        before(scene);
        std::ofstream(scene.folder / "there.html") << "an older page</html>\n";
    };
    return {
        linked("a run folder that is a link", {"compare", "here", "used"}, 1, "", "as before",
               {{"here", "new"}}),
        linked("a run folder that is a link to nothing", {"inspect", "here"}, 66, "here: no such run folder",
               "as before", {{"here", "nowhere"}}),
        linked("run folders linked in a circle", {"inspect", "here"}, 74, "Too many levels of symbolic links",
               "as before", {{"here", "there"}, {"there", "here"}}),
        linked("a sweep that is a link to nothing", {"inspect", "new"}, 66, "new/sweeps/a.csv: no such file",
               "as before", {{"new/sweeps/a.csv", "nowhere"}}),
        linked("a sweep that is a link to itself", {"inspect", "new"}, 74,
               "Too many levels of symbolic links", "as before", {{"new/sweeps/a.csv", "a.csv"}}),
        linked("a run folder that holds itself", {"study", ".", "--out", "a.ndjson"}, 0, "2 of 2 runs",
               "a.ndjson new", {{"new/again", "../new"}, {"round", "."}}),
        through,
        linked("a page that is a link to nothing yet", {"report", "new", "--to", "page.html"}, 0, "",
               "there.html new", {{"page.html", "there.html"}}),
        linked("pages linked in a circle", {"report", "new", "--to", "page.html"}, 74,
               "page.html: links lead round in a circle", "as before",
               {{"page.html", "there.html"}, {"there.html", "page.html"}}),
        linked("a link where the unfinished page goes", {"report", "new", "--to", "page.html"}, 0, "",
               "page.html new, page.html.part gone", {{"page.html.part", "new/run.toml"}}),
    };
}

}  // namespace

std::vector<FaultGroup> faults_of_folders_and_links() {
    ProgramFault resumed =
        locked({"study", ".", "--out", "old.ndjson", "--resume"}, "old.ndjson: can't be written");
    resumed.prepare = [](Scene& scene) {
        write_lines(scene);
        fs::permissions(scene.folder / "old.ndjson", fs::perms(0444));
        lock(scene);
    };
    return {
        {"Folders that can't be written",
         {locked({"report", "new", "--to", "page.html"}, "page.html.part: can't be made: Permission denied"),
          locked({"study", ".", "--out", "a.ndjson"}, "a.ndjson: can't be written: Permission denied"),
          resumed, locked({"manual", "man"}, "man: can't be made: Permission denied"),
          locked({"compare", "new", "used", "--csv", "curves"}, "curves: can't be made: Permission denied"),
          no_folder({"report", "new", "--to", "file/page.html"}, "can't be made: Not a directory"),
          no_folder({"study", ".", "--out", "file/a.ndjson"}, "can't be written: Not a directory"),
          no_folder({"manual", "file/man"}, "file/man: can't be made: Not a directory")}},
        {"Disks that can only be read",
         {read_only({"compare", "new", "used"}, "", 1),
          read_only({"report", "new", "--to", "page.html"}, "can't be made: Read-only file system"),
          read_only({"study", ".", "--out", "a.ndjson"}, "can't be written: Read-only file system"),
          read_only({"virtual-rig", "--pty", "rig"}, "Read-only file system")}},
        {"Links", of_links()}};
}

}  // namespace lobewright::tests
