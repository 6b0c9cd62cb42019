#include "cli/new_file.hpp"

#include <cerrno>
#include <filesystem>
#include <stdexcept>
#include <system_error>
#include <utility>

namespace knockwell {
namespace {

[[noreturn]] void fail_at(const std::string& file, const std::string& deed,
                          const std::string& why) {
    throw std::runtime_error(file + ": cannot " + deed + ": " + why);
}

}  // namespace

NewFile::NewFile(std::string file, std::string deed)
    : file_(std::move(file)), deed_(std::move(deed)), unfinished_(file_) {
    std::error_code none;
    if (std::filesystem::exists(file_, none))
        fail_at(file_, deed_, "there is a file of that name already");
    if (const std::error_code error = unfinished_.make())
        fail_at(file_, deed_, error.message());
    out_.open(unfinished_.part(), std::ios::binary);
    if (!out_)
        fail_at(file_, deed_, std::generic_category().message(errno));
}

void NewFile::finish() {
    out_.close();
    if (!out_)
        fail_at(file_, deed_, "the disk is full or gone");
    if (const std::error_code error = unfinished_.finish())
        fail_at(file_, deed_,
                error == std::errc::file_exists
                    ? "a file of that name has come there meanwhile; say another name"
                    : error.message());
}

}  // namespace knockwell
