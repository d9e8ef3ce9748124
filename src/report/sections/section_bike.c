/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Setups as parts and coordinates; builds, and how each sensor's height is known on them. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"

#include <math.h>
#include <stdlib.h>

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

enum place { PLACE_CLAMP, PLACE_PADS, PLACE_TIP, PLACES };

static bool has_place(const struct bike_values *bike, enum place place, struct point *point)
{
    struct bike_points points;
    if (!bike_forward(bike, &points, NULL)) {
        return false;
    }
    *point = place == PLACE_CLAMP  ? points.clamp
             : place == PLACE_PADS ? points.pad
                                   : points.extension_tip;
    return place == PLACE_CLAMP || (place == PLACE_PADS ? points.has_pad : points.has_extension);
}

/* What differs from the first setup, and that a limit is passed. */
static void changes_cell(struct table *table, const struct report_input *input, int setup)
{
    const struct session_record *record = input->record;
    char changes[PARTS_SIZE] = "-", passed[PASSED_SIZE];
    const struct setup_record *first = record->setup, *here = first + setup;
    if (here != first) {
        bike_changes_text(changes, sizeof changes, &first->bike, &here->bike);
    }
    digest_limits_passed(input, setup, passed, sizeof passed);
    if (passed[0] != '\0') {
        table_cell_format(table, "%s\nPASSES A LIMIT: %s", changes, passed);
    } else {
        table_cell(table, changes);
    }
}

/* A row for each setup; of the places only those that any of them has. */
static struct table *setups_table(const struct report_input *input, bool *any_place,
                                  struct table_column columns[2 + PLACES], char *heading,
                                  size_t heading_size)
{
    static const struct table_column places[PLACES] = {
        {"bar clamp\nx, y mm", TABLE_LEFT, false},
        {"pads\nx, y mm", TABLE_LEFT, false},
        {"extension tip\nx, y mm", TABLE_LEFT, false},
    };
    const struct session_record *record = input->record;
    enum place shown[PLACES];
    struct point point;
    int count = 0;
    for (enum place place = PLACE_CLAMP; place < PLACES; place++) {
        bool any = false;
        for (int setup = 0; setup < record->setup_count; setup++) {
            any = any || has_place(&record->setup[setup].bike, place, &point);
        }
        if (any) {
            columns[2 + count] = places[place];
            shown[count++] = place;
        }
    }
    *any_place = count > 0;
    snprintf(heading, heading_size, "from setup %d", record->setup[0].number);
    columns[0] = (struct table_column){"setup", TABLE_LEFT, true};
    columns[1] = (struct table_column){heading, TABLE_LEFT, true};
    struct table *table = table_create(columns, 2 + count);
    for (int setup = 0; setup < record->setup_count; setup++) {
        char label[TEXT_SIZE + 64];
        digest_setup_label(record, setup, label, sizeof label);
        table_cell(table, label);
        changes_cell(table, input, setup);
        for (int i = 0; i < count; i++) {
            bool there = has_place(&record->setup[setup].bike, shown[i], &point);
            point_cell(table, there, &point);
        }
    }
    return table;
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

static bool any_part(const struct session_record *record)
{
    bool any = false;
    for (int setup = 0; setup < record->setup_count; setup++) {
        any = any || bike_values_any_part(&record->setup[setup].bike);
    }
    return any;
}

bool section_setups(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    struct table_column columns[2 + PLACES];
    char parts[PARTS_SIZE], heading[64];
    bool any_place = false;
    if (record->setup_count == 0) {
        return true;
    }
    paper_title(paper, "Setups");
    if (!any_part(record)) {
        paper_paragraph(paper, "No part of the bike was entered: the setups go by their names.");
        return true;
    }
    parts_words(&record->setup[0].bike, parts, sizeof parts);
    paper_paragraph(paper, "Setup %d: %s.", record->setup[0].number, parts);
    limits_words(paper, input);
    struct table *table = setups_table(input, &any_place, columns, heading, sizeof heading);
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    if (any_place) {
        paper_note(
            paper,
            "Worked out from the parts, from the bottom bracket: x forward, y up. Good to 2 mm "
            "at best; a label of a stem or a frame that is a degree off moves the bars by 2 mm.");
    }
    return done;
}

static void tie_words(const struct tie *tie, const struct channel_record *channel, char *text,
                      size_t size)
{
    char words[2 * SAY_SIZE], computed[64], measured[64];
    size_t used = 0;
    say_tie(words, sizeof words, tie, channel->name);
    text_append(text, size, &used, "%s", words);
    if (!channel->mounted && tie->kind != TIE_NONE) {
        text_append(text, size, &used, " (where the sensor is fixed was not given)");
    }
    if (tie->has_computed && tie->has_measured) {
        say_signed(computed, sizeof computed, tie->computed_shift_mm, 1);
        say_signed(measured, sizeof measured, tie->measured_shift_mm, 1);
        text_append(text, size, &used, "; measured %s, from the parts %s%s", measured, computed,
                    tie->alarm ? " ALARM" : "");
    }
    if (!isnan(tie->ends_apart_mm)) {
        say_number(measured, sizeof measured, tie->ends_apart_mm, 1);
        text_append(text, size, &used, "; plate before and after the holds: %s mm apart", measured);
    }
    if (tie->found.kind == TIE_FOUND_NOT_READ) {
        say_tie_finding(words, sizeof words, tie, channel->name);
        text_append(text, size, &used, "; %s", words);
    }
}

/* How one sensor's height is known, and on which builds just so. */
struct tie_line {
    int channel;
    char height[64], words[4 * SAY_SIZE];
    int build[BUILDS_MAX], count;
};
struct tie_lines {
    struct tie_line line[BUILDS_MAX * CHANNELS_MAX];
    int count;
};

static void add_tie(struct tie_lines *lines, const struct report_input *input, int build,
                    int channel, const struct channel_record *recorded)
{
    const struct tie *tie = &input->analysis->tie[build][channel];
    struct tie_line *line = &lines->line[lines->count];
    *line = (struct tie_line){.channel = channel, .height = "-"};
    if (tie_is_over_bottom_bracket(tie)) {
        say_whole(line->height, sizeof line->height, tie->sensor_height_mm);
    }
    tie_words(tie, recorded, line->words, sizeof line->words);
    int at = 0;
    while (at < lines->count && !(lines->line[at].channel == channel &&
                                  text_equal(lines->line[at].height, line->height) &&
                                  text_equal(lines->line[at].words, line->words))) {
        at++;
    }
    lines->count += at == lines->count ? 1 : 0;
    lines->line[at].build[lines->line[at].count++] = build;
}

/* Sensor by sensor, each with what it was on the builds in their order. */
static void collect_ties(struct tie_lines *lines, const struct report_input *input)
{
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        for (int build = 0; build < input->record->build_count; build++) {
            const struct placing_record *placing = digest_placing(input, build);
            if (placing != NULL && channel < placing->channel_count &&
                placing->channel[channel].role == ROLE_BODY) {
                add_tie(lines, input, build, channel, &placing->channel[channel]);
            }
        }
    }
}

static bool same_tie(const struct tie_line *a, const struct tie_line *b)
{
    bool same =
        a->count == b->count && text_equal(a->height, b->height) && text_equal(a->words, b->words);
    for (int i = 0; same && i < a->count; i++) {
        same = a->build[i] == b->build[i];
    }
    return same;
}

/* The next setup, built as often. */
static bool follows(const struct session_record *record, int build, int next)
{
    const struct build_record *one = &record->build[build], *other = &record->build[next];
    return record->setup[other->setup].number == record->setup[one->setup].number + 1 &&
           other->ordinal == one->ordinal;
}

/* '1/1, 3/1 to 9/1': setup and build; 'all' */
static void builds_text(const struct session_record *record, const struct tie_line *line,
                        char *text, size_t size)
{
    size_t used = 0;
    text_copy(text, size, "");
    if (line->count == record->build_count && line->count > 1) {
        text_copy(text, size, "all");
        return;
    }
    for (int i = 0; i < line->count; i++) {
        int end = i;
        while (end + 1 < line->count && follows(record, line->build[end], line->build[end + 1])) {
            end++;
        }
        const struct build_record *from = &record->build[line->build[i]],
                                  *to = &record->build[line->build[end]];
        text_append(text, size, &used, "%s%d/%d", used > 0 ? ", " : "",
                    record->setup[from->setup].number, from->ordinal);
        if (end > i) {
            text_append(text, size, &used, "%s%d/%d", end > i + 1 ? " to " : ", ",
                        record->setup[to->setup].number, to->ordinal);
        }
        i = end;
    }
}

/* Sensors of which the same is true stand together. */
static void tie_rows(struct table *table, const struct report_input *input,
                     const struct tie_lines *lines)
{
    bool told[BUILDS_MAX * CHANNELS_MAX] = {false};
    for (int i = 0; i < lines->count; i++) {
        char names[SAY_SIZE] = "", builds[SAY_SIZE];
        size_t used = 0;
        for (int k = i; k < lines->count && !told[i]; k++) {
            if (!told[k] && same_tie(&lines->line[i], &lines->line[k])) {
                told[k] = k > i;
                text_append(names, sizeof names, &used, "%s%s", used > 0 ? ", " : "",
                            input->analysis->channel_name[lines->line[k].channel]);
            }
        }
        if (used == 0) {
            continue;
        }
        table_cell(table, names);
        builds_text(input->record, &lines->line[i], builds, sizeof builds);
        table_cell(table, builds);
        table_cell(table, lines->line[i].height);
        table_cell(table, lines->line[i].words);
    }
}

bool section_ties(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"channel", TABLE_LEFT, true},
        {"setup/\nbuild", TABLE_LEFT, true},
        {"sensor\nmm", TABLE_RIGHT, false},
        {"how its height is known,\nagainst the first build", TABLE_LEFT, true},
    };
    struct tie_lines *lines = calloc(1, sizeof *lines);
    struct table *table = table_create(columns, 4);
    bool done = lines != NULL;
    if (lines == NULL) {
        problem_set(problem, "no memory for a table of the report");
    } else {
        collect_ties(lines, input);
        tie_rows(table, input, lines);
    }
    if (done && (table_rows(table) > 0 || table == NULL)) {
        paper_title(paper, "Where the sensors went");
        done = paper_table(paper, table, problem);
    }
    table_destroy(table);
    free(lines);
    return done;
}
