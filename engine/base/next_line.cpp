#include "base/next_line.hpp"

#include <algorithm>
#include <array>

namespace knockwell {

bool next_line(std::istream& in, std::string& line, std::size_t most) {
    line.clear();
    std::array<char, 4096> piece{};
    bool any = false;
    while (in) {
        in.getline(piece.data(), piece.size());
        auto count = static_cast<std::size_t>(in.gcount());
        any = any || count > 0;
        const bool full = in.fail() && count + 1 == piece.size() && !in.eof() && !in.bad();
        const bool ended = in.good();  // the end of the line was taken, and counted
        if (ended)
            --count;
        line.append(piece.data(), std::min(count, most + 1 - line.size()));
        if (!full)
            break;
        in.clear();
    }
    return any;
}

}  // namespace knockwell
