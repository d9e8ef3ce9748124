/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Drag: setups by their runs, each run, what was left out. */
#include "base/language.h"
#include "base/text.h"
#include "measure/rules.h"
#include "report/digest.h"
#include "report/sections.h"
#include "report/sheet.h"
#include "say/drag.h"
#include "say/drag_day.h"
#include "say/drag_run.h"

#include <math.h>

static void number_cell(struct table *table, double value, int decimals)
{
    char text[32];
    say_number(text, sizeof text, value, decimals);
    table_cell(table, text);
}

static bool setups_table(struct paper *paper, const struct report_input *input,
                         struct problem *problem)
{
    const struct session_record *record = input->record;
    const struct drag_analysis *drag = &input->analysis->drag;
    char against[48];
    snprintf(against, sizeof against, "against setup %d", record->settings.baseline_setup);
    const struct table_column columns[] = {
        {"setup", TABLE_LEFT, true},          {"runs", TABLE_RIGHT, false},
        {"drag area", TABLE_LEFT, true},      {against, TABLE_LEFT, true},
        {"power\nW", TABLE_RIGHT, false},     {"heart\n1/min", TABLE_RIGHT, false},
        {"effort\n0-10", TABLE_RIGHT, false},
    };
    struct table *table = table_create(columns, 7);
    for (int s = 0; s < record->setup_count; s++) {
        const struct drag_setup_result *setup = &drag->setup[s];
        char label[SAY_SIZE], text[SAY_SIZE];
        if (setup->runs + setup->left_out == 0) {
            continue;
        }
        digest_setup_label(record, s, label, sizeof label);
        table_cell(table, label);
        table_cell_format(table, "%d", setup->runs);
        say_drag_level(text, sizeof text, drag, s);
        table_cell(table, text);
        if (setup->few) {
            text[0] = '\0'; /* said already */
        } else {
            say_drag_difference(text, sizeof text, drag, drag->compare.baseline, s);
        }
        table_cell(table, text);
        number_cell(table, setup->power_w, 0);
        number_cell(table, setup->heart_per_min, 0);
        number_cell(table, setup->effort, 0);
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    return done;
}

/* What a difference is worth in watts; where speeds don't allow it to stand as it is. */
static void words_of_setups(struct paper *paper, const struct report_input *input)
{
    const struct session_record *record = input->record;
    const struct drag_analysis *drag = &input->analysis->drag;
    char text[SAY_SIZE];
    for (int s = 0; s < record->setup_count; s++) {
        say_drag_worth(text, sizeof text, record, drag, s);
        if (text[0] != '\0') {
            paper_item(paper,
                       "Setup %d: %s, all else being the same. That is how much power at the "
                       "pedals may change with it and leave the speed.",
                       record->setup[s].number, text);
        }
        say_drag_other_wheel(text, sizeof text, record, drag, s);
        if (text[0] != '\0') {
            paper_item(paper, "%s", text);
        }
        if (drag->setup[s].unlike) {
            paper_item(paper,
                       "Setup %d was ridden at another speed than setup %d (%.1f against %.1f "
                       "km/h): rolling resistance does not cancel, and the interval is wider.",
                       record->setup[s].number, record->setup[drag->compare.baseline].number,
                       3.6 * drag->setup[s].speed_m_per_s,
                       3.6 * drag->setup[drag->compare.baseline].speed_m_per_s);
        }
    }
}

static void words_of_heights(struct paper *paper, const struct report_input *input)
{
    const struct analysis *analysis = input->analysis;
    char text[SAY_SIZE];
    for (int c = 0; c < analysis->channel_count; c++) {
        struct drag_height height;
        if (!analysis->body[c]) {
            continue;
        }
        drag_height_make(input->record, analysis, c, &height);
        for (int i = 0; i < height.count; i++) {
            const struct drag_height_point *point = &height.point[i];
            const double mm[] = {point->height_mm, point->height_low_mm, point->height_high_mm},
                         m2[] = {point->drag_m2, point->drag_low_m2, point->drag_high_m2};
            say_drag_beside_height(text, sizeof text, analysis->channel_name[c], mm, m2);
            paper_item(paper, "Setup %d: %s", input->record->setup[point->setup].number, text);
        }
        say_drag_slope(text, sizeof text, &height, analysis->channel_name[c]);
        if (text[0] != '\0') {
            paper_paragraph(paper, "%s", text);
        }
    }
}

/* From what it was worked out, and how. */
static void words_of_day(struct paper *paper, const struct report_input *input)
{
    const struct session_record *record = input->record;
    char text[SAY_SIZE];
    say_drag_day(text, sizeof text, record, &input->analysis->drag);
    paper_paragraph(paper, "%s.", text);
    say_drag_lap_length(text, sizeof text, record, &input->analysis->drag);
    if (text[0] != '\0') {
        paper_item(paper, "%s", text);
    }
    say_drag_steps(text, sizeof text, record, &input->analysis->drag);
    if (text[0] != '\0') {
        paper_item(paper, "%s", text);
    }
    for (int a = 0; a < record->air_count; a++) {
        say_drag_air(text, sizeof text, &record->air[a]);
        paper_item(paper, "Air: %s", text);
    }
    paper_paragraph(paper, "%s %s", say_drag_method,
                    record->drag.course == COURSE_LAPS ? say_drag_method_laps
                                                       : say_drag_method_pairs);
}

bool section_drag(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct drag_analysis *drag = &input->analysis->drag;
    char text[SAY_SIZE];
    if (input->record->run_count == 0) {
        return true;
    }
    paper_title(paper, "Drag on the course");
    if (drag->lack != DRAG_LACKS_NOTHING) {
        paper_paragraph(paper, "No numbers yet: %s.", say_drag_lack(drag->lack));
        return true;
    }
    if (drag->withheld != DRAG_WITHHELD_NOT) {
        paper_paragraph(paper, "Nothing is compared: %s.", say_drag_withheld(drag->withheld));
    }
    if (!setups_table(paper, input, problem)) {
        return false;
    }
    say_drag_repeats(text, sizeof text, drag);
    paper_note(paper, "A difference matters from %.4f m\u00B2 on%s%s.", drag->matters_m2,
               text[0] != '\0' ? "; " : "", text);
    paper_note(paper, "%s", say_drag_level_apart);
    say_drag_wheels(text, sizeof text);
    paper_note(paper, "%s", text);
    words_of_setups(paper, input);
    words_of_heights(paper, input);
    words_of_day(paper, input);
    paper_paragraph(paper, "%s %s", say_drag_never_alone, say_drag_not_the_same);
    return true;
}

/* ---- run by run ------------------------------------------------------------------------------
 */

static void run_row(struct table *table, const struct report_input *input, int r)
{
    const struct run_record *of = &input->record->run[r];
    const struct drag_run_result *run = &input->analysis->drag.run[r];
    char text[SAY_SIZE];
    table_cell_format(table, "%d%s", of->number, run->state == DRAG_RUN_COUNTS ? "" : "*");
    table_cell_format(table, "%d", input->record->setup[of->setup].number);
    table_cell_format(table, "%s%s%s", of->file, of->laps[0] != '\0' ? ", " : "", of->laps);
    table_cell_format(table, "%d of %d", run->legs_used, run->legs);
    say_drag_run_value(text, sizeof text, run);
    table_cell(table, text);
    number_cell(table, 3.6 * run->speed_m_per_s, 1);
    number_cell(table, run->wind_m_per_s, 1);
    say_drag_run_marks(text, sizeof text, input->record, &input->analysis->drag, r);
    table_cell(table, text);
}

static void left_out_legs(struct paper *paper, const struct report_input *input)
{
    const struct session_record *record = input->record;
    char text[SAY_SIZE];
    for (int l = 0; l < record->leg_count; l++) {
        const struct leg_record *leg = &record->leg[l];
        enum drag_leg_state state = input->analysis->drag.leg[l].state;
        if (state != DRAG_LEG_USED && state != DRAG_LEG_NOT_WORKED) {
            paper_item(paper, "Run %d.%d: %s", record->run[leg->run].number, leg->number,
                       say_drag_leg_why(record, &input->analysis->drag, l));
        }
        say_drag_uneven(text, sizeof text, record, &input->analysis->drag, l);
        if (text[0] != '\0') {
            paper_item(paper, "Run %s", text);
        }
        say_drag_met(text, sizeof text, record, &input->analysis->drag, l);
        if (text[0] != '\0') {
            paper_item(paper, "Run %s", text);
        }
    }
}

bool section_runs(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"run", TABLE_LEFT, false},
        {"setup", TABLE_LEFT, false},
        {"file, laps", TABLE_LEFT, true},
        {"laps, ways", TABLE_LEFT, false},
        {"drag\nm\u00B2", TABLE_RIGHT, false},
        {"speed\nkm/h", TABLE_RIGHT, false},
        {"wind\nm/s", TABLE_RIGHT, false},
        {"", TABLE_LEFT, true},
    };
    if (input->record->run_count == 0) {
        return true;
    }
    bool any_out = false;
    char interval[SAY_SIZE];
    paper_title(paper, "The runs");
    struct table *table = table_create(columns, 8);
    for (int r = 0; r < input->record->run_count; r++) {
        run_row(table, input, r);
        any_out = any_out || input->analysis->drag.run[r].state != DRAG_RUN_COUNTS;
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    if (done) {
        say_drag_run_interval(interval, sizeof interval);
        paper_note(paper,
                   "%s%s Wind: along the course, + from ahead on the way out. A run is one ride of "
                   "a setup: how well it is known by itself says nothing of the setup.",
                   any_out ? "* in no comparison. " : "", interval);
        left_out_legs(paper, input);
    }
    for (int i = 0; done && i < SAY_DRAG_CAUTIONS; i++) {
        paper_item(paper, "%s", say_drag_cautions[i]);
    }
    return done;
}

/* ---- the rider's line ------------------------------------------------------------------------
 */

bool sheet_drag(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    const struct drag_analysis *drag = &input->analysis->drag;
    int chosen = digest_chosen(input), told = 0;
    char line[2 * SAY_SIZE];
    (void)problem;
    if (record->run_count == 0) {
        return true;
    }
    paper_title(paper, T_("On the course"));
    for (int s = 0; s < record->setup_count; s++) {
        if (chosen >= 0 && chosen != digest_found(input) && s != chosen) {
            continue;
        }
        say_drag_line(line, sizeof line, record, drag, s);
        if (line[0] != '\0') {
            paper_paragraph(paper, "%s", line);
            told++;
        }
    }
    if (told == 0) {
        paper_paragraph(paper, "%s", say_drag_why_none(record, drag));
    }
    paper_paragraph(paper, "%s", T_(say_drag_not_the_same));
    return true;
}
