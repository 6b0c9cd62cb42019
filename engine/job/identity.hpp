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

/// The identifier of a job that has a name elsewhere (a row of a spreadsheet), always the same one:
/// version 5, from the SHA-1 of a fixed namespace and `name`.
/// Source   RFC 9562 (2024), section 5.5
[[nodiscard]] std::string job_id_for(std::string_view name);

/// Whether `text` is written as these two write it.
[[nodiscard]] bool is_job_id(std::string_view text);

/// The beginning of an identifier that people read and type: 8 letters, enough to tell the jobs of
/// a shop apart (two of 10,000 share them with a chance of 1 %). Shorter text comes back whole.
[[nodiscard]] std::string short_id(std::string_view id);

}  // namespace knockwell
