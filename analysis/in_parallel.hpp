// in_parallel.hpp: independent pieces of work on all cores.
#pragma once

#include <cstddef>
#include <functional>

namespace lobewright {

/// Calls work(0) .. work(count-1), each once, on `threads` threads (0: as many as the machine has cores).
/// When some throw, the exception of the lowest index is thrown again after all have ended: messages don't
/// depend on timing.
void in_parallel(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work);

}  // namespace lobewright
