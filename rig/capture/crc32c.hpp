// crc32c.hpp: the check sum of a capture's records: CRC-32C (Castagnoli; CRC-32/ISCSI in the catalogue of parametrised CRC
// algorithms, reveng.sourceforge.io, check value 0xE3069283 for "123456789"). Every byte of every port goes through it, so
// it takes eight at a time, each from a table of its own (slicing: Kounavis and Berry, "Novel table lookup-based
// algorithms for high-performance CRC generation", IEEE Trans. Computers 57, 2008; from memory).
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace lobewright {

namespace detail {

/// `of[k][byte]`: what `byte` does to the sum when k bytes follow it.
struct Crc32cTables {
    std::array<std::array<std::uint32_t, 256>, 8> of{};
    constexpr Crc32cTables() {
        constexpr std::uint32_t polynomial = 0x82F63B78U;  // 0x1EDC6F41, bits in the order of the wire
        for (std::uint32_t byte = 0; byte < 256; ++byte) {
            std::uint32_t crc = byte;
            for (int bit = 0; bit < 8; ++bit) crc = (crc & 1U) != 0 ? (crc >> 1U) ^ polynomial : crc >> 1U;
            of[0][byte] = crc;
        }
        for (std::size_t k = 1; k < of.size(); ++k) {
            for (std::size_t byte = 0; byte < 256; ++byte) {
                const std::uint32_t before = of[k - 1][byte];
                of[k][byte] = (before >> 8U) ^ of[0][before & 0xFFU];
            }
        }
    }
};

inline constexpr Crc32cTables crc32c_tables;

constexpr std::uint32_t crc32c_go_on(std::uint32_t crc, std::string_view bytes) {
    const auto& of = crc32c_tables.of;
    const auto at = [&bytes](std::size_t i) { return std::uint32_t{static_cast<unsigned char>(bytes[i])}; };
    for (; bytes.size() >= 8; bytes.remove_prefix(8)) {
        crc ^= at(0) | at(1) << 8U | at(2) << 16U | at(3) << 24U;
        crc = of[7][crc & 0xFFU] ^ of[6][crc >> 8U & 0xFFU] ^ of[5][crc >> 16U & 0xFFU] ^ of[4][crc >> 24U] ^
              of[3][at(4)] ^ of[2][at(5)] ^ of[1][at(6)] ^ of[0][at(7)];
    }
    for (const char c : bytes) crc = (crc >> 8U) ^ of[0][(crc ^ static_cast<unsigned char>(c)) & 0xFFU];
    return crc;
}

}  // namespace detail

/// Of `first` followed by `second`.
constexpr std::uint32_t crc32c(std::string_view first, std::string_view second = {}) {
    return ~detail::crc32c_go_on(detail::crc32c_go_on(0xFFFFFFFFU, first), second);
}

static_assert(crc32c("123456789") == 0xE3069283U);
static_assert(crc32c("1234", "56789") == 0xE3069283U);

}  // namespace lobewright
