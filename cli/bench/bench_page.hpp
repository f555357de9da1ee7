// bench_page.hpp: the bench's page, served to browsers on this machine: what is shown goes out, buttons come in.
//
// Sweep first   the server has a thread of its own; the bench hands it the newest state and never waits. A browser that can't
//               keep pace gets the newest state when it is ready, and misses those between.
// Who may look  loopback only, unless told otherwise, and then with a key that is good once: it is exchanged for a cookie
//               that lasts as long as the program, and the next key is said at the bench. The Host must be the page's own, and
//               a WebSocket's Origin too: a page from elsewhere that the same browser shows can neither look nor press.
// What it has   the page and its script. No file on the disk can be asked for.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace lobewright {

struct BenchPageOptions {
    std::string address = "127.0.0.1";  // where to listen; anything but loopback wants the key
    std::uint16_t port = 0;             // 0: any that is free
};

/// What a button asks for: the terminal's keys.
enum class BenchAsk { go, skip, repeat, undo, back, end };

class BenchPage {
public:
    /// Listens. Throws IoError when it can't, UsageError for an address that is none.
    explicit BenchPage(const BenchPageOptions& options);
    ~BenchPage();
    BenchPage(const BenchPage&) = delete;
    BenchPage& operator=(const BenchPage&) = delete;

    /// What to open in a browser, with the key where one is wanted.
    [[nodiscard]] std::string address() const;

    /// The newest state, as JSON text; copied, never waits for a browser.
    void show(std::string state);

    /// Readable when a button was pressed or something is to be said.
    [[nodiscard]] int descriptor() const;

    /// The buttons pressed since the last call, in order.
    std::vector<BenchAsk> take();

    /// What is to be said at the bench since the last call: a key was used, and the next one.
    std::vector<std::string> news();

private:
    class Server;
    std::unique_ptr<Server> server_;
};

}  // namespace lobewright
