#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/run_fields.hpp"
#include "analysis/run/run_toml.hpp"
#include "analysis/run/run_words.hpp"
#include "analysis/toml_file.hpp"

namespace lobewright {

namespace {

/// What every table of one file shares.
struct Source {
    const std::filesystem::path& file;
    Units units = Units::mm;
    std::map<std::string, std::size_t, std::less<>> names;  // of lobes and journals, with their lines
};

template <class Choice>
std::vector<std::string_view> texts_of_words() {
    std::vector<std::string_view> texts;
    texts.reserve(words<Choice>.size());
    for (const auto& entry : words<Choice>) texts.push_back(entry.text);
    return texts;
}

/// RFC 3339 text of a date-time with or without an offset.
std::string rfc3339(const toml::date_time& moment) {
    std::string text = fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", moment.date.year, moment.date.month,
                                   moment.date.day, moment.time.hour, moment.time.minute, moment.time.second);
    if (moment.time.nanosecond != 0) {
        text += fmt::format(".{:09}", moment.time.nanosecond);
        text.erase(text.find_last_not_of('0') + 1);
    }
    if (moment.offset) {
        const int minutes = moment.offset->minutes;
        text += minutes == 0 ? "Z"
                             : fmt::format("{}{:02}:{:02}", minutes < 0 ? '-' : '+', std::abs(minutes) / 60,
                                           std::abs(minutes) % 60);
    }
    return text;
}

/// The Form that reads (run_fields.hpp): one table of run.toml.
class TableReader {
public:
    /// `path` is the table's own ("lobe.stripe", empty for the whole file), `shown` how messages name it.
    TableReader(const toml::table& table, std::string path, std::string shown, Source& source)
        : table_(table), path_(std::move(path)), shown_(std::move(shown)), source_(source) {}

    void format(std::string_view key, std::string_view known) {
        const toml::node* node = need(key);
        if (node == nullptr)
            throw DataError(fmt::format("{}: no {}; a run.toml begins with {} = \"{}\"", place(source_.file),
                                        key, key, known));
        const std::string found = text_of(key, *node);
        if (found != known) fail(key, fmt::format("{} isn't known here; {} is", in_quotes(found), known));
    }

    void units(std::string_view key, Units& value) {
        if (need(key) == nullptr)
            throw DataError(fmt::format("{}: no {}; say \"mm\" or \"in\"", place(source_.file), key));
        choice(key, value);
        source_.units = value;
    }

    void text(std::string_view key, std::string& value) {
        if (const toml::node* node = need(key)) value = text_of(key, *node);
    }
    void text(std::string_view key, std::optional<std::string>& value) {
        if (const toml::node* node = find(key)) value = text_of(key, *node);
    }

    void name(std::string_view key, std::string& value);
    void time(std::string_view key, std::string& value);

    template <class Choice>
    void choice(std::string_view key, Choice& value) {
        const toml::node* node = need(key);
        if (node == nullptr) return;
        const std::string found = text_of(key, *node);
        for (const auto& entry : words<Choice>) {
            if (entry.text != found) continue;
            value = entry.value;
            return;
        }
        fail(key, fmt::format("{} isn't one of {}", in_quotes(found), joined(texts_of_words<Choice>())));
    }

    void number(std::string_view key, std::optional<double>& value, Bound bound) {
        if (const toml::node* node = find(key)) value = number_of(key, *node, bound);
    }
    void defaulted_number(std::string_view key, double& value) {
        if (const toml::node* node = find(key)) value = number_of(key, *node, Bound::any);
    }
    void defaulted_sign(std::string_view key, int& value);
    void whole(std::string_view key, std::optional<std::int64_t>& value);

    void length(std::string_view key, double& value, Bound bound) {
        if (const toml::node* node = need(key)) value = length_of(key, *node, bound);
    }
    void length(std::string_view key, std::optional<double>& value, Bound bound) {
        if (const toml::node* node = find(key)) value = length_of(key, *node, bound);
    }

    template <class Section>
    void section(std::string_view key, Section& value) {
        if (const toml::node* node = need(key)) read_table(key, *node, path_to(key), "[{}] ", value);
    }
    template <class Section>
    void section(std::string_view key, std::optional<Section>& value) {
        if (const toml::node* node = find(key))
            read_table(key, *node, path_to(key), "[{}] ", value.emplace());
    }

    template <class Entry>
    void list(std::string_view key, std::vector<Entry>& value) {
        const toml::node* node = find(key);
        if (node == nullptr) return;
        const std::string path = path_to(key);
        const toml::array* entries = node->as_array();
        if (entries == nullptr) fail(key, fmt::format("must be a list of tables, each written [[{}]]", path));
        for (const toml::node& entry : *entries)
            read_table(key, entry, path, "[[{}]] ", value.emplace_back());
    }

    /// To be called when every field was asked for: an unknown key first, because it is often the missing one
    /// with a slip in it, then a missing one.
    void finish() const {
        for (const auto& [key, node] : table_)
            if (std::find(known_.begin(), known_.end(), key.str()) == known_.end())
                fail(key.str(), "unknown key" + meant(key.str(), known_));
        if (missing_.empty()) return;
        if (path_.empty())
            throw DataError(fmt::format("{}: lacks the table [{}]", place(source_.file), missing_));
        throw DataError(fmt::format("{}: {}lacks the required key {}",
                                    place(source_.file, table_.source().begin.line), shown_, missing_));
    }

    [[noreturn]] void fail(std::string_view key, const std::string& what) const {
        const std::string key_shown =
            is_plain_utf8(key) && key.size() <= 40 ? std::string(key) : in_quotes(key);
        throw DataError(
            fmt::format("{}: {}{}: {}", place(source_.file, line_of(key)), shown_, key_shown, what));
    }

private:
    const toml::node* find(std::string_view key) {
        known_.push_back(key);
        return table_.get(key);
    }
    const toml::node* need(std::string_view key) {
        const toml::node* node = find(key);
        if (node == nullptr && missing_.empty()) missing_ = key;
        return node;
    }

    std::string path_to(std::string_view key) const {
        return path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key);
    }
    std::size_t line_of(std::string_view key) const {
        const auto found = table_.find(key);
        return found == table_.end() ? table_.source().begin.line : found->first.source().begin.line;
    }

    std::string text_of(std::string_view key, const toml::node& node) const {
        const auto* text = node.as_string();
        if (text == nullptr) fail(key, "must be a text in quotes");
        return text->get();
    }
    double number_of(std::string_view key, const toml::node& node, Bound bound) const;
    double length_of(std::string_view key, const toml::node& node, Bound bound) const;

    template <class Section>
    void read_table(std::string_view key, const toml::node& node, const std::string& path,
                    fmt::format_string<const std::string&> shown, Section& value);

    const toml::table& table_;
    std::string path_;
    std::string shown_;
    Source& source_;
    std::vector<std::string_view> known_;
    std::string_view missing_;
};

void TableReader::name(std::string_view key, std::string& value) {
    const toml::node* node = need(key);
    if (node == nullptr) return;
    value = text_of(key, *node);
    // A sweep's `# of:` line must be able to hold it.
    if (value.empty() || !is_plain_utf8(value) || value.find('\t') != std::string::npos ||
        trimmed(value) != value)
        fail(key, fmt::format("{} isn't a name: one line without blanks at its ends", in_quotes(value)));
    const auto [known, is_new] = source_.names.emplace(value, line_of(key));
    if (!is_new)
        fail(key,
             fmt::format("{} stands in line {} already; names are unique", in_quotes(value), known->second));
}

void TableReader::time(std::string_view key, std::string& value) {
    const toml::node* node = need(key);
    if (node == nullptr) return;
    const auto* moment = node->as_date_time();
    if (moment == nullptr) fail(key, "must be a date and time without quotes, such as 2026-02-03T10:15:00Z");
    value = rfc3339(moment->get());
}

void TableReader::defaulted_sign(std::string_view key, int& value) {
    const toml::node* node = find(key);
    if (node == nullptr) return;
    const auto* sign = node->as_integer();
    if (sign == nullptr || (sign->get() != 1 && sign->get() != -1))
        fail(key, "must be 1 (counts rise in the running direction) or -1 (they fall)");
    value = static_cast<int>(sign->get());
}

void TableReader::whole(std::string_view key, std::optional<std::int64_t>& value) {
    const toml::node* node = find(key);
    if (node == nullptr) return;
    const auto* whole = node->as_integer();
    if (whole == nullptr) fail(key, "must be a whole number");
    if (whole->get() <= 0) fail(key, fmt::format("{} must be above 0", whole->get()));
    value = whole->get();
}

double TableReader::number_of(std::string_view key, const toml::node& node, Bound bound) const {
    const std::optional<double> number = node.is_number() ? node.value<double>() : std::nullopt;
    if (!number) fail(key, "must be a number");
    if (!std::isfinite(*number)) fail(key, fmt::format("{} isn't a finite number", *number));
    if (bound == Bound::positive && *number <= 0.0) fail(key, fmt::format("{} must be above 0", *number));
    if (bound == Bound::not_negative && *number < 0.0)
        fail(key, fmt::format("{} must not be below 0", *number));
    if (bound == Bound::between_0_and_180 && (*number <= 0.0 || *number >= 180.0))
        fail(key, fmt::format("{} must lie between 0 and 180 degrees", *number));
    return *number;
}

double TableReader::length_of(std::string_view key, const toml::node& node, Bound bound) const {
    const double length_mm = number_of(key, node, bound) * mm_per(source_.units);
    if (!std::isfinite(length_mm)) fail(key, "is too large");
    return length_mm;
}

void check(const TableReader& /*form*/, const auto& /*value*/) {}

void check(const TableReader& form, const CamInfo& cam) {
    if (!cam.follower_radius_mm) return;
    const bool is_roller = cam.follower == Follower::roller;
    if (is_roller && *cam.follower_radius_mm <= 0.0)
        form.fail("follower_radius", "must be above 0 for a roller");
    if (!is_roller && *cam.follower_radius_mm > 0.0)
        form.fail("follower_radius",
                  fmt::format("only a roller has one, and follower is {}", word(cam.follower)));
}

void check(const TableReader& form, const RigInfo& rig) {
    if (rig.tip == Tip::roller && rig.tip_radius_mm.value_or(0.0) <= 0.0)
        form.fail("tip_radius", "a roller tip needs its radius, above 0");
    if (rig.front_z_mm == rig.rear_z_mm)
        form.fail("rear_z", "is the same as front_z; the indicators stand at two places along the lobe");
}

template <class Section>
void TableReader::read_table(std::string_view key, const toml::node& node, const std::string& path,
                             fmt::format_string<const std::string&> shown, Section& value) {
    const toml::table* table = node.as_table();
    if (table == nullptr) fail(key, "must be a table, written " + fmt::format(shown, path));
    TableReader form(*table, path, fmt::format(shown, path), source_);
    fields(form, value);
    form.finish();
    check(form, value);
}

}  // namespace

Run parse_run_toml(std::string_view text, const std::filesystem::path& file) {
    const toml::table root = parse_toml(text, file);
    Run run;
    Source source{.file = file, .units = Units::mm, .names = {}};
    TableReader form(root, "", "", source);
    fields(form, run);
    form.finish();
    if (run.lobes.empty())
        throw DataError(fmt::format("{}: no [[lobe]]; a run holds at least one lobe", place(file)));
    return run;
}

}  // namespace lobewright
