// main.cpp: exceptions to one line on standard error and the exit status of README.md; nothing else.
#include <csignal>
#include <cstdio>
#include <exception>

#include "cli/commands.hpp"
#include "cli/output.hpp"

namespace {

int complain(const char* what, lobewright::Exit exit) {
    std::fprintf(stderr, "lobewright: %s\n", lobewright::one_line(what).c_str());
    return static_cast<int>(exit);
}

}  // namespace

int main(int argc, char** argv) {
    using namespace lobewright;
    std::signal(SIGPIPE, SIG_IGN);  // a closed pipe is an error to report, not a death
    try {
        return static_cast<int>(choose_action(argc, argv)());
    } catch (const ClosedPipe& error) {
        return static_cast<int>(error.exit());  // nobody is left to tell
    } catch (const Error& error) {
        return complain(error.what(), error.exit());
    } catch (const std::exception& error) {
        return complain(error.what(), Exit::io);
    }
}
