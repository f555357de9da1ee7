// started_program.hpp: the real program left running beside the test, its input from a text, its output in a file: to
// be waited for, told to end, or ended when the test is over.
#pragma once

#include <chrono>
#include <csignal>
#include <fstream>
#include <string>
#include <thread>
#include <vector>

#include "tests/cli/program.hpp"

namespace lobewright::tests {

class StartedProgram {
public:
    explicit StartedProgram(const std::vector<std::string>& arguments, const std::string& input = "") {
        const std::string in = folder_ / "in";
        const std::string out = folder_ / "out";
        std::ofstream(in, std::ios::binary) << input;
        std::vector<char*> argv{const_cast<char*>(LOBEWRIGHT_PROGRAM)};
        for (const std::string& argument : arguments) argv.push_back(const_cast<char*>(argument.c_str()));
        argv.push_back(nullptr);
        child_ = ::fork();
        if (child_ == 0) {
            ::dup2(::open(in.c_str(), O_RDONLY), STDIN_FILENO);
            ::dup2(::open(out.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0600), STDOUT_FILENO);
            ::dup2(STDOUT_FILENO, STDERR_FILENO);
            ::execv(LOBEWRIGHT_PROGRAM, argv.data());
            ::_exit(127);
        }
        if (child_ < 0) throw std::runtime_error("the program didn't run");
    }
    ~StartedProgram() {
        if (child_ <= 0) return;
        ::kill(child_, SIGKILL);
        ::waitpid(child_, nullptr, 0);
    }
    StartedProgram(const StartedProgram&) = delete;
    StartedProgram& operator=(const StartedProgram&) = delete;

    /// What it has said so far, on both of its outputs.
    [[nodiscard]] std::string said() const { return text_of(folder_ / "out"); }
    /// Waits until it has said this; false when it has ended or a minute has passed without it.
    bool says(const std::string& words) {
        return comes(std::chrono::seconds(60), [&] { return has(said(), words); }) && has(said(), words);
    }
    /// Whether it ends by itself within so long.
    bool ends_within(std::chrono::seconds limit) {
        return comes(limit, [] { return false; }) && child_ <= 0;
    }
    /// Tells it to end, and waits until it has. Its exit status, or minus the signal that ended it.
    int end(int signal) {
        if (child_ > 0) ::kill(child_, signal);
        if (!ends_within(std::chrono::seconds(60)))
            throw std::runtime_error("the program doesn't end: " + said());
        return status_;
    }
    [[nodiscard]] int status() const { return status_; }

private:
    /// Looks every so often until `holds`, or the program has ended, or the limit is over (false).
    template <class Holds>
    bool comes(std::chrono::seconds limit, Holds&& holds) {
        const auto until = std::chrono::steady_clock::now() + limit;
        while (child_ > 0 && !holds()) {
            int status = 0;
            if (::waitpid(child_, &status, WNOHANG) == child_) {
                child_ = -1;
                status_ = WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
                break;
            }
            if (std::chrono::steady_clock::now() > until) return false;
            std::this_thread::sleep_for(std::chrono::milliseconds(2));  // a look every so often, not a wait
        }
        return true;
    }

    TempFolder folder_;
    pid_t child_ = -1;
    int status_ = -1000;
};

}  // namespace lobewright::tests
