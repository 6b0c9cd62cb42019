// base/side_by_side.hpp
//
// Two deeds at once, on the machine's two cores.
//
// Held by  tests/base/side_by_side_test.cpp
#pragma once
#include <exception>
#include <thread>

namespace knockwell {

/// Returns when both are done. What one throws is thrown on, of two that of `here`.
template <class Here, class Other>
void side_by_side(Here here, Other other) {
    std::exception_ptr failed;
    {
        const std::jthread thread([&] {
            try {
                other();
            } catch (...) {
                failed = std::current_exception();
            }
        });
        here();
    }
    if (failed)
        std::rethrow_exception(failed);
}

}  // namespace knockwell
