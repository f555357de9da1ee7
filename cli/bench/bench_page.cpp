#include "cli/bench/bench_page.hpp"

#include <algorithm>
#include <atomic>
#include <mutex>
#include <optional>
#include <random>
#include <sys/eventfd.h>
#include <thread>
#include <unistd.h>
#include <utility>

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/websocket.hpp>
#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "cli/report/assets.hpp"

namespace lobewright {
// Named: BenchPage::Server, which others know by name, is made of these.
namespace bench_http {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
namespace websocket = beast::websocket;
using asio::ip::tcp;
using Request = http::request<http::string_body>;
using Response = http::response<http::string_body>;

constexpr std::size_t most_request_bytes = 8192;
constexpr std::size_t most_message_bytes = 256;
constexpr std::size_t most_viewers = 16;
constexpr auto cookie_name = "lobewright_bench";

std::string random_words() {
    std::random_device source;
    std::string out;
    for (int i = 0; i < 4; ++i) out += fmt::format("{:08x}", source());
    return out;
}

/// As long as the longer of the two takes, wherever they differ.
bool same_secret(std::string_view a, std::string_view b) {
    unsigned differs = a.size() == b.size() ? 0U : 1U;
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i)
        differs |= static_cast<unsigned>(static_cast<unsigned char>(a[i]) ^ static_cast<unsigned char>(b[i]));
    return differs == 0U;
}

std::optional<BenchAsk> ask_of(std::string_view text) {
    if (text == "go") return BenchAsk::go;
    if (text == "skip") return BenchAsk::skip;
    if (text == "repeat") return BenchAsk::repeat;
    if (text == "undo") return BenchAsk::undo;
    if (text == "back") return BenchAsk::back;
    if (text == "end") return BenchAsk::end;
    return std::nullopt;
}

/// What bench and browsers share. Everything but `io` and `viewers` is under the lock.
struct Shared {
    std::mutex lock;
    std::shared_ptr<const std::string> state = std::make_shared<const std::string>("{}");
    std::uint64_t number = 0;  // of the state
    std::vector<BenchAsk> asks;
    std::vector<std::string> news;
    std::string key, cookie;  // empty: none is wanted
    std::string host;         // as browsers say it
    int told = -1;            // eventfd

    void wake() const {
        const std::uint64_t one = 1;
        if (::write(told, &one, sizeof one) < 0) return;  // full: it is readable anyway
    }
};

class Viewer;

struct Viewers {
    std::vector<std::weak_ptr<Viewer>> all;
    std::size_t open = 0;
};

/// One browser's WebSocket: the newest state out, one at a time; buttons in.
class Viewer : public std::enable_shared_from_this<Viewer> {
public:
    Viewer(tcp::socket socket, Shared& shared, Viewers& viewers)
        : stream_(std::move(socket)), shared_(shared), viewers_(viewers) {
        ++viewers_.open;
    }
    ~Viewer() { --viewers_.open; }
    Viewer(const Viewer&) = delete;
    Viewer& operator=(const Viewer&) = delete;

    void begin(const Request& request) {
        auto timeouts = websocket::stream_base::timeout::suggested(beast::role_type::server);
        timeouts.keep_alive_pings = true;  // a closed lid sends no goodbye
        stream_.set_option(timeouts);
        stream_.read_message_max(most_message_bytes);
        stream_.async_accept(request, [self = shared_from_this()](beast::error_code error) {
            if (error) return;
            self->accepted_ = true;
            self->read();
            self->show();
        });
    }

    /// Sends the newest state unless it was sent, or one is on its way: then when that has gone.
    void show() {
        if (!accepted_ || writing_) return;
        {
            const std::lock_guard guard(shared_.lock);
            if (shared_.number == sent_) return;
            sent_ = shared_.number;
            going_ = shared_.state;
        }
        writing_ = true;
        stream_.text(true);
        stream_.async_write(asio::buffer(*going_),
                            [self = shared_from_this()](beast::error_code error, std::size_t) {
                                self->writing_ = false;
                                if (!error) self->show();
                            });
    }

private:
    void read() {
        stream_.async_read(buffer_, [self = shared_from_this()](beast::error_code error, std::size_t) {
            if (error) return;
            const std::string text = beast::buffers_to_string(self->buffer_.data());
            self->buffer_.consume(self->buffer_.size());
            if (const auto ask = ask_of(text)) {
                const std::lock_guard guard(self->shared_.lock);
                self->shared_.asks.push_back(*ask);
                self->shared_.wake();
            }
            self->read();
        });
    }

    websocket::stream<beast::tcp_stream> stream_;
    Shared& shared_;
    Viewers& viewers_;
    beast::flat_buffer buffer_;
    std::shared_ptr<const std::string> going_;
    std::uint64_t sent_ = 0;
    bool accepted_ = false, writing_ = false;
};

Response answer(const Request& request, http::status status, std::string_view type, std::string_view body) {
    Response response{status, request.version()};
    response.set(http::field::content_type, std::string(type));
    response.set(http::field::cache_control, "no-store");
    response.set("X-Content-Type-Options", "nosniff");
    response.set("X-Frame-Options", "DENY");
    response.set("Referrer-Policy", "no-referrer");
    response.set(
        "Content-Security-Policy",
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; connect-src 'self'; "
        "img-src data:; frame-ancestors 'none'; base-uri 'none'; form-action 'none'");
    response.keep_alive(false);
    response.body() = std::string(body);
    response.prepare_payload();
    return response;
}

/// The cookie's value in a Cookie header, or nothing.
std::string_view cookie_in(std::string_view header) {
    const std::string wanted = fmt::format("{}=", cookie_name);
    for (std::size_t at = 0; at < header.size();) {
        const std::size_t end = std::min(header.find(';', at), header.size());
        std::string_view one = header.substr(at, end - at);
        while (!one.empty() && one.front() == ' ') one.remove_prefix(1);
        if (one.substr(0, wanted.size()) == wanted) return one.substr(wanted.size());
        at = end + 1;
    }
    return {};
}

std::string_view view_of(beast::string_view text) {
    return {text.data(), text.size()};
}

/// One connection: one request, answered, or made a Viewer.
class Talk : public std::enable_shared_from_this<Talk> {
public:
    Talk(tcp::socket socket, Shared& shared, Viewers& viewers)
        : stream_(std::move(socket)), shared_(shared), viewers_(viewers) {
        parser_.header_limit(most_request_bytes);
        parser_.body_limit(most_request_bytes);
    }

    void begin() {
        stream_.expires_after(std::chrono::seconds(10));
        http::async_read(stream_, buffer_, parser_,
                         [self = shared_from_this()](beast::error_code error, std::size_t) {
                             if (!error) self->heard();
                         });
    }

private:
    void heard() {
        const Request& request = parser_.get();
        const std::string_view target = view_of(request.target());
        const std::string_view path = target.substr(0, target.find('?'));
        if (!host_is_own(request))
            return say(
                answer(request, http::status::misdirected_request, "text/plain", "Not this page's host.\n"));
        if (request.method() != http::verb::get)
            return say(answer(request, http::status::method_not_allowed, "text/plain", "Only GET.\n"));
        if (path == "/" && target.size() > path.size()) return exchange_key(request, target);
        if (!may_look(request))
            return say(answer(request, http::status::forbidden, "text/plain",
                              "Open the address that the bench shows.\n"));
        if (path == "/live") return open_live(request);
        if (path == "/")
            return say(answer(request, http::status::ok, "text/html; charset=utf-8", assets::bench_html));
        if (path == "/bench.css")
            return say(answer(request, http::status::ok, "text/css; charset=utf-8", assets::bench_css));
        if (path == "/bench.js")
            return say(
                answer(request, http::status::ok, "text/javascript; charset=utf-8", assets::bench_script));
        say(answer(request, http::status::not_found, "text/plain", "Not here.\n"));
    }

    [[nodiscard]] bool host_is_own(const Request& request) const {
        const std::string_view host = view_of(request[http::field::host]);
        if (host == shared_.host) return true;
        const std::string_view port = std::string_view(shared_.host).substr(shared_.host.rfind(':'));
        return shared_.cookie.empty() && host == fmt::format("localhost{}", port);
    }

    [[nodiscard]] bool may_look(const Request& request) const {
        return shared_.cookie.empty() ||
               same_secret(cookie_in(view_of(request[http::field::cookie])), shared_.cookie);
    }

    /// The key is good once: the cookie stands in for it, and another key is said at the bench.
    void exchange_key(const Request& request, std::string_view target) {
        constexpr std::string_view asked = "/?key=";
        std::string next;
        {
            const std::lock_guard guard(shared_.lock);
            if (shared_.key.empty() || target.substr(0, asked.size()) != asked ||
                !same_secret(target.substr(asked.size()), shared_.key)) {
                return say(answer(request, http::status::forbidden, "text/plain",
                                  "This key is used up, or none.\n"));
            }
            next = shared_.key = random_words();
            shared_.news.push_back(
                fmt::format("The page was opened with its key. For another browser: http://{}/?key={}",
                            shared_.host, next));
            shared_.wake();
        }
        Response response = answer(request, http::status::see_other, "text/plain", "");
        response.set(http::field::location, "/");
        response.set(http::field::set_cookie,
                     fmt::format("{}={}; HttpOnly; SameSite=Strict; Path=/", cookie_name, shared_.cookie));
        say(std::move(response));
    }

    void open_live(const Request& request) {
        const std::string own = fmt::format("http://{}", view_of(request[http::field::host]));
        if (!websocket::is_upgrade(request) || view_of(request[http::field::origin]) != own)
            return say(
                answer(request, http::status::forbidden, "text/plain", "Only the page itself may look.\n"));
        if (viewers_.open >= most_viewers)
            return say(
                answer(request, http::status::service_unavailable, "text/plain", "Too many look already.\n"));
        stream_.expires_never();
        const auto viewer = std::make_shared<Viewer>(stream_.release_socket(), shared_, viewers_);
        viewers_.all.push_back(viewer);
        viewer->begin(request);
    }

    void say(Response response) {
        response_ = std::move(response);
        http::async_write(stream_, response_, [self = shared_from_this()](beast::error_code, std::size_t) {
            beast::error_code ignored;
            self->stream_.socket().shutdown(tcp::socket::shutdown_send, ignored);
        });
    }

    beast::tcp_stream stream_;
    Shared& shared_;
    Viewers& viewers_;
    beast::flat_buffer buffer_;
    http::request_parser<http::string_body> parser_;
    Response response_;
};

tcp::endpoint endpoint_of(const BenchPageOptions& options) {
    boost::system::error_code error;
    const auto address = asio::ip::make_address(options.address, error);
    if (error || address.is_unspecified())
        throw UsageError(fmt::format(
            "--page-at {}: give this machine's address in numbers, such as 192.168.4.2", options.address));
    return {address, options.port};
}

}  // namespace bench_http

class BenchPage::Server {
public:
    explicit Server(const BenchPageOptions& options) : acceptor_(io_) {
        const bench_http::tcp::endpoint wanted = bench_http::endpoint_of(options);
        boost::system::error_code error;
        acceptor_.open(wanted.protocol(), error);
        if (!error) acceptor_.set_option(bench_http::tcp::acceptor::reuse_address(true), error);
        if (!error) acceptor_.bind(wanted, error);
        if (!error) acceptor_.listen(bench_http::asio::socket_base::max_listen_connections, error);
        if (error)
            throw IoError(fmt::format(
                "{}:{}: the page can't be served there: {}; name another --page-at or --page-port",
                options.address, options.port, error.message()));
        const bool v6 = wanted.address().is_v6();
        shared_.host = fmt::format("{}{}{}:{}", v6 ? "[" : "", options.address, v6 ? "]" : "",
                                   acceptor_.local_endpoint().port());
        if (!wanted.address().is_loopback()) {
            shared_.key = bench_http::random_words();
            shared_.cookie = bench_http::random_words();
        }
        shared_.told = ::eventfd(0, EFD_NONBLOCK | EFD_CLOEXEC);
        if (shared_.told < 0)
            throw IoError("no descriptor to be had for the bench's page; close other programs");
        accept();
        thread_ = std::thread([this] { io_.run(); });
    }
    ~Server() {
        io_.stop();
        thread_.join();
        ::close(shared_.told);
    }
    Server(const Server&) = delete;
    Server& operator=(const Server&) = delete;

    std::string address() {
        const std::lock_guard guard(shared_.lock);
        return shared_.key.empty() ? fmt::format("http://{}/", shared_.host)
                                   : fmt::format("http://{}/?key={}", shared_.host, shared_.key);
    }

    void show(std::string state) {
        {
            const std::lock_guard guard(shared_.lock);
            shared_.state = std::make_shared<const std::string>(std::move(state));
            ++shared_.number;
        }
        bench_http::asio::post(io_, [this] { show_all(); });
    }

    [[nodiscard]] int descriptor() const { return shared_.told; }

    std::vector<BenchAsk> take() {
        std::uint64_t count = 0;
        if (::read(shared_.told, &count, sizeof count) < 0) return {};  // nothing was told
        const std::lock_guard guard(shared_.lock);
        return std::exchange(shared_.asks, {});
    }

    std::vector<std::string> news() {
        const std::lock_guard guard(shared_.lock);
        return std::exchange(shared_.news, {});
    }

private:
    void accept() {
        acceptor_.async_accept([this](boost::system::error_code error, bench_http::tcp::socket socket) {
            if (!error) std::make_shared<bench_http::Talk>(std::move(socket), shared_, viewers_)->begin();
            accept();
        });
    }

    void show_all() {
        auto& all = viewers_.all;
        all.erase(std::remove_if(all.begin(), all.end(), [](const auto& viewer) { return viewer.expired(); }),
                  all.end());
        for (const auto& each : all) {
            if (const auto viewer = each.lock()) viewer->show();
        }
    }

    bench_http::Shared shared_;
    bench_http::Viewers viewers_;  // before io_: what io_ still holds when it goes refers to it
    bench_http::asio::io_context io_{1};
    bench_http::tcp::acceptor acceptor_;
    std::thread thread_;
};

BenchPage::BenchPage(const BenchPageOptions& options) : server_(std::make_unique<Server>(options)) {}
BenchPage::~BenchPage() = default;

std::string BenchPage::address() const {
    return server_->address();
}

void BenchPage::show(std::string state) {
    server_->show(std::move(state));
}

int BenchPage::descriptor() const {
    return server_->descriptor();
}

std::vector<BenchAsk> BenchPage::take() {
    return server_->take();
}

std::vector<std::string> BenchPage::news() {
    return server_->news();
}

}  // namespace lobewright
