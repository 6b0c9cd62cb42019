#include "job/identity.hpp"

#include <boost/uuid/random_generator.hpp>
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

constexpr std::string_view shape = "xxxxxxxx-xxxx-4xxx-vxxx-xxxxxxxxxxxx";  // RFC 9562, figure 8

bool one_of(char c, std::string_view these) { return these.find(c) != std::string_view::npos; }

}  // namespace

std::string new_job_id(const std::function<std::uint32_t()>& random) {
    Bits bits{&random};
    boost::uuids::basic_random_generator<Bits> generator(bits);
    return boost::uuids::to_string(generator());
}

bool is_job_id(std::string_view text) {
    if (text.size() != shape.size())
        return false;
    for (std::size_t i = 0; i < shape.size(); ++i) {
        if (shape[i] == 'x' && !one_of(text[i], "0123456789abcdef"))
            return false;
        if (shape[i] == 'v' && !one_of(text[i], "89ab"))
            return false;
        if (!one_of(shape[i], "xv") && text[i] != shape[i])
            return false;
    }
    return true;
}

}  // namespace knockwell
