/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/fields.h"

#include "base/language.h"
#include "base/nearest.h"
#include "base/numbers.h"
#include "base/text.h"

#include <math.h>
#include <string.h>

/* Ranges are what can be typed without being asked back, not what is safe: the makers' limits are
 * entered by the fitter (bike/limits.h) and never assumed. Assumed values and the errors of
 * measuring are common practice, no source. */
const struct bike_field bike_fields[BIKE_KEYS] = {
    [BIKE_STACK] = {"stack", N_("stack"), "mm", BIKE_SCOPE_FRAME, 300, 800, NAN, 2},
    [BIKE_REACH] = {"reach", N_("reach"), "mm", BIKE_SCOPE_FRAME, 250, 600, NAN, 2},
    [BIKE_HEAD_ANGLE] = {"head_angle", N_("head angle"), "deg", BIKE_SCOPE_FRAME, 60, 85, NAN, 0.5},
    [BIKE_HEADSET_CAP] = {"headset_cap", N_("headset cap"), "mm", BIKE_SCOPE_FRAME, 0, 60, 0, 0.5},
    [BIKE_SEAT_ANGLE] = {"seat_angle", N_("seat angle"), "deg", BIKE_SCOPE_FRAME, 60, 90, NAN, 0.5},
    [BIKE_SPACERS] = {"spacers", N_("spacers"), "mm", BIKE_SCOPE_PART, 0, 150, NAN, 0.5},
    [BIKE_STEM_LENGTH] = {"stem_length", N_("stem length"), "mm", BIKE_SCOPE_PART, 20, 200, NAN, 1},
    [BIKE_STEM_ANGLE] = {"stem_angle", N_("stem angle"), "deg", BIKE_SCOPE_PART, -45, 45, NAN, 1},
    [BIKE_STEM_CLAMP_HEIGHT] = {"stem_clamp_height", N_("stem clamp height"), "mm", BIKE_SCOPE_PART,
                                20, 100, 40, 0.5},
    [BIKE_BAR_ROLL] = {"bar_roll", N_("bar roll"), "deg", BIKE_SCOPE_PART, -45, 45, 0, 0.5},
    [BIKE_PAD_RISE] = {"pad_rise", N_("pad rise"), "mm", BIKE_SCOPE_PART, -60, 300, NAN, 1},
    [BIKE_PAD_FORE_AFT] = {"pad_fore_aft", N_("pad fore-aft"), "mm", BIKE_SCOPE_PART, -250, 250,
                           NAN, 2},
    [BIKE_PAD_WIDTH] = {"pad_width", N_("pad width"), "mm", BIKE_SCOPE_PART, 40, 450, NAN, 2},
    [BIKE_PAD_TILT] = {"pad_tilt", N_("pad tilt"), "deg", BIKE_SCOPE_PART, -30, 60, NAN, 1},
    [BIKE_EXTENSION_LENGTH] = {"extension_length", N_("extension length"), "mm", BIKE_SCOPE_PART,
                               50, 600, NAN, 2},
    [BIKE_EXTENSION_ANGLE] = {"extension_angle", N_("extension angle"), "deg", BIKE_SCOPE_PART, -45,
                              60, NAN, 1},
    [BIKE_EXTENSION_RISE] = {"extension_rise", N_("extension rise"), "mm", BIKE_SCOPE_PART, -200,
                             200, NAN, 1},
    [BIKE_SADDLE_HEIGHT] = {"saddle_height", N_("saddle height"), "mm", BIKE_SCOPE_PART, 400, 1100,
                            NAN, 2},
    [BIKE_SADDLE_SETBACK] = {"saddle_setback", N_("saddle set-back"), "mm", BIKE_SCOPE_PART, -200,
                             300, NAN, 2},
    [BIKE_SADDLE_TILT] = {"saddle_tilt", N_("saddle tilt"), "deg", BIKE_SCOPE_PART, -30, 30, NAN,
                          0.5},
    [BIKE_CRANK_LENGTH] = {"crank_length", N_("crank length"), "mm", BIKE_SCOPE_PART, 100, 230, NAN,
                           0.5},
};

int bike_key_find(const char *key)
{
    for (int i = 0; key && i < BIKE_KEYS; i++) {
        if (strcmp(bike_fields[i].key, key) == 0) {
            return i;
        }
    }
    return -1;
}

const char *bike_key_meant(const char *key, char *text, size_t size)
{
    struct nearest nearest = nearest_to(key);
    for (int i = 0; i < BIKE_KEYS; i++) {
        nearest_try(&nearest, bike_fields[i].key);
    }
    return nearest_text(&nearest, "", text, size);
}

static void number_text(char text[32], double value)
{
    text_from_double_shortest(text, 32, value);
}

static bool within(const struct bike_field *field, double value)
{
    return value >= field->minimum && value <= field->maximum;
}

const char *bike_value_slip(int key, double value)
{
    const struct bike_field *field = &bike_fields[key];
    if (strcmp(field->unit, "mm") == 0) {
        if (value > 0.0 && within(field, value * 25.4)) {
            return ": in mm, not inches?";
        }
        if (value > 0.0 && within(field, value * 10.0)) {
            return ": in mm, not cm?";
        }
        if (value < 0.0 && field->minimum >= 0.0 && within(field, -value)) {
            return ": it can't be negative";
        }
        return "";
    }
    if (key == BIKE_STEM_ANGLE && within(field, value - 90.0)) {
        return ": a stem printed 73 or 107 is -17 or 17 here (take 90 off)";
    }
    return "";
}

bool bike_value_check(int key, double value, struct problem *problem)
{
    if (key < 0 || key >= BIKE_KEYS) {
        return problem_usage(problem, "there is no such measure of a bike");
    }
    const struct bike_field *field = &bike_fields[key];
    if (within(field, value)) {
        return true;
    }
    char low[32], high[32], given[32];
    number_text(low, field->minimum);
    number_text(high, field->maximum);
    if (!isfinite(value)) {
        return problem_usage(problem, "%s must be a number from %s to %s %s", field->key, low, high,
                             field->unit);
    }
    number_text(given, value);
    return problem_usage(problem, "%s=%s is outside %s to %s %s%s", field->key, given, low, high,
                         field->unit, bike_value_slip(key, value));
}

void bike_values_clear(struct bike_values *values)
{
    for (int i = 0; i < BIKE_KEYS; i++) {
        values->value[i] = NAN;
    }
}

double bike_value(const struct bike_values *values, enum bike_key key)
{
    double value = values->value[key];
    return isnan(value) ? bike_fields[key].assumed : value;
}

bool bike_value_same(double a, double b)
{
    return (isnan(a) && isnan(b)) || a == b;
}

bool bike_values_equal(const struct bike_values *a, const struct bike_values *b)
{
    for (int i = 0; i < BIKE_KEYS; i++) {
        if (!bike_value_same(a->value[i], b->value[i])) {
            return false;
        }
    }
    return true;
}

bool bike_values_have(const struct bike_values *bike, const struct bike_values *parts)
{
    for (int i = 0; i < BIKE_KEYS; i++) {
        if (isfinite(parts->value[i]) && !bike_value_same(bike->value[i], parts->value[i])) {
            return false;
        }
    }
    return true;
}

void bike_changes_text(char *text, size_t size, const struct bike_values *before,
                       const struct bike_values *after)
{
    size_t used = 0;
    if (size == 0) {
        return;
    }
    text[0] = '\0';
    for (int i = 0; i < BIKE_KEYS; i++) {
        double from = bike_value(before, (enum bike_key)i);
        double to = bike_value(after, (enum bike_key)i);
        if (bike_value_same(from, to)) {
            continue;
        }
        char from_text[32] = "", to_text[32] = "";
        if (!isnan(from)) {
            say_exact(from_text, sizeof from_text, from);
        }
        if (!isnan(to)) {
            say_exact(to_text, sizeof to_text, to);
        }
        const char *words = T_(bike_fields[i].words);
        text_append(text, size, &used, "%s", used > 0 ? ", " : "");
        if (isnan(from)) {
            text_append(text, size, &used, "%s %s", words, to_text);
        } else if (isnan(to)) {
            text_append(text, size, &used, C_("a part", "%s %s to not known"), words, from_text);
        } else {
            text_append(text, size, &used, C_("a part", "%s %s to %s"), words, from_text, to_text);
        }
    }
    if (used == 0) {
        text_append(text, size, &used, "%s",
                    bike_values_any_part(before) || bike_values_any_part(after)
                        ? T_("nothing changed")
                        : T_("no part entered"));
    }
}

bool bike_values_any_part(const struct bike_values *bike)
{
    for (int k = 0; k < BIKE_KEYS; k++) {
        if (bike_fields[k].scope == BIKE_SCOPE_PART && isfinite(bike->value[k])) {
            return true;
        }
    }
    return false;
}
