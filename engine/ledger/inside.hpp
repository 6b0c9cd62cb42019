// ledger/inside.hpp
//
// What the files of the ledger share: the open database, and errors with file and deed. Only they
// include this.
#pragma once
#include "base/words.hpp"
#include "ledger/ledger.hpp"
#include "ledger/rows.hpp"
#include "ledger/unfinished.hpp"

#include <SQLiteCpp/SQLiteCpp.h>

#include <memory>
#include <string>
#include <string_view>

namespace knockwell {

constexpr const char* in_memory = ":memory:";

/// "FILE: cannot DEED: WHY", safe on a terminal.
[[nodiscard]] std::string sentence(const std::filesystem::path& file, std::string_view deed,
                                   std::string_view why);

/// SQLite's primary result codes in words; its own words go behind them.
[[nodiscard]] std::string in_words(const SQLite::Exception& error);

/// "it is damaged: WHAT; put back a backup". Of SQLite's report, lines under a heading, one
/// sentence.
[[nodiscard]] std::string damaged(std::string_view what);

[[nodiscard]] int pragma(SQLite::Database& database, const std::string& name);

/// Throws where what is there is no ledger by its kind or its length.
void look_at(const std::filesystem::path& file);

/// A database with nothing in it, private to its owner, that has not got its name yet.
[[nodiscard]] std::unique_ptr<Unfinished> begun_database(const std::filesystem::path& file);

/// Makes it where there is no file. It gets its name when its first page stands, so that a file of
/// 0 bytes is never a new ledger.
void make_database(const std::filesystem::path& file);

/// What a file of 0 bytes is told to be; empty where it has more.
[[nodiscard]] std::string against_no_bytes(const std::filesystem::path& file);

/// What a file of less than a page is told to be: the beginning of a ledger, or none; empty where
/// it has a page, or is empty.
[[nodiscard]] std::string against_few_bytes(const std::filesystem::path& file);

/// What is wrong with the file as a ledger; empty where it is one, or has nothing in it.
[[nodiscard]] std::string against_file(SQLite::Database& database);

/// Settings of a connection that reads a file which may be hostile.
void distrust(SQLite::Database& database);

/// A job with what is wrong with it told by its name.
[[nodiscard]] Job told(const KeptJob& job);

/// Tells a long deed's progress a hundred times.
class Counter {
public:
    Counter(Progress progress, std::size_t all) : progress_(std::move(progress)), all_(all) {}
    void one_more() {
        ++done_;
        if (progress_ && (done_ == all_ || done_ % (1 + all_ / 100) == 0))
            progress_(done_, all_);
    }

private:
    Progress progress_;
    std::size_t all_ = 0;
    std::size_t done_ = 0;
};

/// Does the work; whatever SQLite says against it is told with file and deed.
template <class Work>
auto tried_with(const std::filesystem::path& file, std::string_view deed, Work work) {
    try {
        return work();
    } catch (const SQLite::Exception& error) {
        throw LedgerError(sentence(file, deed, in_words(error)));
    } catch (const BadRow& bad) {
        throw LedgerError(sentence(file, deed, damaged(bad.what())));
    }
}

struct Ledger::Inside {
    std::filesystem::path file;
    std::chrono::milliseconds patience;
    std::unique_ptr<Unfinished> unnamed;  // of a new ledger that gets its name later
    mutable SQLite::Database database;

    Inside(const std::filesystem::path& path, std::chrono::milliseconds waits,
           std::unique_ptr<Unfinished> begun);

    template <class Work>
    auto tried(std::string_view deed, Work work) const {
        return tried_with(file, deed, std::move(work));
    }

    void refuse(std::string_view deed, const std::string& why) const {
        if (!why.empty())
            throw LedgerError(sentence(file, deed, why));
    }

    void prepare() const;

    /// At the end of what keeps jobs; no statement is prepared then.
    void give_its_name();

private:
    void use_write_ahead_log() const;
    void migrate() const;
};

}  // namespace knockwell
