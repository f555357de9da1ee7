// Whatever comes in by the bench page's port: requests, then frames of a WebSocket. The page goes on serving, and what isn't
// asked for by its own host gets nothing of it, nor from a guarded page what doesn't have its cookie. `%` at the front of the
// input: to the guarded page; `@` stands for the page's host, bytes 1 and 2 for key and cookie, for all are others each time.
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
    BenchPage page;
    std::string host;
    sockaddr_in address{};

    explicit Served(const std::string& at) : page(BenchPageOptions{at, 0}) {
        const std::string url = page.address();  // http://127.0.0.1:PORT/, and a key where one is wanted
        host = url.substr(7, url.find('/', 7) - 7);
        address.sin_family = AF_INET;
        address.sin_addr.s_addr = ::htonl(INADDR_LOOPBACK);
        address.sin_port = ::htons(static_cast<std::uint16_t>(std::stoi(host.substr(host.rfind(':') + 1))));
        page.show(R"({"what": "the page itself"})");
    }
    [[nodiscard]] std::string key() const {
        const std::string url = page.address();
        return url.find("key=") == std::string::npos ? "" : url.substr(url.find("key=") + 4);
    }
};

/// What comes before `end` is through, or so much that it won't be; what else has come is in `said`.
void hear_until(int socket, std::string_view end, std::string& said) {
    constexpr timeval patience{0, 100000};  // of a page that waits for more than there will be
    ::setsockopt(socket, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
    char buffer[4096];
    while (said.find(end) == std::string::npos) {
        const ssize_t got = ::recv(socket, buffer, sizeof buffer, 0);
        if (got <= 0) break;
        said.append(buffer, static_cast<std::size_t>(got));
    }
    constexpr timeval without_end{0, 0};
    ::setsockopt(socket, SOL_SOCKET, SO_RCVTIMEO, &without_end, sizeof without_end);
}

void say_to(int socket, std::string_view bytes) {
    // What it has answered already it need not hear: then the rest doesn't go out.
    while (!bytes.empty()) {
        const ssize_t sent = ::send(socket, bytes.data(), bytes.size(), MSG_NOSIGNAL);
        if (sent <= 0) break;
        bytes.remove_prefix(static_cast<std::size_t>(sent));
    }
}

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
    std::string said;
    // A browser sends frames once its upgrade was answered, and what comes earlier isn't taken for frames.
    const std::size_t head = request.find("\r\n\r\n");
    if (head != std::string_view::npos && request.find("Upgrade") < head) {
        say_to(socket, request.substr(0, head + 4));
        hear_until(socket, "\r\n\r\n", said);
        request.remove_prefix(head + 4);
    }
    say_to(socket, request);
    ::shutdown(socket, SHUT_WR);
    char buffer[4096];
    for (ssize_t got = 0; (got = ::recv(socket, buffer, sizeof buffer, 0)) > 0;)
        said.append(buffer, static_cast<std::size_t>(got));
    ::close(socket);
    return said;
}

/// The cookie for which a guarded page takes its key, once.
std::string cookie_of(const Served& guarded) {
    const std::string said = said_to(
        guarded.address, "GET /?key=" + guarded.key() + " HTTP/1.1\r\nHost: " + guarded.host + "\r\n\r\n");
    const std::size_t from = said.find("lobewright_bench=");
    if (from == std::string::npos) std::abort();
    return said.substr(from, said.find(';', from) - from);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    // The second is this machine's own too, but isn't taken for such.
    static Served open("127.0.0.1"), guarded("::ffff:127.0.0.1");
    static const std::string cookie = cookie_of(guarded);
    std::string_view bytes(reinterpret_cast<const char*>(data), size);
    const bool to_guarded = !bytes.empty() && bytes.front() == '%';
    if (to_guarded) bytes.remove_prefix(1);
    Served& served = to_guarded ? guarded : open;
    std::string request;
    bool own = false, let_in = false;
    for (const char c : bytes) {
        own = own || c == '@';
        let_in = let_in || c == '\x02';
        if (c == '@')
            request += served.host;
        else if (c == '\x01')
            request += guarded.key();
        else if (c == '\x02')
            request += cookie;
        else
            request += c;
    }
    const std::string said = said_to(served.address, request);
    const bool may_see = to_guarded ? let_in
                                    : own || request.find(served.host) != std::string::npos ||
                                          request.find("localhost") != std::string::npos;
    if (!may_see && said.find("the page itself") != std::string::npos) std::abort();
    served.page.show(R"({"what": "the page itself"})");
    if (served.page.descriptor() < 0) std::abort();
    served.page.take();
    served.page.news();
    return 0;
}
