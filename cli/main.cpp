#include "cli/run.hpp"

#include <algorithm>

int main(int count, char** words) {
    // Whoever starts a program may leave out even its name; then there is nothing to step over.
    const int names = std::min(count, 1);
    return knockwell::run({words + names, words + count}, knockwell::surroundings_of_process());
}
