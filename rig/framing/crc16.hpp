// crc16.hpp: the check sum of the rig's lines: CRC-16 with polynomial 0x1021, start 0xFFFF, no reflection, no final XOR
// (CRC-16/IBM-3740 in the catalogue of parametrised CRC algorithms, reveng.sourceforge.io; its check value for
// "123456789" is 0x29B1). For the host and for a controller's firmware: no allocation, no exceptions, no library.
#pragma once

#include <cstddef>
#include <cstdint>

namespace lobewright {

namespace detail {

struct Crc16Table {
    std::uint16_t of[256] = {};
    constexpr Crc16Table() {
        for (unsigned byte = 0; byte < 256; ++byte) {
            unsigned crc = byte << 8;
            for (int bit = 0; bit < 8; ++bit) crc = (crc & 0x8000U) != 0 ? (crc << 1) ^ 0x1021U : crc << 1;
            of[byte] = static_cast<std::uint16_t>(crc);
        }
    }
};

inline constexpr Crc16Table crc16_table;

}  // namespace detail

constexpr std::uint16_t crc16(const char* bytes, std::size_t size) {
    unsigned crc = 0xFFFF;
    for (std::size_t i = 0; i < size; ++i) {
        const unsigned byte = static_cast<unsigned char>(bytes[i]);
        crc = ((crc << 8) ^ detail::crc16_table.of[((crc >> 8) ^ byte) & 0xFFU]) & 0xFFFFU;
    }
    return static_cast<std::uint16_t>(crc);
}

static_assert(crc16("123456789", 9) == 0x29B1);

}  // namespace lobewright
