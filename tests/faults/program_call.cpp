#include "tests/faults/program_call.hpp"

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <fcntl.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <thread>

#include "tests/cli/program.hpp"

namespace lobewright::tests {
namespace {

constexpr std::chrono::seconds patience{60};
constexpr int not_made = 125;  // the conditions; the program itself ends with no such status
constexpr int not_run = 126;
constexpr unsigned nobody = 65534;

bool open_as(int stream, const std::string& file, int flags) {
    if (file == closed) return ::close(stream) == 0;
    int ends[2] = {-1, -1};
    if (file == reader_gone)
        return ::pipe(ends) == 0 && ::close(ends[0]) == 0 && ::dup2(ends[1], stream) == stream;
    const int opened = ::open(file.c_str(), flags, 0600);
    return opened >= 0 && ::dup2(opened, stream) == stream && (opened == stream || ::close(opened) == 0);
}

bool limit(int what, const std::optional<std::size_t>& most) {
    if (!most) return true;
    const rlimit both{*most, *most};
    return ::setrlimit(static_cast<__rlimit_resource>(what), &both) == 0;
}

/// On one processor: the stacks of as many threads as a machine has would count, and differ from machine to machine.
bool limit_memory(const std::optional<std::size_t>& most) {
    if (!most) return true;
    cpu_set_t allowed, one;
    if (::sched_getaffinity(0, sizeof allowed, &allowed) != 0) return false;
    int first = 0;
    while (first < CPU_SETSIZE - 1 && !CPU_ISSET(first, &allowed)) ++first;
    CPU_ZERO(&one);
    CPU_SET(first, &one);
    return ::sched_setaffinity(0, sizeof one, &one) == 0 && limit(RLIMIT_AS, most);
}

/// In name spaces of its own, so that nobody else sees it.
bool make_read_only(const std::string& folder) {
    const int apart = CLONE_NEWNS | (::geteuid() == 0 ? 0 : CLONE_NEWUSER);
    return ::unshare(apart) == 0 && ::mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr) == 0 &&
           ::mount(folder.c_str(), folder.c_str(), nullptr, MS_BIND, nullptr) == 0 &&
           ::mount(nullptr, folder.c_str(), nullptr, MS_REMOUNT | MS_BIND | MS_RDONLY, nullptr) == 0;
}

bool become_nobody() {
    return ::geteuid() != 0 || (::setgid(nobody) == 0 && ::setuid(nobody) == 0);
}

[[noreturn]] void be_the_program(const Conditions& conditions, const std::string& folder,
                                 const std::string& out, const std::string& err, char* const* argv) {
    for (const std::string& variable : conditions.environment) {
        const std::size_t equals = variable.find('=');
        ::setenv(variable.substr(0, equals).c_str(), variable.c_str() + equals + 1, 1);
    }
    const bool made =
        (!conditions.read_only || make_read_only(folder)) && ::chdir(folder.c_str()) == 0 &&
        open_as(STDIN_FILENO, conditions.in, O_RDONLY) && open_as(STDOUT_FILENO, out, O_WRONLY | O_CREAT) &&
        open_as(STDERR_FILENO, err, O_WRONLY | O_CREAT) && (!conditions.as_nobody || become_nobody()) &&
        limit(RLIMIT_FSIZE, conditions.most_file) && limit_memory(conditions.most_memory);
    if (!made) ::_exit(not_made);
    ::execv(LOBEWRIGHT_PROGRAM, argv);
    ::_exit(not_run);
}

/// Its wait status; nothing when it had to be ended.
std::optional<int> wait_for(pid_t child) {
    const auto until = std::chrono::steady_clock::now() + patience;
    for (int status = 0; std::chrono::steady_clock::now() < until;) {
        if (::waitpid(child, &status, WNOHANG) == child) return status;
        std::this_thread::sleep_for(std::chrono::milliseconds(1));  // a look every so often, not a wait
    }
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    return std::nullopt;
}

}  // namespace

Ended call_program(const Conditions& conditions, const std::filesystem::path& folder) {
    const TempFolder caught;
    const std::string out = conditions.out.empty() ? caught / "out" : conditions.out;
    const std::string err = conditions.err.empty() ? caught / "err" : conditions.err;
    std::vector<char*> argv{const_cast<char*>(LOBEWRIGHT_PROGRAM)};
    for (const std::string& word : conditions.words) argv.push_back(const_cast<char*>(word.c_str()));
    argv.push_back(nullptr);
    const pid_t child = ::fork();
    if (child == 0) be_the_program(conditions, folder.string(), out, err, argv.data());
    if (child < 0) throw std::runtime_error("the program didn't run");
    const std::optional<int> status = wait_for(child);
    Ended ended;
    ended.hung = !status;
    if (status && WIFEXITED(*status)) ended.status = WEXITSTATUS(*status);
    if (status && WIFSIGNALED(*status)) ended.signal = WTERMSIG(*status);
    if (ended.status == not_made) ended.skipped = "the system doesn't let these conditions be made";
    if (ended.status == not_run) ended.skipped = "this user can't run the program";
    if (conditions.out.empty()) ended.out = text_of(out);
    if (conditions.err.empty()) ended.err = text_of(err);
    return ended;
}

}  // namespace lobewright::tests
