#include "knowledge/version.hpp"

#include "base/hex.hpp"

namespace knockwell {
namespace {

/// A text is hashed behind its length, so that "a", "bc" and "ab", "c" differ.
std::uint64_t hashed(std::string_view text, std::uint64_t hash) {
    return fnv1a(text, fnv1a(std::to_string(text.size()) + ':', hash));
}

}  // namespace

std::uint64_t fnv1a(std::string_view bytes, std::uint64_t hash) {
    constexpr std::uint64_t prime = 0x100000001b3U;
    for (const char byte : bytes) {
        hash ^= static_cast<std::uint8_t>(byte);
        hash *= prime;
    }
    return hash;
}

std::string fingerprint(const std::vector<Source>& sources) {
    std::uint64_t hash = fnv1a("");
    for (const Source& source : sources)
        hash = hashed(source.text, hashed(source.name, hash));
    return hex((hash >> 48U) ^ (hash & 0xffffffffffffU), 12);
}

}  // namespace knockwell
