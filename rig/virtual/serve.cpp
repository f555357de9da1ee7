#include "rig/virtual/serve.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <thread>
#include <unistd.h>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "rig/virtual/control_pipe.hpp"

namespace lobewright::virtual_rig {
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t waiting_at_most = 4096;  // bytes that an outlet may be behind before the rig feels it
constexpr std::int64_t longest_stall_us = 200'000;  // a computer that slept isn't caught up with

class Server {
public:
    Server(const Served& rig, std::vector<Plugged>& outlets, const ServeOptions& options)
        : rig_(rig),
          outlets_(outlets),
          options_(options),
          control_(options.control),
          waiting_(outlets.size()) {}

    void run(const std::atomic<bool>& end) {
        say(options_.greeting);
        auto next = Clock::now();
        while (!end && !rig_.bench->has_ended() && !quit_) {
            const bool moved = hear();
            next += std::chrono::microseconds(VirtualBench::tick_us);
            rig_.set_room(room());
            if (options_.speed > 0.0) {
                const auto late =
                    std::chrono::duration_cast<std::chrono::microseconds>(Clock::now() - next).count();
                if (late > longest_stall_us) next = Clock::now();
                owed_us_ += options_.speed * static_cast<double>(VirtualBench::tick_us);
                const auto whole =
                    static_cast<std::int64_t>(owed_us_) / VirtualBench::tick_us * VirtualBench::tick_us;
                rig_.advance(whole);
                owed_us_ -= static_cast<double>(whole);
            } else {
                rig_.advance(room() > 0 ? VirtualBench::tick_us : 0);
            }
            plug();
            deliver();
            tell_place();
            pace(next, moved);
        }
    }

private:
    /// Against a clock: until the next deadline. Otherwise a moment only, where going on would be for nobody: the host is
    /// behind, nothing has been sent for longer than a beat, or the plug is out.
    void pace(Clock::time_point next, bool moved) {
        if (options_.speed > 0.0) return std::this_thread::sleep_until(next);
        idle_ticks_ = moved || delivered_ ? 0 : idle_ticks_ + 1;
        const bool idle = idle_ticks_ > 1200 || !rig_.plugged();
        if (idle || room() == 0) std::this_thread::sleep_for(std::chrono::microseconds(idle ? 1000 : 100));
    }

    /// What hosts, pipe and keys have to say; false when nothing.
    bool hear() {
        bool moved = false;
        for (Plugged& plugged : outlets_) {
            const OutletNews news = plugged.outlet.look();
            if (news.opened) rig_.opened(plugged.channel, true);
            if (!news.bytes.empty()) rig_.receive(plugged.channel, news.bytes);
            if (news.closed) rig_.opened(plugged.channel, false);
            moved = moved || news.opened || news.closed || !news.bytes.empty();
        }
        for (const std::string& line : control_.lines()) order(line);
        char key = 0;
        while (options_.keys >= 0 && ::read(options_.keys, &key, 1) == 1) press(key);
        return moved;
    }

    void order(const std::string& line) {
        try {
            for (const BenchOrder& order : parse_bench_script(line, "order")) rig_.bench->order(order);
        } catch (const UsageError& error) {
            say(error.what());
        }
    }

    void press(char key) {
        if (key == '?' || key == 'h') return say(keys_help);
        quit_ = quit_ || key == 'q' || key == 3 || key == 4;
        if (const auto order = order_of_key(key, rig_.bench->hand())) rig_.bench->order(*order);
    }

    /// Outlets follow the rig's plug.
    void plug() {
        for (std::size_t i = 0; i < outlets_.size(); ++i) {
            Outlet& outlet = outlets_[i].outlet;
            if (outlet.plugged() == rig_.plugged()) continue;
            waiting_[i].clear();
            if (rig_.plugged()) {
                outlet.plug();
            } else {
                outlet.unplug();
            }
            say(fmt::format("{}: {}", outlet.name(), rig_.plugged() ? "plugged in again" : "unplugged"));
        }
    }

    void deliver() {
        delivered_ = false;
        for (std::size_t channel = 0; channel < rig_.channels; ++channel) {
            const std::string bytes = rig_.take(channel);
            delivered_ = delivered_ || !bytes.empty();
            for (std::size_t i = 0; i < outlets_.size(); ++i)
                if (outlets_[i].channel == channel) waiting_[i] += bytes;
        }
        for (std::size_t i = 0; i < outlets_.size(); ++i) {
            if (!waiting_[i].empty()) waiting_[i].erase(0, outlets_[i].outlet.write(waiting_[i]));
        }
    }

    [[nodiscard]] std::size_t room() const {
        std::size_t most = 0;
        for (const std::string& waits : waiting_) most = std::max(most, waits.size());
        return most < waiting_at_most ? waiting_at_most - most : 0;
    }

    void tell_place() {
        if (rig_.bench->place() == told_place_) return;
        told_place_ = rig_.bench->place();
        say(fmt::format("the tips stand on {}", told_place_));
    }

    void say(const std::string& line) const {
        if (options_.say) options_.say(line);
    }

    const Served& rig_;
    std::vector<Plugged>& outlets_;
    const ServeOptions& options_;
    ControlPipe control_;
    std::vector<std::string> waiting_;
    double owed_us_ = 0.0;
    bool quit_ = false;
    bool delivered_ = false;
    int idle_ticks_ = 0;
    std::string told_place_;
};

}  // namespace

const char* const keys_help =
    "n p: next, previous place   space: hand stops, goes on   b: 10 deg back\n"
    "+ -: faster, slower   u: unplug for 3 s   f: front out of range for 10 deg\n"
    "s: encoder slips 3 counts   x: the motor's stop button   q: end";

std::optional<BenchOrder> order_of_key(char key, const VirtualHand& hand) {
    const auto order = [](const std::string& line) { return parse_bench_order(line); };
    // A fault pressed now happens now: its place has been passed already.
    switch (key) {
        case 'n':
            return order("next");
        case 'p':
            return order("previous");
        case ' ':
            return order(hand.keeps_turning() ? "halt" : "run");
        case 'b':
            return order("turn -10");
        case '+':
            return order(fmt::format("speed {}", 1.25 * hand.speed()));
        case '-':
            return order(fmt::format("speed {}", 0.8 * hand.speed()));
        case 'u':
            return order("fault unplug:3@0s");
        case 'f':
            return order("fault range-front@0s+10deg");
        case 's':
            return order("fault slip:3@0s");
        case 'x':
            return order("fault stop-button@0s");
        default:
            return std::nullopt;
    }
}

Served served(VirtualController& rig) {
    Served out;
    out.advance = [&rig](std::int64_t us) { rig.advance(us); };
    out.receive = [&rig](std::size_t, std::string_view bytes) { rig.receive(bytes); };
    out.take = [&rig](std::size_t) { return rig.take(); };
    out.opened = [&rig](std::size_t, bool opened) {
        if (opened) rig.opened();
    };
    out.set_room = [&rig](std::size_t bytes) { rig.set_room(bytes); };
    out.plugged = [&rig] { return rig.plugged(); };
    out.bench = &rig.bench();
    return out;
}

Served served(VirtualDevices& rig) {
    Served out;
    out.channels = VirtualDevices::devices;
    out.advance = [&rig](std::int64_t us) { rig.advance(us); };
    out.receive = [&rig](std::size_t channel, std::string_view bytes) { rig.receive(channel, bytes); };
    out.take = [&rig](std::size_t channel) { return rig.take(channel); };
    out.opened = [&rig](std::size_t channel, bool opened) {
        if (opened) {
            rig.opened(channel);
        } else {
            rig.closed(channel);
        }
    };
    out.set_room = [](std::size_t) {};
    out.plugged = [&rig] { return rig.plugged(); };
    out.bench = &rig.bench();
    return out;
}

void serve(const Served& rig, std::vector<Plugged>& outlets, const ServeOptions& options,
           const std::atomic<bool>& end) {
    Server(rig, outlets, options).run(end);
}

}  // namespace lobewright::virtual_rig
