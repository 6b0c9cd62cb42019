// cli/house_facts.hpp
//
// What earlier jobs wrote down of a house, offered to the next one: nobody asks twice whether the
// pump hangs in the well, and nothing is taken over unseen.
#pragma once
#include "cli/knowledge_folder.hpp"
#include "ledger/ledger.hpp"

#include <string>

namespace knockwell {

/// "Job 4f1c0de2 wrote of this house: knockwell found --job ... --set pump=submersible": the
/// settings of the job that this one is a call-back of, else of the newest other one at the house,
/// but for those that this one says itself or that pass (`passing`). Empty where there is nothing
/// to say.
[[nodiscard]] std::string known_of_the_house(const Shelf& shelf, const Ledger& ledger,
                                             const Job& job);

}  // namespace knockwell
