// cli/new_file.hpp
//
// A file that has its name only when it is whole.
#pragma once
#include "ledger/unfinished.hpp"

#include <fstream>
#include <ostream>
#include <string>

namespace knockwell {

/// Private to its owner. What fails throws std::runtime_error with file and deed.
class NewFile {
public:
    /// `deed` is what it is made for, "export". Throws where the file is there already.
    NewFile(std::string file, std::string deed);
    [[nodiscard]] std::ostream& out() { return out_; }
    /// Gives it its name. Throws where a file of that name has come meanwhile.
    void finish();

private:
    std::string file_;
    std::string deed_;
    Unfinished unfinished_;
    std::ofstream out_;
};

}  // namespace knockwell
