/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A rider's record as CSV: a row for each visit, setup and channel. */
#include "base/clock.h"
#include "base/text.h"
#include "report/csv.h"
#include "report/visits.h"
#include "say/visits.h"

#include <math.h>

static void headings(struct csv_writer *csv)
{
    static const char *const names[] = {
        "session", "started",    "bike",    "setup", "number",    "intent",
        "chosen",  "free_holds", "channel", "tied",  "height_mm", "height_half_width_mm",
    };
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        csv_text(csv, names[i]);
    }
    for (int item = 0; item < RATING_ITEMS; item++) {
        csv_text(csv, rating_fields[item].column);
    }
    csv_row_end(csv);
}

static void ratings(struct csv_writer *csv, const struct across *across, int session, int setup)
{
    for (int item = 0; item < RATING_ITEMS; item++) {
        double value = visit_rating(across, session, setup, item);
        if (rating_fields[item].kind == RATING_WORD) {
            csv_text(csv, rating_word(item, value));
        } else {
            csv_exact(csv, value);
        }
    }
}

static void row(struct csv_writer *csv, const struct across *across, int session, int setup,
                int channel)
{
    const struct across_setup *one = &across->setup[setup];
    struct visit_height height = visit_height(across, session, setup, channel);
    char started[CLOCK_TEXT_SIZE], letter[8];
    clock_wall_text(started, across->session[session].record->started_ms);
    say_setup_letter(letter, sizeof letter, setup);
    csv_integer(csv, across->session[session].id);
    csv_text(csv, started);
    csv_text(csv, across->session[session].record->bike.name);
    csv_text(csv, letter);
    csv_integer(csv, one->number_in[session]);
    csv_text(csv, across->session[one->session].record->setup[one->setup].intent);
    csv_yes(csv, visit_chosen(across, session) == setup);
    csv_integer(csv, one->holds_in[session]);
    csv_text(csv, across->channel[channel].name);
    csv_yes(csv, height.tied);
    csv_number(csv, height.mean_mm, 1);
    csv_number(csv, height.half_width_mm, 1);
    ratings(csv, across, session, setup);
    csv_row_end(csv);
}

bool report_visits_csv(FILE *stream, const struct across *across, enum page_size size,
                       struct problem *problem)
{
    struct csv_writer csv;
    (void)size;
    csv_begin(&csv, stream);
    headings(&csv);
    for (int s = 0; s < across->session_count; s++) {
        for (int i = 0; i < across->setup_count; i++) {
            for (int c = 0; across->setup[i].number_in[s] > 0 && c < across->channel_count; c++) {
                if (visit_height(across, s, i, c).measured) {
                    row(&csv, across, s, i, c);
                }
            }
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}
