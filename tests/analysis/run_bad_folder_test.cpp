// Folders that can't be read: what is missing is 66, what is there and resists is 74.
#include <sys/stat.h>
#include <unistd.h>

#include "run_bad_input.hpp"

using lobewright::Exit;
using namespace lobewright_test;
namespace fs = std::filesystem;

TEST_CASE("a folder that can't be read says why", "[run][bad_input]") {
    const auto replace_by_folder = [](const std::string& file) {
        return [=](const fs::path& folder) {
            fs::remove(folder / file);
            fs::create_directory(folder / file);
        };
    };
    const auto replace_by_link_to_itself = [](const std::string& file) {
        return [=](const fs::path& folder) {
            fs::remove_all(folder / file);
            fs::create_symlink((folder / file).filename(), folder / file);
        };
    };
    const std::vector<BadInput> rows{
        {"no folder",
         [](const fs::path& folder) { fs::remove_all(folder); },
         Exit::no_input,
         {"run: no such run folder"}},
        {"a file where the folder should be",
         [](const fs::path& folder) {
             fs::remove_all(folder);
             write_text(folder, "run");
         },
         Exit::no_input,
         {"run: isn't a run folder"}},
        {"no run.toml",
         [](const fs::path& folder) { fs::remove(folder / "run.toml"); },
         Exit::no_input,
         {"run.toml: no such file"}},
        {"no sweeps folder",
         [](const fs::path& folder) { fs::remove_all(folder / "sweeps"); },
         Exit::no_input,
         {"sweeps: no such folder"}},
        {"a file where sweeps should be",
         [](const fs::path& folder) {
             fs::remove_all(folder / "sweeps");
             write_text(folder / "sweeps", "");
         },
         Exit::io,
         {"sweeps: can't be read"}},
        {"run.toml is a folder", replace_by_folder("run.toml"), Exit::io, {"run.toml: is a folder"}},
        {"run.toml is a link to itself",
         replace_by_link_to_itself("run.toml"),
         Exit::io,
         {"run.toml: can't be opened"}},
        {"the folder is a link to itself",
         [](const fs::path& folder) {
             fs::remove_all(folder);
             fs::create_symlink("run", folder);
         },
         Exit::io,
         {"run: can't be read"}},
        {"a sweep is a link to itself",
         replace_by_link_to_itself("sweeps/a.csv"),
         Exit::io,
         {"a.csv: can't be opened"}},
        {"a sweep is a pipe that nobody writes",
         [](const fs::path& folder) { REQUIRE(::mkfifo((folder / "sweeps/p.csv").c_str(), 0600) == 0); },
         Exit::io,
         {"p.csv: isn't a plain file"}},
        {"a sweep is a device",
         [](const fs::path& folder) { fs::create_symlink("/dev/zero", folder / "sweeps/z.csv"); },
         Exit::io,
         {"z.csv: isn't a plain file"}},
        {"a sweep larger than any memory",
         [](const fs::path& folder) { fs::resize_file(folder / "sweeps/a.csv", std::uintmax_t{1} << 40); },
         Exit::data,
         {"a.csv:", "1099511627776 bytes"}},
    };
    for (const BadInput& row : rows) require_refused(row);
}

TEST_CASE("a file without permission can't be read", "[run][bad_input]") {
    // Root may read every file: be nobody for as long as the folder is read.
    constexpr uid_t nobody = 65534;
    const uid_t self = ::geteuid();
    for (const std::string file : {"run.toml", "sweeps/a.csv", "sweeps"}) {
        INFO(file);
        const TempFolder temp;
        fs::permissions(temp.path(), fs::perms::all);
        const fs::path folder = make_run(temp.path() / "run");
        fs::permissions(folder / file, fs::perms::none);
        if (self == 0) REQUIRE(::seteuid(nobody) == 0);
        const std::string message = message_of(folder, Exit::io);
        REQUIRE(::seteuid(self) == 0);
        fs::permissions(folder / file, fs::perms::owner_all);
        CHECK_THAT(message, Catch::Contains(file + ": can't be "));
    }
}
