#include "knowledge/version.hpp"

#include "base/hex.hpp"

#include <algorithm>

namespace knockwell {

std::uint64_t fnv1a(std::string_view bytes, std::uint64_t hash) {
    constexpr std::uint64_t prime = 0x100000001b3U;
    for (const char byte : bytes) {
        hash ^= static_cast<std::uint8_t>(byte);
        hash *= prime;
    }
    return hash;
}

std::string fingerprint(const std::vector<Source>& sources) {
    std::vector<std::uint64_t> texts;
    texts.reserve(sources.size());
    for (const Source& source : sources)
        texts.push_back(fnv1a(source.text));
    std::sort(texts.begin(), texts.end());
    std::uint64_t hash = fnv1a("");
    for (const std::uint64_t text : texts)
        hash = fnv1a(hex(text, 16), hash);
    return hex((hash >> 48U) ^ (hash & 0xffffffffffffU), 12);
}

}  // namespace knockwell
