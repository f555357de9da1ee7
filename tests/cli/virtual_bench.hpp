// virtual_bench.hpp: the shipped `virtual-rig` running beside a test, with its truth and its pipe for orders, and the words
// of a `sweep` of one lobe on it.
#pragma once

#include <sstream>
#include <string>
#include <vector>

#include "tests/cli/program.hpp"
#include "tests/cli/pty_program.hpp"
#include "tests/cli/pty_rig.hpp"
#include "tests/cli/started_program.hpp"

namespace lobewright::tests {

class VirtualBench {
public:
    /// Lobe 1E under the tips; `options` of virtual-rig beside the place, the pipe and the truth.
    explicit VirtualBench(std::vector<std::string> options) : rig_(words(std::move(options))) {
        if (!rig_.says("ready at")) throw std::runtime_error("the virtual rig doesn't start: " + rig_.said());
    }

    [[nodiscard]] std::string port() const { return folder_ / "rig"; }
    [[nodiscard]] std::string devices() const { return folder_ / "bench"; }
    [[nodiscard]] std::string run() const { return folder_ / "run"; }
    /// A new run of lobe 1E; `rig`: how it is named, `more`: further options.
    [[nodiscard]] std::vector<std::string> sweep_words(std::vector<std::string> rig,
                                                       const std::vector<std::string>& more = {}) const {
        std::vector<std::string> all{"sweep", run()};
        const auto fresh = new_run_words();
        for (const auto& some : {rig, fresh, more}) all.insert(all.end(), some.begin(), some.end());
        return all;
    }

    void order(const std::string& lines) const { std::ofstream(folder_ / "orders") << lines; }
    [[nodiscard]] std::string said() const { return rig_.said(); }
    /// The truth so far, each line's fields.
    [[nodiscard]] std::vector<std::vector<std::string>> truth(const std::string& kind) const {
        std::vector<std::vector<std::string>> lines;
        std::istringstream text(text_of(folder_ / "truth"));
        for (std::string line; std::getline(text, line);) {
            if (line.rfind(kind + ",", 0) != 0) continue;
            std::vector<std::string> fields;
            std::istringstream cells(line);
            for (std::string cell; std::getline(cells, cell, ',');) fields.push_back(cell);
            lines.push_back(fields);
        }
        return lines;
    }
    /// Where the cam truly is; a second of the rig's own time later for each `rest`. A trouble that touches nothing writes it
    /// down.
    double place_deg(int rest = 0) {
        const std::size_t before = places().size();
        order(fmt::format("rest {}\nfault {}\n", rest, harmless));
        if (!comes_true([&] { return places().size() > before; }))
            throw std::runtime_error("the virtual rig takes no order: " + said());
        return places().back();
    }
    /// The cam stands for a second of the rig's time.
    bool stands() {
        const double now = place_deg();
        return place_deg(1) == now;
    }

private:
    static constexpr auto harmless = "stuck-front@0s+0.001s";

    [[nodiscard]] std::vector<double> places() const {
        std::vector<double> places;
        for (const auto& line : truth("fault"))
            if (line.back() == harmless) places.push_back(std::stod(line.at(2)));
        return places;
    }
    std::vector<std::string> words(std::vector<std::string> options) const {
        std::vector<std::string> all{"virtual-rig", "--place",        "1E", "--control", folder_ / "orders",
                                     "--truth",     folder_ / "truth"};
        for (std::string& option : options) {
            if (option == "PORT") option = port();
            if (option == "DEVICES") option = devices();
            all.push_back(option);
        }
        return all;
    }

    TempFolder folder_;
    StartedProgram rig_;
};

}  // namespace lobewright::tests
