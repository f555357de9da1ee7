#include "cli/command_ports.hpp"

#include <memory>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>

#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_ports.hpp"
#include "rig/transport/port_list.hpp"

namespace lobewright {
namespace {

constexpr auto ports_examples =
    R"(A port is named by its device, by the serial number of its USB adapter, which
stays the same wherever it is plugged in, or as tcp:host:port for a network
serial server, which can't be listed.

Examples:
  lobewright ports
      which ports there are, and the name to give each
  lobewright sweep my-cam --port usb:A10K3
      the rig behind the USB adapter with this serial number
  lobewright sweep my-cam --port tcp:bench.local:2001
      the rig behind a network serial server

Exit status: 0 printed; 64 usage; 69 the system doesn't list its ports; 74
output failed.)";

}  // namespace

void setup_ports(CLI::App& app, Action& action) {
    auto json = std::make_shared<bool>(false);
    CLI::App* command = app.add_subcommand("ports", "List the ports that a rig may be plugged into");
    add_json_option(*command, *json);
    command->group("Commands");
    command->footer(ports_examples);
    command->callback([json, &action] { action = [json] { return run_ports(*json); }; });
}

Exit run_ports(bool json) {
    const std::vector<PortInfo> ports = list_ports();
    write_stdout(json ? present_ports_json(ports) : present_ports(ports));
    return Exit::fit;
}

}  // namespace lobewright
