#include "ledger/checksum.hpp"

#include <boost/crc.hpp>

#include <array>
#include <bit>

namespace knockwell {
namespace {

/// Numbers go in from the low byte, texts after their length, so that no two rows give the same
/// bytes.
class Sum {
public:
    Sum& add(std::uint64_t number) {
        std::array<unsigned char, 8> bytes{};
        for (std::size_t i = 0; i < bytes.size(); ++i)
            bytes[i] = static_cast<unsigned char>((number >> (8 * i)) & 0xFFU);
        crc_.process_bytes(bytes.data(), bytes.size());
        return *this;
    }
    Sum& add(std::int64_t number) { return add(static_cast<std::uint64_t>(number)); }
    Sum& add(std::string_view text) {
        add(std::uint64_t{text.size()});
        crc_.process_bytes(text.data(), text.size());
        return *this;
    }
    [[nodiscard]] std::int64_t value() const { return crc_.checksum(); }

private:
    boost::crc_32_type crc_;
};

}  // namespace

std::int64_t checksum(const Job& job) {
    return Sum()
        .add(std::string_view(job.id))
        .add(std::string_view(job.area))
        .add(std::string_view(job.installation))
        .add(std::string_view(job.knowledge))
        .add(job.opened)
        .value();
}

std::int64_t checksum(const std::string& job_id, const KeptEvent& kept) {
    return Sum()
        .add(std::string_view(job_id))
        .add(kept.stamp.moment)
        .add(std::uint64_t{kept.stamp.tick})
        .add(kept.event.at)
        .add(to_text(kept.event.kind))
        .add(std::string_view(kept.event.what))
        .add(std::string_view(kept.event.value))
        .add(std::bit_cast<std::uint64_t>(kept.event.minutes + 0.0))  // -0 counts as 0
        .value();
}

std::int64_t checksum(const std::string& job_id, std::int64_t seal, std::string_view short_form) {
    return Sum().add(std::string_view(job_id)).add(seal).add(short_form).value();
}

std::int64_t checksum_of_version_2(const std::string& job_id, const Event& event) {
    return Sum()
        .add(std::string_view(job_id))
        .add(std::uint64_t{event.number})
        .add(event.at)
        .add(to_text(event.kind))
        .add(std::string_view(event.what))
        .add(std::string_view(event.value))
        .add(std::bit_cast<std::uint64_t>(event.minutes + 0.0))  // -0 counts as 0
        .value();
}

}  // namespace knockwell
