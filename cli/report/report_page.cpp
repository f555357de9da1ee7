#include "cli/report/report_page.hpp"

#include <string_view>

#include "cli/report/assets.hpp"

namespace lobewright {
namespace {

std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : text) {
        switch (c) {
            case '&':
                out += "&amp;";
                break;
            case '<':
                out += "&lt;";
                break;
            case '>':
                out += "&gt;";
                break;
            case '"':
                out += "&quot;";
                break;
            default:
                out += c;
        }
    }
    return out;
}

/// JSON that can stand inside a script element: no `<` can end it, whatever a name in the run holds.
std::string inside_script(std::string_view json) {
    std::string out;
    out.reserve(json.size());
    for (const char c : json) {
        if (c == '<') {
            out += "\\u003c";
        } else {
            out += c;
        }
    }
    return out;
}

}  // namespace

std::string report_page(const std::string& data, const std::string& title, const std::string& plain) {
    std::string out;
    std::string_view rest = assets::page_html;
    while (true) {
        const std::size_t at = rest.find('@'),
                          end = at == std::string_view::npos ? at : rest.find('@', at + 1);
        if (end == std::string_view::npos) break;
        out += rest.substr(0, at);
        const std::string_view name = rest.substr(at + 1, end - at - 1);
        if (name == "TITLE") out += escaped(title);
        if (name == "PLAIN") out += escaped(plain);
        if (name == "STYLE") out += assets::page_css;
        if (name == "DATA") out += inside_script(data);
        if (name == "SCRIPT") out += assets::page_script;
        rest.remove_prefix(end + 1);
    }
    return out += rest;
}

}  // namespace lobewright
