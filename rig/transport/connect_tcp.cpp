#include "rig/transport/connect_tcp.hpp"

#include <chrono>
#include <fcntl.h>
#include <utility>

#include <boost/asio/connect.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <fmt/format.h>

#include "analysis/errors.hpp"

namespace lobewright {
namespace {

constexpr auto patience = std::chrono::seconds(4);

std::pair<std::string, std::string> split(const std::string& text) {
    const std::size_t colon = text.rfind(':');
    std::string host = text.substr(0, colon);
    if (host.size() > 2 && host.front() == '[' && host.back() == ']') host = host.substr(1, host.size() - 2);
    const std::string port = colon == std::string::npos ? std::string() : text.substr(colon + 1);
    if (host.empty() || port.empty() || port.find_first_not_of("0123456789") != std::string::npos ||
        port.size() > 5)
        throw DeviceError(fmt::format("tcp:{}: name the port as tcp:host:number", text));
    return {host, port};
}

}  // namespace

int connect_tcp(const std::string& host_and_port) {
    using boost::asio::ip::tcp;
    const auto [host, port] = split(host_and_port);
    boost::asio::io_context context(1);
    tcp::resolver resolver(context);
    boost::system::error_code error;
    const auto found = resolver.resolve(host, port, error);
    if (error) throw DeviceError(fmt::format("tcp:{}: there is no host {}", host_and_port, host));
    tcp::socket socket(context);
    error = boost::asio::error::timed_out;
    boost::asio::async_connect(
        socket, found,
        [&error](const boost::system::error_code& result, const tcp::endpoint&) { error = result; });
    context.run_for(patience);
    if (error) {
        throw DeviceError(
            fmt::format("tcp:{}: {}: is the serial server on?", host_and_port,
                        error == boost::asio::error::timed_out ? "doesn't answer" : error.message()));
    }
    // A line is more use now than joined to the next one.
    socket.set_option(tcp::no_delay(true), error);
    socket.set_option(boost::asio::socket_base::keep_alive(true), error);
    socket.native_non_blocking(true, error);
    const int descriptor = socket.release(error);
    if (error) throw DeviceError(fmt::format("tcp:{}: {}", host_and_port, error.message()));
    ::fcntl(descriptor, F_SETFD, FD_CLOEXEC);
    return descriptor;
}

}  // namespace lobewright
