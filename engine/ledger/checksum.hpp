// ledger/checksum.hpp
//
// A number kept with each row that betrays a row changed by a failing disk (not by a forger).
//
// Source   CRC-32 of ITU-T V.42 (2002), section 8.1.1.6.2: every change within 32 bits in a row is
// seen, others but for one in 2^32
#pragma once
#include "job/job.hpp"

#include <cstdint>

namespace knockwell {

/// Of the job's own fields, without its events.
[[nodiscard]] std::int64_t checksum(const Job& job);

/// Of an event and the job that it belongs to.
[[nodiscard]] std::int64_t checksum(const std::string& job_id, const Event& event);

}  // namespace knockwell
