#include "analysis/in_parallel.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <system_error>
#include <thread>
#include <vector>

namespace lobewright {

void in_parallel(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work) {
    std::vector<std::exception_ptr> failure(count);
    std::atomic<std::size_t> next{0};
    const auto worker = [&] {
        for (std::size_t i = next++; i < count; i = next++) {
            try {
                work(i);
            } catch (...) {
                failure[i] = std::current_exception();
            }
        }
    };
    const std::size_t wanted = threads > 0 ? threads : std::max(1U, std::thread::hardware_concurrency());
    std::vector<std::jthread> others;
    try {
        for (std::size_t i = 1; i < std::min(wanted, count); ++i) others.emplace_back(worker);
    } catch (const std::system_error&) {
        // No more threads to be had: those that run do all the work.
    }
    worker();
    others.clear();  // joins
    for (const auto& f : failure) {
        if (f) std::rethrow_exception(f);
    }
}

}  // namespace lobewright
