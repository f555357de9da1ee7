#include "rig/acquisition/rig_connection.hpp"

#include <chrono>
#include <condition_variable>
#include <mutex>
#include <optional>
#include <thread>
#include <utility>
#include <vector>

#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/post.hpp>
#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "rig/acquisition/event_decoder.hpp"
#include "rig/acquisition/port_link.hpp"
#include "rig/capture/capture_format.hpp"

namespace lobewright {
namespace {

constexpr auto tick = std::chrono::milliseconds(50);
constexpr std::int64_t hello_every_us = 250'000;  // while it hasn't answered: a board may be starting
constexpr std::int64_t patience_us = 4'000'000;   // for the first answer
constexpr std::int64_t silence_us = 1'500'000;    // longer than the beat of a cam that stands
constexpr std::int64_t ask_silent_every_us = 1'000'000;
constexpr int asked_in_vain = 3;
constexpr std::int64_t errors_every_us = 1'000'000;

}  // namespace

struct RigConnection::State : std::enable_shared_from_this<RigConnection::State> {
    /// What the connection knows of one device beside its port.
    struct Watch {
        std::unique_ptr<PortLink> link;
        std::int64_t opened_us = 0;
        std::int64_t asked_us = 0;
        std::int64_t errors_us = 0;
        std::uint64_t bytes = 0;  // since it was opened
        int unanswered = 0;
        bool said_silent = false;
    };

    RigDescription description;
    std::shared_ptr<CaptureRecorder> recorder;
    RigListener listener;
    boost::asio::io_context context{1};
    boost::asio::thread_pool opener{1};
    boost::asio::executor_work_guard<boost::asio::io_context::executor_type> work{context.get_executor()};
    boost::asio::steady_timer timer{context};
    EventDecoder decoder;
    std::vector<Watch> watches;
    std::thread thread;
    RigBack rig;
    bool closing = false;
    bool turns = false;                 // the controller has a motor
    std::optional<std::int64_t> every;  // what was last asked for
    bool streaming = false;

    std::mutex mutex;  // guards the two below
    std::condition_variable told;
    std::optional<std::string> outcome;  // of the greeting: empty text when all answered

    State(const RigDescription& rig_description, std::shared_ptr<CaptureRecorder> to, RigListener hears,
          NoteListener notes)
        : description(rig_description),
          recorder(std::move(to)),
          listener(std::move(hears)),
          decoder(
              rig_description, [this](const RigEvent& event) { heard(event); }, std::move(notes)) {}

    // What follows runs on the connection's thread.

    void heard(const RigEvent& event) {
        const auto* const back = std::get_if<RigBack>(&event);
        if (back != nullptr && settled()) ask_again();
        if (back != nullptr && !settled()) rig = *back;
        if (back != nullptr) turns = back->turns;
        if (listener) listener(event);
    }

    bool settled() {
        const std::lock_guard<std::mutex> lock(mutex);
        return outcome.has_value();
    }

    void settle(std::string text) {
        const std::lock_guard<std::mutex> lock(mutex);
        if (!outcome) outcome = std::move(text);
        told.notify_all();
    }

    void ask_again() {
        if (every) to_controller({RigOrder::Kind::every, *every});
        if (streaming) to_controller({RigOrder::Kind::start});
    }

    void to_controller(const RigOrder& order) {
        if (!description.latched()) return;
        watches.front().link->send(order_line(order));
    }

    void order(const RigOrder& order) {
        if (order.kind == RigOrder::Kind::every) every = order.counts;
        if (order.kind == RigOrder::Kind::start) streaming = true;
        if (order.kind == RigOrder::Kind::stop) streaming = false;
        to_controller(order);
    }

    void note(CaptureNote note) {
        note.host_us = steady_now_us();
        if (recorder) recorder->record(note);
        decoder.note(note);
    }

    void note(const char* event, const PortLink& link, std::int64_t amount = 0, std::string text = {}) {
        note({0, event, std::string(role_name(link.device().role)), amount, std::move(text)});
    }

    Watch& watch_of(const PortLink& link) {
        std::size_t at = 0;
        while (watches[at].link.get() != &link) ++at;
        return watches[at];
    }

    void bytes(PortLink& link, std::int64_t host_us, std::string_view bytes) {
        const std::string_view port = role_name(link.device().role);
        if (recorder) recorder->record(host_us, port, bytes);
        Watch& watch = watch_of(link);
        watch.bytes += bytes.size();
        watch.unanswered = 0;
        watch.said_silent = false;
        decoder.bytes(host_us, port, bytes);
        if (!decoder.refusal().empty()) settle(link.device().port.name + ": " + decoder.refusal());
        if (decoder.ready()) settle({});
    }

    void back(PortLink& link, std::int64_t host_us) {
        Watch& watch = watch_of(link);
        watch = Watch{std::move(watch.link), host_us, 0, host_us, 0, 0, false};
        note("returned", link);
    }

    /// Called twenty times a second: asks what must be asked, and says what has been silent for too long.
    void look_after(Watch& watch) {
        PortLink& link = *watch.link;
        if (!link.is_open()) return;
        const std::int64_t now = steady_now_us();
        if (now - watch.errors_us >= errors_every_us) {
            watch.errors_us = now;
            if (const std::int64_t errors = link.new_errors(); errors > 0)
                note("port_errors", link, errors,
                     fmt::format("{} framing, parity or overrun errors", errors));
        }
        const bool answered = decoder.answered(role_name(link.device().role));
        if (!answered && now - watch.opened_us > patience_us) fail_greeting(watch);
        ask(watch, answered, now);
    }

    void ask(Watch& watch, bool answered, std::int64_t now) {
        PortLink& link = *watch.link;
        const std::string& polled = link.device().line.ask;
        const bool silent = now - link.last_heard_us() > silence_us;
        std::int64_t interval = answered ? ask_silent_every_us : hello_every_us;
        if (!polled.empty()) interval = static_cast<std::int64_t>(link.device().line.ask_every_ms * 1000.0);
        if (now - watch.asked_us < interval || (answered && !silent && polled.empty())) return;
        // First of all `stop`: what a controller still sends to a program that is gone (killed, say) is no trouble of
        // this talk, and has gone by when it is greeted.
        const bool first = !answered && watch.asked_us == 0;
        if (description.latched()) to_controller({first ? RigOrder::Kind::stop : RigOrder::Kind::hello});
        // A controller that streams is never silent for so long: it began anew, or the order to start was lost.
        if (answered && silent) ask_again();
        if (!polled.empty()) link.send(polled);
        watch.asked_us = now;
        if (!silent || !settled()) return;
        const bool in_vain = polled.empty()
                                 ? ++watch.unanswered > asked_in_vain
                                 : now - link.last_heard_us() > asked_in_vain * ask_silent_every_us;
        if (!in_vain || watch.said_silent) return;
        watch.said_silent = true;
        note("not_answering", link);
    }

    void fail_greeting(const Watch& watch) {
        const PortSettings& port = watch.link->device().port;
        const std::string_view role = role_name(watch.link->device().role);
        if (watch.bytes == 0) {
            settle(
                fmt::format("{}: the {} doesn't answer: is it on, and is this its port?", port.name, role));
        } else {
            settle(fmt::format(
                "{}: {} bytes came, but nothing that a {} says: is {} baud right, and is this its port?",
                port.name, watch.bytes, role, port.baud));
        }
    }

    void on_tick() {
        for (Watch& watch : watches) look_after(watch);
        // The shortest poll that a description may ask for is a millisecond.
        auto next = std::chrono::duration_cast<std::chrono::microseconds>(tick);
        for (const Watch& watch : watches) {
            const LineFormat& line = watch.link->device().line;
            if (!line.ask.empty())
                next = std::min(
                    next, std::chrono::microseconds(static_cast<std::int64_t>(line.ask_every_ms * 1000.0)));
        }
        timer.expires_after(next);
        timer.async_wait([this](const boost::system::error_code& error) {
            if (!error && !closing) on_tick();
        });
    }

    // From here on the caller's thread.

    void open_all() {
        PortLink::Hears hears;
        hears.bytes = [this](PortLink& link, std::int64_t host_us, std::string_view all) {
            bytes(link, host_us, all);
        };
        hears.gone = [this](PortLink& link, std::int64_t) { note("unplugged", link); };
        hears.back = [this](PortLink& link, std::int64_t host_us) { back(link, host_us); };
        for (const DeviceDescription& device : description.devices) {
            Watch watch;
            watch.link = std::make_unique<PortLink>(context, opener, device, hears);
            watch.link->open();
            watch.opened_us = watch.errors_us = steady_now_us();
            watches.push_back(std::move(watch));
        }
    }

    void run() {
        if (recorder) {
            // The recorder may outlive the connection.
            recorder->on_trouble([weak = weak_from_this()](const std::string& says) {
                const auto state = weak.lock();
                if (!state) return;
                boost::asio::post(state->context, [raw = state.get(), says] {
                    raw->note({0, "recording", "", 0, says});
                });
            });
        }
        for (Watch& watch : watches) watch.link->begin();
        boost::asio::post(context, [this] { on_tick(); });
        thread = std::thread([this] { context.run(); });
    }

    void wait_for_greeting() {
        std::unique_lock<std::mutex> lock(mutex);
        told.wait(lock, [this] { return outcome.has_value(); });
    }

    void close() {
        if (recorder) recorder->on_trouble({});
        if (thread.joinable()) {
            boost::asio::post(context, [this] {
                if (turns) to_controller({RigOrder::Kind::halt});
                if (streaming) to_controller({RigOrder::Kind::stop});
                shut();
            });
            thread.join();
        }
        opener.join();
    }

    void shut() {
        closing = true;
        timer.cancel();
        for (Watch& watch : watches) watch.link->close();
        work.reset();
    }
};

RigConnection::RigConnection(const RigDescription& rig, std::shared_ptr<CaptureRecorder> recorder,
                             RigListener listener, NoteListener notes)
    : state_(std::make_shared<State>(rig, std::move(recorder), std::move(listener), std::move(notes))) {
    state_->open_all();
    state_->run();
    state_->wait_for_greeting();
    if (state_->outcome->empty()) return;
    state_->close();
    throw DeviceError(*state_->outcome);
}

RigConnection::~RigConnection() {
    state_->close();
}

void RigConnection::send(const RigOrder& order) {
    boost::asio::post(state_->context, [state = state_.get(), order] { state->order(order); });
}

void RigConnection::note(const CaptureNote& note) {
    boost::asio::post(state_->context, [state = state_.get(), note] { state->note(note); });
}

const RigBack& RigConnection::rig() const {
    return state_->rig;
}

}  // namespace lobewright
