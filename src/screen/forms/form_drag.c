/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"

#include "base/text.h"
#include "record/enum_words.h"
#include "record/record.h"
#include "screen/form_lines.h"
#include "screen/form_path.h"
#include "screen/form_value.h"

#include <math.h>

/* A day of runs, typed: rider, bike and course, the air, each ride from its file, what is left
 * out. */

#define KEPT(record, member) .kept = sizeof((struct record *)0)->member

/* ---- rider, bike and course ---- */

static const char *const course_shown[] = {
    [COURSE_LAPS] = "laps", [COURSE_OUT_AND_BACK] = "out and back"};

static const struct form_row course_rows[] = {
    {FIELD_NUMBER, "mass", "rider, bike and all on it", FORM_TYPED(TYPED_MASS), .required = true,
     .bare = true},
    {FIELD_CHOICE, "course", "course", .list = &course_verb_words, .shown = course_shown,
     .bare = true},
    {FIELD_NUMBER, "length", "length of a lap or way", FORM_TYPED(TYPED_COURSE_LENGTH)},
    {FIELD_NUMBER, "rise", "rise of the way out", FORM_TYPED(TYPED_COURSE_RISE)},
    {FIELD_CHOICE, "indoors", "indoors, no wind", .list = &answer_words},
    {FIELD_NUMBER, "rolling", "rolling resistance", FORM_TYPED(TYPED_ROLLING)},
    {FIELD_NUMBER, "drag", "difference that matters", FORM_TYPED(TYPED_MATTERS_DRAG)},
};

static void fill_course(struct form *form, const struct view *view)
{
    const struct drag_settings *day = &view->snapshot->record.drag;
    bool said = day->course != COURSE_NOT_SAID;
    form_prefill_number(form_find(form, "mass"), day->mass_kg);
    form_prefill(form_find(form, "course"),
                 word_of(&course_verb_words, said ? day->course : COURSE_LAPS));
    form_prefill_number(form_find(form, "length"), day->course_length_m);
    form_prefill_number(form_find(form, "rise"), day->rise_m);
    form_prefill(form_find(form, "indoors"),
                 word_of(&answer_words, day->indoors ? ANSWER_YES : ANSWER_NO));
    form_prefill_number(form_find(form, "rolling"), day->rolling);
    form_prefill_number(form_find(form, "drag"), day->matters_m2);
}

/* The mass in one line, the course in another, what matters in a third. */
static bool course_lines(struct form *form, const struct view *view)
{
    static const char *const of_course[] = {"course", "length", "rise", "indoors", "rolling"};
    struct form_line mass = form_line_begin(form, "mass");
    form_line_field(&mass, form_find(form, "mass"), view);
    form_line_end(&mass, NULL);
    struct form_line course = form_line_begin(form, "course");
    for (size_t i = 0; i < sizeof of_course / sizeof of_course[0]; i++) {
        const struct form_field *field = form_find(form, of_course[i]);
        if (form_given(field)) {
            form_line_field(&course, field, view);
        }
    }
    form_line_end(&course, NULL);
    const struct form_field *matters = form_find(form, "drag");
    if (form_given(matters) && form_field_changed(matters)) {
        struct form_line line = form_line_begin(form, "matters");
        form_line_field(&line, matters, view);
        form_line_end(&line, NULL);
    }
    return true;
}

const struct form_kind_row form_course = {
    .title = "RIDER, BIKE AND COURSE OF A DAY OF RUNS",
    .explanation = "weigh rider and bike together; one course for all runs of the day",
    FORM_ROWS(course_rows),
    .one_column = true,
    .fill = fill_course,
    .lines = course_lines,
};

/* ---- the air ---- */

static const struct form_row air_rows[] = {
    {FIELD_NUMBER, "temperature", "temperature", FORM_TYPED(TYPED_TEMPERATURE), .required = true},
    {FIELD_NUMBER, "pressure", "pressure where you ride", FORM_TYPED(TYPED_PRESSURE),
     .required = true},
    {FIELD_NUMBER, "humidity", "humidity", FORM_TYPED(TYPED_HUMIDITY), .required = true},
    {FIELD_NUMBER, "wind", "wind, about", FORM_TYPED(TYPED_WIND)},
    {FIELD_TEXT, "at", "time of day, such as 14:05", .kept = sizeof "14:05"},
};

const struct form_kind_row form_air = {
    .title = "THE AIR",
    .explanation = "at the start and at the end of the day; a forecast's pressure is the sea's",
    FORM_ROWS(air_rows),
    .one_column = true,
    .command = "air",
};

/* ---- a ride ---- */

static const struct form_row ride_rows[] = {
    {FIELD_WHOLE, "setup", "of setup", FORM_TYPED(TYPED_SETUP), .required = true},
    {FIELD_TEXT, "from", "file (table or GPX)", .required = true},
    {FIELD_CHOICE, "speed", "speed is from", .none = "as before", .list = &ride_source_words},
    {FIELD_NUMBER, "effort", "effort, 0 to 10", FORM_TYPED(TYPED_RUN_EFFORT)},
    {FIELD_TEXT, "at", "began at, as 14:05", .kept = sizeof "14:05"},
    {FIELD_TEXT, "laps", "only laps, as 2..5", KEPT(run_record, laps)},
    {FIELD_TEXT, "times", "marks, as 35..128,2:20..3:53", .kept = 0},
    {FIELD_TEXT, "line", "line: lat,lon,heading", .kept = 0},
    {FIELD_TEXT, "other_line", "line at the other end", .kept = 0},
    {FIELD_CHOICE, "rested", "rested since the last", .none = "not said", .list = &answer_words},
    {FIELD_CHOICE, "steps", "steps, for the tyres", .none = "no", .list = &answer_words},
};

static void fill_ride(struct form *form, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    if (record->setup_count == 1) { /* of several it is typed: they alternate */
        form_prefill_number(form_find(form, "setup"), record->setup[0].number);
        form->focus = 1;
    }
    if (record->drag.course == COURSE_LAPS) {
        form_drop(form, "other_line");
    }
}

static void draw_ride(struct canvas *canvas, struct form *form, const struct view *view, int row,
                      int rows)
{
    int used =
        form_path_draw(canvas, view, row, rows, "is read from", form_find(form, "from")->value);
    if (rows - used > 1) {
        canvas_wrapped(canvas, row + used, 1, canvas->columns - 2, rows - used, STYLE_FAINT,
                       "Laps or ways begin at the marks typed here, else where the line is "
                       "crossed, else at the lap marks of the file, else by the lap's length.");
    }
}

const struct form_kind_row form_ride = {
    .title = "A RIDE OVER THE COURSE",
    .explanation = "the rides in the order in which they were ridden; one ride is one run",
    FORM_ROWS(ride_rows),
    .one_column = true,
    .fill = fill_ride,
    .command = "run",
    .draw_below = draw_ride,
};

/* ---- a run, a lap or way of one, left out ---- */

static const struct form_row ride_out_rows[] = {
    {FIELD_TEXT, "run", "run, or its lap, as 3.2", .kept = sizeof "100.800", .required = true,
     .bare = true},
    {FIELD_TEXT, "reason", "reason", KEPT(run_record, reject_reason), .bare = true},
};

static void fill_ride_out(struct form *form, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    if (record->run_count > 0) {
        form_prefill_number(form_find(form, "run"), record->run[record->run_count - 1].number);
    }
}

static bool ride_out_lines(struct form *form, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    int run = -1, leg = -1;
    if (!session_record_ridden(record, form_find(form, "run")->value, &run, &leg)) {
        return form_refuse(form, "run", "there is no such run: type 3, or 3.2 for its second lap");
    }
    bool is_out = leg >= 0 ? record->leg[leg].left_out : record->run[run].rejected;
    if (is_out && form_given(form_find(form, "reason"))) {
        return form_refuse(form, "reason",
                           "it is left out already: empty the reason to take it in again");
    }
    if (!is_out && !form_given(form_find(form, "reason"))) {
        return form_refuse(form, "reason", "reason: say why, it stands in the record");
    }
    struct form_line line = form_line_begin(form, is_out ? "restore run" : "reject run");
    form_line_field(&line, form_find(form, "run"), view);
    if (!is_out) {
        form_line_field(&line, form_find(form, "reason"), view);
    }
    return form_line_end(&line, NULL);
}

const struct form_kind_row form_ride_out = {
    .title = "LEAVE A RUN OUT, OR A LAP OF ONE",
    .explanation = "nothing is deleted; without a reason what is left out is taken in again",
    FORM_ROWS(ride_out_rows),
    .fill = fill_ride_out,
    .lines = ride_out_lines,
};
