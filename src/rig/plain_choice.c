/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "rig/auxiliary.h"
#include "rig/plain_columns.h"
#include "rig/plain_words.h"

#include <string.h>

static struct span unit_of(const struct plain_column *column)
{
    struct span unit = {column->unit, strlen(column->unit)};
    return unit;
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
        if (!plain_holds_numbers(column)) {
            const char *kind = plain_holds_times(column) ? "a time"
                               : column->texts > 0       ? "text"
                                                         : "empty";
            text_append(list, size, &used, "%s%d %s%s%s%s", comma, i + 1, kind,
                        column->texts > 0 ? " '" : "", column->text, column->texts > 0 ? "'" : "");
            continue;
        }
        while (last + 1 < columns->shape.columns && columns->column[last + 1].name[0] == '\0' &&
               plain_holds_numbers(&columns->column[last + 1])) {
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
        struct span name = plain_name_of(column);
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
    if (auxiliary_of(name) >= 0) { /* in its own unit, whatever is said of the ranges */
        layout->tenths_per_unit[place] = AUXILIARY_TENTHS;
        layout->no_echo_tenth_mm[place] = INT32_MAX;
        layout->zero_is_reading[place] = true;
    }
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
        if (!plain_holds_numbers(column) && (column->texts > 0 || column->calendars > 0)) {
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

/* A column that is called power, cadence or heart comes with the ranges. */
static bool is_auxiliary(const struct plain_column *column)
{
    struct span name = plain_name_of(column);
    char key[CHANNEL_NAME_SIZE];
    dialect_channel_name(key, name.text, name.length);
    return auxiliary_of(key) >= 0;
}

/* What a column may be when nobody says it. */
enum promise { PROMISE_NONE, PROMISE_NUMBERS, PROMISE_AUXILIARY, PROMISE_RANGE };

static enum promise promise_of(const struct chooser *chooser, int index)
{
    const struct plain_column *column = &chooser->columns->column[index];
    struct span name = plain_name_of(column);
    struct span unit = unit_of(column);
    if (chooser->layout->column_use[index] != PLAIN_PASSED_OVER || !plain_holds_numbers(column)) {
        return PROMISE_NONE;
    }
    return is_auxiliary(column)                     ? PROMISE_AUXILIARY
           : plain_names_something_else(name, unit) ? PROMISE_NONE
           : plain_names_a_range(name, unit)        ? PROMISE_RANGE
                                                    : PROMISE_NUMBERS;
}

/* By what the columns are called; where no name tells, all that hold numbers and are called nothing
 * else. */
static bool choose_by_itself(const struct chooser *chooser)
{
    const struct plain_columns *columns = chooser->columns;
    int count[PROMISE_RANGE + 1] = {0};
    for (int i = 0; i < columns->shape.columns; i++) {
        count[promise_of(chooser, i)]++;
    }
    int ranges = count[PROMISE_RANGE] > 0 ? count[PROMISE_RANGE] : count[PROMISE_NUMBERS];
    int wanted = ranges > 0 ? ranges + count[PROMISE_AUXILIARY] : 0;
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
    enum promise least = count[PROMISE_RANGE] > 0 ? PROMISE_AUXILIARY : PROMISE_NUMBERS;
    for (int i = 0; i < columns->shape.columns; i++) {
        if (promise_of(chooser, i) >= least && chooser->layout->channel_count < CHANNELS_MAX) {
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
    if (plain_holds_times(column) || text_equal(unit, "iso")) {
        return PLAIN_TIME_CALENDAR;
    }
    struct span unit_span = {unit, strlen(unit)};
    struct span name = plain_name_of(column);
    bool by_unit = unit[0] != '\0';
    if (by_unit ? PLAIN_HAS_WORD(unit_span, in_us) : PLAIN_HAS_WORD(name, in_us)) {
        return PLAIN_TIME_US;
    }
    if (by_unit ? PLAIN_HAS_WORD(unit_span, in_ms) : PLAIN_HAS_WORD(name, in_ms)) {
        return PLAIN_TIME_MS;
    }
    if (by_unit ? PLAIN_HAS_WORD(unit_span, in_s) : PLAIN_HAS_WORD(name, in_s)) {
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
        if (!plain_holds_times(&columns->column[chosen]) &&
            !plain_holds_numbers(&columns->column[chosen])) {
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
            chosen = free && plain_holds_times(column) && (moves || pass == 1) ? i : -1;
        }
    }
    for (int i = 0; i < columns->shape.columns && chosen < 0; i++) {
        const struct plain_column *column = &columns->column[i];
        bool free = chooser->layout->column_use[i] == PLAIN_PASSED_OVER;
        bool only = columns->shape.columns == 1;
        chosen = free && !only && plain_holds_numbers(column) &&
                         plain_names_time(plain_name_of(column), unit_of(column))
                     ? i
                     : -1;
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
