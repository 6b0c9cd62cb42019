// knowledge/version.hpp
//
// What a job remembers of the knowledge that it was worked with: a short hash, not for security.
//
// Source   FNV-1a, 64 bits (G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake 3rd, The FNV
//          Non-Cryptographic Hash Algorithm, RFC 9923); folded to 48 bits by exclusive or, as its
//          section on other sizes advises
#pragma once
#include "base/source.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// The hash of `bytes`, going on from `hash`.
[[nodiscard]] std::uint64_t fnv1a(std::string_view bytes, std::uint64_t hash = 0xcbf29ce484222325U);

/// Twelve hexadecimal digits that change with any byte of the texts, but not with their names and
/// their order: no answer hangs on these.
[[nodiscard]] std::string fingerprint(const std::vector<Source>& sources);

}  // namespace knockwell
