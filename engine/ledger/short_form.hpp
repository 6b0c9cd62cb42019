// ledger/short_form.hpp
//
// A job's summary as a few bytes, kept beside the job, so that a review of a million jobs reads a
// row a job and not all its entries.
//
// Idea     texts and numbers one after the other, each closed by a zero byte, which no text of a
//          job has in it; before a list stands how many follow
// Care     it says nothing that the entries do not say, and is only as good as the program that
//          drew it up: the row says of which form it is, and one of another form is not read but
//          drawn up afresh
// Held by  tests/ledger/short_form_test.cpp
#pragma once
#include "job/summary.hpp"

#include <string>
#include <string_view>

namespace knockwell {

/// Counted up whenever a summary of the same entries comes out otherwise, or its bytes do.
constexpr int summary_form = 1;

/// All but `id` and `opened`, which stand in the job's own row.
[[nodiscard]] std::string short_form(const Summary& summary);

/// Throws BadRow where it is none.
[[nodiscard]] Summary summary_from(std::string_view bytes);

}  // namespace knockwell
