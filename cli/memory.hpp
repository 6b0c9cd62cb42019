// cli/memory.hpp
//
// Memory for one short run, asked for in few pieces.
//
// A fresh page that is touched is given by the kernel one at a time, 0.1 to 15 microseconds each as
// machines go; knowledge and beliefs touch some four thousand. In pages of 2 MiB it is a dozen, and
// the processor finds its way in them with fewer steps.
#pragma once

namespace knockwell {

/// Has the heap grow in large pages, the first 8 MiB at once, and lets the program keep what it
/// frees. Where the C library or the kernel knows nothing of it, nothing happens.
void make_room_in_memory();

/// The same for the heap of a second thread, without asking for any of it at once.
void make_room_for_a_thread();

}  // namespace knockwell
