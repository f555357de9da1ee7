#include "rig/transport/terminal_settings.hpp"

#include <fcntl.h>
#include <termios.h>
#include <unistd.h>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "rig/transport/port_list.hpp"
#include "tests/rig/pty_controller.hpp"

using namespace lobewright;
using namespace lobewright::tests;

TEST_CASE("whatever was set before, a port is raw afterwards", "[rig][transport]") {
    const TempFolder folder;
    const PtyController other_end(folder / "port");
    const int terminal = ::open((folder / "port").c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK);
    REQUIRE(terminal >= 0);
    // As a library or another program may leave it.
    termios left{};
    ::tcgetattr(terminal, &left);
    left.c_iflag |= IXON | ICRNL | ISTRIP;
    left.c_lflag |= ECHO | ICANON | ISIG;
    left.c_cflag |= HUPCL | PARENB;
    left.c_cc[VMIN] = 0;
    left.c_cc[VTIME] = 0;
    ::tcsetattr(terminal, TCSANOW, &left);
    set_raw(terminal, {"port"});
    termios now{};
    ::tcgetattr(terminal, &now);
    CHECK((now.c_iflag & (IXON | ICRNL | ISTRIP)) == 0);
    CHECK((now.c_lflag & (ECHO | ICANON | ISIG)) == 0);
    CHECK((now.c_cflag & HUPCL) == 0);
    CHECK(now.c_cc[VMIN] == 1);
    CHECK((::fcntl(terminal, F_GETFD) & FD_CLOEXEC) != 0);
    // Idle isn't gone: a read finds nothing rather than an end.
    char byte = 0;
    CHECK(::read(terminal, &byte, 1) == -1);
    CHECK(errno == EAGAIN);
    // Every byte value comes through as it was sent.
    std::string all;
    for (int i = 0; i < 256; ++i) all += static_cast<char>(i);
    other_end.send(all);
    std::string got;
    pollfd ready{terminal, POLLIN, 0};
    while (got.size() < all.size() && ::poll(&ready, 1, 5000) > 0) {
        char buffer[512];
        const ssize_t size = ::read(terminal, buffer, sizeof buffer);
        if (size > 0) got.append(buffer, static_cast<std::size_t>(size));
    }
    CHECK(got == all);
    ::close(terminal);
}

TEST_CASE("a port is for one program at a time, and free again afterwards", "[rig][transport]") {
    const TempFolder folder;
    const PtyController other_end(folder / "port");
    const std::string name = folder / "port";
    const int first = ::open(name.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
    const int second = ::open(name.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
    take_exclusively(first, name);
    CHECK_THROWS_AS(take_exclusively(second, name), DeviceError);
    release_exclusion(first);
    ::close(first);
    take_exclusively(second, name);
    release_exclusion(second);
    ::close(second);
    const int null = ::open("/dev/null", O_RDWR | O_CLOEXEC);
    CHECK_THROWS_AS(set_raw(null, {"/dev/null"}), DeviceError);
    ::close(null);
    const int third = ::open(name.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
    CHECK_THROWS_WITH(set_raw_with_speed(third, {name, 123'457}), Catch::Contains("no 123457 baud"));
    ::close(third);
}

TEST_CASE("a device is known again by serial number, socket or name", "[rig][transport]") {
    const PortInfo with_serial{"/dev/ttyUSB0", "", true, 1, 2, "A1", "1-2"};
    PortInfo moved = with_serial;
    moved.name = "/dev/ttyUSB3";
    moved.usb_socket = "2-1";
    CHECK(same_device(with_serial, moved));
    PortInfo other = with_serial;
    other.serial = "B2";
    CHECK_FALSE(same_device(with_serial, other));
    const PortInfo without{"/dev/ttyUSB0", "", true, 1, 2, "", "1-2"};
    PortInfo renumbered = without;
    renumbered.name = "/dev/ttyUSB1";
    CHECK(same_device(without, renumbered));
    renumbered.usb_socket = "1-3";
    CHECK_FALSE(same_device(without, renumbered));
    CHECK(same_device({"/dev/ttyS0", "", false, 0, 0, "", ""}, {"/dev/ttyS0", "", false, 0, 0, "", ""}));
}
