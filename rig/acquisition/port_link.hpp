// port_link.hpp: one device's port while the rig is connected: open, read, told to, lost, found again. Everything happens on
// the thread that runs its io_context, but opening, which may take seconds and has a thread of its own.
#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>

#include "rig/acquisition/rig_description.hpp"
#include "rig/transport/open_port.hpp"

namespace lobewright {

class PortLink {
public:
    struct Hears {
        std::function<void(PortLink&, std::int64_t host_us, std::string_view bytes)> bytes;
        std::function<void(PortLink&, std::int64_t host_us)> gone;
        std::function<void(PortLink&, std::int64_t host_us)> back;
    };

    PortLink(boost::asio::io_context& context, boost::asio::thread_pool& opener, DeviceDescription device,
             Hears hears);

    /// Opens the port, waiting for it. Throws DeviceError.
    void open();
    /// Begins to read what is open.
    void begin();
    /// Sends `bytes` as soon as the port takes them; those that a vanished device didn't take are forgotten.
    void send(std::string bytes);
    /// Ends reading and reopening; the port is closed once its handlers have run.
    void close();

    [[nodiscard]] const DeviceDescription& device() const { return device_; }
    [[nodiscard]] bool is_open() const { return port_.has_value(); }
    [[nodiscard]] std::int64_t last_heard_us() const { return last_heard_us_; }
    /// How many errors the driver counted since this was last asked.
    std::int64_t new_errors();

private:
    void take(OpenPort port);
    void read();
    void write();
    void write_when_possible();
    void lost();
    void look_again();

    boost::asio::io_context& context_;
    boost::asio::thread_pool& opener_;
    DeviceDescription device_;
    Hears hears_;
    std::optional<OpenPort> port_;
    boost::asio::posix::stream_descriptor stream_;
    boost::asio::steady_timer retry_;
    std::chrono::milliseconds pause_;  // before looking for a vanished device again
    std::optional<PortInfo> identity_;
    std::array<char, 65536> buffer_{};
    std::deque<std::string> to_send_;
    bool waiting_ = false;  // for the port to take more
    bool closing_ = false;
    std::int64_t opened_us_ = 0;
    std::int64_t last_heard_us_ = 0;
    std::int64_t errors_ = 0;
};

}  // namespace lobewright
