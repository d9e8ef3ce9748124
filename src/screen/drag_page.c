/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/drag_page.h"

#include "base/numbers.h"
#include "base/text.h"
#include "say/drag.h"
#include "say/drag_day.h"
#include "say/drag_run.h"
#include "screen/scroll.h"

#include <math.h>
#include <stdio.h>

/* ---- what is known of the day ---- */

enum form_kind drag_page_due(const struct view *view, int step)
{
    static const enum form_kind steps[] = {FORM_RIDE, FORM_AIR, FORM_COURSE};
    static const int count = (int)(sizeof steps / sizeof steps[0]);
    const struct session_record *record = &view->snapshot->record;
    const bool has_course = record->drag.mass_kg > 0.0 && record->drag.course != COURSE_NOT_SAID;
    int first = !has_course ? 2 : record->air_count == 0 ? 1 : 0;
    enum form_kind form = steps[(first + step) % count];
    return form == FORM_RIDE && record->setup_count == 0 ? FORM_SETUP : form;
}

static void put_day(struct scroll *scroll, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    const struct drag_analysis *drag = &view->snapshot->analysis.drag;
    char text[SAY_SIZE], line[SAY_SIZE + 16];
    if (record->drag.mass_kg > 0.0 && record->drag.course != COURSE_NOT_SAID) {
        say_drag_day(text, sizeof text, record, drag);
        scroll_wrapped(scroll, 1, STYLE_PLAIN, text);
        say_drag_lap_length(text, sizeof text, record, drag);
        scroll_wrapped(scroll, 1, STYLE_WARNING, text);
        say_drag_steps(text, sizeof text, record, drag);
        scroll_wrapped(scroll, 1, STYLE_FAINT, text);
    } else {
        scroll_wrapped(scroll, 1, STYLE_PLAIN,
                       "What a setup saves on the road or track: rides with power and speed over "
                       "one course, at least four of each setup.");
    }
    for (int a = 0; a < record->air_count; a++) {
        say_drag_air(text, sizeof text, &record->air[a]);
        snprintf(line, sizeof line, "Air: %s", text);
        scroll_wrapped(scroll, 1, STYLE_FAINT, line);
    }
    if (record->run_count > 0 && drag->lack != DRAG_LACKS_NOTHING) {
        snprintf(line, sizeof line, "No numbers yet: %s", say_drag_lack(drag->lack));
        scroll_wrapped(scroll, 1, STYLE_WARNING, line);
    } else if (record->run_count > 0 && drag->withheld != DRAG_WITHHELD_NOT) {
        snprintf(line, sizeof line, "Nothing is compared: %s", say_drag_withheld(drag->withheld));
        scroll_wrapped(scroll, 1, STYLE_WARNING, line);
    }
}

/* ---- the setups ---- */

static void put_setup(struct scroll *scroll, const struct view *view, int s)
{
    const struct session_record *record = &view->snapshot->record;
    const struct drag_analysis *drag = &view->snapshot->analysis.drag;
    const struct drag_setup_result *setup = &drag->setup[s];
    char words[TEXT_SIZE], text[SAY_SIZE], line[2 * SAY_SIZE];
    page_setup_words(words, sizeof words, record, s);
    snprintf(line, sizeof line, "setup %d%s%s: %d run%s", record->setup[s].number,
             words[0] != '\0' ? ", " : "", words, setup->runs, setup->runs == 1 ? "" : "s");
    scroll_wrapped(scroll, 1, STYLE_STRONG, line);
    say_drag_level(text, sizeof text, drag, s);
    if (!setup->few) {
        scroll_wrapped(scroll, 5, STYLE_PLAIN, text);
    }
    say_drag_difference(text, sizeof text, drag, drag->compare.baseline, s);
    scroll_wrapped(scroll, 5, setup->few ? STYLE_PLAIN : STYLE_STRONG, text);
    say_drag_worth(text, sizeof text, record, drag, s);
    scroll_wrapped(scroll, 5, STYLE_PLAIN, text);
    say_drag_other_wheel(text, sizeof text, record, drag, s);
    scroll_wrapped(scroll, 5, STYLE_WARNING, text);
    if (setup->unlike) {
        scroll_wrapped(scroll, 5, STYLE_WARNING,
                       "ridden at another speed than the setup it is compared against");
    }
}

static void put_setups(struct scroll *scroll, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    const struct drag_analysis *drag = &view->snapshot->analysis.drag;
    char text[SAY_SIZE], line[2 * SAY_SIZE];
    if (record->run_count == 0 || drag->lack != DRAG_LACKS_NOTHING) {
        return;
    }
    scroll->line++;
    for (int s = 0; s < record->setup_count; s++) {
        if (drag->setup[s].runs + drag->setup[s].left_out > 0) {
            put_setup(scroll, view, s);
        }
    }
    say_drag_repeats(text, sizeof text, drag);
    snprintf(line, sizeof line, "A difference matters from %.4f m\u00B2 on%s%s.", drag->matters_m2,
             text[0] != '\0' ? "; " : "", text);
    scroll_wrapped(scroll, 1, STYLE_FAINT, line);
}

/* ---- the runs ---- */

static void put_run(struct scroll *scroll, const struct view *view, int r)
{
    const struct session_record *record = &view->snapshot->record;
    const struct run_record *of = &record->run[r];
    const struct drag_run_result *run = &view->snapshot->analysis.drag.run[r];
    char text[2 * SAY_SIZE], marks[SAY_SIZE], number[24], legs[40];
    size_t used = 0;
    text_append(text, sizeof text, &used, "run %d, setup %d, %s%s%s: ", of->number,
                record->setup[of->setup].number, of->file, of->laps[0] != '\0' ? ", laps " : "",
                of->laps);
    if (run->mean.count > 0) {
        say_drag_run_value(number, sizeof number, run);
        text_append(text, sizeof text, &used, "%s m\u00B2, ", number);
    }
    say_drag_run_legs(legs, sizeof legs, record, run);
    text_append(text, sizeof text, &used, "%s", legs);
    if (isfinite(run->speed_m_per_s)) {
        say_number(number, sizeof number, 3.6 * run->speed_m_per_s, 1);
        text_append(text, sizeof text, &used, ", %s km/h", number);
    }
    if (isfinite(run->wind_m_per_s)) {
        say_number(number, sizeof number, run->wind_m_per_s, 1);
        text_append(text, sizeof text, &used, ", wind %s m/s", number);
    }
    say_drag_run_marks(marks, sizeof marks, record, &view->snapshot->analysis.drag, r);
    text_append(text, sizeof text, &used, "%s%s", marks[0] != '\0' ? "; " : "", marks);
    scroll_wrapped(scroll, 1, run->state == DRAG_RUN_COUNTS ? STYLE_PLAIN : STYLE_FAINT, text);
}

static void put_left_out(struct scroll *scroll, const struct view *view, int r)
{
    const struct session_record *record = &view->snapshot->record;
    char text[SAY_SIZE];
    for (int l = 0; l < record->leg_count; l++) {
        const struct leg_record *leg = &record->leg[l];
        enum drag_leg_state state = view->snapshot->analysis.drag.leg[l].state;
        if (leg->run == r && state != DRAG_LEG_USED && state != DRAG_LEG_NOT_WORKED) {
            snprintf(text, sizeof text, "%d.%d: %s", record->run[r].number, leg->number,
                     say_drag_leg_why(record, &view->snapshot->analysis.drag, l));
            scroll_wrapped(scroll, 5, STYLE_FAINT, text);
        }
        if (leg->run == r) {
            say_drag_uneven(text, sizeof text, record, &view->snapshot->analysis.drag, l);
            scroll_wrapped(scroll, 5, STYLE_FAINT, text);
            say_drag_met(text, sizeof text, record, &view->snapshot->analysis.drag, l);
            scroll_wrapped(scroll, 5, STYLE_PLAIN, text);
        }
    }
}

static void put_runs(struct scroll *scroll, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    scroll->line++;
    scroll_heading(scroll, record->run_count > 0 ? "the runs, the latest first" : "no run yet");
    for (int r = record->run_count - 1; r >= 0; r--) {
        put_run(scroll, view, r);
        put_left_out(scroll, view, r);
    }
    if (record->run_count > 0) {
        scroll->line++;
        char interval[SAY_SIZE];
        say_drag_run_interval(interval, sizeof interval);
        scroll_wrapped(scroll, 1, STYLE_FAINT, interval);
        scroll_wrapped(scroll, 1, STYLE_FAINT, say_drag_level_apart);
        scroll_wrapped(scroll, 1, STYLE_FAINT, say_drag_never_alone);
        scroll_wrapped(scroll, 1, STYLE_FAINT, say_drag_not_the_same);
    }
    scroll->line++;
    for (int i = 0; i < SAY_DRAG_CAUTIONS; i++) {
        scroll_wrapped(scroll, 1, STYLE_FAINT, say_drag_cautions[i]);
    }
}

/* ---- the bottom ---- */

static void draw_next(struct canvas *canvas, const struct page_state *state,
                      const struct view *view, bool more)
{
    static const char *const steps[FORMS] = {[FORM_COURSE] = "mass and course",
                                             [FORM_AIR] = "the air",
                                             [FORM_SETUP] = "a setup",
                                             [FORM_RIDE] = "a ride"};
    const struct {
        const char *key, *words;
        bool shown;
    } keys[] = {{"Tab", steps[drag_page_due(view, state->drag_step + 1)], true},
                {"Esc", "back", true},
                {"u", "leave out", view->snapshot->record.run_count > 0},
                {"arrows", "more", more},
                {"?", "keys", true}};
    int row = canvas->rows - 2, at = 1, end = canvas->columns - 1;
    char field[TEXT_SIZE];
    if (state->asks_to_end) {
        return;
    }
    snprintf(field, sizeof field, " SPACE \u25B6 %s ",
             steps[drag_page_due(view, state->drag_step)]);
    at += canvas_text(canvas, row, at, end - at, STYLE_NEXT, field) + 2;
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        int width = canvas_width(canvas, keys[i].key) + 1 + canvas_width(canvas, keys[i].words);
        if (keys[i].shown && at + width <= end) {
            at += canvas_text(canvas, row, at, end - at, STYLE_STRONG, keys[i].key) + 1;
            at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, keys[i].words) + 2;
        }
    }
}

int drag_page_draw(struct page_frame *frame, struct page_state *state, const struct view *view)
{
    struct canvas *canvas = frame->canvas;
    struct scroll scroll = {
        .canvas = canvas, .top = 1, .bottom = canvas->rows - 2, .first = frame->first};
    canvas_text(canvas, 0, frame->title_end + 2, canvas->columns - frame->title_end - 3,
                STYLE_PLAIN, "runs over one course");
    put_day(&scroll, view);
    put_setups(&scroll, view);
    put_runs(&scroll, view);
    draw_next(canvas, state, view, scroll_has_more(&scroll));
    page_message(canvas, state, view, canvas->rows - 1);
    return scroll.line;
}
