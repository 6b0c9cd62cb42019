// One text, any bytes: the reader neither crashes nor hangs, and what it prints is fit for a
// terminal.
#include "fuzz/feed.hpp"

#include <cstdint>
#include <cstdio>
#include <cstdlib>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
    const std::string text(bytes, bytes + size);
    const std::string trouble = knockwell::feed({{.name = "kb/fed.toml", .text = text}}).trouble;
    if (!trouble.empty()) {
        std::fputs((trouble + '\n').c_str(), stderr);
        std::abort();
    }
    return 0;
}
