#include "cli/run.hpp"

int main(int count, char** words) {
    return knockwell::run({words + 1, words + count}, knockwell::surroundings_of_process());
}
