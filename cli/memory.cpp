#include "cli/memory.hpp"

#include <malloc.h>
#include <sys/mman.h>

#include <cstddef>
#include <cstdint>
#include <cstdlib>

namespace knockwell {

#if defined(__GLIBC__) && defined(MADV_POPULATE_WRITE) && defined(MADV_HUGEPAGE)
namespace {

constexpr std::size_t mib = std::size_t{1} << 20;
constexpr std::size_t heap_room = 24 * mib;

char* down_to(std::size_t whole, char* at) {
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): pages begin at whole numbers
    return at - reinterpret_cast<std::uintptr_t>(at) % whole;
}

/// The heap of this thread grows by heap_room in large pages, the first `at_once` bytes of it now.
void widen_heap(std::size_t at_once) {
    constexpr std::size_t page = 4096;
    constexpr std::size_t large_page = 2 * mib;
    // NOLINTNEXTLINE(cppcoreguidelines-no-malloc): the heap itself is meant
    void* const heap = std::malloc(heap_room);
    if (heap == nullptr)
        return;
    char* const begin = static_cast<char*>(heap);
    // Advice: a kernel that has no large pages, or is older, refuses or does nothing.
    char* const large = down_to(large_page, begin);
    const auto large_size =
        static_cast<std::size_t>(down_to(large_page, begin + heap_room) - large);
    (void)madvise(large, large_size, MADV_HUGEPAGE);
    if (at_once > 0)
        (void)madvise(down_to(page, begin) + page, at_once, MADV_POPULATE_WRITE);
    std::free(heap);  // NOLINT(cppcoreguidelines-no-malloc)
}

}  // namespace

void make_room_in_memory() {
    constexpr int largest = 32 * int{mib};  // that the C library takes
    // What is larger would come from the kernel by itself each time, and go back when it is freed.
    mallopt(M_MMAP_THRESHOLD, largest);
    mallopt(M_TRIM_THRESHOLD, 4 * largest);
    mallopt(M_ARENA_MAX, 2);
    widen_heap(8 * mib);
}

void make_room_for_a_thread() { widen_heap(0); }
#else
void make_room_in_memory() {}
void make_room_for_a_thread() {}
#endif

}  // namespace knockwell
