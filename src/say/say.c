/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/say.h"

#include "base/clock.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char nothing[] = "-";

void say_date(char *text, size_t size, int64_t unix_ms)
{
    clock_local_text(text, size, unix_ms);
}

void say_day(char *text, size_t size, int64_t unix_ms)
{
    static const char *const months[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    char iso[CLOCK_TEXT_SIZE];
    clock_wall_text(iso, unix_ms); /* 2026-01-10 ... */
    long year = strtol(iso, NULL, 10), month = strtol(iso + 5, NULL, 10);
    if (month < 1 || month > 12) {
        text_copy(text, size, iso);
        return;
    }
    snprintf(text, size, "%ld %s %ld", strtol(iso + 8, NULL, 10), months[month - 1], year);
}

const char *say_rated_word(int item, double value)
{
    const char *word = rating_word(item, value);
    bool failed = rating_fields[item].blocks == BLOCKS_SIGHT && rating_blocks(item, value);
    return failed ? "no: FAILED" : word != NULL ? word : nothing;
}

void say_rating(char *text, size_t size, const struct rating_record *rating)
{
    int items[RATING_ITEMS];
    char number[32];
    size_t used = 0;
    text_copy(text, size, "nothing answered");
    rating_sort(RATING_TOLD, items);
    for (int i = 0; i < RATING_ITEMS; i++) {
        const struct rating_field *field = &rating_fields[items[i]];
        double value = rating->value[items[i]];
        if (isnan(value)) {
            continue;
        }
        text_append(text, size, &used, "%s%s ", used == 0 ? "" : ", ", field->words);
        if (field->kind == RATING_WORD) {
            text_append(text, size, &used, "%s", say_rated_word(items[i], value));
        } else {
            text_from_double_shortest(number, sizeof number, value);
            text_append(text, size, &used, "%s%s%s", number, field->unit[0] != '\0' ? " " : "",
                        field->unit);
        }
    }
}

void say_band(char *text, size_t size, const struct cue_settings *cue)
{
    char above[64] = "none", below[64] = "none";
    if (isfinite(cue->band_above_mm)) {
        say_signed(above, sizeof above, cue->band_above_mm, 0);
    }
    if (isfinite(cue->band_below_mm)) {
        say_signed(below, sizeof below, -cue->band_below_mm, 0);
    }
    snprintf(text, size, "%s/%s", above, below);
}
