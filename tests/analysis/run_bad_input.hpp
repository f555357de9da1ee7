// run_bad_input.hpp: tables of damaged run folders: each ends in one line that says where and what, with the
// exit status of docs/run-folder.md.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "analysis/run/run_folder.hpp"
#include "run_test_folder.hpp"

namespace lobewright_test {

using Damage = std::function<void(const std::filesystem::path& folder)>;

struct BadInput {
    std::string legend;
    Damage damage;
    lobewright::Exit exit;
    std::vector<std::string> says;  // every piece stands in the message
};

/// The first `from` in the file becomes `to`.
inline Damage in_file(const std::string& file, const std::string& from, const std::string& to) {
    return [=](const std::filesystem::path& folder) {
        write_text(folder / file, replaced(read_text(folder / file), from, to));
    };
}
inline Damage toml(const std::string& from, const std::string& to) {
    return in_file("run.toml", from, to);
}
inline Damage sweep(const std::string& from, const std::string& to) {
    return in_file("sweeps/a.csv", from, to);
}

/// The piece, so many times over.
inline std::string all_of(const std::string& piece, int times) {
    std::string text;
    for (int i = 0; i < times; ++i) text += piece;
    return text;
}

/// The file becomes this text.
inline Damage whole(const std::string& file, const std::string& text) {
    return [=](const std::filesystem::path& folder) { write_text(folder / file, text); };
}

/// The message of the error that reading this folder ends in; fails the test when there is none of that kind.
inline std::string message_of(const std::filesystem::path& folder, lobewright::Exit exit) {
    try {
        lobewright::read_run(folder);
    } catch (const lobewright::Error& error) {
        CHECK(static_cast<int>(error.exit()) == static_cast<int>(exit));
        return error.what();
    }
    FAIL("the folder was read");
    return {};
}

/// Damages a good run and requires the error of the row.
inline void require_refused(const BadInput& row) {
    INFO(row.legend);
    const TempFolder temp;
    const std::filesystem::path folder = make_run(temp.path() / "run");
    REQUIRE_NOTHROW(lobewright::read_run(folder));
    row.damage(folder);
    const std::string message = message_of(folder, row.exit);
    CHECK(message.find('\n') == std::string::npos);
    for (const std::string& piece : row.says) CHECK_THAT(message, Catch::Contains(piece));
}

}  // namespace lobewright_test
