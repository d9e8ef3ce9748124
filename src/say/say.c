/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/say.h"

#include "base/clock.h"
#include "base/language.h"
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

static void day_of(int64_t unix_ms, long *day, long *month, long *year)
{
    char iso[CLOCK_TEXT_SIZE];
    clock_wall_text(iso, unix_ms + clock_local_ahead_ms(unix_ms)); /* 2026-01-10 ... */
    *year = strtol(iso, NULL, 10);
    *month = strtol(iso + 5, NULL, 10);
    *day = strtol(iso + 8, NULL, 10);
}

void say_day(char *text, size_t size, int64_t unix_ms)
{
    static const char *const months[] = {
        CN_("month", "January"), CN_("month", "February"), CN_("month", "March"),
        CN_("month", "April"),   CN_("month", "May"),      CN_("month", "June"),
        CN_("month", "July"),    CN_("month", "August"),   CN_("month", "September"),
        CN_("month", "October"), CN_("month", "November"), CN_("month", "December")};
    long day, month, year;
    day_of(unix_ms, &day, &month, &year);
    snprintf(text, size, C_("day", "%ld %s %ld"), day, C_("month", months[month - 1]), year);
}

void say_day_briefly(char *text, size_t size, char *year, size_t year_size, int64_t unix_ms)
{
    static const char *const months[] = {
        CN_("month in short", "Jan"), CN_("month in short", "Feb"), CN_("month in short", "Mar"),
        CN_("month in short", "Apr"), CN_("month in short", "May"), CN_("month in short", "Jun"),
        CN_("month in short", "Jul"), CN_("month in short", "Aug"), CN_("month in short", "Sep"),
        CN_("month in short", "Oct"), CN_("month in short", "Nov"), CN_("month in short", "Dec")};
    long day, month, of_year;
    day_of(unix_ms, &day, &month, &of_year);
    snprintf(text, size, C_("day", "%ld %s"), day, C_("month in short", months[month - 1]));
    snprintf(year, year_size, "%ld", of_year);
}

const char *say_sensor(const char *name)
{
    static const char *const usual[] = {
        CN_("sensor", "head"), CN_("sensor", "chest"), CN_("sensor", "back"),
        CN_("sensor", "hips"), CN_("sensor", "hip"),   CN_("sensor", "shoulder"),
        CN_("sensor", "hand"), CN_("sensor", "elbow"), CN_("sensor", "neck")};
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
        if (text_equal(name, usual[i])) {
            return C_("sensor", usual[i]);
        }
    }
    return name;
}

void say_with_unit(char *text, size_t size, const char *number, const char *unit)
{
    bool angle = text_equal(unit, "deg");
    snprintf(text, size, "%s%s%s", number, angle ? "\u00B0" : " ", angle ? "" : unit);
}

const char *say_rated_word(int item, double value)
{
    const char *word = rating_word(item, value);
    bool failed = rating_fields[item].blocks == BLOCKS_SIGHT && rating_blocks(item, value);
    return failed ? T_("no: FAILED") : word != NULL ? C_("rating", word) : nothing;
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

const char *say_no_discomfort(const double values[RATING_ITEMS])
{
    int regions = 0, asked = 0;
    for (int item = 0; item < RATING_ITEMS; item++) {
        regions += rating_fields[item].discomfort;
        asked += rating_fields[item].discomfort && !isnan(values[item]);
    }
    return asked == 0        ? nothing
           : asked < regions ? C_("discomfort", "none of those asked")
                             : C_("discomfort", "none");
}

int say_worst_region(const double values[RATING_ITEMS])
{
    int worst = -1;
    for (int item = 0; item < RATING_ITEMS; item++) {
        if (rating_fields[item].discomfort && values[item] > 0 &&
            (worst < 0 || values[item] > values[worst])) {
            worst = item;
        }
    }
    return worst;
}

void say_discomfort(char *text, size_t size, const double values[RATING_ITEMS])
{
    double left[RATING_ITEMS];
    size_t used = 0;
    memcpy(left, values, sizeof left);
    text_copy(text, size, say_no_discomfort(values));
    for (int worst = say_worst_region(left); worst >= 0; worst = say_worst_region(left)) {
        char number[32];
        say_exact(number, sizeof number, left[worst]);
        text_append(text, size, &used, "%s%s %s", used > 0 ? ", " : "",
                    T_(rating_fields[worst].words), number);
        left[worst] = NAN;
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
