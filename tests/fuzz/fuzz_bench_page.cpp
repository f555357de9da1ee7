// Whatever comes in by the bench page's port: requests, then frames of a WebSocket. The page goes on serving, and what isn't
// asked for by its own host gets nothing of it. `@` in the input stands for that host, which has a port of its own each time.
#include <arpa/inet.h>
#include <cstdint>
#include <cstdlib>
#include <netinet/in.h>
#include <string>
#include <string_view>
#include <sys/socket.h>
#include <unistd.h>

#include "cli/bench/bench_page.hpp"
#include "cli/report/assets.hpp"

namespace lobewright::assets {

const std::string_view bench_html = "the page itself";
const std::string_view bench_css = "the page itself";
const std::string_view bench_script = "the page itself";

}  // namespace lobewright::assets

namespace {

using namespace lobewright;

struct Served {
    BenchPage page{BenchPageOptions{}};
    std::string host;
    sockaddr_in address{};

    Served() {
        const std::string url = page.address();  // http://127.0.0.1:PORT/
        host = url.substr(7, url.size() - 8);
        address.sin_family = AF_INET;
        address.sin_addr.s_addr = ::htonl(INADDR_LOOPBACK);
        address.sin_port = ::htons(static_cast<std::uint16_t>(std::stoi(host.substr(host.find(':') + 1))));
        page.show(R"({"what": "the page itself"})");
    }
};

std::string said_to(const sockaddr_in& address, std::string_view request) {
    const int socket = ::socket(AF_INET, SOCK_STREAM, 0);
    // From another address every thousand times: a port that was closed rests a minute, and one address has 28 000.
    static std::uint32_t connections = 0;
    sockaddr_in from{};
    from.sin_family = AF_INET;
    from.sin_addr.s_addr = ::htonl(INADDR_LOOPBACK + 1 + connections++ / 1000 % 1'000'000);
    if (socket < 0 || ::bind(socket, reinterpret_cast<const sockaddr*>(&from), sizeof from) != 0 ||
        ::connect(socket, reinterpret_cast<const sockaddr*>(&address), sizeof address) != 0)
        std::abort();
    // What it has answered already it need not hear: then the rest doesn't go out.
    while (!request.empty()) {
        const ssize_t sent = ::send(socket, request.data(), request.size(), MSG_NOSIGNAL);
        if (sent <= 0) break;
        request.remove_prefix(static_cast<std::size_t>(sent));
    }
    ::shutdown(socket, SHUT_WR);
    std::string said;
    char buffer[4096];
    for (ssize_t got = 0; (got = ::recv(socket, buffer, sizeof buffer, 0)) > 0;)
        said.append(buffer, static_cast<std::size_t>(got));
    ::close(socket);
    return said;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static Served served;
    std::string request;
    bool own = false;
    for (const char c : std::string_view(reinterpret_cast<const char*>(data), size)) {
        own = own || c == '@';
        if (c == '@')
            request += served.host;
        else
            request += c;
    }
    const std::string said = said_to(served.address, request);
    if (!own && request.find(served.host) == std::string::npos &&
        request.find("localhost") == std::string::npos && said.find("the page itself") != std::string::npos)
        std::abort();
    served.page.take();
    served.page.news();
    return 0;
}
