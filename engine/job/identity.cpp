#include "job/identity.hpp"

#include "base/hex.hpp"

#include <boost/uuid/name_generator_sha1.hpp>
#include <boost/uuid/random_generator.hpp>
#include <boost/uuid/string_generator.hpp>
#include <boost/uuid/uuid_io.hpp>

#include <limits>

namespace knockwell {
namespace {

/// Handed-in randomness in the shape that Boost wants.
struct Bits {
    using result_type = std::uint32_t;
    const std::function<std::uint32_t()>* random;
    static constexpr result_type min() { return 0; }
    static constexpr result_type max() { return std::numeric_limits<result_type>::max(); }
    result_type operator()() const { return (*random)(); }
};

constexpr std::string_view shape =
    "xxxxxxxx-xxxx-nxxx-vxxx-xxxxxxxxxxxx";  // RFC 9562, figures 8 and 9; n: version

bool one_of(char c, std::string_view these) { return these.find(c) != std::string_view::npos; }

}  // namespace

std::string new_job_id(const std::function<std::uint32_t()>& random) {
    Bits bits{&random};
    boost::uuids::basic_random_generator<Bits> generator(bits);
    return boost::uuids::to_string(generator());
}

std::string job_id_for(std::string_view name) {
    // A namespace of our own, drawn once (version 4).
    static const boost::uuids::uuid ours =
        boost::uuids::string_generator()("6d1f0c3a-52b8-4e57-9a1e-0c5b7f2d9e44");
    boost::uuids::name_generator_sha1 generator(ours);
    return boost::uuids::to_string(generator(name.data(), name.size()));
}

bool is_job_id(std::string_view text) {
    if (text.size() != shape.size())
        return false;
    for (std::size_t i = 0; i < shape.size(); ++i) {
        if (shape[i] == 'x' && !one_of(text[i], hex_digits))
            return false;
        if (shape[i] == 'v' && !one_of(text[i], "89ab"))
            return false;
        if (shape[i] == 'n' && !one_of(text[i], "45"))
            return false;
        if (!one_of(shape[i], "nxv") && text[i] != shape[i])
            return false;
    }
    return true;
}

std::string short_id(std::string_view id) { return std::string(id.substr(0, shape.find('-'))); }

}  // namespace knockwell
