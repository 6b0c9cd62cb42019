#include "ledger/unfinished.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <string>
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

std::error_code folder_to_disk(const std::filesystem::path& file) {
    return to_disk(file.has_parent_path() ? file.parent_path() : ".");
}

std::error_code renamed(const std::filesystem::path& from, const std::filesystem::path& to) {
    std::error_code error;
    std::filesystem::rename(from, to, error);
    return error;
}

/// Gives it a name that nothing has.
std::error_code named(const std::filesystem::path& part, const std::filesystem::path& name) {
    if (::renameat2(AT_FDCWD, part.c_str(), AT_FDCWD, name.c_str(), RENAME_NOREPLACE) == 0)
        return {};
    if (errno == EEXIST)
        return last_error();
    // Not every file system renames so; a network's may know links instead.
    if (::link(part.c_str(), name.c_str()) == 0)
        return {};
    if (errno == EEXIST)
        return last_error();
    // Some know neither (folders that a virtual machine shares): there it is looked at before.
    std::error_code none;
    if (std::filesystem::exists(std::filesystem::symlink_status(name, none)))
        return std::make_error_code(std::errc::file_exists);
    return renamed(part, name);
}

}  // namespace

std::error_code to_disk(const std::filesystem::path& what) {
    const std::error_code error = sync(what);
    std::error_code none;
    if (is_no_failure(error) && std::filesystem::is_directory(what, none))
        return {};
    return error;
}

Unfinished::Unfinished(std::filesystem::path whole) : whole_(std::move(whole)) {}

Unfinished::~Unfinished() {
    if (part_.empty())
        return;
    std::error_code none;
    for (const char* end : {"", "-wal", "-shm", "-journal"})  // SQLite's, beside a ledger
        std::filesystem::remove(part_.string() + end, none);
}

std::error_code Unfinished::make() {
    std::string name = whole_.string() + ".part-XXXXXX";
    const int made = ::mkostemp(name.data(), O_CLOEXEC);
    if (made < 0)
        return last_error();
    ::close(made);
    part_ = name;
    return {};
}

std::error_code Unfinished::finish() {
    if (const std::error_code error = to_disk(part_))
        return error;
    if (const std::error_code error = take_name())
        return error;
    return folder_to_disk(whole_);
}

std::error_code Unfinished::take_name() { return named(part_, whole_); }

std::error_code Unfinished::replace() {
    if (const std::error_code error = to_disk(part_))
        return error;
    if (const std::error_code error = renamed(part_, whole_))
        return error;
    return folder_to_disk(whole_);
}

}  // namespace knockwell
