// outlet.hpp: where a virtual device is plugged in: a pseudo-terminal behind a symbolic link, or a tcp port for one caller at
// a time. It can be pulled out and put in again; a pseudo-terminal is then another one behind the same link. Nothing here
// waits.
// The slave of the pseudo-terminal is opened and set raw before anything is written, and held open: otherwise early bytes are
// echoed back and cooked, and with nobody there the master reads an error (measured, Linux 6.18).
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>

namespace lobewright::virtual_rig {

/// What happened at an outlet since the last look.
struct OutletNews {
    std::string bytes;  // from the host
    bool opened = false;
    bool closed = false;
};

/// A file descriptor that is closed in the end.
class Descriptor {
public:
    explicit Descriptor(int number = -1) : number_(number) {}
    ~Descriptor() { reset(); }
    Descriptor(Descriptor&& other) noexcept : number_(other.number_) { other.number_ = -1; }
    Descriptor& operator=(Descriptor&& other) noexcept;
    void reset();
    [[nodiscard]] int get() const { return number_; }
    [[nodiscard]] bool is_open() const { return number_ >= 0; }

private:
    int number_;
};

class Outlet {
public:
    /// Throws IoError when `link` is there and isn't a symbolic link, or can't be made.
    static Outlet pseudo_terminal(const std::filesystem::path& link);
    /// On this computer only; port 0: any that is free. Throws IoError when the port is taken.
    static Outlet tcp(std::uint16_t port);
    ~Outlet();
    Outlet(Outlet&&) = default;
    Outlet& operator=(Outlet&&) = delete;

    /// What a host is told to open: the link, or `tcp:127.0.0.1:PORT`.
    [[nodiscard]] std::string name() const;
    OutletNews look();
    /// Takes as many bytes as go; all of them when nobody is there to read them on tcp.
    std::size_t write(std::string_view bytes);
    void unplug();
    void plug();
    [[nodiscard]] bool plugged() const { return plugged_; }

private:
    Outlet() = default;
    OutletNews look_terminal();
    OutletNews look_tcp();
    void read(OutletNews& news);

    std::filesystem::path link_;  // of a pseudo-terminal; empty: tcp
    std::uint16_t port_ = 0;
    Descriptor listener_;
    Descriptor line_;  // the master, or the caller's socket
    Descriptor slave_;
    Descriptor watch_;  // tells when somebody opens or closes the slave
    bool plugged_ = false;
};

}  // namespace lobewright::virtual_rig
