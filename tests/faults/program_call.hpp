// program_call.hpp: the shipped program called under conditions that a shell can make: little memory, files that may not grow,
// closed streams, another user, a disk that can't be written, another locale.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace lobewright::tests {

inline constexpr auto closed = "closed";
inline constexpr auto reader_gone = "reader gone";

struct Conditions {
    std::vector<std::string> words;               // behind `lobewright`
    std::optional<std::size_t> most_memory = {};  // bytes of address space
    std::optional<std::size_t> most_file = {};    // bytes that a file may grow to
    std::string in = "/dev/null";                 // files; `closed`
    std::string out = {};                         // caught unless a file is named; `closed`; `reader_gone`
    std::string err = {};
    std::vector<std::string> environment = {};  // "LC_ALL=C"
    bool as_nobody = false;                     // root obeys no modes
    bool read_only = false;                     // the folder, as a disk that can't be written
};

struct Ended {
    int status = -1;      // exit status
    int signal = 0;       // that ended it, 0 when none did
    bool hung = false;    // had to be ended after 60 s
    std::string skipped;  // why the conditions can't be made here; nothing was run then
    std::string out;
    std::string err;
};

/// Called in `folder`, where its relative names are.
Ended call_program(const Conditions& conditions, const std::filesystem::path& folder);

}  // namespace lobewright::tests
