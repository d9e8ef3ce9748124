/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_guess.h"

#include "base/text.h"
#include "plain_kinds.h"
#include "rig/plain_words.h"

/* Which column is the time when nobody says it, and what it counts. */
/* Between the samples of a range sensor there are half a millisecond to two seconds: of numbers in
 * ms, in thousandths. */
#define TIME_STEP_LEAST_MILLI 500
#define TIME_STEP_MOST_MILLI 2000000

/* A column without a name of a range that counts: whole numbers that rise by about the same
 * step each time, as no range does for long, or that are too large for a range; or fractions that
 * do. */
static bool counts_time(const struct plain_columns *columns, int index)
{
    const struct plain_column *first = &columns->column[index];
    struct span name = plain_name_of(first);
    if (columns->lines < 8 || first->numbers != columns->lines || !first->rises ||
        plain_counts_lines(first) || plain_names_a_range(name, plain_unit_of(first)) ||
        plain_names_something_else(name, plain_unit_of(first))) {
        return false;
    }
    if (first->has_fraction) {
        return first->largest_step_milli <= first->least_step_milli * 5 / 4 + 1;
    }
    bool steady = first->least_step_milli >= 2000 &&
                  first->largest_step_milli <= first->least_step_milli * 5 / 4 + 1000;
    return steady || first->last_milli > 20000000;
}

/* The unit of time that was said, or that the column's unit or name tell; PLAIN_TIME_NONE: nothing
 * does. */
static enum plain_time told_time_unit(const struct decoder_options *options,
                                      const struct plain_column *column)
{
    const char *said = options->time_unit;
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
    return PLAIN_TIME_NONE;
}

/* The unit that a column of numbers counts time in. */
static enum plain_time time_unit_of(const struct chooser *chooser,
                                    const struct plain_column *column)
{
    enum plain_time told = told_time_unit(chooser->options, column);
    if (told != PLAIN_TIME_NONE) {
        return told;
    }
    /* Steps under half a millisecond, or over two seconds, would be no rate of a range sensor. */
    if (column->numbers >= 3 && column->has_fraction &&
        column->least_step_milli < TIME_STEP_LEAST_MILLI) {
        return PLAIN_TIME_S;
    }
    return column->numbers >= 3 && column->least_step_milli > TIME_STEP_MOST_MILLI ? PLAIN_TIME_US
                                                                                   : PLAIN_TIME_MS;
}

bool plain_time_is_doubtful(const struct decoder_options *options,
                            const struct plain_column *column)
{
    /* As ms under two seconds, and as us over half a millisecond. */
    return told_time_unit(options, column) == PLAIN_TIME_NONE && !column->has_fraction &&
           column->least_step_milli >= 1000 * TIME_STEP_LEAST_MILLI &&
           column->least_step_milli <= TIME_STEP_MOST_MILLI;
}

static bool said_time(const struct chooser *chooser, int *chosen)
{
    const char *said = chooser->options->time_column;
    struct span wanted = {said, strlen(said)};
    if (said[0] == '\0') {
        return true;
    }
    *chosen = plain_column_find(chooser->columns, span_trim(wanted));
    if (*chosen < 0) {
        return plain_no_such_column(chooser, wanted, "is not there");
    }
    if (!plain_holds_times(&chooser->columns->column[*chosen]) &&
        !plain_holds_numbers(&chooser->columns->column[*chosen])) {
        return plain_no_such_column(chooser, wanted, "holds no times");
    }
    if (chooser->layout->column_use[*chosen] != PLAIN_PASSED_OVER) {
        return plain_no_such_column(chooser, wanted, "is named twice");
    }
    return true;
}

/* One of dates and times that goes on from line to line. A date beside a time does not, and one in
 * whole seconds is too coarse to go by. */
static int calendar_column(const struct chooser *chooser)
{
    for (int i = 0; i < chooser->columns->shape.columns; i++) {
        const struct plain_column *column = &chooser->columns->column[i];
        bool free = chooser->layout->column_use[i] == PLAIN_PASSED_OVER;
        bool moves = 2 * column->calendar_changes >= column->calendars - 1;
        if (free && plain_holds_times(column) && moves && column->calendar_changes > 0) {
            return i;
        }
    }
    return -1;
}

/* One that is called a time, and goes on; how long an echo took does not. */
static int named_time_column(const struct chooser *chooser)
{
    for (int i = 0; chooser->columns->shape.columns > 1 && i < chooser->columns->shape.columns;
         i++) {
        const struct plain_column *column = &chooser->columns->column[i];
        bool free = chooser->layout->column_use[i] == PLAIN_PASSED_OVER;
        if (!free || !plain_holds_numbers(column) ||
            !plain_names_time(plain_name_of(column), plain_unit_of(column))) {
            continue;
        }
        if (plain_goes_on(column)) {
            return i;
        }
        plain_note(chooser, WIRE_LEFT_OUT_NO_TIME, i, plain_median_milli(column));
    }
    return -1;
}

bool plain_guess_time(const struct chooser *chooser)
{
    int chosen = -1;
    if (!said_time(chooser, &chosen)) {
        return false;
    }
    chosen = chosen < 0 ? calendar_column(chooser) : chosen;
    chosen = chosen < 0 ? named_time_column(chooser) : chosen;
    /* The first; or the second, behind a sensor's number or what else does not rise. */
    for (int i = 0; i < 2 && i + 1 < chooser->columns->shape.columns && chosen < 0; i++) {
        bool free = chooser->layout->column_use[i] == PLAIN_PASSED_OVER;
        chosen = free && counts_time(chooser->columns, i) ? i : -1;
    }
    int last = chooser->columns->shape.columns - 1; /* or behind the ranges */
    if (chosen < 0 && last > 0 && chooser->layout->column_use[last] == PLAIN_PASSED_OVER &&
        counts_time(chooser->columns, last)) {
        chosen = last;
    }
    if (chosen >= 0) {
        chooser->layout->column_use[chosen] = PLAIN_TIME_COLUMN;
        chooser->layout->time = time_unit_of(chooser, &chooser->columns->column[chosen]);
    }
    return true;
}
