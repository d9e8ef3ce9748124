/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/wrench.h"

#include "base/language.h"
#include "base/numbers.h"
#include "base/phrase.h"
#include "base/text.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

const char wrench_cautions[] =
    "Never loosen a bolt under a leaning rider. Bolts to the component makers' torque; spacers, "
    "risers and "
    "insertion within their limits. Where the stem comes off: set the top cap, no play and free "
    "turning, before the stem's clamp bolts are tightened. Check all bolts again after the first "
    "ride.";

static bool differs(double a, double b)
{
    return !(a == b || (isnan(a) && isnan(b)));
}

static void number(char text[32], double value)
{
    if (isnan(value)) {
        text_copy(text, 32, T_("not known"));
    } else {
        say_exact(text, 32, value);
    }
}

/* What is done for a measure that grows, and for one that shrinks. NULL = set it. */
static const struct work {
    enum bike_key key;
    const char *more, *less;
} works[] = {
    {BIKE_HEADSET_CAP, NULL, NULL},
    {BIKE_STEM_CLAMP_HEIGHT, NULL, NULL},
    {BIKE_SPACERS, N_("spacers: put {by} under the stem, from above it"),
     N_("spacers: move {by} from under the stem to above it")},
    {BIKE_BAR_ROLL, N_("bar roll: front up by {by}"), N_("bar roll: front down by {by}")},
    {BIKE_PAD_RISE, N_("pad rise: raise by {by}"), N_("pad rise: lower by {by}")},
    {BIKE_PAD_FORE_AFT, N_("pad fore-aft: forward by {by}"), N_("pad fore-aft: back by {by}")},
    {BIKE_PAD_WIDTH, N_("pad width: apart by {by}"), N_("pad width: together by {by}")},
    {BIKE_PAD_TILT, N_("pad tilt: front up by {by}"), N_("pad tilt: front down by {by}")},
    {BIKE_EXTENSION_LENGTH, N_("extension length: out by {by}"),
     N_("extension length: in by {by}")},
    {BIKE_EXTENSION_ANGLE, N_("extension angle: front up by {by}"),
     N_("extension angle: front down by {by}")},
    {BIKE_EXTENSION_RISE, N_("extension rise: raise by {by}"), N_("extension rise: lower by {by}")},
    {BIKE_SADDLE_HEIGHT, N_("saddle height: raise by {by}"), N_("saddle height: lower by {by}")},
    {BIKE_SADDLE_SETBACK, N_("saddle set-back: back by {by}"),
     N_("saddle set-back: forward by {by}")},
    {BIKE_SADDLE_TILT, N_("saddle tilt: nose up by {by}"), N_("saddle tilt: nose down by {by}")},
    {BIKE_CRANK_LENGTH, NULL, NULL},
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
    bool turned_over = !length_differs && angle[0] == -angle[1];
    if (turned_over) {
        text_append(step->text, sizeof step->text, &used, "stem: turn it over (%s to %s deg)",
                    angles[0], angles[1]);
    } else {
        text_append(step->text, sizeof step->text, &used,
                    "stem: change %s mm, %s deg for %s mm, %s deg", lengths[0], angles[0],
                    lengths[1], angles[1]);
    }
    text_copy(step->work, sizeof step->work,
              turned_over ? T_("stem: turn it over") : T_("stem: change it"));
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
    char low[32], high[32], by[48], words[128];
    size_t used = 0;
    number(low, before);
    number(high, after);
    if (work->more && !isnan(before) && !isnan(after)) {
        const char *phrase = T_(after > before ? work->more : work->less);
        const struct phrase_value values[] = {{"by", by}, {NULL, NULL}};
        double change = round(fabs(after - before) * 1000.0) / 1000.0;
        number(words, change);
        snprintf(by, sizeof by, "%.32s %s", words, field->unit);
        phrase_fill(words, sizeof words, phrase, values);
        text_append(step->text, sizeof step->text, &used, "%s (%s to %s)", words, low, high);
        with_unit(by, sizeof by, change, field->unit);
        phrase_fill(step->work, sizeof step->work, phrase, values);
    } else {
        snprintf(step->work, sizeof step->work, T_("%s: set it"), T_(field->words));
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
