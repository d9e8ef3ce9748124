/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plan_drag.h"

#include "base/json.h"
#include "base/numbers.h"
#include "measure/drag_plan.h"
#include "measure/rules.h"
#include "report/table.h"
#include "say/drag.h"

#include <math.h>

#define OWN_ROWS 3
static const char *const own_words[OWN_ROWS] = {"as on the earlier day", "at least, by its runs",
                                                "at most, by its runs"};

static double own_sd(const struct own_runs *own, int row)
{
    const double sds[OWN_ROWS] = {own->sd_percent, own->least_percent, own->most_percent};
    return sds[row];
}

static const char *const how[] = {
    "Before: tyres at one pressure, cold; chain and clothing the same; power meter zeroed; rider "
    "and "
    "bike weighed; air written down, and again at the end.",
    "Ride in for 10 to 15 minutes: tyres and bearings warm up.",
    "In the order A B B A, again A B B A, where setups change in a minute or two; else A A B B A "
    "A.",
    "A run: at least two pairs of 1 km each way, or six laps of 250 m and more, at the race's "
    "power or "
    "10 % below, seated, eyes ahead, the same line. Turns are no part of it.",
};
static const char lesson[] = "A helmet's tilt is worth 1 to 3 % (Chabroux et al. 2008), a change "
                             "of posture on the bars 10 to 15 "
                             "% (the same; Garcia-Lopez et al. 2008): eight runs each on a calm "
                             "road see the second easily and "
                             "the first not at all.";

static void add_row(struct table *table, const char *words, double sd_percent)
{
    char text[SAY_SIZE];
    table_cell(table, words);
    say_number(text, sizeof text, sd_percent, 1);
    table_cell(table, text);
    for (int i = 0; i < DRAG_PLAN_RUNS; i++) {
        double found = NAN;
        drag_plan_found(sd_percent, drag_plan_runs[i], &found);
        if (drag_plan_runs[i] < DRAG_RUNS_MIN) {
            table_cell(table, "too few");
        } else {
            say_number(text, sizeof text, found, 1);
            table_cell(table, text);
        }
    }
}

bool plan_drag_text(FILE *stream, const struct own_runs *own, int width, struct problem *problem)
{
    char heading[DRAG_PLAN_RUNS][24];
    struct table_column columns[2 + DRAG_PLAN_RUNS] = {{"where", TABLE_LEFT, true},
                                                       {"SD of a run\n%", TABLE_RIGHT, false}};
    for (int i = 0; i < DRAG_PLAN_RUNS; i++) {
        snprintf(heading[i], sizeof heading[i], "%d runs\neach", drag_plan_runs[i]);
        columns[2 + i] = (struct table_column){heading[i], TABLE_RIGHT, false};
    }
    struct table *table = table_create(columns, 2 + DRAG_PLAN_RUNS);
    for (int place = 0; place < DRAG_PLACES; place++) {
        add_row(table, drag_places[place].words, drag_places[place].run_sd_percent);
    }
    for (int row = 0; own != NULL && row < OWN_ROWS; row++) {
        add_row(table, own_words[row], own_sd(own, row));
    }
    paragraph_format(stream, 0, 0, width,
                     "The smallest difference in drag between two setups that is found in %.0f of "
                     "100 days, in %% of drag area:",
                     100.0 * DRAG_FOUND_SHARE);
    fputc('\n', stream);
    bool done = table_write(table, stream, 0, width, problem);
    table_destroy(table);
    fputc('\n', stream);
    paragraph_write(stream, 0, 0, width, lesson);
    fputc('\n', stream);
    for (size_t i = 0; i < sizeof how / sizeof how[0]; i++) {
        paragraph_format(stream, 0, 2, width, "- %s", how[i]);
    }
    for (int i = 0; i < SAY_DRAG_CAUTIONS; i++) {
        paragraph_format(stream, 0, 2, width, "- %s", say_drag_cautions[i]);
    }
    return done;
}

static void json_row(struct json_writer *json, const char *words, double sd_percent)
{
    json_object_begin(json);
    json_member_string(json, "where", words);
    json_member_number(json, "run_sd_percent", sd_percent);
    json_array_member(json, "found_percent");
    for (int i = 0; i < DRAG_PLAN_RUNS; i++) {
        double found = NAN;
        drag_plan_found(sd_percent, drag_plan_runs[i], &found);
        json_number(json, found);
    }
    json_array_end(json);
    json_object_end(json);
}

bool plan_drag_json(FILE *stream, const struct own_runs *own, struct problem *problem)
{
    struct json_writer json;
    json_document_begin(&json, stream, true, "holdline-plan-of-runs", 1);
    json_member_number(&json, "found_in_share", DRAG_FOUND_SHARE);
    json_member_integer(&json, "least_runs", DRAG_RUNS_MIN);
    json_array_member(&json, "runs_of_each");
    for (int i = 0; i < DRAG_PLAN_RUNS; i++) {
        json_integer(&json, drag_plan_runs[i]);
    }
    json_array_end(&json);
    json_array_member(&json, "places");
    for (int place = 0; place < DRAG_PLACES; place++) {
        json_row(&json, drag_places[place].words, drag_places[place].run_sd_percent);
    }
    for (int row = 0; own != NULL && row < OWN_ROWS; row++) {
        json_row(&json, own_words[row], own_sd(own, row));
    }
    json_array_end(&json);
    json_object_end(&json);
    return !ferror(stream) || problem_set(problem, "the JSON could not be written");
}
