// program.hpp: runs the real program and gives back what a shell would see.
#pragma once

#include <algorithm>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <sys/wait.h>
#include <unistd.h>
#include <vector>

#include "tests/temp_folder.hpp"

namespace lobewright::tests {

inline std::string text_of(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), {}};
}

/// The folder of a run that comes with the project.
inline std::string sample(const std::string& name) {
    return LOBEWRIGHT_SOURCE_DIR "/sample_runs/" + name;
}

inline bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

/// Bytes of the longest line.
inline std::size_t longest_line(const std::string& text) {
    std::size_t longest = 0, length = 0;
    for (const char c : text) {
        length = c == '\n' ? 0 : length + 1;
        longest = std::max(longest, length);
    }
    return longest;
}

struct Finished {
    int status = -1;  // exit status; -1 when a signal ended it
    std::string out;
    std::string err;
};

/// Runs `lobewright` with these arguments, standard output to `out_file` when it is given (a device, say).
inline Finished run_program(const std::vector<std::string>& arguments, const std::string& out_file = "") {
    const TempFolder folder;
    const std::string out = out_file.empty() ? folder / "out" : out_file;
    const std::string err = folder / "err";
    std::vector<char*> argv{const_cast<char*>(LOBEWRIGHT_PROGRAM)};
    for (const std::string& argument : arguments) argv.push_back(const_cast<char*>(argument.c_str()));
    argv.push_back(nullptr);
    const pid_t child = ::fork();
    if (child == 0) {
        ::dup2(::open(out.c_str(), O_WRONLY | O_CREAT, 0600), STDOUT_FILENO);
        ::dup2(::open(err.c_str(), O_WRONLY | O_CREAT, 0600), STDERR_FILENO);
        ::execv(LOBEWRIGHT_PROGRAM, argv.data());
        ::_exit(127);
    }
    int status = 0;
    if (child < 0 || ::waitpid(child, &status, 0) != child)
        throw std::runtime_error("the program didn't run");
    Finished finished;
    finished.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    if (out_file.empty()) finished.out = text_of(out);
    finished.err = text_of(err);
    return finished;
}

}  // namespace lobewright::tests
