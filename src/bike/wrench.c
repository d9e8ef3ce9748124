/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/wrench.h"

#include "base/text.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

const char wrench_cautions[] =
    "Never loosen a bolt under a leaning rider. Bolts to the component makers' torque; spacers, "
    "risers and "
    "insertion within their limits. Check all bolts again after the first ride.";

static bool differs(double a, double b)
{
    return !(a == b || (isnan(a) && isnan(b)));
}

static void number(char text[32], double value)
{
    if (isnan(value)) {
        text_copy(text, 32, "not known");
    } else {
        text_from_double_shortest(text, 32, value);
    }
}

/* What is done for a measure that grows, and for one that shrinks: words before and behind the
 * amount. NULL = set it. */
static const struct work {
    enum bike_key key;
    const char *more, *less, *more_tail, *less_tail;
} works[] = {
    {BIKE_HEADSET_CAP, NULL, NULL, "", ""},
    {BIKE_STEM_CLAMP_HEIGHT, NULL, NULL, "", ""},
    {BIKE_SPACERS, "put", "move", " under the stem, from above it",
     " from under the stem to above it"},
    {BIKE_BAR_ROLL, "front up by", "front down by", "", ""},
    {BIKE_PAD_RISE, "raise by", "lower by", "", ""},
    {BIKE_PAD_FORE_AFT, "forward by", "back by", "", ""},
    {BIKE_PAD_WIDTH, "apart by", "together by", "", ""},
    {BIKE_PAD_TILT, "front up by", "front down by", "", ""},
    {BIKE_EXTENSION_LENGTH, "out by", "in by", "", ""},
    {BIKE_EXTENSION_ANGLE, "front up by", "front down by", "", ""},
    {BIKE_EXTENSION_RISE, "raise by", "lower by", "", ""},
    {BIKE_SADDLE_HEIGHT, "raise by", "lower by", "", ""},
    {BIKE_SADDLE_SETBACK, "back by", "forward by", "", ""},
    {BIKE_SADDLE_TILT, "nose up by", "nose down by", "", ""},
    {BIKE_CRANK_LENGTH, NULL, NULL, "", ""},
};

/* '60 mm', '-6°', 'not known'. */
static void with_unit(char *text, size_t size, double value, const char *unit)
{
    char amount[32];
    number(amount, value);
    size_t used = 0;
    bool angle = text_equal(unit, "deg");
    text_append(text, size, &used, "%s%s%s", amount,
                isnan(value) ? ""
                : angle      ? "\u00b0"
                             : " ",
                isnan(value) || angle ? "" : unit);
}

static struct wrench_step *next_step(struct wrench_list *list, enum bike_key key, double from,
                                     double to)
{
    struct wrench_step *step = &list->step[list->count++];
    *step = (struct wrench_step){.key = key, .from = from, .to = to};
    return step;
}

static void add_stem(const struct bike_values *from, const struct bike_values *to,
                     struct wrench_list *list)
{
    double length[2] = {bike_value(from, BIKE_STEM_LENGTH), bike_value(to, BIKE_STEM_LENGTH)};
    double angle[2] = {bike_value(from, BIKE_STEM_ANGLE), bike_value(to, BIKE_STEM_ANGLE)};
    bool length_differs = differs(length[0], length[1]),
         angle_differs = differs(angle[0], angle[1]);
    if (!length_differs && !angle_differs) {
        return;
    }
    struct wrench_step *step = next_step(list, BIKE_STEM_LENGTH, length[0], length[1]);
    char lengths[2][32], angles[2][32];
    size_t used = 0;
    for (int i = 0; i < 2; i++) {
        number(lengths[i], length[i]);
        number(angles[i], angle[i]);
    }
    if (!length_differs && angle[0] == -angle[1]) {
        text_append(step->text, sizeof step->text, &used, "stem: turn it over (%s to %s deg)",
                    angles[0], angles[1]);
    } else {
        text_append(step->text, sizeof step->text, &used,
                    "stem: change %s mm, %s deg for %s mm, %s deg", lengths[0], angles[0],
                    lengths[1], angles[1]);
    }
    text_copy(step->work, sizeof step->work,
              !length_differs && angle[0] == -angle[1] ? "stem: turn it over" : "stem: change it");
    char parts[2][2][32];
    for (int i = 0; i < 2; i++) {
        with_unit(parts[i][0], sizeof parts[i][0], length[i], "mm");
        with_unit(parts[i][1], sizeof parts[i][1], angle[i], "deg");
    }
    snprintf(step->from_text, sizeof step->from_text, "%.20s, %.20s", parts[0][0], parts[0][1]);
    snprintf(step->to_text, sizeof step->to_text, "%.20s, %.20s", parts[1][0], parts[1][1]);
}

static void add_work(const struct work *work, const struct bike_values *from,
                     const struct bike_values *to, struct wrench_list *list)
{
    const struct bike_field *field = &bike_fields[work->key];
    double before = bike_value(from, work->key), after = bike_value(to, work->key);
    if (!differs(before, after)) {
        return;
    }
    struct wrench_step *step = next_step(list, work->key, before, after);
    char low[32], high[32], by[32];
    size_t used = 0;
    number(low, before);
    number(high, after);
    if (work->more && !isnan(before) && !isnan(after)) {
        bool more = after > before;
        number(by, round(fabs(after - before) * 1000.0) / 1000.0);
        text_append(step->text, sizeof step->text, &used, "%s: %s %s %s%s (%s to %s)", field->words,
                    more ? work->more : work->less, by, field->unit,
                    more ? work->more_tail : work->less_tail, low, high);
        with_unit(by, sizeof by, round(fabs(after - before) * 1000.0) / 1000.0, field->unit);
        snprintf(step->work, sizeof step->work, "%s: %s %s%s", field->words,
                 more ? work->more : work->less, by, more ? work->more_tail : work->less_tail);
    } else {
        snprintf(step->work, sizeof step->work, "%s: set it", field->words);
        text_append(step->text, sizeof step->text, &used, "%s: %s to %s %s", field->words, low,
                    high, field->unit);
    }
    with_unit(step->from_text, sizeof step->from_text, before, field->unit);
    with_unit(step->to_text, sizeof step->to_text, after, field->unit);
}

void wrench_list_make(const struct bike_values *from, const struct bike_values *to,
                      struct wrench_list *list)
{
    struct bike_points before, after;
    *list = (struct wrench_list){0};
    add_stem(from, to, list);
    for (size_t i = 0; i < sizeof works / sizeof works[0]; i++) {
        add_work(&works[i], from, to, list);
    }
    list->has_moves = bike_forward(from, &before, NULL) && bike_forward(to, &after, NULL);
    if (list->has_moves) {
        list->clamp_move = (struct point){after.clamp.x_mm - before.clamp.x_mm,
                                          after.clamp.y_mm - before.clamp.y_mm};
        list->has_pad_move = before.has_pad && after.has_pad;
        list->pad_move =
            (struct point){after.pad.x_mm - before.pad.x_mm, after.pad.y_mm - before.pad.y_mm};
    }
}

void move_text(char *text, size_t size, struct point move)
{
    size_t used = 0;
    double up = round(move.y_mm), forward = round(move.x_mm);
    if (size == 0) {
        return;
    }
    text[0] = '\0';
    if (up != 0.0) {
        text_append(text, size, &used, "%s %.0f", up < 0.0 ? "down" : "up", fabs(up));
    }
    if (forward != 0.0) {
        text_append(text, size, &used, "%s%s %.0f", used > 0 ? ", " : "",
                    forward < 0.0 ? "back" : "forward", fabs(forward));
    }
    if (used == 0) {
        text_append(text, size, &used, "not at all");
    }
}

bool sensor_needs_plate(const struct sensor_mount *mount, const struct bike_values *before,
                        const struct bike_values *after)
{
    struct sensor_shift shift;
    return !sensor_shift_make(before, after, mount, &shift, NULL) || shift.u_mm > TIE_U_PLATE_MM;
}

void sensor_move_text(char *text, size_t size, const char *name, const struct sensor_mount *mount,
                      const struct bike_values *before, const struct bike_values *after)
{
    struct sensor_shift shift;
    struct problem problem = {PROBLEM_NONE, ""};
    char move[64], number[32];
    size_t used = 0;
    const char *carrier = carrier_words[mount->carrier];
    if (!sensor_shift_make(before, after, mount, &shift, &problem)) {
        text_append(text, size, &used, "%s (%s): %s: read the plate before and after", name,
                    carrier, problem.sentence);
        return;
    }
    if (!shift.moved) {
        text_append(text, size, &used, "%s (%s): does not move", name, carrier);
        return;
    }
    move_text(move, sizeof move, (struct point){shift.x_mm, shift.y_mm});
    text_from_double(number, sizeof number, shift.u_mm, 1);
    text_append(text, size, &used, "%s (%s): %s; its height is known to %s mm from the parts", name,
                carrier, move, number);
    if (fabs(shift.tilt_deg) > 0.05) {
        text_from_double(number, sizeof number, shift.tilt_deg, 1);
        text_append(text, size, &used, ", its beam turns by %s deg: aim it again", number);
    }
    text_append(text, size, &used, "; %s",
                sensor_needs_plate(mount, before, after) ? "read the plate"
                                                         : "a plate reading checks it");
}
