// job/identity.hpp
//
// Names for jobs that no two trucks give twice.
#pragma once
#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

namespace knockwell {

/// A new universal identifier, version 4: 122 random bits in 36 characters, small letters.
/// `random` gives 32 even bits a call; hand in std::random_device, or a seeded engine in a test.
/// Source   RFC 9562 (2024), sections 4 and 5.4
[[nodiscard]] std::string new_job_id(const std::function<std::uint32_t()>& random);

/// Whether `text` is written as `new_job_id` writes it.
[[nodiscard]] bool is_job_id(std::string_view text);

}  // namespace knockwell
