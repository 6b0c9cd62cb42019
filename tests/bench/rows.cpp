#include "bench/rows.hpp"

#include <map>

namespace knockwell::bench {

std::string Row::name() const {
    return what + "|" + size.name + "|" + std::to_string(k) + "|" +
           (contexts_known ? "known" : "unknown") + "|" + (via == Via::sure ? "sure" : "uncertain");
}

std::vector<Row> all_rows() {
    std::vector<Row> rows;
    for (const char* what : {"posterior, cold", "posterior, one finding more", "posterior, kept",
                             "ranking of every open check"})
        for (const bool known : {true, false})
            for (const Via via : {Via::sure, Via::looked})
                for (const InstanceSize& size : {small, medium, large})
                    for (const std::size_t k : {0U, 4U, 8U, 12U, 16U, 20U})
                        rows.push_back({what, size, k, known, via});
    return rows;
}

const Instance& instance_of(const InstanceSize& size) {
    static std::map<std::string, std::unique_ptr<const Instance>> made;
    auto& one = made[size.name];
    if (!one)
        one = make_instance(size);
    return *one;
}

Found found_of(const Row& row, std::uint32_t which) {
    return make_found(instance_of(row.size).plain, row.k, which, row.contexts_known);
}

std::string timing_name(const std::string& row, const char* who, std::uint32_t which) {
    return row + "|" + who + "|" + std::to_string(which);
}

}  // namespace knockwell::bench
