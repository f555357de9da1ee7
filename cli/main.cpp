// main.cpp: exceptions to one line on standard error and the exit status of README.md; nothing else.
#include <cstdio>
#include <exception>
#include <new>
#include <system_error>

#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/process.hpp"

namespace {

int complain(const char* what, lobewright::Exit exit) {
    std::fprintf(stderr, "lobewright: %s\n", lobewright::one_line(what).c_str());
    return static_cast<int>(exit);
}

}  // namespace

int main(int argc, char** argv) {
    using namespace lobewright;
    prepare_process();
    try {
        return static_cast<int>(choose_action(argc, argv)());
    } catch (const ClosedPipe& error) {
        return static_cast<int>(error.exit());  // nobody is left to tell
    } catch (const Error& error) {
        return complain(error.what(), error.exit());
    } catch (const std::bad_alloc&) {
        return complain(out_of_memory, Exit::io);
    } catch (const std::system_error& error) {
        // Neither file nor port, which have lines of their own: a thread for which there is no memory.
        const bool full = error.code() == std::errc::resource_unavailable_try_again;
        return complain(full ? out_of_memory : error.what(), Exit::io);
    } catch (const std::exception& error) {
        return complain(error.what(), Exit::io);
    }
}
