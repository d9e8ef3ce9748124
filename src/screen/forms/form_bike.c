/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_bike.h"

#include "base/text.h"
#include "bike/wrench.h"
#include "screen/form_value.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A changed setup moves the bars, and the sensors that are fixed to them: said while it is typed,
 * before a bolt is touched. */

#define THINGS_MAX (CHANNELS_MAX + 3)

/* Something that goes with the bars. */
struct thing {
    const char *name;
    const struct channel_record *channel; /* NULL: not a sensor */
    double plate_mm;                      /* read on this build; NAN = not */
    bool known;                           /* its move follows from the parts */
    char move[48];
    struct sensor_shift shift;
};

struct moves {
    const struct bike_values *before, *now;
    int count;
    struct thing thing[THINGS_MAX];
    char missing[160]; /* why something is not known, of the first that is not */
};

const struct setup_record *form_setup_numbered(const struct view *view, double number)
{
    const struct session_record *record = &view->snapshot->record;
    int index = isfinite(number) ? session_record_setup(record, (int)number) : -1;
    return index >= 0 ? &record->setup[index] : NULL;
}

bool form_bike_typed(struct form *form, const struct view *view, struct bike_values *bike)
{
    char trouble[128];
    *bike = view->snapshot->record.bike.frame;
    const struct setup_record *current = snapshot_setup(view->snapshot);
    const struct setup_record *earlier =
        form->kind == FORM_SETUP ? form_setup_numbered(view, form_number(form_find(form, "number")))
                                 : NULL;
    if (earlier != NULL) { /* back to it */
        *bike = earlier->bike;
        return true;
    }
    if (current != NULL && form->kind != FORM_BIKE) {
        *bike = current->bike;
    }
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        int key = form_bike_key(field);
        double value = form_number(field);
        if (form_field_trouble(field, trouble, sizeof trouble) != NULL) {
            return false; /* nothing follows from what is not taken */
        }
        if (key >= 0 && isfinite(value)) {
            bike->value[key] = value;
        }
    }
    return true;
}

/* ---- what moves ---- */

static void add(struct moves *moves, const char *name, const struct sensor_mount *mount,
                const struct channel_record *channel, double plate_mm)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct thing *thing = &moves->thing[moves->count];
    *thing = (struct thing){.name = name, .channel = channel, .plate_mm = plate_mm};
    thing->known = sensor_shift_make(moves->before, moves->now, mount, &thing->shift, &problem);
    if (!thing->shift.moved) {
        return;
    }
    moves->count++;
    if (thing->known) {
        move_text(thing->move, sizeof thing->move,
                  (struct point){thing->shift.x_mm, thing->shift.y_mm});
    } else if (moves->missing[0] == '\0') {
        text_copy(moves->missing, sizeof moves->missing, problem.sentence);
    }
}

static bool has(const struct moves *moves, enum bike_key key)
{
    return isfinite(moves->before->value[key]) || isfinite(moves->now->value[key]);
}

static void find_moves(struct moves *moves, const struct view *view)
{
    struct sensor_mount mount = {.carrier = CARRIER_BASE_BAR, .direction = 1};
    add(moves, "bars", &mount, NULL, NAN);
    mount.carrier = CARRIER_PAD_BRACKET;
    if (has(moves, BIKE_PAD_RISE) || has(moves, BIKE_PAD_FORE_AFT)) {
        add(moves, "pads", &mount, NULL, NAN);
    }
    mount.carrier = CARRIER_EXTENSION;
    if (has(moves, BIKE_EXTENSION_LENGTH)) {
        add(moves, "extension tips", &mount, NULL, NAN);
    }
    for (int c = 0; c < view->channel_count; c++) {
        const struct channel_record *channel = snapshot_channel(view->snapshot, c);
        if (channel->mounted && channel->role != ROLE_AUXILIARY) {
            add(moves, channel->name, &channel->mount, channel,
                snapshot_plate_mm(view->snapshot, c));
        }
    }
}

/* ---- in words ---- */

/* 'bars, head, chest down 10, forward 3; pads down 30' */
static void say_moves(const struct moves *moves, char *text, size_t size, size_t *used)
{
    bool said[THINGS_MAX] = {false};
    for (int i = 0; i < moves->count; i++) {
        if (said[i] || !moves->thing[i].known) {
            continue;
        }
        text_append(text, size, used, "%s%s", *used > 0 ? "; " : "", moves->thing[i].name);
        for (int k = i + 1; k < moves->count; k++) {
            if (moves->thing[k].known && strcmp(moves->thing[i].move, moves->thing[k].move) == 0) {
                said[k] = true;
                text_append(text, size, used, ", %s", moves->thing[k].name);
            }
        }
        text_append(text, size, used, " %s", moves->thing[i].move);
    }
}

/* ': head, chest' of the sensors that wanted is true of; how many. */
static int say_names(const struct moves *moves, bool (*wanted)(const struct moves *, int),
                     const char *before, char *text, size_t size, size_t *used)
{
    int count = 0;
    for (int i = 0; i < moves->count; i++) {
        if (moves->thing[i].channel != NULL && wanted(moves, i)) {
            text_append(text, size, used, "%s%s", count++ == 0 ? before : ", ",
                        moves->thing[i].name);
        }
    }
    return count;
}

static bool wants_plate(const struct moves *moves, int i)
{
    return sensor_needs_plate(&moves->thing[i].channel->mount, moves->before, moves->now);
}

static bool was_not_read(const struct moves *moves, int i)
{
    return wants_plate(moves, i) && isnan(moves->thing[i].plate_mm);
}

static bool leans(const struct moves *moves, int i)
{
    return fabs(moves->thing[i].shift.tilt_deg) > 0.05;
}

/* How well the sensors' heights are then known, and what would tell better. */
static void say_sensors(const struct moves *moves, char *text, size_t size, size_t *used)
{
    int sensors = 0, told = 0;
    for (int i = 0; i < moves->count; i++) {
        const struct thing *thing = &moves->thing[i];
        char number[32];
        sensors += thing->channel != NULL ? 1 : 0;
        if (thing->channel != NULL && thing->known) {
            /* as everywhere: twice the standard uncertainty */
            text_from_double(number, sizeof number, fmax(1.0, round(2.0 * thing->shift.u_mm)), 0);
            text_append(text, size, used, "%s%s \u00B1%s",
                        told++ == 0 ? ". Known from the parts: " : ", ", thing->name, number);
        }
    }
    if (moves->missing[0] != '\0') {
        text_append(text, size, used, "%sNot known: %s", *used > 0 ? ". " : "", moves->missing);
    }
    if (sensors == 0) {
        text_append(text, size, used, moves->count > 0 ? ". No sensor moves" : "");
        return;
    }
    say_names(moves, leans, ". Beam turns, aim again: ", text, size, used);
    if (say_names(moves, was_not_read, ". Read the plate before a bolt is touched, and after: ",
                  text, size, used) == 0 &&
        say_names(moves, wants_plate, ". Read the plate after: ", text, size, used) == 0) {
        text_append(text, size, used, ". Good without a plate");
    }
}

void form_moves_text(char *text, size_t size, struct form *form, const struct view *view)
{
    const struct setup_record *current = snapshot_setup(view->snapshot);
    struct bike_values now;
    size_t used = 0;
    text_copy(text, size, "");
    if (form->kind != FORM_SETUP || current == NULL || !form_bike_typed(form, view, &now)) {
        return;
    }
    struct moves moves = {.before = &current->bike, .now = &now};
    find_moves(&moves, view);
    say_moves(&moves, text, size, &used);
    if (used > 0) {
        text_append(text, size, &used, " (from setup %d)", current->number);
    }
    say_sensors(&moves, text, size, &used);
}

/* ---- limits from the makers' papers ---- */

bool form_limit_passed(const struct form_field *field, const struct view *view, char *text,
                       size_t size)
{
    int key = form_bike_key(field);
    return key >= 0 &&
           bike_limit_passed(&view->snapshot->record.limits, key, form_number(field), text, size);
}

void form_limits_text(char *text, size_t size, struct form *form, const struct view *view)
{
    struct bike_values bike;
    text_copy(text, size, "");
    if (form->of_bike && form_bike_typed(form, view, &bike)) {
        bike_limits_passed(&view->snapshot->record.limits, &bike, text, size);
    }
}
