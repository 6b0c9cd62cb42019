// ledger/schema.hpp
//
// The tables by version, and the steps between versions. docs/ledger.md says what stands in them.
//
// Idea     a ledger of version v is brought up to date by the steps v+1, v+2, ...; a new one by
//          all of them, so that old and new ledgers cannot differ. The text that SQLite keeps of
//          every table and trigger is compared with what the steps make: a damaged or tampered
//          schema is seen before it is used
// Held by  tests/ledger/migration_test.cpp (a ledger of every older version)
#pragma once
#include <cstdint>
#include <string>

namespace SQLite {
class Database;
}

namespace knockwell {

/// "Knwl", the application_id of the file's header: which program's file this is.
constexpr std::int32_t ledger_application_id = 0x4B6E776C;

/// Version of the schema that this program writes.
[[nodiscard]] int schema_version();

/// What is wrong with the tables of a ledger of version `version`; empty where they are as its
/// steps make them. Foreign tables, views and indexes beside them are let be, foreign triggers on
/// ours are not.
[[nodiscard]] std::string against_schema(SQLite::Database& database, int version);

/// Takes the steps after `version` (0: an empty file) and writes version and application_id. Runs
/// inside the caller's transaction.
void bring_up_to_date(SQLite::Database& database, int version);

}  // namespace knockwell
