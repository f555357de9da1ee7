#include <cstdio>

#include <catch2/catch.hpp>

#include "rig/acquisition/rig_connection.hpp"
#include "tests/rig/pty_controller.hpp"
#include "tests/rig/rig_lines.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

/// The controller in Python, as a process of its own.
class PythonController {
public:
    PythonController() {
        int in[2], out[2];
        if (::pipe2(in, O_CLOEXEC) != 0 || ::pipe2(out, O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
        child_ = ::fork();
        if (child_ == 0) {
            ::dup2(in[0], STDIN_FILENO);
            ::dup2(out[1], STDOUT_FILENO);
            ::execlp("/usr/bin/python3", "python3", LOBEWRIGHT_SOURCE_DIR "/tests/rig/tcp_controller.py",
                     nullptr);
            ::_exit(127);
        }
        ::close(in[0]);
        ::close(out[1]);
        input_ = in[1];
        std::FILE* const said = ::fdopen(out[0], "r");
        if (std::fscanf(said, "%d", &port_) != 1) port_ = 0;
        std::fclose(said);
    }
    ~PythonController() {
        ::close(input_);  // ends it
        ::waitpid(child_, nullptr, 0);
    }
    PythonController(const PythonController&) = delete;
    PythonController& operator=(const PythonController&) = delete;
    [[nodiscard]] int port() const { return port_; }

private:
    pid_t child_ = -1;
    int input_ = -1;
    int port_ = 0;
};

}  // namespace

TEST_CASE("a controller in another language, on tcp, is heard without loss", "[rig][connection][tcp]") {
    const PythonController controller;
    REQUIRE(controller.port() > 0);
    LiveEvents heard;
    RigConnection rig(controller_on(fmt::format("tcp:127.0.0.1:{}", controller.port())), nullptr,
                      heard.listener());
    CHECK(rig.rig().name == "python");
    rig.send({RigOrder::Kind::start});
    REQUIRE(heard.wait([](const EventList& list) { return !list.all<RigIndex>().empty(); }));
    const EventList list = heard.list();
    CHECK(list.all<RigReading>().size() == 2000);
    CHECK(list.all<RigTrouble>().empty());
    CHECK(list.all<RigReading>().back().front_mm == 0.049);
    CHECK_FALSE(list.all<RigReading>().back().rear_mm);
}
