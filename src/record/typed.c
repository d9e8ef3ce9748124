/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/typed.h"

#include "base/text.h"

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
