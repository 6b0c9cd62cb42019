// A folder for one test, and jobs to put into it.
#pragma once
#include "job/story.hpp"
#include "ledger/ledger.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace knockwell {

class Scratch {
public:
    Scratch() {
        std::string name = (std::filesystem::temp_directory_path() / "knockwell-XXXXXX").string();
        if (::mkdtemp(name.data()) == nullptr)
            ADD_FAILURE() << "no scratch folder";
        folder_ = name;
    }
    ~Scratch() {
        std::error_code none;
        std::filesystem::remove_all(folder_, none);
    }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;
    Scratch(Scratch&&) = delete;
    Scratch& operator=(Scratch&&) = delete;

    [[nodiscard]] std::filesystem::path operator/(const std::string& name) const {
        return folder_ / name;
    }

private:
    std::filesystem::path folder_;
};

/// Identifiers that differ in their first eight characters: "0000002a-...".
inline std::string id_of(std::uint32_t number) {
    std::string id = "00000000-e2bb-4255-8caf-4136c566a962";
    for (std::size_t place = 8; place-- > 0; number /= 16)
        id[place] = "0123456789abcdef"[number % 16];
    return id;
}

inline Event note(const std::string& text) { return event_of({EventKind::note, "", text}, 0); }

inline Job job_numbered(std::uint32_t number, const std::vector<StoryEvent>& events) {
    Job job = job_with(events);
    job.id = id_of(number);
    job.opened += std::int64_t{number % 1000} * 3600;
    return job;
}

/// Another program's eyes and hands on the file.
inline SQLite::Database from_outside(const std::filesystem::path& file) {
    return {file.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, 0};
}

inline std::string bytes_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

inline void write(const std::filesystem::path& file, const std::string& bytes) {
    std::ofstream(file, std::ios::binary | std::ios::trunc) << bytes;
}

/// The job that is meant; nothing where none or several are.
inline std::optional<Job> found(const Ledger& ledger, const std::string& typed) {
    FoundJob meant = ledger.find(typed);
    auto* job = std::get_if<Job>(&meant);
    return job != nullptr ? std::optional(std::move(*job)) : std::nullopt;
}

/// What a LedgerError says, or "" where there is none.
template <class Deed>
std::string error_of(Deed deed) {
    try {
        deed();
    } catch (const LedgerError& error) {
        return error.what();
    }
    return {};
}

inline std::string opening(const std::filesystem::path& file) {
    return error_of([&] { const Ledger ledger(file, std::chrono::milliseconds(0)); });
}

inline void expect_in(const std::string& part, const std::string& whole) {
    EXPECT_NE(whole.find(part), std::string::npos) << "'" << part << "' is not in: " << whole;
}

}  // namespace knockwell
