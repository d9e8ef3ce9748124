/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/numbers.h"

#include "base/language.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char nothing[] = "-";

static void set_decimal_sign(char *text)
{
    char *point = strchr(text, '.');
    if (point != NULL) {
        *point = C_("decimal sign", ".")[0];
    }
}

void say_exact(char *text, size_t size, double value)
{
    text_from_double_shortest(text, size, value);
    set_decimal_sign(text);
}

void say_number(char *text, size_t size, double value, int decimals)
{
    if (isfinite(value)) {
        text_from_double(text, size, value, decimals);
        set_decimal_sign(text);
    } else {
        text_copy(text, size, nothing);
    }
}

void say_whole(char *text, size_t size, double value)
{
    say_number(text, size, value, 0);
}

void say_signed(char *text, size_t size, double value, int decimals)
{
    char number[64];
    say_number(number, sizeof number, value, decimals);
    bool zero = strspn(number, "0.,") == strlen(number);
    bool plus = isfinite(value) && value > 0 && !zero;
    snprintf(text, size, "%s%s", plus ? "+" : "", number);
}

/* The next whole number up, but 3.0000001 stays 3. */
static double rounded_up(double value)
{
    double up = ceil(value - 1e-6);
    return up < 1 ? 1 : up;
}

void say_mean(char *text, size_t size, double mean, bool has_interval, double half_width)
{
    char middle[64], half[64];
    say_whole(middle, sizeof middle, mean);
    if (!isfinite(mean) || !has_interval || !isfinite(half_width)) {
        text_copy(text, size, middle);
        return;
    }
    say_whole(half, sizeof half, rounded_up(half_width));
    snprintf(text, size, "%s ±%s", middle, half);
}

void say_percent(char *text, size_t size, double share)
{
    char number[64];
    say_whole(number, sizeof number, share * 100);
    snprintf(text, size, "%s%s", number, isfinite(share) ? " %" : "");
}

void say_duration(char *text, size_t size, double seconds)
{
    if (!isfinite(seconds) || seconds < 0) {
        text_copy(text, size, nothing);
        return;
    }
    long whole = lround(seconds);
    long hours = whole / 3600, minutes = whole / 60 % 60, rest = whole % 60;
    size_t used = 0;
    text_copy(text, size, "");
    if (whole < 120) {
        text_append(text, size, &used, "%ld s", whole);
    } else if (hours > 0) {
        text_append(text, size, &used, "%ld h", hours);
        if (minutes > 0) {
            text_append(text, size, &used, " %ld min", minutes);
        }
    } else {
        text_append(text, size, &used, "%ld min", minutes);
        if (rest > 0) {
            text_append(text, size, &used, " %ld s", rest);
        }
    }
}

static long whole_seconds(double seconds)
{
    return seconds > 0 && seconds < 1e9 ? (long)seconds : 0;
}

void say_minutes(char *text, size_t size, double seconds)
{
    long whole = whole_seconds(seconds);
    snprintf(text, size, "%ld:%02ld", whole / 60, whole % 60);
}

void say_hours(char *text, size_t size, double seconds)
{
    long whole = whole_seconds(seconds);
    snprintf(text, size, "%ld:%02ld:%02ld", whole / 3600, whole / 60 % 60, whole % 60);
}

void say_clock(char *text, size_t size, double seconds)
{
    if (!isfinite(seconds) || seconds < 0) {
        text_copy(text, size, nothing);
        return;
    }
    (seconds >= 3600 ? say_hours : say_minutes)(text, size, seconds);
}

void say_typeset(char *text, size_t size, const char *source)
{
    size_t used = 0;
    if (text_equal(source, nothing)) {
        text_copy(text, size, "\u2013");
        return;
    }
    text_copy(text, size, "");
    while (*source != '\0') {
        size_t length = strcspn(source + 1, "-") + 1; /* up to the next hyphen */
        bool begins = used == 0 || source[-1] == ' ' || source[-1] == '(' ||
                      (used > 1 && source[-1] == '/' && source[-2] >= '0' && source[-2] <= '9');
        bool minus = *source == '-' && begins && source[1] >= '0' && source[1] <= '9';
        text_append(text, size, &used, "%s%.*s", minus ? "\u2212" : "", (int)length - minus,
                    source + minus);
        source += length;
    }
}

#define LONG_RUN 4 /* numbers in a row that are told by the first and the last */

/* '3', '2 to 9': the numbers in a row from one on; how many there are. */
static int next_run(char *text, size_t size, const int *numbers, int count)
{
    int run = 1;
    while (run < count && numbers[run] == numbers[run - 1] + 1) {
        run++;
    }
    if (run < LONG_RUN) {
        snprintf(text, size, "%d", numbers[0]);
        return 1;
    }
    snprintf(text, size, C_("numbers", "%d to %d"), numbers[0], numbers[run - 1]);
    return run;
}

void say_numbers(char *text, size_t size, const int *numbers, int count)
{
    char next[64], before[SAY_SIZE];
    size_t used = 0;
    text_copy(text, size, "");
    for (int i = 0, run; i < count; i += run) {
        run = next_run(next, sizeof next, numbers + i, count - i);
        if (i > 0 && i + run == count) {
            text_copy(before, sizeof before, text);
            snprintf(text, size, C_("list", "%s and %s"), before, next);
        } else {
            text_append(text, size, &used, i == 0 ? "%s" : ", %s", next);
        }
    }
}

void say_list(char *text, size_t size, const char *one, const char *many, const int *numbers,
              int count)
{
    char list[SAY_SIZE];
    size_t used = 0;
    say_numbers(list, sizeof list, numbers, count);
    text_copy(text, size, "");
    text_append(text, size, &used, "%s %s", count == 1 ? one : many, list);
}
