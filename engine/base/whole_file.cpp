#include "base/whole_file.hpp"

#include <algorithm>
#include <cerrno>
#include <fstream>
#include <memory>
#include <system_error>

namespace knockwell {
namespace {

/// A folder opens as a file does, and what is told of it then differs from disk to disk.
std::error_code why_unread(const std::filesystem::path& file, int error) {
    std::error_code none;
    return {std::filesystem::is_directory(file, none) ? EISDIR : error, std::generic_category()};
}

}  // namespace

std::string whole_file(const std::filesystem::path& file, std::size_t most) {
    // In pieces as large as most files are, so that one of them is read at once.
    constexpr std::size_t piece_size = std::size_t{1} << 16U;
    const auto piece = std::make_unique_for_overwrite<char[]>(piece_size);
    std::ifstream in(file, std::ios::binary);
    std::string text;
    while (in && text.size() <= most) {
        const std::size_t wanted = std::min(piece_size, most + 1 - text.size());
        in.read(piece.get(), static_cast<std::streamsize>(wanted));
        text.append(piece.get(), static_cast<std::size_t>(in.gcount()));
    }
    if (!in.is_open() || in.bad())
        throw std::system_error(why_unread(file, errno), "cannot read " + file.string());
    return text;
}

}  // namespace knockwell
