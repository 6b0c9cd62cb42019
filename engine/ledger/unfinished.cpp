#include "ledger/unfinished.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <utility>

namespace knockwell {
namespace {

std::error_code last_error() { return {errno, std::generic_category()}; }

std::error_code sync(const std::filesystem::path& what) {
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg): there is no other way to open
    const int handle = ::open(what.c_str(), O_RDONLY | O_CLOEXEC);
    if (handle < 0)
        return last_error();
    const std::error_code error = ::fsync(handle) == 0 ? std::error_code() : last_error();
    ::close(handle);
    return error;
}

/// Says of a folder that it cannot be asked for, and nothing of the disk.
bool is_no_failure(const std::error_code& error) {
    return error == std::errc::invalid_argument || error == std::errc::not_supported ||
           error == std::errc::operation_not_supported ||
           error == std::errc::read_only_file_system || error == std::errc::permission_denied;
}

}  // namespace

std::error_code to_disk(const std::filesystem::path& what) {
    const std::error_code error = sync(what);
    std::error_code none;
    if (is_no_failure(error) && std::filesystem::is_directory(what, none))
        return {};
    return error;
}

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

std::error_code Unfinished::make() const {
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg): there is no other way to say O_EXCL
    const int made = ::open(part_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (made < 0)
        return last_error();
    ::close(made);
    return {};
}

std::error_code Unfinished::finish() {
    if (const std::error_code error = to_disk(part_))
        return error;
    std::error_code error;
    std::filesystem::rename(part_, whole_, error);
    if (error)
        return error;
    return to_disk(whole_.has_parent_path() ? whole_.parent_path() : ".");
}

}  // namespace knockwell
