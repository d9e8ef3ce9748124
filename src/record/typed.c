/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/typed.h"

#include "base/text.h"
#include "measure/rules.h"
#include "record/drag_record.h"

#include <math.h>
#include <string.h>

const struct typed_number typed_numbers[TYPED_NUMBERS] = {
    [TYPED_SETUP] = {"setup", "", 1, 99},
    [TYPED_CHOSEN] = {"choose", "", 0, 99},
    [TYPED_MOUNT_X] = {"x", "mm", -2000, 2000},
    [TYPED_MOUNT_Y] = {"y", "mm", -2000, 2000},
    [TYPED_MOUNT_TILT] = {"tilt", "deg", -60, 60},
    [TYPED_GAIN] = {"gain", "", 0.5, 2},
    [TYPED_OFFSET] = {"offset", "mm", -500, 500},
    [TYPED_PLATE_S] = {"seconds", "s", 1, 120},
    [TYPED_PLATE_HEIGHT] = {"height", "mm", 0, 3000},
    [TYPED_RANGE] = {"", "mm", 5, 5000},
    [TYPED_TAPE] = {"", "mm", -500, 3000},
    [TYPED_TARGET] = {"", "mm", -2000, 5000},
    [TYPED_UNTIL] = {"until", "mm", 0.5, 50},
    [TYPED_AT_LEAST] = {"at_least", "s", 5, 600},
    [TYPED_AT_MOST] = {"at_most", "s", 5, 600},
    [TYPED_SETTLE] = {"settle", "s", 0, 300},
    [TYPED_BAND] = {"", "mm", 2, 300},
    [TYPED_ON_DELAY] = {"on_delay", "s", 0, 30},
    [TYPED_OFF_DELAY] = {"off_delay", "s", 0, 30},
    [TYPED_DEAD_BAND] = {"dead_band", "", 0, 0.9},
    [TYPED_MATTERS] = {"", "mm", 1, 100},
    [TYPED_RIDER_SD] = {"rider_sd", "mm", 0.01, 1000},
    [TYPED_RIDER_DF] = {"rider_df", "", 0, 1000},
    [TYPED_STORE_SD] = {"store_sd", "mm", 0.01, 1000},
    [TYPED_STORE_DF] = {"store_df", "", 0, 1000},
    [TYPED_SLOPE] = {"slope", "deg", 0, 60},
    [TYPED_MINUTES] = {"minutes", "min", 5, 600},
    [TYPED_CHECK_S] = {"seconds", "s", 1, 36000},
    [TYPED_BLOCK] = {"block", "mm", 1, 500},
    [TYPED_BLOCK_U] = {"block_u", "mm", 0, 10},
    [TYPED_PAUSE] = {"pause", "s", 0, 600},
    [TYPED_MASS] = {"mass", "kg", 30, 250},
    [TYPED_COURSE_LENGTH] = {"length", "m", 50, 20000},
    [TYPED_COURSE_RISE] = {"rise", "m", -200, 200},
    [TYPED_ROLLING] = {"rolling", "", 0.001, 0.02},
    [TYPED_MATTERS_DRAG] = {"drag", "m2", 0.0005, 0.1},
    [TYPED_TEMPERATURE] = {"temperature", "C", -20, 50},
    [TYPED_PRESSURE] = {"pressure", "hPa", 500, 1100},
    [TYPED_PRESSURE_PA] = {"pressure", "Pa", 50000, 110000},
    [TYPED_HUMIDITY] = {"humidity", "%", 0, 100},
    [TYPED_WIND] = {"wind", "m/s", 0, 30},
    [TYPED_RUN_POWER] = {"power", "W", 0, 3000},
    [TYPED_RUN_HEART] = {"heart", "", 20, 250},
    [TYPED_RUN_EFFORT] = {"effort", "", 0, 10},
    [TYPED_LEG_PAIR] = {"pair", "", 0, LEGS_MAX},
    [TYPED_LEG_LENGTH] = {"length", "m", 0, 100000},
    [TYPED_LEG_TIME] = {"time", "s", 0, 100000},
    [TYPED_LEG_WORK] = {"work", "J", -1e6, 1e6},
    [TYPED_LEG_MEAN] = {"mean", "m/s", 0, 60},
    [TYPED_LEG_SQUARED] = {"squared", "", 0, 3600},
    [TYPED_LEG_IN] = {"in", "m/s", 0, 60},
    [TYPED_LEG_OUT] = {"out", "m/s", 0, 60},
    [TYPED_LEG_CLIMB] = {"climb", "m", -1000, 1000},
    [TYPED_LEG_PIECES] = {"pieces", "m", 0, 100000},
    [TYPED_PIECES] = {"pieces", "", 1, 20},
    [TYPED_FEEDBACK_ROW] = {"row", "", 1, 5},
    [TYPED_GUESS] = {"guess", "", 0, 10},
};

static bool is_within(const struct typed_number *number, double value)
{
    return value >= number->least && value <= number->most;
}

bool typed_read_key(const struct words *words, const char *key, const struct typed_number *number,
                    double *value, struct problem *problem)
{
    const char *text = words_value(words, key);
    double read = 0.0;
    if (text == NULL) {
        return true;
    }
    if (!words_number(text, number->unit, &read, problem)) {
        return problem_prefix(problem, "%s", key);
    }
    if (!is_within(number, read)) {
        return problem_set(problem, "%s: %s is not between %g and %g %s", key, text, number->least,
                           number->most, number->unit);
    }
    *value = read;
    return true;
}

bool typed_read(const struct words *words, enum typed which, double *value, struct problem *problem)
{
    return typed_read_key(words, typed_numbers[which].key, &typed_numbers[which], value, problem);
}

bool typed_text(const char *text, enum typed which, double *value)
{
    double read = 0.0;
    if (!words_number(text, typed_numbers[which].unit, &read, NULL) ||
        !is_within(&typed_numbers[which], read)) {
        return false;
    }
    *value = read;
    return true;
}

bool typed_whole(const char *text, enum typed which, int *value)
{
    int64_t read = 0;
    if (!text_to_int64(text, &read) || !is_within(&typed_numbers[which], (double)read)) {
        return false;
    }
    *value = (int)read;
    return true;
}

/* ---- how long a hold is to be -----------------------------------------------------------------
 */

/* A number without a sign at the front of *text, which goes on behind it. */
static bool take_number(const char **text, double *value)
{
    char number[24];
    size_t length = strspn(*text, "0123456789.");
    if (length == 0 || length >= sizeof number) {
        return false;
    }
    memcpy(number, *text, length);
    number[length] = '\0';
    *text += length;
    return text_to_double(number, value);
}

/* '1:30', '1:30:00': from the right seconds, minutes, hours, each below 60 but the first. */
static bool read_clock(const char *text, double *length_s)
{
    double sum = 0.0, value;
    for (int part = 0;; part++) {
        if (part == 3 || !take_number(&text, &value) || (part > 0 && value >= 60.0)) {
            return false;
        }
        sum = 60.0 * sum + value;
        if (*text == '\0') {
            *length_s = sum;
            return part > 0;
        }
        if (*text++ != ':') {
            return false;
        }
    }
}

/* '1h30min': numbers, each with its unit, of which a single number may do without. */
static bool read_units(const char *text, double *length_s)
{
    static const struct {
        const char *unit;
        double s;
    } units[] = {{"min", 60.0}, {"s", 1.0}, {"m", 60.0}, {"h", 3600.0}};
    double sum = 0.0, value;
    for (int part = 0; *text != '\0'; part++) {
        if (!take_number(&text, &value)) {
            return false;
        }
        text += strspn(text, " ");
        double unit_s = part == 0 && *text == '\0' ? 1.0 : 0.0;
        for (size_t i = 0; i < sizeof units / sizeof units[0] && unit_s == 0.0; i++) {
            size_t length = strlen(units[i].unit);
            if (strncmp(text, units[i].unit, length) == 0) {
                unit_s = units[i].s;
                text += length;
            }
        }
        if (unit_s == 0.0) {
            return false;
        }
        sum += value * unit_s;
        text += strspn(text, " ");
    }
    *length_s = sum;
    return true;
}

bool typed_length(const char *text, double *length_s, struct problem *problem)
{
    double read = 0.0;
    text += strspn(text, " ");
    bool good = text[0] != '\0' && (read_clock(text, &read) || read_units(text, &read));
    if (!good) {
        return problem_set(problem, "'%s' is no time such as 60s, 20min, 1:30 or 8h", text);
    }
    if (!(read >= HOLD_LEAST_S && read <= HOLD_MOST_S)) {
        return problem_set(problem, "%s: not between %g s and %g h", text, HOLD_LEAST_S,
                           HOLD_MOST_S / 3600.0);
    }
    *length_s = read;
    return true;
}

void typed_length_text(char *text, size_t size, double length_s)
{
    bool hours = length_s >= 3600.0 && fmod(length_s, 3600.0) == 0.0;
    bool minutes = length_s >= 120.0 && fmod(length_s, 60.0) == 0.0;
    size_t used = 0;
    text_from_double_shortest(text, size, length_s / (hours ? 3600.0 : minutes ? 60.0 : 1.0));
    used = strlen(text);
    text_append(text, size, &used, "%s", hours ? " h" : minutes ? " min" : " s");
}
