#include "ledger/unfinished.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <utility>

namespace knockwell {
namespace {

void sync(const std::filesystem::path& what) {
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg): there is no other way to open
    const int handle = ::open(what.c_str(), O_RDONLY | O_CLOEXEC);
    if (handle < 0)
        return;
    ::fsync(handle);
    ::close(handle);
}

}  // namespace

Unfinished::Unfinished(std::filesystem::path whole)
    : whole_(std::move(whole)), part_(whole_.string() + ".part") {
    std::error_code none;
    std::filesystem::remove(part_, none);
}

Unfinished::~Unfinished() {
    std::error_code none;
    for (const char* end : {"", "-wal", "-shm", "-journal"})  // SQLite's, beside a ledger
        std::filesystem::remove(part_.string() + end, none);
}

std::error_code Unfinished::finish() {
    sync(part_);
    std::error_code error;
    std::filesystem::rename(part_, whole_, error);
    if (!error)
        sync(whole_.has_parent_path() ? whole_.parent_path() : ".");
    return error;
}

}  // namespace knockwell
