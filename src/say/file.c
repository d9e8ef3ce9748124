/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/file.h"

#include "base/clock.h"
#include "base/text.h"
#include "rig/auxiliary.h"
#include "rig/plain_dress.h"
#include "say/wire.h"

#include <string.h>

void say_file_form(char *text, size_t size, const struct plain_description *description)
{
    const struct plain_layout *layout = &description->layout;
    size_t used = 0;
    text[0] = '\0';
    switch (layout->shape.delimiter) {
    case '\t':
        text_append(text, size, &used, "fields divided by tabs");
        break;
    case ' ':
        text_append(text, size, &used, "numbers with blanks or words between them");
        break;
    default:
        text_append(text, size, &used, "fields divided by '%c'", layout->shape.delimiter);
    }
    bool comma = (layout->dress & DRESS_COMMA) != 0;
    text_append(text, size, &used, ", decimal sign '%s'",
                comma                                                               ? ","
                : layout->shape.delimiter == ';' || layout->shape.delimiter == '\t' ? ".' or ',"
                                                                                    : ".");
    text_append(text, size, &used, layout->heading_length > 0 ? ", a heading" : ", no heading");
    if (layout->time == PLAIN_TIME_NONE && layout->keys.count == 0) {
        text_append(text, size, &used, ", no time");
    }
}

static void say_time(char *text, size_t size, size_t *used,
                     const struct plain_description *description)
{
    static const char *const units[] = {[PLAIN_TIME_US] = "us",
                                        [PLAIN_TIME_MS] = "ms",
                                        [PLAIN_TIME_S] = "s",
                                        [PLAIN_TIME_CALENDAR] = "dates and times"};
    text_append(text, size, used, "time, %s%s",
                description->layout.time == PLAIN_TIME_CALENDAR ? "" : "in ",
                units[description->layout.time]);
    if (description->has_start) {
        char start[CLOCK_TEXT_SIZE];
        clock_wall_text(start, description->start_us / 1000);
        text_append(text, size, used, ", from %s", start);
    }
}

static void say_channel(char *text, size_t size, size_t *used,
                        const struct plain_description *description, int column, int channel)
{
    const struct plain_layout *layout = &description->layout;
    const char *name = layout->channel_name[channel];
    int auxiliary = auxiliary_of(name);
    if (auxiliary >= 0) {
        text_append(text, size, used, "%s, in %s", auxiliary_kinds[auxiliary].words,
                    auxiliary_kinds[auxiliary].unit);
        return;
    }
    const char *said = description->unit_said;
    const char *unit = said[0] != '\0' ? said : description->columns.column[column].unit;
    text_append(text, size, used, "range '%s', in %s", name,
                unit[0] != '\0' ? unit : "mm (nothing says it)");
}

/* Why it is not used, where there is a note of it. */
static void say_why_not(char *text, size_t size, size_t *used,
                        const struct plain_description *description, int column)
{
    const struct rig_info *info = &description->info;
    text_append(text, size, used, "not used");
    for (int i = 0; i < info->note_count; i++) {
        if (info->note[i].column == column + 1 && info->note[i].kind <= WIRE_LEFT_OUT_DISTANCE) {
            struct wire_note unnamed = info->note[i];
            char note[200];
            text_copy(unnamed.name, sizeof unnamed.name, "it");
            say_wire_note(note, sizeof note, &unnamed, info);
            /* "'it' counts the lines: left out" */
            char *end = strstr(note, ": left out");
            if (end != NULL) {
                *end = '\0';
            }
            text_append(text, size, used, ": it%s", note + strlen("'it'"));
            return;
        }
    }
    if (!plain_holds_numbers(&description->columns.column[column])) {
        text_append(text, size, used, ": no numbers in it");
    } else if (description->columns_said) {
        text_append(text, size, used, ": not among those named");
    } else {
        text_append(text, size, used, ": other columns are ranges by their names or units");
    }
}

void say_file_column(char *text, size_t size, const struct plain_description *description,
                     int column)
{
    const struct plain_column *of = &description->columns.column[column];
    const struct plain_layout *layout = &description->layout;
    int use = layout->column_use[column];
    char name[4 * PLAIN_NAME_SIZE];
    size_t used = 0;
    text[0] = '\0';
    text_escape(name, sizeof name, of->name, strlen(of->name));
    text_append(text, size, &used, "column %d", column + 1);
    if (name[0] != '\0') {
        text_append(text, size, &used, " '%s'", name);
    }
    text_append(text, size, &used, ": ");
    if (use == PLAIN_TIME_COLUMN) {
        say_time(text, size, &used, description);
    } else if (use == PLAIN_STATUS_COLUMN) {
        text_append(text, size, &used, "status: other readings are doubtful");
    } else if (use >= 0) {
        say_channel(text, size, &used, description, column, use);
    } else {
        say_why_not(text, size, &used, description, column);
    }
}
