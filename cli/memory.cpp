#include "cli/memory.hpp"

#include <malloc.h>
#include <sys/mman.h>

#include <cstddef>
#include <cstdint>
#include <cstdlib>

namespace knockwell {

void make_room_in_memory() {
#if defined(__GLIBC__) && defined(MADV_POPULATE_WRITE)
    constexpr std::size_t room = std::size_t{16} << 20;
    constexpr std::size_t page = 4096;
    // What is larger would come from the kernel by itself each time, and go back when it is freed.
    mallopt(M_MMAP_THRESHOLD, 2 * int{room});  // the most that the C library takes
    mallopt(M_TRIM_THRESHOLD, 8 * int{room});
    // The second thread takes from the same room: one of its own would come a page at a time.
    mallopt(M_ARENA_MAX, 1);
    // NOLINTNEXTLINE(cppcoreguidelines-no-malloc): the heap itself is meant
    void* const heap = std::malloc(room);
    if (heap == nullptr)
        return;
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): pages begin at whole numbers
    const std::size_t over = page - reinterpret_cast<std::uintptr_t>(heap) % page;
    // An older kernel refuses, and the pages come one at a time.
    (void)madvise(static_cast<char*>(heap) + over, room - page, MADV_POPULATE_WRITE);
    std::free(heap);  // NOLINT(cppcoreguidelines-no-malloc)
#endif
}

}  // namespace knockwell
