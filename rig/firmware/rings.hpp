// rings.hpp: queues of fixed size: records between the encoder's interrupt and the main loop, bytes between the main loop
// and the transmitter. Part of the controller's firmware: no allocation, no exceptions.
#pragma once

#include <cstddef>

namespace lobewright::firmware {

template <class Item, std::size_t capacity>
class Ring {
public:
    [[nodiscard]] std::size_t size() const { return size_; }
    [[nodiscard]] std::size_t room() const { return capacity - size_; }

    /// The caller has looked at room().
    void push(const Item& item) {
        items_[(first_ + size_) % capacity] = item;
        ++size_;
    }
    /// The caller has looked at size().
    Item pop() {
        const Item item = items_[first_];
        first_ = (first_ + 1) % capacity;
        --size_;
        return item;
    }

private:
    Item items_[capacity] = {};
    std::size_t first_ = 0;
    std::size_t size_ = 0;
};

}  // namespace lobewright::firmware
