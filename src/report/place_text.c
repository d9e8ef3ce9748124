/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "report/place.h"
#include "report/side_view.h"
#include "report/table.h"
#include "say/say.h"

#include <math.h>
#include <string.h>

static void cell(struct table *table, double value, double u)
{
    char number[SAY_SIZE], error[SAY_SIZE];
    say_whole(number, sizeof number, value);
    say_whole(error, sizeof error, ceil(u));
    table_cell_format(table, isnan(u) ? "%s" : "%s \u00b1%s", number, error);
}

static void row(struct table *table, const char *words, struct point at, struct point u)
{
    table_cell(table, words);
    cell(table, at.x_mm, u.x_mm);
    cell(table, at.y_mm, u.y_mm);
}

/* Points with the uncertainty of measuring. */
static bool points_table(FILE *stream, const struct bike_values *bike, int width,
                         struct problem *problem)
{
    static const struct table_column columns[] = {
        {"point", TABLE_LEFT, false},
        {"forward\nmm", TABLE_RIGHT, false},
        {"up\nmm", TABLE_RIGHT, false},
    };
    struct bike_points points;
    struct points_uncertainty u;
    if (!bike_forward(bike, &points, problem) || !bike_uncertainty(bike, NULL, &u, problem)) {
        return false;
    }
    struct table *table = table_create(columns, 3);
    row(table, "bar clamp", points.clamp, u.clamp);
    if (points.has_pad) {
        row(table, "pads", points.pad, u.pad);
    }
    if (points.has_extension) {
        row(table, "extension tip", points.extension_tip, u.extension_tip);
    }
    if (points.has_saddle) {
        row(table, "saddle top", points.saddle, u.saddle);
    }
    bool done = table_write(table, stream, 0, width, problem);
    table_destroy(table);
    return done;
}

static void assumed_values(FILE *stream, const struct bike_values *bike, int width)
{
    char text[512] = "";
    size_t used = 0;
    for (int i = 0; i < BIKE_KEYS; i++) {
        if (isnan(bike->value[i]) && !isnan(bike_fields[i].assumed)) {
            text_append(text, sizeof text, &used, "%s%s %.0f %s", used > 0 ? ", " : "",
                        bike_fields[i].words, bike_fields[i].assumed, bike_fields[i].unit);
        }
    }
    if (used > 0) {
        paragraph_format(stream, 0, 0, width, "Not given and assumed: %s. Measure them.", text);
    }
}

static void limits_words(FILE *stream, const struct place_report *report, int width)
{
    char text[1024];
    if (bike_limits_passed(report->limits, report->bike, text, sizeof text) > 0) {
        paragraph_format(stream, 0, 0, width, "A limit is passed: %s.", text);
    }
}

static bool where(FILE *stream, const struct place_report *report, int width,
                  struct problem *problem)
{
    struct position position;
    fputc('\n', stream);
    if (!points_table(stream, report->bike, width, problem) ||
        !position_of(report->bike, &position, problem)) {
        return false;
    }
    fputc('\n', stream);
    paragraph_write(
        stream, 0, 0, width,
        "From the bottom bracket; \u00b1: standard uncertainty of measuring, from common "
        "practice.");
    if (!isnan(position.drop_mm)) {
        paragraph_format(stream, 0, 0, width, "Drop from the saddle's top to the %s: %.0f mm.",
                         position.of_pads ? "pads" : "bars", position.drop_mm);
    }
    assumed_values(stream, report->bike, width);
    limits_words(stream, report, width);
    return true;
}

static void what_to_turn(FILE *stream, const char *from_name, const struct bike_values *from,
                         const struct bike_values *to, int width)
{
    struct wrench_list list;
    char move[64];
    wrench_list_make(from, to, &list);
    fputc('\n', stream);
    paragraph_format(stream, 0, 0, width, "What to turn, from %s:", from_name);
    if (list.count == 0) {
        paragraph_write(stream, 3, 0, width, "nothing");
        return;
    }
    for (int i = 0; i < list.count; i++) {
        paragraph_format(stream, 1, 3, width, "%2d %s", i + 1, list.step[i].text);
    }
    if (list.has_moves) {
        move_text(move, sizeof move, list.clamp_move);
        paragraph_format(stream, 0, 0, width, "That moves the bars: %s.", move);
        if (list.has_pad_move) {
            move_text(move, sizeof move, list.pad_move);
            paragraph_format(stream, 0, 0, width, "And the pads: %s.", move);
        }
    }
}

static void sensors(FILE *stream, const struct place_report *report,
                    const struct bike_values *before, const struct bike_values *bike, int width)
{
    char text[512];
    if (report->sensor_count == 0) {
        return;
    }
    fputc('\n', stream);
    paragraph_write(stream, 0, 0, width, "The sensors:");
    for (int i = 0; i < report->sensor_count; i++) {
        sensor_move_text(text, sizeof text, report->sensors[i].name, &report->sensors[i].mount,
                         before, bike);
        paragraph_write(stream, 2, 2, width, text);
    }
}

/* A target solved exactly, for the bike's own pads: which stem it would be. */
static void exactly(FILE *stream, const struct place_report *report, int width)
{
    double length, spacers, angle = bike_value(report->bike, BIKE_STEM_ANGLE);
    if (isnan(angle) ||
        !bike_inverse(report->bike, report->goal->target, angle, &length, &spacers, NULL)) {
        return;
    }
    char angle_text[32], length_text[32], spacers_text[32];
    text_from_double_shortest(angle_text, sizeof angle_text, angle);
    text_from_double(length_text, sizeof length_text, length, 1);
    text_from_double(spacers_text, sizeof spacers_text, spacers, 1);
    bool possible = bike_value_check(BIKE_STEM_LENGTH, length, NULL) &&
                    bike_value_check(BIKE_SPACERS, spacers, NULL);
    paragraph_format(
        stream, 0, 0, width,
        "Exactly there with a stem of %s deg and the pads as they are: length %s mm, spacers %s "
        "mm%s.",
        angle_text, length_text, spacers_text,
        possible ? "" : ", which can't be: another stem angle or pad rise is needed");
}

static void number_cell(struct table *table, double value)
{
    char text[32] = "-";
    if (!isnan(value)) {
        text_from_double_shortest(text, sizeof text, value);
    }
    table_cell(table, text);
}

static bool proposals_table(FILE *stream, const struct place_search *search, int width,
                            struct problem *problem)
{
    static const struct table_column columns[] = {
        {"", TABLE_RIGHT, false},
        {"off by\nmm", TABLE_RIGHT, false},
        {"stem\nmm", TABLE_RIGHT, false},
        {"deg", TABLE_RIGHT, false},
        {"spacers\nmm", TABLE_RIGHT, false},
        {"pad rise\nmm", TABLE_RIGHT, false},
        {"fore-aft\nmm", TABLE_RIGHT, false},
        {"bar roll\ndeg", TABLE_RIGHT, false},
        {"forward\nmm", TABLE_RIGHT, false},
        {"up\nmm", TABLE_RIGHT, false},
        {"parts to\nchange", TABLE_RIGHT, false},
    };
    static const enum bike_key keys[] = {BIKE_STEM_LENGTH, BIKE_STEM_ANGLE,   BIKE_SPACERS,
                                         BIKE_PAD_RISE,    BIKE_PAD_FORE_AFT, BIKE_BAR_ROLL};
    struct table *table = table_create(columns, 11);
    for (int i = 0; i < search->count; i++) {
        const struct place_proposal *proposal = &search->proposal[i];
        char error[32], x[32], y[32];
        text_from_double(error, sizeof error, proposal->error_mm, 1);
        text_from_double(x, sizeof x, proposal->at.x_mm, 0);
        text_from_double(y, sizeof y, proposal->at.y_mm, 0);
        table_cell_format(table, "%d", i + 1);
        table_cell(table, error);
        for (int k = 0; k < 6; k++) {
            number_cell(table, bike_value(&proposal->bike, keys[k]));
        }
        table_cell(table, x);
        table_cell(table, y);
        table_cell_format(table, "%d", proposal->changed_parts);
    }
    bool done = table_write(table, stream, 0, width, problem);
    table_destroy(table);
    return done;
}

static bool proposals(FILE *stream, const struct place_report *report, int width,
                      struct problem *problem)
{
    const struct place_search *search = report->search;
    fputc('\n', stream);
    paragraph_format(stream, 0, 0, width,
                     "Nearest of %.0f combinations to %.0f forward, %.0f up%s%s:", search->tried,
                     report->goal->target.x_mm, report->goal->target.y_mm,
                     report->target_name ? ", the place of " : "",
                     report->target_name ? report->target_name : "");
    fputc('\n', stream);
    bool done = proposals_table(stream, search, width, problem);
    fputc('\n', stream);
    for (int i = 0; i < search->count; i++) {
        char changes[512];
        bike_changes_text(changes, sizeof changes, report->bike, &search->proposal[i].bike);
        paragraph_format(stream, 0, 3, width, "%d  %s", i + 1, changes);
    }
    fputc('\n', stream);
    if (bike_limits_entered(report->limits) == 0) {
        paragraph_write(
            stream, 0, 0, width,
            "No limit was entered: look up the makers' papers for spacers, risers and the "
            "steerer before any of these is built.");
    } else {
        paragraph_format(stream, 0, 0, width,
                         "%.0f combinations were left out: they pass a limit entered.",
                         search->left_out);
    }
    return done;
}

static bool draw(FILE *stream, const struct place_report *report, const struct bike_values *bike,
                 const struct bike_values *before, int width, int rows, bool ascii,
                 struct problem *problem)
{
    struct side_view view, earlier;
    const struct bike_values *first = report->first ? report->first : bike;
    fputc('\n', stream);
    if (!side_view_make(bike, first, report->sensors, report->sensor_count, &view, problem)) {
        return false;
    }
    bool has = before && side_view_make(before, first, NULL, 0, &earlier, NULL);
    return side_view_text(stream, &view, has ? &earlier : NULL, width, rows, ascii, problem);
}

bool place_text(FILE *stream, const struct place_report *report, int width, int drawing_rows,
                bool ascii, struct problem *problem)
{
    const struct bike_values *shown = report->bike, *before = NULL;
    const char *from_name = report->before_name;
    struct bike_points points;
    if (!report->search && !bike_forward(report->bike, &points, problem)) {
        return false; /* before anything is printed */
    }
    paragraph_write(stream, 0, 0, width, report->name);
    if (report->before_name) {
        before = report->before;
    }
    if (report->search) {
        fputc('\n', stream);
        exactly(stream, report, width);
        if (report->carry_note && report->carry_note[0] != '\0') {
            paragraph_format(stream, 0, 0, width, "Carried over: %s.", report->carry_note);
        }
        if (!proposals(stream, report, width, problem)) {
            return false;
        }
        shown = &report->search->proposal[0].bike;
        before = report->bike;
        from_name = report->name;
    } else if (!where(stream, report, width, problem)) {
        return false;
    }
    bool has_before = before && bike_forward(before, &points, NULL);
    if (drawing_rows > 0 && !draw(stream, report, shown, has_before ? before : NULL, width,
                                  drawing_rows, ascii, problem)) {
        return false;
    }
    if (before) {
        what_to_turn(stream, report->search ? "the bike as it is to number 1" : from_name, before,
                     shown, width);
        sensors(stream, report, before, shown, width);
        fputc('\n', stream);
        paragraph_write(stream, 0, 0, width, wrench_cautions);
    }
    return !ferror(stream) || problem_set(problem, "the output could not be written");
}

bool place_svg(FILE *stream, const struct place_report *report, struct problem *problem)
{
    struct side_view view, earlier;
    const struct bike_values *bike =
        report->search ? &report->search->proposal[0].bike : report->bike;
    const struct bike_values *before = report->search        ? report->bike
                                       : report->before_name ? report->before
                                                             : NULL;
    const struct bike_values *first = report->first ? report->first : bike;
    if (!side_view_make(bike, first, report->sensors, report->sensor_count, &view, problem)) {
        return false;
    }
    bool has = before && side_view_make(before, first, NULL, 0, &earlier, NULL);
    return side_view_svg(stream, &view, has ? &earlier : NULL, report->name, problem);
}
