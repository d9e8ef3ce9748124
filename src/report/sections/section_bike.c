/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Setups as parts and coordinates; builds, and how each sensor's height is known on them. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"

#include <math.h>

#define PARTS_SIZE 2048
#define PASSED_SIZE 1024

/* 'spacers 20 mm, stem length 100 mm, ...' */
static void parts_words(const struct bike_values *bike, char *text, size_t size)
{
    char number[32];
    size_t used = 0;
    text_copy(text, size, "");
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (bike_fields[key].scope != BIKE_SCOPE_PART || !isfinite(bike->value[key])) {
            continue;
        }
        digest_measure(number, sizeof number, bike->value[key], bike_fields[key].unit);
        text_append(text, size, &used, "%s%s %s", used == 0 ? "" : ", ", bike_fields[key].words,
                    number);
    }
    if (used == 0) {
        text_copy(text, size, "parts not given");
    }
}

static void point_cell(struct table *table, bool there, const struct point *point)
{
    char x[64], y[64];
    if (!there) {
        table_cell(table, "-");
        return;
    }
    say_whole(x, sizeof x, point->x_mm);
    say_whole(y, sizeof y, point->y_mm);
    table_cell_format(table, "%s, %s", x, y);
}

static bool coordinates(struct paper *paper, const struct session_record *record,
                        struct problem *problem)
{
    static const struct table_column columns[] = {
        {"setup", TABLE_LEFT, true},
        {"bar clamp\nx, y mm", TABLE_LEFT, false},
        {"pads\nx, y mm", TABLE_LEFT, false},
        {"extension tip\nx, y mm", TABLE_LEFT, false},
    };
    struct table *table = table_create(columns, 4);
    bool any = false;
    for (int setup = 0; setup < record->setup_count; setup++) {
        struct bike_points points;
        char label[TEXT_SIZE + 64];
        struct problem missing = {PROBLEM_NONE, ""};
        bool known = bike_forward(&record->setup[setup].bike, &points, &missing);
        digest_setup_label(record, setup, label, sizeof label);
        table_cell(table, label);
        point_cell(table, known, &points.clamp);
        point_cell(table, known && points.has_pad, &points.pad);
        point_cell(table, known && points.has_extension, &points.extension_tip);
        any = any || known;
    }
    bool done = true;
    if (any || table == NULL) {
        paper_paragraph(
            paper,
            "Worked out from the parts, from the bottom bracket: x forward, y up. Good to 2 mm "
            "at best; a label of a stem or a frame that is a degree off moves the bars by 2 mm.");
        done = paper_table(paper, table, problem);
    }
    table_destroy(table);
    return done;
}

/* 'spacers 5..30 mm, stem length 120 mm', or that there are none. */
static void limits_words(struct paper *paper, const struct report_input *input)
{
    struct bike_limits limits = digest_limits(input);
    char text[PARTS_SIZE] = "";
    size_t used = 0;
    for (int i = 0; i < BIKE_LIMITS; i++) {
        char typed[80], least[32], most[32];
        bool has_least = isfinite(limits.least[i]), has_most = isfinite(limits.most[i]);
        if (!has_least && !has_most) {
            continue;
        }
        text_from_double_shortest(least, sizeof least, has_least ? limits.least[i] : 0);
        text_from_double_shortest(most, sizeof most, has_most ? limits.most[i] : 0);
        snprintf(typed, sizeof typed, "%s%s%s", has_least ? least : "at most ",
                 has_least && has_most ? " to " : "", has_most ? most : " at least");
        text_append(text, sizeof text, &used, "%s%s %s %s", used == 0 ? "" : ", ",
                    bike_limit_words(i), typed, bike_limit_unit(i));
    }
    if (used > 0) {
        paper_paragraph(paper, "Limits entered from the makers' papers: %s.", text);
    } else {
        paper_paragraph(paper, "No limit was entered from the makers' papers, so none was checked: "
                               "see there what spacers, stem, pads and extensions allow.");
    }
}

bool section_setups(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    char label[TEXT_SIZE + 64], text[PARTS_SIZE];
    if (record->setup_count == 0) {
        return true;
    }
    paper_title(paper, "Setups");
    for (int setup = 0; setup < record->setup_count; setup++) {
        snprintf(label, sizeof label, "%d  %s", record->setup[setup].number,
                 record->setup[setup].intent[0] != '\0' ? record->setup[setup].intent
                                                        : "(no intent given)");
        paper_label(paper, "%s", label);
        digest_limits_passed(input, setup, text, sizeof text);
        if (text[0] != '\0') {
            paper_under(paper, "PASSES A LIMIT: %s", text);
        }
        if (setup == 0) {
            parts_words(&record->setup[setup].bike, text, sizeof text);
            paper_under(paper, "%s", text);
            continue;
        }
        bike_changes_text(text, sizeof text, &record->setup[setup - 1].bike,
                          &record->setup[setup].bike);
        paper_under(paper, "from setup %d: %s", record->setup[setup - 1].number, text);
        if (setup > 1) {
            bike_changes_text(text, sizeof text, &record->setup[0].bike,
                              &record->setup[setup].bike);
            paper_under(paper, "from setup %d: %s", record->setup[0].number, text);
        }
    }
    limits_words(paper, input);
    return coordinates(paper, record, problem);
}

static void tie_cell(struct table *table, const struct tie *tie,
                     const struct channel_record *channel)
{
    char words[2 * SAY_SIZE], text[4 * SAY_SIZE], computed[64], measured[64];
    size_t used = 0;
    say_tie(words, sizeof words, tie, channel->name);
    text_append(text, sizeof text, &used, "%s", words);
    if (!channel->mounted && tie->kind != TIE_NONE) {
        text_append(text, sizeof text, &used, " (where the sensor is fixed was not given)");
    }
    if (tie->has_computed && tie->has_measured) {
        say_signed(computed, sizeof computed, tie->computed_shift_mm, 1);
        say_signed(measured, sizeof measured, tie->measured_shift_mm, 1);
        text_append(text, sizeof text, &used, "; measured %s, from the parts %s%s", measured,
                    computed, tie->alarm ? " ALARM" : "");
    }
    if (!isnan(tie->ends_apart_mm)) {
        say_number(measured, sizeof measured, tie->ends_apart_mm, 1);
        text_append(text, sizeof text, &used, "; plate before and after the holds: %s mm apart",
                    measured);
    }
    if (tie->found.kind == TIE_FOUND_NOT_READ) {
        say_tie_finding(words, sizeof words, tie, channel->name);
        text_append(text, sizeof text, &used, "; %s", words);
    }
    table_cell(table, text);
}

static void tie_rows(struct table *table, const struct report_input *input, int build)
{
    const struct session_record *record = input->record;
    const struct placing_record *placing = digest_placing(input, build);
    for (int channel = 0; placing != NULL && channel < placing->channel_count; channel++) {
        const struct tie *tie = &input->analysis->tie[build][channel];
        const struct channel_record *recorded = &placing->channel[channel];
        char height[64] = "-";
        if (recorded->role != ROLE_BODY) {
            continue;
        }
        table_cell_format(table, "%d", record->setup[record->build[build].setup].number);
        table_cell_format(table, "%d", record->build[build].ordinal);
        table_cell(table, recorded->name);
        if (tie->kind != TIE_NONE && tie->absolute) {
            say_whole(height, sizeof height, tie->sensor_height_mm);
        }
        table_cell(table, height);
        tie_cell(table, tie, recorded);
    }
}

bool section_ties(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"setup", TABLE_LEFT, false},
        {"build", TABLE_LEFT, false},
        {"channel", TABLE_LEFT, true},
        {"sensor\nmm", TABLE_RIGHT, false},
        {"how its height is known, against the first build", TABLE_LEFT, true},
    };
    struct table *table = table_create(columns, 5);
    for (int build = 0; build < input->record->build_count; build++) {
        tie_rows(table, input, build);
    }
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        paper_title(paper, "Where the sensors went");
        done = paper_table(paper, table, problem);
    }
    table_destroy(table);
    return done;
}
