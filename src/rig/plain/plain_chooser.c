/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_chooser.h"

#include "base/text.h"
#include "rig/auxiliary.h"
#include "rig/plain_words.h"

#include <math.h>
#include <string.h>

/* The columns there are, for a sentence: "1 'time', 2 'distance [cm]', 3 to 66, 67 text 'x'". */
void plain_list_columns(const struct plain_columns *columns, char *list, size_t size)
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

int plain_column_find(const struct plain_columns *columns, struct span wanted)
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

bool plain_no_such_column(const struct chooser *chooser, struct span wanted, const char *trouble)
{
    char list[380];
    char name[PLAIN_NAME_SIZE * 2];
    plain_list_columns(chooser->columns, list, sizeof list);
    text_escape(name, sizeof name, wanted.text, wanted.length);
    return problem_set(chooser->problem, "column '%s' %s; the stream has %s", name, trouble, list);
}

bool plain_use_column(const struct chooser *chooser, int index, struct span channel)
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
    uint32_t tenths =
        plain_unit_tenths(span_between(unit, unit + strlen(unit)), &layout->more_decimals[place]);
    layout->tenths_per_unit[place] = tenths > 0 ? tenths : 10;
    layout->unit_may_change[place] = said[0] == '\0' && tenths > 0;
    double no_echo_tenth_mm = chooser->options->no_echo * layout->tenths_per_unit[place] /
                              pow(10, layout->more_decimals[place]);
    layout->no_echo_tenth_mm[place] = no_echo_tenth_mm > 0 && no_echo_tenth_mm < INT32_MAX - 1
                                          ? (int32_t)(no_echo_tenth_mm + 0.5)
                                          : INT32_MAX;
    if (auxiliary_of(name) >= 0) { /* in its own unit, whatever is said of the ranges */
        layout->tenths_per_unit[place] = AUXILIARY_TENTHS;
        layout->more_decimals[place] = 0;
        layout->unit_may_change[place] = false;
        layout->no_echo_tenth_mm[place] = INT32_MAX;
        layout->zero_is_reading[place] = true;
    }
    layout->column_use[index] = (int16_t)place;
    layout->channel_count++;
    return true;
}

struct span plain_unit_of(const struct plain_column *column)
{
    struct span unit = {column->unit, strlen(column->unit)};
    return unit;
}

void plain_note(const struct chooser *chooser, enum wire_note_kind kind, int index,
                int64_t value_milli)
{
    struct wire_note *noted = dialect_note(chooser->info, kind, index + 1, -1);
    if (noted != NULL) {
        struct span name = plain_name_of(&chooser->columns->column[index]);
        size_t length = name.length < sizeof noted->name ? name.length : sizeof noted->name - 1;
        memcpy(noted->name, name.text, length);
        noted->name[length] = '\0';
        noted->value_milli = value_milli;
    }
}
