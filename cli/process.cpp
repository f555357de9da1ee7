#include "cli/process.hpp"

#include <csignal>
#include <cstdlib>
#include <cstring>
#include <exception>
#include <fcntl.h>
#include <new>
#include <unistd.h>

#include "analysis/errors.hpp"

namespace lobewright {
namespace {

/// Opened the wrong way round, so that reading or writing fails as it does on a closed stream.
void take_closed_streams() {
    for (int stream = STDIN_FILENO; stream <= STDERR_FILENO; ++stream) {
        if (::fcntl(stream, F_GETFD) >= 0) continue;
        static_cast<void>(::open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY));
    }
}

void say(const char* text) {
    static_cast<void>(::write(STDERR_FILENO, text, std::strlen(text)) < 0);
}

/// In a destructor, say, which some libraries' make use of memory for.
[[noreturn]] void end_without_memory() {
    const std::exception_ptr thrown = std::current_exception();
    try {
        if (thrown) std::rethrow_exception(thrown);
    } catch (const std::bad_alloc&) {
        say("lobewright: ");
        say(out_of_memory);
        say("\n");
        ::_exit(static_cast<int>(Exit::io));
    } catch (...) {
    }
    std::abort();
}

}  // namespace

void prepare_process() {
    take_closed_streams();
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN);
    std::set_terminate(end_without_memory);
}

}  // namespace lobewright
