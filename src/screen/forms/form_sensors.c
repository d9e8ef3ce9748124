/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "say/measure.h"
#include "say/say.h"
#include "say/slip.h"
#include "screen/form_kind.h"

#include "analysis/slip.h"
#include "screen/form_lines.h"
#include "screen/form_value.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* What is said of the sensors: where each is fixed, their heights by plate and by tape, target
 * heights agreed otherwise. */

/* ---- where each is fixed ---- */

static const char *const roles_shown[] = {
    [ROLE_BODY] = "the body",
    [ROLE_REFERENCE] = "a fixed plate",
    [ROLE_AUXILIARY] = "something else",
};
static const struct form_row sensor_rows[] = {
    {FIELD_CHOICE, "channel", "sensor", .required = true, .bare = true},
    {FIELD_CHOICE, "carrier", "fixed to", .none = "(not said)", .list = &carrier_keys,
     .shown = carrier_words},
    {FIELD_NUMBER, "x", "forward of it", FORM_TYPED(TYPED_MOUNT_X)},
    {FIELD_NUMBER, "y", "above it", FORM_TYPED(TYPED_MOUNT_Y)},
    {FIELD_NUMBER, "tilt", "beam leans forward", FORM_TYPED(TYPED_MOUNT_TILT)},
    {FIELD_CHOICE, "look", "looks", .none = "(not said)"},
    {FIELD_CHOICE, "role", "what it sees", .list = &channel_role_short_words, .shown = roles_shown},
    {FIELD_TEXT, "mark", "its mark on the body", .kept = sizeof((struct channel_record *)0)->mark},
};

static void prefill_sensor(struct form *form, const struct channel_record *channel)
{
    bool mounted = channel->mounted;
    form_prefill(form_find(form, "carrier"),
                 mounted ? word_of(&carrier_keys, channel->mount.carrier) : "");
    form_prefill_number(form_find(form, "x"), mounted ? channel->mount.x_mm : NAN);
    form_prefill_number(form_find(form, "y"), mounted ? channel->mount.y_mm : NAN);
    form_prefill_number(form_find(form, "tilt"), mounted ? channel->mount.tilt_deg : NAN);
    form_prefill(form_find(form, "look"), mounted ? look_word(channel->mount.direction) : "");
    form_prefill(form_find(form, "mark"), channel->mark);
    form_prefill(form_find(form, "role"), word_of(&channel_role_short_words, channel->role));
}

/* The first whose place is not known, or is an earlier session's; else the first. */
static int first_to_place(const struct view *view)
{
    for (int c = 0; c < view->channel_count; c++) {
        const struct channel_record *channel = snapshot_channel(view->snapshot, c);
        if (channel->role == ROLE_BODY && (!channel->mounted || view->place_carried[c])) {
            return c;
        }
    }
    return 0;
}

static void fill_sensors(struct form *form, const struct view *view)
{
    struct form_field *channel = form_find(form, "channel"), *look = form_find(form, "look");
    for (int direction = 1; direction >= -1; direction -= 2) {
        form_add_choice(look, look_word(direction), look_word(direction));
    }
    for (int c = 0; c < view->channel_count; c++) {
        form_add_choice(channel, snapshot_channel(view->snapshot, c)->name,
                        snapshot_channel(view->snapshot, c)->name);
    }
    if (view->channel_count > 0) {
        form->of = first_to_place(view);
        form->focus = snapshot_channel(view->snapshot, form->of)->mounted ? 0 : 1;
    } else {
        channel->kind = FIELD_TEXT; /* not heard yet: its name is typed */
    }
}

/* Another sensor whose place is this one, or NULL. */
static const char *sensor_there(struct form *form, const struct view *view)
{
    const char *name = form_find(form, "channel")->value;
    int carrier = word_find(&carrier_keys, form_find(form, "carrier")->value, -1);
    double x = form_number(form_find(form, "x")), y = form_number(form_find(form, "y"));
    for (int c = 0; c < view->channel_count; c++) {
        const struct channel_record *other = snapshot_channel(view->snapshot, c);
        if (other->mounted && strcmp(other->name, name) != 0 &&
            (int)other->mount.carrier == carrier && other->mount.x_mm == x &&
            other->mount.y_mm == y) {
            return other->name;
        }
    }
    return NULL;
}

static bool sensor_lines(struct form *form, const struct view *view)
{
    bool placed = form_given(form_find(form, "x")) || form_given(form_find(form, "y")) ||
                  form_given(form_find(form, "tilt"));
    if (placed && !form_given(form_find(form, "carrier"))) {
        return form_refuse(form, "carrier",
                           "fixed to: say what the sensor is fixed to (left and right choose)");
    }
    struct form_line line = form_line_begin(form, "sensor");
    form_line_given(&line, view, false);
    const char *there = sensor_there(form, view);
    if (there != NULL && strcmp(form->asked, line.line) != 0) { /* answered, where it was sent */
        snprintf(form->question, sizeof form->question,
                 "%.31s is at that place. The same place for both?", there);
    }
    return form_line_end(&line, NULL);
}

/* Below the fields: where each sensor is that was placed, so that it is seen that it was. */
static void draw_places(struct canvas *canvas, struct form *form, const struct view *view, int row,
                        int rows)
{
    int columns = canvas->columns / 2 - 2;
    (void)form;
    for (int c = 0; c < view->channel_count && rows > 0; c++) {
        const struct channel_record *channel = snapshot_channel(view->snapshot, c);
        char text[160];
        if (channel->role != ROLE_BODY) {
            continue;
        }
        say_sensor_place(text, sizeof text, channel, snapshot_tie(view->snapshot, c));
        int used = canvas_wrapped(canvas, row, 1, columns, rows,
                                  channel->mounted ? STYLE_STRONG : STYLE_FAINT, text);
        row += used;
        rows -= used;
    }
}

const struct form_kind_row form_sensors = {
    .title = "THE SENSORS",
    .explanation = "from bar clamp centre, pad, extension tip, or (stand, frame) bottom bracket",
    FORM_ROWS(sensor_rows),
    .one_column = true,
    .sketch = true,
    .fill = fill_sensors,
    .fill_channel = prefill_sensor,
    .lines = sensor_lines,
    .draw_below = draw_places,
};

/* ---- heights by plate and by tape, of this build or another ---- */

#define OF_BUILD                                                                                   \
    {FIELD_WHOLE, "setup", "of setup", FORM_TYPED(TYPED_SETUP)},                                   \
    {                                                                                              \
        FIELD_WHOLE, "build", "its build", FORM_TYPED(TYPED_SETUP)                                 \
    }

static int build_on_bike(const struct snapshot *snapshot)
{
    return snapshot->build;
}

static void fill_build(struct form *form, const struct view *view)
{
    int number = snapshot_setup_number(view->snapshot);
    int ordinal = snapshot_build_ordinal(view->snapshot);
    form_prefill_number(form_find(form, "setup"), number > 0 ? (double)number : (double)NAN);
    form_prefill_number(form_find(form, "build"), ordinal > 0 ? (double)ordinal : (double)NAN);
}

static void put_build(struct form_line *line, const struct view *view)
{
    const struct form_field *setup = form_find(line->form, "setup"),
                            *build = form_find(line->form, "build");
    if (!form_given(setup)) {
        return;
    }
    bool other =
        (int)form_number(setup) != snapshot_setup_number(view->snapshot) ||
        (form_given(build) && (int)form_number(build) != snapshot_build_ordinal(view->snapshot));
    if (other) {
        form_line_field(line, setup, view);
    }
    if (other && form_given(build)) {
        form_line_field(line, build, view);
    }
}

static const struct form_row plate_rows[] = {
    {FIELD_WHOLE, "seconds", "read it for", FORM_TYPED(TYPED_PLATE_S)},
    {FIELD_NUMBER, "height", "plate over bottom bracket", FORM_TYPED(TYPED_PLATE_HEIGHT)},
    {FIELD_NUMBER, "", ", range", FORM_TYPED(TYPED_RANGE), .each = FORM_CHANNELS},
    OF_BUILD,
};

static void fill_plate(struct form *form, const struct view *view)
{
    form_prefill_number(form_find(form, "seconds"), 5.0);
    fill_build(form, view);
}

static bool plate_lines(struct form *form, const struct view *view)
{
    const struct form_field *seconds = form_find(form, "seconds"),
                            *height = form_find(form, "height");
    struct form_line line = form_line_begin(form, "plate");
    bool typed = form_line_given(&line, view, true) > 0;
    if (!typed) {
        char length[32];
        snprintf(length, sizeof length, "%.0fs", form_given(seconds) ? form_number(seconds) : 5.0);
        form_line_text(&line, NULL, length);
    }
    if (form_given(height)) {
        form_line_field(&line, height, view);
    }
    if (typed) {
        put_build(&line, view);
    }
    return form_line_end(&line, NULL);
}

const struct form_kind_row form_plate = {
    .title = "A PLATE OVER THE SENSORS",
    .explanation = "hold it still; Enter reads it. Or type ranges that were read before",
    FORM_ROWS(plate_rows),
    .about = build_on_bike,
    .fill = fill_plate,
    .lines = plate_lines,
};

/* The answer that stands; 'not known' can be said, to take it back. */
static void prefill_answer(struct form *form, enum answer answer)
{
    struct form_field *field = &form->field[0];
    text_copy(field->choice[0], sizeof field->choice[0], "not_known");
    const char *word = word_of(&answer_words, (int)answer);
    text_copy(field->value, sizeof field->value, word != NULL ? word : "not_known");
    text_copy(field->initial, sizeof field->initial, field->value);
}

static bool answer_lines(struct form *form, const struct view *view, const char *command)
{
    if (!form_field_changed(&form->field[0])) {
        return form_refuse(form, NULL,
                           "yes or no; leave it with Esc where nobody knows: then read the plate "
                           "(p)");
    }
    struct form_line line = form_line_begin(form, command);
    form_line_field(&line, &form->field[0], view);
    return form_line_end(&line, NULL);
}

static void fill_moved(struct form *form, const struct view *view)
{
    int build = view->snapshot->build;
    prefill_answer(form, build >= 0 ? view->snapshot->record.build[build].moved : 0);
}

static bool moved_lines(struct form *form, const struct view *view)
{
    return answer_lines(form, view, "moved");
}

static const struct form_row moved_rows[] = {
    {FIELD_CHOICE, "moved", "a sensor moved", .bare = true, .none = "(not known)",
     .list = &answer_words},
};

const struct form_kind_row form_moved = {
    .title = "DID A SENSOR MOVE WHEN THIS WAS BUILT?",
    .explanation = "knocked, turned, or with a part that it rides on",
    FORM_ROWS(moved_rows),
    .about = build_on_bike,
    .fill = fill_moved,
    .lines = moved_lines,
};

static const struct form_row slipped_rows[] = {
    {FIELD_CHOICE, "slipped", "a sensor slipped", .bare = true, .none = "(not known)",
     .list = &answer_words},
};

/* Of the question that is open, else the latest that was answered (as the command has it). */
static void fill_slipped(struct form *form, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    int build = record->build_count - 1;
    while (build >= 0 && record->build[build].slipped == 0) {
        build--;
    }
    bool open = slip_unanswered(record, &view->snapshot->analysis) >= 0;
    prefill_answer(form, build >= 0 && !open ? record->build[build].slipped : 0);
}

static bool slipped_lines(struct form *form, const struct view *view)
{
    return answer_lines(form, view, "slipped");
}

static void draw_slip(struct canvas *canvas, struct form *form, const struct view *view, int row,
                      int rows)
{
    char text[SAY_SIZE];
    (void)form;
    say_slip(text, sizeof text, &view->snapshot->record, &view->snapshot->analysis);
    if (rows > 0) {
        canvas_text(canvas, row, 3, canvas->columns - 4, STYLE_PLAIN, text);
    }
}

const struct form_kind_row form_slipped = {
    .title = "SENSOR OR RIDER?",
    .explanation = "yes: a clamp was knocked or turned; no: the rider sat so, the sensor is firm",
    FORM_ROWS(slipped_rows),
    .about = build_on_bike,
    .fill = fill_slipped,
    .lines = slipped_lines,
    .draw_below = draw_slip,
};

static const struct form_row tape_rows[] = {
    {FIELD_NUMBER, "", ", height", FORM_TYPED(TYPED_TAPE), .each = FORM_CHANNELS},
    OF_BUILD,
};

static bool tape_lines(struct form *form, const struct view *view)
{
    struct form_line line = form_line_begin(form, "tape");
    if (form_line_given(&line, view, true) > 0) {
        put_build(&line, view);
    }
    return form_line_end(&line, "type the height of at least one sensor");
}

const struct form_kind_row form_tape = {
    .title = "A SENSOR'S HEIGHT BY TAPE",
    .explanation = "from the bottom bracket's centre up to the sensor's face",
    FORM_ROWS(tape_rows),
    .about = build_on_bike,
    .fill = fill_build,
    .lines = tape_lines,
};

/* ---- a target ---- */

static const struct form_row target_rows[] = {
    {FIELD_NUMBER, "", ", height", FORM_TYPED(TYPED_TARGET), .each = FORM_BODY_CHANNELS},
};

static void fill_target(struct form *form, const struct view *view)
{
    for (int i = 0; i < form->count; i++) {
        const struct view_channel *channel = &view->channel[form->field[i].channel];
        form_prefill_number(&form->field[i],
                            channel->has_target ? round(channel->target_mm * 10.0) / 10.0 : NAN);
    }
}

const struct form_kind_row form_target = {
    .title = "A TARGET AGREED OTHERWISE",
    .explanation = "heights over the bottom bracket; key a captures one instead",
    FORM_ROWS(target_rows),
    .fill = fill_target,
    .command = "target",
    .refusal = "type the height of at least one channel",
};
