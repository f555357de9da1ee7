// crc32c.hpp: the check sum of a capture's records: CRC-32C (Castagnoli; CRC-32/ISCSI in the catalogue of parametrised CRC
// algorithms, reveng.sourceforge.io, check value 0xE3069283 for "123456789").
#pragma once

#include <cstdint>
#include <string_view>

#include <boost/crc.hpp>

namespace lobewright {

/// Of `first` followed by `second`.
inline std::uint32_t crc32c(std::string_view first, std::string_view second = {}) {
    boost::crc_optimal<32, 0x1EDC6F41, 0xFFFFFFFF, 0xFFFFFFFF, true, true> crc;
    crc.process_bytes(first.data(), first.size());
    crc.process_bytes(second.data(), second.size());
    return crc.checksum();
}

}  // namespace lobewright
