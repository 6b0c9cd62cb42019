// ledger/checksum.hpp
//
// A number kept with each row that betrays a row changed by a failing disk (not by a forger).
//
// Source   CRC-32 of ITU-T V.42 (2002), section 8.1.1.6.2: every change within 32 bits in a
//          row is seen, others but for one in 2^32
#pragma once
#include "ledger/kept.hpp"

#include <cstdint>
#include <string>
#include <string_view>

namespace knockwell {

/// Of the job's own fields, without its events.
[[nodiscard]] std::int64_t checksum(const Job& job);

/// Of an entry and the job that it belongs to; the entry's number is left out.
[[nodiscard]] std::int64_t checksum(const std::string& job_id, const KeptEvent& kept);

/// Of a job's summary as it is kept, and of the entries that it is of by their joined sum.
[[nodiscard]] std::int64_t checksum(const std::string& job_id, std::int64_t seal,
                                    std::string_view short_form);

/// Of an entry, as version 2 of the tables had it: with its number, and without a stamp.
[[nodiscard]] std::int64_t checksum_of_version_2(const std::string& job_id, const Event& event);

/// Of all entries of a job, from the sums of each: in any order.
[[nodiscard]] constexpr std::int64_t joined(std::int64_t seal, std::int64_t one_more) {
    return (seal + one_more) & 0xFFFFFFFF;
}

}  // namespace knockwell
