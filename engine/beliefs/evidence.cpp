#include "beliefs/evidence.hpp"

#include <algorithm>
#include <utility>
#include <variant>

namespace knockwell {

bool is_circumstance(const Knowledge& knowledge, const Finding& finding) {
    const auto* id = std::get_if<SignId>(&finding.what);
    return id != nullptr && knowledge[*id].circumstance;
}

void add(Evidence& evidence, Finding finding) {
    const auto same = std::find_if(
        evidence.findings.begin(), evidence.findings.end(), [&](const Finding& earlier) {
            return earlier.what == finding.what && earlier.stage == finding.stage &&
                   earlier.via == finding.via && earlier.test == finding.test;
        });
    if (same == evidence.findings.end())
        evidence.findings.push_back(std::move(finding));
    else
        *same = std::move(finding);
}

}  // namespace knockwell
