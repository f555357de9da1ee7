// connect_tcp.hpp: a connection to a network serial server.
#pragma once

#include <string>

namespace lobewright {

/// A connected socket that doesn't wait, of `host:port` (`[::1]:2001` for an address with colons). Gives up after 4 s. Throws
/// DeviceError.
int connect_tcp(const std::string& host_and_port);

}  // namespace lobewright
