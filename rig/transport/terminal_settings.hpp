// terminal_settings.hpp: a terminal's settings as a rig's port needs them: bytes as they come, a read that waits when there
// are none, no signals. Sources: termios(3), tty_ioctl(4).
#pragma once

#include <string>

#include "rig/transport/port_settings.hpp"

namespace lobewright {

/// Makes `terminal` raw, with the data bits, parity and stop bits of `port`, whatever was set before, and reads back
/// whether it took. Leaves the speed alone. What needs it of libserialport 0.1.1: sp_open leaves VMIN at 0, so that an idle
/// port reads as one that was unplugged; IXON on, which eats two byte values; HUPCL on, which resets boards at the next
/// open; no close on exec. Throws DeviceError that names the port.
void set_raw(int terminal, const PortSettings& port);

/// The same with the speed, for terminals that aren't libserialport's. One that can't be had is a DeviceError; a
/// pseudo-terminal takes any of the usual ones and has none.
void set_raw_with_speed(int terminal, const PortSettings& port);

/// Takes the port for this program alone: flock against programs that play by the rules, root's too, TIOCEXCL against
/// the others. Throws DeviceError that says, where it can be found out, who has it.
void take_exclusively(int terminal, const std::string& name);

/// Lets others open it again; on a pseudo-terminal the exclusion would outlive the close.
void release_exclusion(int terminal);

/// "; PROGRAM (process N) has it", as far as this user may see it, or nothing.
std::string who_has(const std::string& device);

}  // namespace lobewright
