// cli/memory.hpp
//
// Memory for one short run, asked for in one piece.
#pragma once

namespace knockwell {

/// Has the first 16 MiB of the heap ready, and lets the program keep what it frees. A fresh page
/// that is touched is given by the kernel one at a time, 0.1 to 15 microseconds each as machines
/// go; knowledge and beliefs touch some four thousand. Asked for together they come at a fifth of
/// that. Where the C library or the kernel knows nothing of it, nothing happens.
void make_room_in_memory();

}  // namespace knockwell
