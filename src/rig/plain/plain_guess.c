/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_guess.h"

#include "base/text.h"
#include "measure/rules.h"
#include "plain_kinds.h"
#include "rig/auxiliary.h"
#include "rig/plain_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* What a column may be when nobody says it; which is the time: plain_time.c. */

/* The log of a ride without its heading: so many lines and columns at least. */
#define RIDE_LINES 8
#define RIDE_COLUMNS 3

enum promise { PROMISE_NONE, PROMISE_NUMBERS, PROMISE_AUXILIARY, PROMISE_RANGE, PROMISES };

/* The unit that counts for a column: what was said goes first. */
static struct span unit_said(const struct chooser *chooser, const struct plain_column *column)
{
    const char *said = chooser->options->unit;
    return said[0] != '\0' ? span_between(said, said + strlen(said)) : plain_unit_of(column);
}

/* A column that is called power, cadence or heart comes with the ranges. */
static bool is_auxiliary(const struct plain_column *column)
{
    struct span name = plain_name_of(column);
    char key[CHANNEL_NAME_SIZE];
    dialect_channel_name(key, name.text, name.length);
    return auxiliary_of(key) >= 0;
}

static bool log_of_a_ride(const struct plain_columns *columns)
{
    bool found = false;
    for (int i = 0; i < columns->shape.columns; i++) {
        found = found || plain_names_a_ride(plain_name_of(&columns->column[i]));
    }
    return found;
}

static enum promise promise_of_names(const struct plain_columns *columns, int index)
{
    const struct plain_column *column = &columns->column[index];
    struct span name = plain_name_of(column);
    struct span unit = plain_unit_of(column);
    bool in_list = name.length == 0 && index > 0 && columns->column[index - 1].opens_list;
    return is_auxiliary(column)                     ? PROMISE_AUXILIARY
           : plain_names_something_else(name, unit) ? PROMISE_NONE
           : plain_names_time(name, unit)           ? PROMISE_NONE
           : plain_names_a_range(name, unit) ||
                   (in_list && promise_of_names(columns, index - 1) == PROMISE_RANGE)
               ? PROMISE_RANGE
               : PROMISE_NUMBERS;
}

/* Another column of the same range, further left. */
static bool is_seen_before(const struct plain_columns *columns, int index)
{
    bool same = false;
    for (int i = 0; i < index; i++) {
        same = same || plain_same_range(&columns->column[i], &columns->column[index]);
    }
    return same;
}

/* Is there another column that moves, beside one that counts lines? */
static bool others_move(const struct chooser *chooser, int index)
{
    bool found = false;
    for (int i = 0; i < chooser->columns->shape.columns; i++) {
        const struct plain_column *column = &chooser->columns->column[i];
        found = found || (i != index && chooser->layout->column_use[i] == PLAIN_PASSED_OVER &&
                          plain_holds_numbers(column) && !plain_stands_still(column));
    }
    return found;
}

/* Why a column of numbers that may be a range by its name is none; -1 = nothing speaks against it.
 */
static int against(const struct chooser *chooser, int index, enum promise promise, int64_t *value)
{
    const struct plain_columns *columns = chooser->columns;
    const struct plain_column *column = &columns->column[index];
    struct span unit = unit_said(chooser, column);
    bool by_name = promise == PROMISE_RANGE && unit.length > 0;
    *value = plain_median_milli(column);
    if (promise == PROMISE_RANGE && column->rises && column->numbers >= 3 &&
        log_of_a_ride(columns)) {
        return WIRE_LEFT_OUT_DISTANCE;
    }
    if (promise != PROMISE_RANGE && plain_counts_lines(column) && others_move(chooser, index)) {
        return WIRE_LEFT_OUT_COUNTER;
    }
    if (is_seen_before(columns, index)) {
        return WIRE_LEFT_OUT_SAME;
    }
    if (by_name || promise == PROMISE_AUXILIARY) {
        return -1;
    }
    double mm = plain_mm(*value, unit);
    bool named = column->name[0] != '\0' && promise == PROMISE_RANGE;
    if (columns->shape.columns > 1 && !named && plain_stands_still(column) &&
        mm < RIDER_RANGE_LEAST_MM) {
        *value = column->last_milli;
        return WIRE_LEFT_OUT_STILL;
    }
    if (columns->shape.columns > 1 && !named && column->numbers >= 4 && mm < RIDER_RANGE_LEAST_MM &&
        (*value > 0 || column->has_fraction) &&
        plain_mm(plain_spread_milli(column), unit) <= SHORT_COLUMN_SPREAD_MM) {
        return WIRE_LEFT_OUT_SHORT;
    }
    return -1;
}

/* Has a name, and hardly anything stood below it so far. */
static bool is_empty(const struct plain_columns *columns, int index)
{
    const struct plain_column *column = &columns->column[index];
    return column->name[0] != '\0' && !plain_holds_numbers(column) && column->texts == 0 &&
           column->calendars == 0;
}

static enum promise promise_of(const struct chooser *chooser, int index, bool tell)
{
    const struct plain_column *column = &chooser->columns->column[index];
    int64_t value;
    bool empty = is_empty(chooser->columns, index);
    if (chooser->layout->column_use[index] != PLAIN_PASSED_OVER ||
        (!plain_holds_numbers(column) && !empty)) {
        return PROMISE_NONE;
    }
    enum promise promise = promise_of_names(chooser->columns, index);
    /* an empty one that is called a range is a sensor that sees nobody yet */
    if (promise == PROMISE_NONE || (empty && promise != PROMISE_RANGE)) {
        if (tell && (!empty || promise == PROMISE_NUMBERS)) {
            plain_note(chooser, empty ? WIRE_LEFT_OUT_EMPTY : WIRE_LEFT_OUT_NAMED, index, 0);
        }
        return PROMISE_NONE;
    }
    int why = against(chooser, index, promise, &value);
    if (why >= 0 && tell) {
        plain_note(chooser, (enum wire_note_kind)why, index, value);
    }
    return why >= 0 ? PROMISE_NONE : promise;
}

/* Nothing says the unit of numbers about so many mm. */
static bool ask_unit(const struct chooser *chooser, const char *of, double mm)
{
    char number[40];
    chooser->layout->may_wait = true;
    text_from_double_shortest(number, sizeof number, mm < 10 ? round(mm * 1000) / 1000 : round(mm));
    return problem_set(chooser->problem,
                       "%s about %s, and nothing says %s unit: in mm no rider is there. Say it, as "
                       "--unit cm (mm, cm, m, in, ft, um), or which columns are ranges, as "
                       "--columns head=3",
                       of[0] != '\0' ? of : "the numbers are", number,
                       of[0] != '\0' ? "its" : "their");
}

/* Says why nothing of the stream can be a range. */
static bool refuse(const struct chooser *chooser, int wanted)
{
    char list[300];
    const struct plain_columns *columns = chooser->columns;
    plain_list_columns(columns, list, sizeof list);
    for (int i = 0; i < chooser->info->note_count; i++) {
        const struct wire_note *note = &chooser->info->note[i];
        if (wanted == 0 && note->kind == WIRE_LEFT_OUT_SHORT && note->name[0] != '\0') {
            char of[sizeof note->name + 8];
            snprintf(of, sizeof of, "'%s' is", note->name);
            return ask_unit(chooser, of, (double)note->value_milli / 1000.0);
        }
        if (wanted == 0 && note->kind == WIRE_LEFT_OUT_DISTANCE) {
            return problem_set(chooser->problem,
                               "'%s' only rises, beside what a log of a ride has: it is the way "
                               "that was ridden, no range to a rider; the stream has %s",
                               note->name, list);
        }
    }
    if (wanted == 0) {
        chooser->layout->may_wait = columns->column[0].name[0] == '\0';
        return problem_set(chooser->problem,
                           "no column of the stream is a range: name those wanted, as "
                           "--columns head=3,chest=5; it has %s",
                           list);
    }
    return problem_set(chooser->problem,
                       "the stream has %d columns of numbers, and %d can be channels: name "
                       "those wanted, as --columns head=3,chest=5; it has %s",
                       wanted, CHANNELS_MAX, list);
}

/* Without a word on their unit: are they ranges to a rider in millimetres, at least one of them? */
static bool are_plausible(const struct chooser *chooser, enum promise least)
{
    double mm = 0;
    bool one = false, tells = false;
    for (int i = 0; i < chooser->columns->shape.columns; i++) {
        const struct plain_column *column = &chooser->columns->column[i];
        enum promise promise = promise_of(chooser, i, false);
        struct span unit = unit_said(chooser, column);
        if (promise < least || promise == PROMISE_AUXILIARY) {
            continue;
        }
        bool told = unit.length > 0 && plain_is_unit_of_length(unit);
        bool has_median = plain_median_milli(column) > 0; /* zeros tell nothing */
        tells = tells || has_median;
        one = one || told || text_equal(chooser->options->unit, "ft-in") ||
              (has_median && plain_is_plausible(column, unit));
        mm = mm == 0 ? plain_mm(plain_median_milli(column), unit) : mm;
    }
    if (one || !tells) {
        return true;
    }
    return ask_unit(chooser, "", mm);
}

/* A mean, sum or difference beside the ranges themselves is no sensor. */
static void leave_out_what_follows(const struct chooser *chooser, bool *used)
{
    const struct plain_columns *columns = chooser->columns;
    bool ranges = false;
    for (int i = 0; i < columns->shape.columns; i++) {
        ranges = ranges || (used[i] && columns->column[i].name[0] != '\0' &&
                            !plain_names_what_follows(plain_name_of(&columns->column[i])));
    }
    for (int i = 0; ranges && i < columns->shape.columns; i++) {
        if (used[i] && plain_names_what_follows(plain_name_of(&columns->column[i]))) {
            used[i] = false;
            plain_note(chooser, WIRE_LEFT_OUT_NAMED, i, 0);
        }
    }
}

/* By what the columns are called; where no name tells, all that hold numbers and are called nothing
 * else. */
bool plain_guess_ranges(const struct chooser *chooser)
{
    const struct plain_columns *columns = chooser->columns;
    static const struct span unnamed = {"", 0};
    int count[PROMISES] = {0};
    for (int i = 0; i < columns->shape.columns; i++) {
        count[promise_of(chooser, i, true)]++;
    }
    int ranges = count[PROMISE_RANGE] > 0 ? count[PROMISE_RANGE] : count[PROMISE_NUMBERS];
    int wanted = ranges > 0 ? ranges + count[PROMISE_AUXILIARY] : 0;
    enum promise least = count[PROMISE_RANGE] > 0 ? PROMISE_AUXILIARY : PROMISE_NUMBERS;
    if (!chooser->options->times_only) {
        if (wanted == 0 || wanted > CHANNELS_MAX) {
            return refuse(chooser, wanted);
        }
        if (!are_plausible(chooser, least)) {
            return false;
        }
    }
    bool used[PLAIN_COLUMNS_MAX];
    for (int i = 0; i < columns->shape.columns; i++) {
        enum promise promise = promise_of(chooser, i, false);
        used[i] = promise >= least; /* which is more than none */
        if (!used[i] && promise == PROMISE_NUMBERS) {
            plain_note(chooser, WIRE_LEFT_OUT_NAMED, i, 0);
        }
    }
    leave_out_what_follows(chooser, used);
    for (int i = 0; i < columns->shape.columns; i++) {
        if (used[i] && chooser->layout->channel_count < CHANNELS_MAX) {
            plain_use_column(chooser, i, unnamed);
        }
    }
    return true;
}

int plain_guess_value(const struct plain_columns *columns, const struct plain_layout *layout,
                      int skip)
{
    int best = -1;
    enum promise best_promise = PROMISE_NONE;
    for (int i = 0; i < columns->shape.columns; i++) {
        const struct plain_column *column = &columns->column[i];
        if (i == skip || layout->column_use[i] != PLAIN_PASSED_OVER ||
            !plain_holds_numbers(column) || plain_counts_lines(column)) {
            continue;
        }
        enum promise promise = promise_of_names(columns, i);
        if (promise > best_promise && promise != PROMISE_AUXILIARY) {
            best = i;
            best_promise = promise;
        }
    }
    return best;
}

/* A column without a name that was left out and rises by parts in every line, as kilometres ridden
 * do; -1: none. */
static int way_beside(const struct chooser *chooser)
{
    for (int i = 0; i < chooser->columns->shape.columns; i++) {
        const struct plain_column *column = &chooser->columns->column[i];
        if (chooser->layout->column_use[i] == PLAIN_PASSED_OVER && column->name[0] == '\0' &&
            column->rises && column->has_fraction && column->numbers >= RIDE_LINES) {
            return i;
        }
    }
    return -1;
}

void plain_note_units(const struct chooser *chooser)
{
    int unnamed = 0;
    bool unit_unsaid = false;
    for (int i = 0; i < chooser->columns->shape.columns; i++) {
        const struct plain_column *column = &chooser->columns->column[i];
        int channel = chooser->layout->column_use[i];
        if (channel < 0 || channel >= CHANNELS_MAX ||
            auxiliary_of(chooser->layout->channel_name[channel]) >= 0) {
            continue;
        }
        unnamed += column->name[0] == '\0' ? 1 : 0;
        bool unsaid = unit_said(chooser, column).length == 0;
        if (unsaid && !plain_is_plausible(column, plain_unit_of(column))) {
            plain_note(chooser, WIRE_UNIT_DOUBTFUL, i, plain_median_milli(column));
        } else {
            unit_unsaid = unit_unsaid || unsaid;
        }
    }
    if (unit_unsaid) {
        dialect_note(chooser->info, WIRE_UNIT_UNSAID, 0, -1);
    }
    if (unnamed > 1 && chooser->options->columns[0] == '\0') {
        dialect_note(chooser->info, WIRE_UNNAMED, 0, -1);
        int way = unnamed >= RIDE_COLUMNS ? way_beside(chooser) : -1;
        if (way >= 0) {
            plain_note(chooser, WIRE_LIKE_A_RIDE, way, 0);
        }
    }
}
