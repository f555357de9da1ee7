#include "cli/unfinished_file.hpp"

#include <cstring>
#include <unistd.h>

#include <climits>

namespace lobewright {
namespace {

char unfinished_name[PATH_MAX];  // a handler can reach nothing else

/// SA_RESETHAND has put the signal's own way back, which it takes once the handler is left.
void remove_and_end(int number) {
    ::unlink(unfinished_name);
    static_cast<void>(::raise(number));
}

}  // namespace

UnfinishedFile::UnfinishedFile(const std::filesystem::path& file) {
    if (file.native().size() >= sizeof unfinished_name) return;  // the system takes no such name
    std::memcpy(unfinished_name, file.c_str(), file.native().size() + 1);
    for (const int number : {SIGINT, SIGTERM, SIGHUP, SIGQUIT}) {
        struct sigaction before {};
        if (::sigaction(number, nullptr, &before) != 0 || before.sa_handler != SIG_DFL) continue;
        before_.emplace_back(number, before);
        struct sigaction action {};
        action.sa_handler = remove_and_end;
        action.sa_flags = SA_RESTART | static_cast<int>(SA_RESETHAND);
        sigemptyset(&action.sa_mask);
        ::sigaction(number, &action, nullptr);
    }
}

UnfinishedFile::~UnfinishedFile() {
    for (const auto& [number, action] : before_) ::sigaction(number, &action, nullptr);
}

}  // namespace lobewright
