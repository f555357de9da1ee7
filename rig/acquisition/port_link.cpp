#include "rig/acquisition/port_link.hpp"

#include <algorithm>
#include <cerrno>
#include <sys/socket.h>
#include <unistd.h>

#include <boost/asio/buffer.hpp>
#include <boost/asio/post.hpp>

#include "analysis/errors.hpp"
#include "rig/capture/capture_format.hpp"

namespace lobewright {
namespace {

constexpr auto look_every = std::chrono::milliseconds(500);
constexpr auto look_seldom = std::chrono::milliseconds(8000);
constexpr std::int64_t short_life_us = 1'000'000;

}  // namespace

PortLink::PortLink(boost::asio::io_context& context, boost::asio::thread_pool& opener,
                   DeviceDescription device, Hears hears)
    : context_(context),
      opener_(opener),
      device_(std::move(device)),
      hears_(std::move(hears)),
      stream_(context),
      retry_(context),
      pause_(look_every) {}

void PortLink::open() {
    take(open_port(device_.port));
}

void PortLink::take(OpenPort port) {
    port_.emplace(std::move(port));
    if (port_->identity()) identity_ = port_->identity();
    stream_.assign(port_->take_descriptor());
    opened_us_ = last_heard_us_ = steady_now_us();
    waiting_ = false;
    errors_ = port_->errors().value_or(LineErrors{}).sum();
}

void PortLink::begin() {
    read();
}

void PortLink::read() {
    stream_.async_read_some(boost::asio::buffer(buffer_),
                            [this](const boost::system::error_code& error, std::size_t size) {
                                // The clock first: all that follows would count as delay.
                                const std::int64_t host_us = steady_now_us();
                                if (error == boost::asio::error::operation_aborted || closing_) return;
                                if (error) return lost();
                                last_heard_us_ = host_us;
                                hears_.bytes(*this, host_us, {buffer_.data(), size});
                                if (!closing_) read();
                            });
}

void PortLink::send(std::string bytes) {
    if (!port_) return;
    to_send_.push_back(std::move(bytes));
    if (!waiting_) write();
}

void PortLink::write() {
    while (!to_send_.empty()) {
        std::string& next = to_send_.front();
        // A socket whose peer has gone would end the program by a signal, asked otherwise than so.
        const ssize_t sent = port_->is_socket() ? ::send(stream_.native_handle(), next.data(), next.size(),
                                                         MSG_NOSIGNAL | MSG_DONTWAIT)
                                                : ::write(stream_.native_handle(), next.data(), next.size());
        if (sent < 0 && errno == EINTR) continue;
        if (sent < 0 && errno == EAGAIN) return write_when_possible();
        if (sent < 0) return to_send_.clear();  // reading tells of a device that has gone
        next.erase(0, static_cast<std::size_t>(sent));
        if (next.empty()) to_send_.pop_front();
    }
}

void PortLink::write_when_possible() {
    waiting_ = true;
    stream_.async_wait(boost::asio::posix::stream_descriptor::wait_write,
                       [this](const boost::system::error_code& error) {
                           waiting_ = false;
                           if (!error && port_ && !closing_) write();
                       });
}

void PortLink::lost() {
    stream_.close();
    port_.reset();
    to_send_.clear();
    const std::int64_t now = steady_now_us();
    // A peer that takes every connection and drops it at once isn't worth two notes a second.
    pause_ = now - opened_us_ < short_life_us ? std::min(2 * pause_, look_seldom) : look_every;
    hears_.gone(*this, now);
    look_again();
}

void PortLink::look_again() {
    retry_.expires_after(pause_);
    retry_.async_wait([this](const boost::system::error_code& error) {
        if (error || closing_) return;
        boost::asio::post(opener_, [this, settings = device_.port, identity = identity_] {
            std::shared_ptr<OpenPort> found;
            try {
                found = std::make_shared<OpenPort>(open_port(settings, identity));
            } catch (const Error&) {
                // Not there yet, or held for some seconds by a service that looks at every new port.
            }
            boost::asio::post(context_, [this, found] {
                if (closing_) return;
                if (!found) return look_again();
                take(std::move(*found));
                hears_.back(*this, steady_now_us());
                read();
            });
        });
    });
}

void PortLink::close() {
    closing_ = true;
    retry_.cancel();
    if (!port_) return;
    stream_.close();
    port_.reset();
}

std::int64_t PortLink::new_errors() {
    if (!port_) return 0;
    const std::int64_t now = port_->errors().value_or(LineErrors{}).sum();
    return now - std::exchange(errors_, now);
}

}  // namespace lobewright
