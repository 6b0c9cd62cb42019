// ledger/bad_row.hpp
#pragma once
#include <stdexcept>

namespace knockwell {

/// A row that this program cannot have written. The caller adds file and deed.
class BadRow : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

}  // namespace knockwell
