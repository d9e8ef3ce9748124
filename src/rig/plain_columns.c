#include "rig/plain_columns.h"

#include "base/text.h"

#include <string.h>

static bool is_letter(char character)
{
    return (character >= 'a' && character <= 'z') || (character >= 'A' && character <= 'Z');
}

bool plain_is_comment(struct span line)
{
    return line.length > 0 && (line.text[0] == '#' || line.text[0] == '%' ||
                               (line.length > 1 && line.text[0] == '/' && line.text[1] == '/'));
}

/* Punctuation around a name goes: '{"distance":', '# time', 'd ='. Brackets with a unit stay. */
static struct span strip(struct span text)
{
    static const char left[] = " \t\"'#%/{[(,;:=|<>*-";
    static const char right[] = " \t\"'{[(,;:=|<>*-#";
    while (text.length > 0 && strchr(left, text.text[0]) != NULL && text.text[0] != '\0') {
        text.text++;
        text.length--;
    }
    while (text.length > 0 && strchr(right, text.text[text.length - 1]) != NULL &&
           text.text[text.length - 1] != '\0') {
        text.length--;
    }
    return text;
}

/* The next name of a heading: a field, or a word where blanks divide. */
static bool next_name(struct span *rest, struct plain_shape shape, struct span *name)
{
    if (shape.columns == 1) {
        *name = *rest;
        rest->length = 0;
        return name->length > 0;
    }
    if (shape.delimiter != ' ') {
        return span_next_field(rest, shape.delimiter, name);
    }
    while (rest->length > 0 && (rest->text[0] == ' ' || rest->text[0] == '\t')) {
        rest->text++;
        rest->length--;
    }
    name->text = rest->text;
    name->length = 0;
    while (name->length < rest->length && rest->text[name->length] != ' ' &&
           rest->text[name->length] != '\t') {
        name->length++;
    }
    rest->text += name->length;
    rest->length -= name->length;
    return name->length > 0;
}

int plain_heading_columns(struct span line, struct plain_shape shape)
{
    struct span rest = line;
    struct span name;
    int count = 0;
    if (plain_is_comment(rest)) {
        rest = strip(rest);
    }
    while (next_name(&rest, shape, &name)) {
        struct token token;
        plain_read_field(name, shape.delimiter == ';' || shape.delimiter == '\t', &token);
        if (token.kind != TOKEN_TEXT || !plain_has_letter(name)) {
            return 0;
        }
        count++;
    }
    return count;
}

static const char *const length_units[] = {"mm", "cm", "m", "in", "inch"};
static const char *const time_units[] = {"us", "ms", "s", "sec"};
static const char *const other_units[] = {"n", "nm",  "v",    "mv",   "a",           "ma",  "c",
                                          "k", "f",   "deg",  "rad",  "%",           "hz",  "khz",
                                          "g", "lux", "mcps", "db",   "dbm",         "bpm", "rpm",
                                          "w", "pa",  "hpa",  "degc", "\xC2\xB0\x63"};

static bool is_one_of(struct span text, const char *const *words, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (span_equals(text, words[i])) {
            return true;
        }
    }
    return false;
}
#define IS_ONE_OF(text, words) is_one_of(text, words, sizeof(words) / sizeof((words)[0]))

static bool is_unit_of_length(struct span text)
{
    return IS_ONE_OF(text, length_units);
}

static bool is_any_unit(struct span text)
{
    return is_unit_of_length(text) || IS_ONE_OF(text, time_units) || IS_ONE_OF(text, other_units);
}

static void keep_unit(struct plain_column *column, struct span unit)
{
    if (column->unit[0] != '\0' || unit.length >= sizeof column->unit || !is_any_unit(unit)) {
        return;
    }
    for (size_t i = 0; i < unit.length; i++) {
        char character = unit.text[i];
        column->unit[i] = character >= 'A' && character <= 'Z' ? (char)(character + 32) : character;
    }
    column->unit[unit.length] = '\0';
}

/* A name with its unit: 'distance [cm]', 'distance (cm)', 'distance_cm', 'distance cm'. */
static void keep_name(struct plain_column *column, struct span text)
{
    char raw[PLAIN_NAME_SIZE * 4];
    struct span name = strip(text);
    if (!plain_has_letter(name)) {
        return;
    }
    size_t length = name.length < sizeof raw - 1 ? name.length : sizeof raw - 1;
    memcpy(raw, name.text, length);
    raw[length] = '\0';
    text_clean(column->name, sizeof column->name, raw);
    struct span kept = {column->name, strlen(column->name)};
    column->name_length = kept.length;
    for (size_t i = 1; i < kept.length; i++) {
        char mark = kept.text[i];
        struct span unit = {kept.text + i + 1, kept.length - i - 1};
        if (mark == '[' || mark == '(') {
            while (unit.length > 0 &&
                   (unit.text[unit.length - 1] == ']' || unit.text[unit.length - 1] == ')')) {
                unit.length--;
            }
            if (is_any_unit(span_trim(unit))) {
                keep_unit(column, span_trim(unit));
                column->name_length = i;
                break;
            }
        } else if (mark == '_' || mark == '/' || mark == ' ') {
            bool plain_unit = mark != ' ' || span_equals(unit, "mm") || span_equals(unit, "cm");
            if (plain_unit && (is_unit_of_length(unit) || IS_ONE_OF(unit, time_units))) {
                keep_unit(column, unit);
                column->name_length = i;
                break;
            }
        }
    }
    while (column->name_length > 0 && column->name[column->name_length - 1] == ' ') {
        column->name_length--;
    }
}

static struct span name_of(const struct plain_column *column)
{
    struct span name = {column->name, column->name_length};
    return name;
}

void plain_columns_begin(struct plain_columns *columns, struct plain_shape shape)
{
    memset(columns, 0, sizeof *columns);
    columns->shape = shape;
    for (int i = 0; i < shape.columns; i++) {
        columns->column[i].is_bare = true;
        columns->column[i].rises = true;
    }
}

void plain_columns_name(struct plain_columns *columns, struct span heading)
{
    struct span rest = plain_is_comment(heading) ? strip(heading) : heading;
    struct span name;
    for (int i = 0; i < columns->shape.columns && next_name(&rest, columns->shape, &name); i++) {
        keep_name(&columns->column[i], name);
    }
}

static void add_number(struct plain_column *column, const struct token *token)
{
    int64_t milli = 0;
    bool is_usual = decimal_scale(&token->number, 1000, INT64_MAX / 4, &milli);
    column->has_fraction = column->has_fraction || token->number.decimals > 0;
    column->rises = column->rises && is_usual;
    if (column->numbers == 0) {
        column->first_milli = milli;
    } else {
        int64_t step_milli = milli - column->last_milli;
        column->rises = column->rises && step_milli > 0;
        bool first_step = column->numbers == 1;
        column->least_step_milli = first_step || step_milli < column->least_step_milli
                                       ? step_milli
                                       : column->least_step_milli;
        column->largest_step_milli = first_step || step_milli > column->largest_step_milli
                                         ? step_milli
                                         : column->largest_step_milli;
    }
    column->last_milli = milli;
    column->numbers++;
}

static void add_token(struct plain_column *column, const struct token *token)
{
    switch (token->kind) {
    case TOKEN_NUMBER_IN:
        column->is_bare = false;
        if (column->name[0] == '\0') {
            keep_name(column, token->before);
        }
        keep_unit(column, token->after);
        add_number(column, token);
        break;
    case TOKEN_NUMBER:
        add_number(column, token);
        break;
    case TOKEN_CALENDAR:
        column->last_calendar_us = token->calendar_us;
        column->first_calendar_us =
            column->calendars == 0 ? token->calendar_us : column->first_calendar_us;
        column->calendars++;
        break;
    case TOKEN_TEXT:
    case TOKEN_SEVERAL:
        if (column->texts == 0) {
            char raw[64];
            size_t length =
                token->text.length < sizeof raw - 1 ? token->text.length : sizeof raw - 1;
            memcpy(raw, token->text.text, length);
            raw[length] = '\0';
            text_clean(column->text, sizeof column->text, raw);
        }
        column->texts++;
        break;
    case TOKEN_EMPTY:
    case TOKEN_NO_READING:
        break;
    }
}

void plain_columns_add(struct plain_columns *columns, struct span line)
{
    struct span rest = line;
    struct token token;
    columns->lines++;
    if (columns->shape.delimiter == ' ') {
        struct token whole;
        plain_read_field(line, false, &whole);
        if (whole.kind == TOKEN_NUMBER) { /* a lone number: nothing around it */
            add_token(&columns->column[0], &whole);
            return;
        }
        for (int i = 0; i < columns->shape.columns && plain_next_number(&rest, &token); i++) {
            bool lone = token.before.length == 0 && token.after.length == 0;
            token.kind = token.kind == TOKEN_NUMBER_IN && lone ? TOKEN_NUMBER : token.kind;
            add_token(&columns->column[i], &token);
        }
        return;
    }
    struct span field;
    bool comma_too = columns->shape.delimiter != ',';
    for (int i = 0;
         i < columns->shape.columns && span_next_field(&rest, columns->shape.delimiter, &field);
         i++) {
        plain_read_field(field, comma_too, &token);
        add_token(&columns->column[i], &token);
    }
}

static bool holds_numbers(const struct plain_column *column)
{
    return column->numbers > 0 && column->numbers >= column->texts &&
           column->numbers >= column->calendars;
}

static bool holds_times(const struct plain_column *column)
{
    return column->calendars > 0 && column->calendars >= column->texts &&
           column->calendars > column->numbers;
}

/* Does a name have one of these as a word of its own? Figures and punctuation part words: 'S1' is
 * 's'. */
static bool has_word(struct span name, const char *const *words, size_t count)
{
    for (size_t at = 0; at < name.length;) {
        size_t stop = at;
        while (stop < name.length && is_letter(name.text[stop])) {
            stop++;
        }
        struct span word = {name.text + at, stop - at};
        if (word.length > 0 && is_one_of(word, words, count)) {
            return true;
        }
        at = stop + 1;
    }
    return false;
}
#define HAS_WORD(name, words) has_word(name, words, sizeof(words) / sizeof((words)[0]))

bool plain_names_a_rate(struct span label)
{
    static const char *const rates[] = {"fs", "rate", "frequency", "hz", "odr"};
    return HAS_WORD(label, rates);
}

static bool names_time(const struct plain_column *column)
{
    static const char *const times[] = {"time",   "timestamp", "t",    "ms",      "us",
                                        "millis", "micros",    "date", "seconds", "sec"};
    struct span unit = {column->unit, strlen(column->unit)};
    struct span name = name_of(column);
    bool length = unit.length > 0 && !IS_ONE_OF(unit, time_units);
    return (HAS_WORD(name, times) && !length) || (unit.length > 0 && IS_ONE_OF(unit, time_units));
}

static bool names_something_else(const struct plain_column *column)
{
    static const char *const others[] = {
        "temperature", "temp",    "strength", "signal",   "amplitude", "amp",     "quality",
        "status",      "phase",   "sigma",    "ambient",  "rate",      "battery", "voltage",
        "volt",        "current", "hum",      "humidity", "pressure",  "frame",   "seq",
        "sequence",    "index",   "idx",      "count",    "counter",   "sample",  "no",
        "nr",          "id",      "error",    "err",      "freq",      "snr",     "confidence",
        "flag",        "valid",   "zone",     "speed",    "rssi"};
    struct span unit = {column->unit, strlen(column->unit)};
    return HAS_WORD(name_of(column), others) || (unit.length > 0 && IS_ONE_OF(unit, other_units));
}

static bool names_a_range(const struct plain_column *column)
{
    static const char *const ranges[] = {"dist", "d", "mm", "cm"};
    struct span unit = {column->unit, strlen(column->unit)};
    struct span name = name_of(column);
    return is_unit_of_length(unit) || span_contains(name, "distan") ||
           span_contains(name, "range") || span_contains(name, "height") ||
           span_contains(name, "depth") || HAS_WORD(name, ranges);
}

/* The columns there are, for a sentence: "1 'time', 2 'distance [cm]', 3 to 66, 67 text 'x'". */
static void list_columns(const struct plain_columns *columns, char *list, size_t size)
{
    size_t used = 0;
    list[0] = '\0';
    for (int i = 0; i < columns->shape.columns; i++) {
        const struct plain_column *column = &columns->column[i];
        const char *comma = i > 0 ? ", " : "";
        int last = i;
        if (column->name[0] != '\0') {
            text_append(list, size, &used, "%s%d '%s'", comma, i + 1, column->name);
            continue;
        }
        if (!holds_numbers(column)) {
            const char *kind = holds_times(column) ? "a time"
                               : column->texts > 0 ? "text"
                                                   : "empty";
            text_append(list, size, &used, "%s%d %s%s%s%s", comma, i + 1, kind,
                        column->texts > 0 ? " '" : "", column->text, column->texts > 0 ? "'" : "");
            continue;
        }
        while (last + 1 < columns->shape.columns && columns->column[last + 1].name[0] == '\0' &&
               holds_numbers(&columns->column[last + 1])) {
            last++;
        }
        text_append(list, size, &used, last > i ? "%s%d to %d" : "%s%d", comma, i + 1, last + 1);
        i = last;
    }
}

/* The column that the person means by a number from 1 or a heading's name; -1 when there is none.
 */
static int find_column(const struct plain_columns *columns, struct span wanted)
{
    int number = 0;
    bool is_number = wanted.length > 0 && wanted.length < 6;
    for (size_t i = 0; i < wanted.length && is_number; i++) {
        is_number = wanted.text[i] >= '0' && wanted.text[i] <= '9';
        number = number * 10 + (wanted.text[i] - '0');
    }
    if (is_number) {
        return number >= 1 && number <= columns->shape.columns ? number - 1 : -1;
    }
    for (int i = 0; i < columns->shape.columns; i++) {
        const struct plain_column *column = &columns->column[i];
        struct span name = name_of(column);
        char key[CHANNEL_NAME_SIZE];
        dialect_channel_name(key, name.text, name.length);
        char short_name[PLAIN_NAME_SIZE];
        memcpy(short_name, name.text, name.length);
        short_name[name.length] = '\0';
        if (column->name[0] != '\0' &&
            (span_equals(wanted, column->name) || span_equals(wanted, short_name) ||
             span_equals(wanted, key))) {
            return i;
        }
    }
    return -1;
}

struct chooser {
    const struct plain_columns *columns;
    const struct decoder_options *options;
    struct plain_layout *layout;
    struct problem *problem;
};

static bool no_such_column(const struct chooser *chooser, struct span wanted, const char *trouble)
{
    char list[380];
    char name[PLAIN_NAME_SIZE * 2];
    list_columns(chooser->columns, list, sizeof list);
    text_escape(name, sizeof name, wanted.text, wanted.length);
    return problem_set(chooser->problem, "column '%s' %s; the stream has %s", name, trouble, list);
}

static bool use_column(const struct chooser *chooser, int index, struct span channel)
{
    struct plain_layout *layout = chooser->layout;
    const struct plain_column *column = &chooser->columns->column[index];
    int place = layout->channel_count;
    char *name = layout->channel_name[place];
    dialect_channel_name(name, channel.text, channel.length);
    if (name[0] == '\0') {
        dialect_channel_name(name, column->name, column->name_length);
    }
    bool taken = name[0] == '\0';
    for (int i = 0; i < place; i++) {
        taken = taken || text_equal(name, layout->channel_name[i]);
    }
    if (taken) {
        dialect_default_channel_name(name, place);
    }
    const char *said = chooser->options->unit;
    const char *unit = said[0] != '\0' ? said : column->unit;
    uint32_t tenths = decimal_tenths_in_unit(unit, strlen(unit));
    layout->tenths_per_unit[place] = tenths > 0 ? tenths : 10;
    double no_echo_tenth_mm = chooser->options->no_echo * layout->tenths_per_unit[place];
    layout->no_echo_tenth_mm[place] = no_echo_tenth_mm > 0 && no_echo_tenth_mm < INT32_MAX - 1
                                          ? (int32_t)(no_echo_tenth_mm + 0.5)
                                          : INT32_MAX;
    layout->column_use[index] = (int8_t)place;
    layout->channel_count++;
    return true;
}

/* What the person wants: NAME or CHANNEL=NAME, divided by commas. */
static bool choose_named(const struct chooser *chooser)
{
    struct span rest = {chooser->options->columns, strlen(chooser->options->columns)};
    struct span item;
    while (span_next_field(&rest, ',', &item)) {
        const char *equals = memchr(item.text, '=', item.length);
        struct span channel = {item.text, equals != NULL ? (size_t)(equals - item.text) : 0};
        struct span wanted = item;
        if (equals != NULL) {
            wanted.text = equals + 1;
            wanted.length = item.length - channel.length - 1;
        }
        wanted = span_trim(wanted);
        int index = find_column(chooser->columns, wanted);
        if (index < 0) {
            return no_such_column(chooser, wanted, "is not there");
        }
        const struct plain_column *column = &chooser->columns->column[index];
        if (!holds_numbers(column) && (column->texts > 0 || column->calendars > 0)) {
            return no_such_column(chooser, wanted, "holds no ranges");
        }
        if (chooser->layout->column_use[index] != PLAIN_PASSED_OVER) {
            return no_such_column(chooser, wanted, "is named twice");
        }
        if (chooser->layout->channel_count == CHANNELS_MAX) {
            return problem_set(chooser->problem, "more than %d columns are wanted as channels",
                               CHANNELS_MAX);
        }
        use_column(chooser, index, channel);
    }
    return true;
}

/* By what the columns are called; where no name tells, all that hold numbers and are called nothing
 * else. */
static bool choose_by_itself(const struct chooser *chooser)
{
    const struct plain_columns *columns = chooser->columns;
    int ranges = 0;
    int numbers = 0;
    for (int i = 0; i < columns->shape.columns; i++) {
        const struct plain_column *column = &columns->column[i];
        bool free = chooser->layout->column_use[i] == PLAIN_PASSED_OVER && holds_numbers(column) &&
                    !names_something_else(column);
        ranges += free && names_a_range(column) ? 1 : 0;
        numbers += free ? 1 : 0;
    }
    int wanted = ranges > 0 ? ranges : numbers;
    if ((wanted == 0 || wanted > CHANNELS_MAX) && !chooser->options->times_only) {
        char list[300];
        list_columns(columns, list, sizeof list);
        if (wanted == 0) {
            return problem_set(chooser->problem,
                               "no column of the stream is called a range: name those wanted, as "
                               "columns=head=3,chest=5; it has %s",
                               list);
        }
        return problem_set(chooser->problem,
                           "the stream has %d columns of numbers, and %d can be channels: name "
                           "those wanted, as columns=head=3,chest=5; it has %s",
                           wanted, CHANNELS_MAX, list);
    }
    static const struct span unnamed = {"", 0};
    for (int i = 0; i < columns->shape.columns; i++) {
        const struct plain_column *column = &columns->column[i];
        if (chooser->layout->column_use[i] == PLAIN_PASSED_OVER && holds_numbers(column) &&
            !names_something_else(column) && (ranges == 0 || names_a_range(column)) &&
            chooser->layout->channel_count < CHANNELS_MAX) {
            use_column(chooser, i, unnamed);
        }
    }
    return true;
}

/* A first column without a name that counts: whole numbers that rise by about the same step each
 * time, as no range does for long, or that are too large for a range. */
static bool counts_time(const struct plain_columns *columns)
{
    const struct plain_column *first = &columns->column[0];
    if (columns->shape.columns < 2 || columns->lines < 8 || first->numbers != columns->lines ||
        !first->rises || first->has_fraction || first->name[0] != '\0') {
        return false;
    }
    bool steady = first->least_step_milli >= 5000 &&
                  first->largest_step_milli <= first->least_step_milli * 5 / 4 + 1000;
    bool large = first->last_milli > 20000000;
    return steady || large;
}

/* The unit that a column of numbers counts time in. */
static enum plain_time time_unit_of(const struct chooser *chooser,
                                    const struct plain_column *column)
{
    const char *said = chooser->options->time_unit;
    const char *unit = said[0] != '\0' ? said : column->unit;
    static const char *const in_us[] = {"us", "micros"};
    static const char *const in_ms[] = {"ms", "millis"};
    static const char *const in_s[] = {"s", "sec", "seconds"};
    if (holds_times(column) || text_equal(unit, "iso")) {
        return PLAIN_TIME_CALENDAR;
    }
    struct span unit_span = {unit, strlen(unit)};
    struct span name = name_of(column);
    bool by_unit = unit[0] != '\0';
    if (by_unit ? IS_ONE_OF(unit_span, in_us) : HAS_WORD(name, in_us)) {
        return PLAIN_TIME_US;
    }
    if (by_unit ? IS_ONE_OF(unit_span, in_ms) : HAS_WORD(name, in_ms)) {
        return PLAIN_TIME_MS;
    }
    if (by_unit ? IS_ONE_OF(unit_span, in_s) : HAS_WORD(name, in_s)) {
        return PLAIN_TIME_S;
    }
    /* Steps under half a millisecond, or over two seconds, would be no rate of a range sensor. */
    if (column->numbers >= 3 && column->has_fraction && column->least_step_milli < 500) {
        return PLAIN_TIME_S;
    }
    return column->numbers >= 3 && column->least_step_milli > 2000000 ? PLAIN_TIME_US
                                                                      : PLAIN_TIME_MS;
}

static bool choose_time(const struct chooser *chooser)
{
    const struct plain_columns *columns = chooser->columns;
    const char *said = chooser->options->time_column;
    int chosen = -1;
    if (said[0] != '\0') {
        struct span wanted = {said, strlen(said)};
        chosen = find_column(columns, span_trim(wanted));
        if (chosen < 0) {
            return no_such_column(chooser, wanted, "is not there");
        }
        if (!holds_times(&columns->column[chosen]) && !holds_numbers(&columns->column[chosen])) {
            return no_such_column(chooser, wanted, "holds no times");
        }
        if (chooser->layout->column_use[chosen] != PLAIN_PASSED_OVER) {
            return no_such_column(chooser, wanted, "is named twice");
        }
    }
    /* One that moves before one that stands still: a date beside a time. */
    for (int pass = 0; pass < 2 && chosen < 0; pass++) {
        for (int i = 0; i < columns->shape.columns && chosen < 0; i++) {
            const struct plain_column *column = &columns->column[i];
            bool free = chooser->layout->column_use[i] == PLAIN_PASSED_OVER;
            bool moves = column->first_calendar_us != column->last_calendar_us;
            chosen = free && holds_times(column) && (moves || pass == 1) ? i : -1;
        }
    }
    for (int i = 0; i < columns->shape.columns && chosen < 0; i++) {
        const struct plain_column *column = &columns->column[i];
        bool free = chooser->layout->column_use[i] == PLAIN_PASSED_OVER;
        bool only = columns->shape.columns == 1;
        chosen = free && !only && holds_numbers(column) && names_time(column) ? i : -1;
    }
    if (chosen < 0 && chooser->layout->column_use[0] == PLAIN_PASSED_OVER && counts_time(columns)) {
        chosen = 0;
    }
    if (chosen >= 0) {
        chooser->layout->column_use[chosen] = PLAIN_TIME_COLUMN;
        chooser->layout->time = time_unit_of(chooser, &columns->column[chosen]);
    }
    return true;
}

bool plain_columns_choose(const struct plain_columns *columns,
                          const struct decoder_options *options, struct plain_layout *layout,
                          struct problem *problem)
{
    struct chooser chooser = {columns, options, layout, problem};
    bool named = options->columns[0] != '\0';
    for (int i = 0; i < PLAIN_COLUMNS_MAX; i++) {
        layout->column_use[i] = PLAIN_PASSED_OVER;
    }
    if (named && !choose_named(&chooser)) {
        return false;
    }
    if (!choose_time(&chooser)) {
        return false;
    }
    if (!named && !choose_by_itself(&chooser)) {
        return false;
    }
    layout->is_bare = true;
    for (int i = 0; i < columns->shape.columns; i++) {
        if (layout->column_use[i] != PLAIN_PASSED_OVER) {
            layout->last_used_column = i;
        }
        if (layout->column_use[i] >= 0 && layout->column_use[i] < CHANNELS_MAX) {
            layout->is_bare = layout->is_bare && columns->column[i].is_bare;
        }
    }
    return true;
}
