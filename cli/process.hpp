// process.hpp: what holds for the whole process, before anything else is done.
#pragma once

namespace lobewright {

inline constexpr auto out_of_memory = "out of memory; end other programs, or give it less to do at once";

/// A closed pipe (SIGPIPE) and a file that may not grow (SIGXFSZ) become errors to report, not deaths. Standard streams that
/// were closed are taken by something that neither gives nor takes, lest a file that is opened later has their number and gets
/// what is said. Memory that runs out where nobody can catch it ends in one line and exit status 74 all the same.
void prepare_process();

}  // namespace lobewright
