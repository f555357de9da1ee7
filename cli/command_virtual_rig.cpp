#include "cli/command_virtual_rig.hpp"

#include <atomic>
#include <cmath>
#include <csignal>
#include <memory>
#include <optional>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/run/file_bytes.hpp"
#include "cli/key_reader.hpp"
#include "cli/output.hpp"
#include "cli/truth_file.hpp"
#include "rig/acquisition/rig_description.hpp"
#include "rig/virtual/serve.hpp"

namespace lobewright {
namespace {

namespace fs = std::filesystem;
using namespace virtual_rig;

constexpr auto virtual_rig_examples =
    R"(A bench without hardware: a controller, or with --devices a counter and two
indicators, with a cam of known truth under the tips, on a pseudo-terminal or a
tcp port. Other commands can't tell it from a rig. In a terminal, keys turn and
trouble it (? lists them); Ctrl-C ends it. docs/virtual-rig.md walks through a
whole sweep in five minutes.

Examples:
  lobewright virtual-rig
      launch engine's new cam behind the link ./virtual-rig; the hand turns
      while a host listens. In a second terminal:
  lobewright sweep my-cam --like sample_runs/launch-4-new --port ./virtual-rig
  lobewright virtual-rig --cam launch-4-used-nose --place 3E --tcp 4001
      a worn cam, on a network port
  lobewright virtual-rig --fault slip:3@200deg --fault bit-errors:0.0005
      with troubles; each is KIND[:AMOUNT][@WHERE][+FOR]
  lobewright virtual-rig --devices bench --polled
      stand-alone devices bench/counter, bench/front, bench/rear, asked with ?;
      what to tell sweep of them is in bench/rig.toml
  lobewright virtual-rig --control bench.pipe   and then
  echo "lobe 1I" > bench.pipe
      moves the tips from a script

Orders of --script and --control, one a line: lobe NAME, next, previous,
turn DEG [DEG_PER_S], rest SECONDS, await (until a host listens), run, halt,
speed DEG_PER_S, parallel MM, cam, fault FAULT, quit.

Faults (WHERE and FOR: 90deg turned, or 2.5s, since the host first listened):
{}
Exit status: 0 ended as told; 64 usage; 66 no such cam or script; 74 input or
output failed.)";

constexpr std::size_t most_script_bytes = std::size_t{1} << 20;

std::atomic<bool> told_to_end{false};

void end_by_signal(int) {
    told_to_end = true;
}

double speed_of(const std::string& text) {
    if (text == "max") return 0.0;
    char* end = nullptr;
    const double factor = std::strtod(text.c_str(), &end);
    if (end == text.c_str() || *end != '\0' || !(factor >= 0.01 && factor <= 1000.0))
        throw UsageError(fmt::format("--speed {}: a factor from 0.01 to 1000, or max", text));
    return factor;
}

void check_options(const VirtualRigCommandOptions& options) {
    speed_of(options.speed);
    for (const std::string& fault : options.faults) parse_fault(fault);
    if (!options.devices.empty() && (!options.pty.empty() || options.tcp >= 0 || options.motor))
        throw UsageError(
            "--devices: stand-alone devices have ports of their own and no motor; leave --pty, --tcp and "
            "--motor off");
    if (options.devices.empty() && options.polled)
        throw UsageError("--polled: only with --devices; a controller streams");
    if (options.tcp > 65535)
        throw UsageError(fmt::format("--tcp {}: a port from 0 (any) to 65535", options.tcp));
    if (!(options.hand_deg_per_s > 0.0 && options.hand_deg_per_s <= 720.0))
        throw UsageError(fmt::format("--hand-speed {}: above 0 and up to 720 deg/s", options.hand_deg_per_s));
    if (!(std::fabs(options.start_deg) <= 36000.0))
        throw UsageError(fmt::format("--start {}: within 100 turns of the index mark", options.start_deg));
    if (options.baud < 0)
        throw UsageError(fmt::format("--baud {}: bits a second, or 0 for no limit", options.baud));
}

std::vector<BenchOrder> script_of(const std::string& file) {
    if (file.empty()) return {};
    std::string text;
    read_file(file, text, most_script_bytes);
    return parse_bench_script(text, file);
}

BenchSetup setup_of(const VirtualRigCommandOptions& options) {
    BenchSetup setup;
    setup.sample = sample_run(options.cam);
    setup.place = options.place;
    setup.seed = options.seed;
    setup.start_deg = options.start_deg;
    setup.hand_deg_per_s = options.hand_deg_per_s;
    setup.script = script_of(options.script);
    setup.hand_turns = !options.still && options.script.empty();
    for (const std::string& fault : options.faults) setup.faults.push_back(parse_fault(fault));
    return setup;
}

/// How `sweep` is told of the stand-alone devices.
RigDescription description_of(const std::vector<Plugged>& outlets, const VirtualRigCommandOptions& options,
                              const DevicesOptions& devices, std::int64_t counts_per_rev) {
    RigDescription rig;
    rig.counts_per_rev = counts_per_rev;
    constexpr DeviceRole roles[] = {DeviceRole::counter, DeviceRole::front, DeviceRole::rear};
    for (const Plugged& plugged : outlets) {
        DeviceDescription device;
        device.role = roles[plugged.channel];
        device.port.name = fs::absolute(plugged.outlet.name()).string();
        const bool counter = plugged.channel == VirtualDevices::counter;
        // All their digits: these lines have no check sum, and one that lost a digit must not pass for another figure.
        device.line.pattern = counter ? R"(C ([+-]\d{7}))" : R"(([+-]\d{3}\.\d{4,5}))";
        if (counter) device.line.index_pattern = R"(Z ([+-]\d{7}))";
        if (!counter) device.line.latency_us = static_cast<double>(devices.latency_us);
        if (options.polled) {
            device.line.ask = "?";
            device.line.ask_every_ms = counter ? 10.0 : 50.0;
        }
        rig.devices.push_back(device);
    }
    return rig;
}

void serve_until_told(const Served& rig, std::vector<Plugged>& outlets,
                      const VirtualRigCommandOptions& options) {
    const KeyReader keys;
    ServeOptions how;
    how.speed = speed_of(options.speed);
    how.control = options.control;
    how.keys = keys.descriptor();
    how.say = [](const std::string& line) { write_stdout(line + "\n"); };
    std::string places;
    for (const std::string& place : rig.bench->places()) places += " " + place;
    how.greeting =
        fmt::format("virtual rig: cam of {}, {} counts a turn, step {} nm\nplaces from front to rear:{}",
                    options.cam, rig.bench->counts_per_rev(), rig.bench->step_nm(), places);
    for (const Plugged& plugged : outlets)
        how.greeting += fmt::format("\nready at {}", plugged.outlet.name());
    if (how.keys >= 0) how.greeting += fmt::format("\n{}", keys_help);
    for (const int number : {SIGINT, SIGTERM, SIGHUP}) std::signal(number, end_by_signal);
    serve(rig, outlets, how, told_to_end);
    how.say("virtual rig: ended");
}

Exit run_devices(const VirtualRigCommandOptions& options, const BenchSetup& setup, TruthLog truth) {
    DevicesOptions how;
    how.polled = options.polled;
    how.baud = options.baud;
    VirtualDevices rig(setup, how, std::move(truth));
    std::error_code problem;
    const fs::path folder = options.devices;
    fs::create_directories(folder, problem);
    if (problem) throw IoError(fmt::format("{}: can't be made: {}", options.devices, problem.message()));
    std::vector<Plugged> outlets;
    outlets.push_back({VirtualDevices::counter, Outlet::pseudo_terminal(folder / "counter")});
    outlets.push_back({VirtualDevices::front, Outlet::pseudo_terminal(folder / "front")});
    outlets.push_back({VirtualDevices::rear, Outlet::pseudo_terminal(folder / "rear")});
    write_file(folder / "rig.toml",
               print_rig_description(description_of(outlets, options, how, rig.bench().counts_per_rev())));
    serve_until_told(served(rig), outlets, options);
    return Exit::fit;
}

Exit run_controller(const VirtualRigCommandOptions& options, const BenchSetup& setup, TruthLog truth) {
    VirtualController rig(setup, {"virtual", options.motor, options.baud}, std::move(truth));
    std::vector<Plugged> outlets;
    if (options.tcp >= 0) outlets.push_back({0, Outlet::tcp(static_cast<std::uint16_t>(options.tcp))});
    if (!options.pty.empty() || options.tcp < 0)
        outlets.push_back({0, Outlet::pseudo_terminal(options.pty.empty() ? "virtual-rig" : options.pty)});
    serve_until_told(served(rig), outlets, options);
    return Exit::fit;
}

}  // namespace

void setup_virtual_rig(CLI::App& app, Action& action) {
    auto options = std::make_shared<VirtualRigCommandOptions>();
    CLI::App* command =
        app.add_subcommand("virtual-rig", "Serve a rig that isn't there, to learn and to test");
    command->add_option("--cam", options->cam, "cam of a sample run; launch-4-new unless given")
        ->type_name("RUN");
    command->add_option("--place", options->place, "lobe or journal under the tips")->type_name("NAME");
    command->add_option("--pty", options->pty, "link to the pseudo-terminal; virtual-rig unless given")
        ->type_name("LINK");
    command->add_option("--tcp", options->tcp, "serve on this port of this computer; 0: any")
        ->type_name("PORT");
    command->add_option("--devices", options->devices, "stand-alone devices, their links in this folder")
        ->type_name("FOLDER");
    command->add_flag("--polled", options->polled, "stand-alone devices send only when asked");
    command->add_flag("--motor", options->motor, "the controller has a motor");
    command->add_flag("--still", options->still, "the hand turns only as ordered");
    command->add_option("--hand-speed", options->hand_deg_per_s, "20 unless given")->type_name("DEG_PER_S");
    command->add_option("--start", options->start_deg, "cam at power-up, from the index mark; -30")
        ->type_name("DEG");
    command->add_option("--script", options->script, "orders for the hand")->type_name("FILE");
    command->add_option("--control", options->control, "a pipe, made here, that takes orders")
        ->type_name("PIPE");
    command->add_option("--fault", options->faults, "a trouble; may be repeated")
        ->type_name("FAULT")
        ->allow_extra_args(false);
    command->add_option("--seed", options->seed, "of noise, hand and faults; 1 unless given")->type_name("N");
    command->add_option("--speed", options->speed, "its clock against yours: a factor, or max")
        ->type_name("FACTOR");
    command->add_option("--baud", options->baud, "pace of the line; no limit unless given")
        ->type_name("BITS_PER_S");
    command->add_option("--truth", options->truth, "what was latched, sent and spoilt, into a file")
        ->type_name("FILE");
    command->group("Commands");
    command->footer(fmt::format(virtual_rig_examples, fault_help()));
    command->callback([options, &action] {
        check_options(*options);
        action = [options] { return run_virtual_rig(*options); };
    });
}

Exit run_virtual_rig(const VirtualRigCommandOptions& options) {
    const BenchSetup setup = setup_of(options);
    TruthFile truth(options.truth);
    const Exit exit = options.devices.empty() ? run_controller(options, setup, truth.log())
                                              : run_devices(options, setup, truth.log());
    truth.close();
    return exit;
}

}  // namespace lobewright
