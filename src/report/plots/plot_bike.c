/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The bike: as chosen over as found; and where bar and pads were on each setup. */
#include "base/text.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "report/side_view.h"
#include "say/say.h"

#include <math.h>

bool plot_bike(FILE *stream, const struct report_input *input, int chosen, bool alone,
               struct problem *problem)
{
    const struct session_record *record = input->record;
    struct side_view now, before;
    struct problem missing = {PROBLEM_NONE, ""};
    bool (*draw_bike)(FILE *, const struct side_view *, const struct side_view *, const char *,
                      struct problem *) = alone ? side_view_svg : side_view_front_svg;
    if (record->setup_count == 0) {
        return true;
    }
    const struct bike_values *found = &record->setup[digest_found(input)].bike;
    if (!side_view_make(found, found, NULL, 0, &before, &missing)) {
        return true; /* parts are missing: there is no picture then */
    }
    if (chosen < 0 || chosen == digest_found(input) || chosen >= SETUPS_MAX) {
        return draw_bike(stream, &before, NULL, "The bike as found", problem);
    }
    const struct bike_values *final = &record->setup[chosen].bike;
    return !side_view_make(final, final, NULL, 0, &now, &missing) ||
           draw_bike(stream, &now, &before, "The bike as chosen; dashed: as found", problem);
}

bool report_bike_svg(FILE *stream, const struct report_input *input, struct problem *problem)
{
    struct problem missing = {PROBLEM_NONE, ""};
    struct bike_points points;
    if (input->record->setup_count == 0 ||
        !bike_forward(&input->record->setup[digest_found(input)].bike, &points, &missing)) {
        return problem_set(problem, "no picture of the bike: %s",
                           missing.sentence[0] != '\0' ? missing.sentence : "there is no setup");
    }
    return plot_bike(stream, input, digest_chosen(input), true, problem);
}

/* ---- bar and pads on each setup -------------------------------------------------------------- */

#define TOP 56.0
#define SIDE 14.0
#define MOST_HIGH 220.0
#define ROW 18.0
#define ROOM_MM 30.0
#define LEAST_WIDE 1.3 /* of the height, at least */
#define BESIDE 46.0    /* between the picture and the names: a row of numbers may stand there */
#define NAME_STROKE 32.0
#define NUMBER_HIGH 12.0
#define NUMBER_LETTER 8.0
#define NUMBER_APART 3.0
#define NUMBER_FROM 8.0 /* where a bar ends */
#define NUMBER_OVER 15.0
#define SAME_PLACE 1.5

struct fronts {
    int shown;
    bool any_extension;
    bool has[SETUPS_MAX];
    struct bike_points points[SETUPS_MAX];
    struct point low, high;
    double left, right, bottom;
    struct svg_scale across, up;
    double number_at[SETUPS_MAX], number_down[SETUPS_MAX]; /* from where its bar ends */
    double number_wide[SETUPS_MAX];                        /* 0: none */
    double names_x, names_y, names_wide; /* the first name, and how wide a column of them is */
    int names_rows;                      /* of a column */
};

static void reach_to(struct fronts *fronts, struct point at)
{
    fronts->low.x_mm = fmin(fronts->low.x_mm, at.x_mm);
    fronts->low.y_mm = fmin(fronts->low.y_mm, at.y_mm);
    fronts->high.x_mm = fmax(fronts->high.x_mm, at.x_mm);
    fronts->high.y_mm = fmax(fronts->high.y_mm, at.y_mm);
}

static bool collect(const struct report_input *input, struct fronts *fronts)
{
    *fronts = (struct fronts){.shown = 0};
    fronts->low = (struct point){INFINITY, INFINITY};
    fronts->high = (struct point){-INFINITY, -INFINITY};
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        struct bike_points *points = &fronts->points[setup];
        fronts->has[setup] = bike_forward(&input->record->setup[setup].bike, points, NULL);
        if (!fronts->has[setup]) {
            continue;
        }
        fronts->shown++;
        reach_to(fronts, points->clamp);
        if (points->has_pad) {
            reach_to(fronts, points->pad);
        }
        if (points->has_pad && points->has_extension) {
            fronts->any_extension = true;
            reach_to(fronts, points->extension_root);
            reach_to(fronts, points->extension_tip);
        }
    }
    return fronts->shown > 1;
}

/* A millimetre is as long across as up. */
static void make_scales(struct fronts *fronts)
{
    double high = fronts->high.y_mm - fronts->low.y_mm + 2 * ROOM_MM;
    double wide = fronts->high.x_mm - fronts->low.x_mm + 2 * ROOM_MM;
    double more = fmax(0, LEAST_WIDE * high - wide) / 2; /* a stem without extensions is narrow */
    fronts->low.x_mm -= more;
    fronts->high.x_mm += more;
    wide += 2 * more;
    double per = fmin((SVG_WIDTH - SIDE - 58) / wide, MOST_HIGH / high);
    fronts->left = 58;
    fronts->right = fronts->left + per * wide;
    fronts->bottom = TOP + per * high;
    fronts->across = (struct svg_scale){fronts->low.x_mm - ROOM_MM, fronts->high.x_mm + ROOM_MM,
                                        fronts->left, fronts->right, per * 50 > 40 ? 50 : 100};
    fronts->up = (struct svg_scale){fronts->low.y_mm - ROOM_MM, fronts->high.y_mm + ROOM_MM,
                                    fronts->bottom, TOP, fronts->across.step};
}

static void draw_axes(FILE *stream, const struct fronts *fronts)
{
    plot_ticks_across(stream, &fronts->across, TOP, fronts->bottom, fronts->bottom + 15);
    plot_ticks_up(stream, &fronts->up, fronts->left, fronts->right, -INFINITY);
    svg_text(stream, (fronts->left + fronts->right) / 2, fronts->bottom + 31, plot_tick,
             "forward of the bottom bracket, mm (front at the right)");
    plot_words_upwards(stream, (TOP + fronts->bottom) / 2, "above it, mm");
}

/* The setup's number stands where its bar ends. */
static struct point number_at(const struct fronts *fronts, int setup)
{
    const struct bike_points *points = &fronts->points[setup];
    if (points->has_pad && points->has_extension) {
        return points->extension_tip;
    }
    return points->has_pad ? points->pad : points->clamp;
}

/* How far two bars' numbers would be from each other, in dots. */
static struct point between(const struct fronts *fronts, int one, int other)
{
    struct point mine = number_at(fronts, one), theirs = number_at(fronts, other);
    return (struct point){
        svg_scale_at(&fronts->across, mine.x_mm) - svg_scale_at(&fronts->across, theirs.x_mm),
        svg_scale_at(&fronts->up, mine.y_mm) - svg_scale_at(&fronts->up, theirs.y_mm)};
}

/* The numbers of all that end where this one does: '3', '1 and 4'; "" where an earlier one has
 * them.
 */
static void number_text(const struct report_input *input, const struct fronts *fronts, int setup,
                        char *text, size_t size)
{
    int numbers[SETUPS_MAX], count = 0;
    for (int other = 0; other < input->record->setup_count; other++) {
        struct point apart = between(fronts, setup, other);
        if (!fronts->has[other] || hypot(apart.x_mm, apart.y_mm) > SAME_PLACE) {
            continue;
        }
        if (other < setup) {
            count = 0;
            break;
        }
        numbers[count++] = input->record->setup[other].number;
    }
    say_numbers(text, size, numbers, count);
}

/* The earlier setup whose number stands where this one's would; -1: none. */
static int number_under(const struct fronts *fronts, int setup)
{
    for (int other = 0; other < setup; other++) {
        struct point apart = between(fronts, setup, other);
        double left = fronts->number_at[setup] + apart.x_mm;
        double down = fronts->number_down[setup] - apart.y_mm - fronts->number_down[other];
        if (fronts->number_wide[other] > 0 && fabs(down) < NUMBER_HIGH &&
            left + 0.1 < fronts->number_at[other] + fronts->number_wide[other] &&
            left + fronts->number_wide[setup] > fronts->number_at[other]) {
            return other;
        }
    }
    return -1;
}

/* Right of its place, else left of it, over or under it; where others stand there, too, beside
 * theirs. */
static void place_number(struct fronts *fronts, int setup, const char *text)
{
    double wide = NUMBER_LETTER * text_width(text) + NUMBER_APART;
    const struct {
        double at, down;
    } places[] = {{NUMBER_FROM, 0},
                  {NUMBER_APART - NUMBER_FROM - wide, 0},
                  {-wide / 2, -NUMBER_OVER},
                  {-wide / 2, NUMBER_OVER},
                  {NUMBER_FROM, 0}};
    const int last = (int)(sizeof places / sizeof places[0]) - 1;
    fronts->number_wide[setup] = text[0] != '\0' ? wide : 0;
    int under = 0;
    for (int i = 0; i <= last && under >= 0; i++) {
        fronts->number_at[setup] = places[i].at;
        fronts->number_down[setup] = places[i].down;
        under = text[0] != '\0' ? number_under(fronts, setup) : -1;
    }
    for (; under >= 0; under = number_under(fronts, setup)) {
        fronts->number_at[setup] = fronts->number_at[under] + fronts->number_wide[under] -
                                   between(fronts, setup, under).x_mm;
    }
}

static int longest_name(const struct report_input *input, const struct fronts *fronts)
{
    int longest = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        char label[TEXT_SIZE + 64];
        digest_setup_label(input->record, setup, label, sizeof label);
        longest = fronts->has[setup] && text_width(label) > longest ? text_width(label) : longest;
    }
    return longest;
}

/* Beside the picture where there is room, else under it. */
static void place_names(struct fronts *fronts, int letters)
{
    double beside = SVG_WIDTH - SIDE - (fronts->right + BESIDE);
    int fit = (int)((fronts->bottom - TOP) / ROW);
    int columns = fronts->shown <= fit ? 1 : 2;
    fronts->names_rows = (fronts->shown + columns - 1) / columns;
    if (beside / columns >= NAME_STROKE + PLOT_WORDS_BREADTH * letters &&
        fronts->names_rows <= fit) {
        fronts->names_x = fronts->right + BESIDE;
        fronts->names_y = TOP + ROW - 6;
        fronts->names_wide = beside / columns;
        return;
    }
    fronts->names_rows = (fronts->shown + 1) / 2;
    fronts->names_x = fronts->left;
    fronts->names_y = fronts->bottom + 52;
    fronts->names_wide = (SVG_WIDTH - SIDE - fronts->left) / 2;
}

static void draw_front(FILE *stream, const struct fronts *fronts, int setup)
{
    const struct bike_points *points = &fronts->points[setup];
    char look[160];
    bool pen_down = false;
#define AT(point)                                                                                  \
    svg_scale_at(&fronts->across, (point).x_mm), svg_scale_at(&fronts->up, (point).y_mm)
    snprintf(look, sizeof look,
             "fill=\"none\" stroke=\"%s\" stroke-width=\"2\" stroke-dasharray=\"%s\"",
             svg_setup_colour(setup), svg_setup_dashes(setup));
    svg_path_begin(stream, look);
    svg_path_point(stream, AT(points->clamp), &pen_down);
    if (points->has_pad) {
        svg_path_point(stream, AT(points->pad), &pen_down);
    }
    if (points->has_pad && points->has_extension) {
        pen_down = false;
        svg_path_point(stream, AT(points->extension_root), &pen_down);
        svg_path_point(stream, AT(points->extension_tip), &pen_down);
    }
    svg_path_end(stream);
    snprintf(look, sizeof look, "fill=\"#ffffff\" stroke=\"%s\" stroke-width=\"2\"",
             svg_setup_colour(setup));
    svg_circle(stream, AT(points->clamp), 4, look);
    if (points->has_pad) {
        svg_rectangle(stream, svg_scale_at(&fronts->across, points->pad.x_mm) - 4,
                      svg_scale_at(&fronts->up, points->pad.y_mm) - 4, 8, 8, look);
    }
#undef AT
}

/* Over all bars, or one would cover another's number. */
static void draw_number(FILE *stream, const struct report_input *input, struct fronts *fronts,
                        int setup)
{
    const struct svg_type type = {12, SVG_START, true, svg_setup_colour(setup)};
    struct point end = number_at(fronts, setup);
    double x = svg_scale_at(&fronts->across, end.x_mm), y = svg_scale_at(&fronts->up, end.y_mm);
    char text[SAY_SIZE];
    number_text(input, fronts, setup, text, sizeof text);
    place_number(fronts, setup, text);
    if (text[0] != '\0') {
        svg_text(stream, x + fronts->number_at[setup], y + 4 + fronts->number_down[setup], type,
                 text);
    }
}

/* A stroke as in the picture, and the name. */
static void draw_name(FILE *stream, const struct report_input *input, const struct fronts *fronts,
                      int setup, int place)
{
    char label[TEXT_SIZE + 64], fitted[SAY_SIZE], look[160];
    int column = place / fronts->names_rows;
    double x = fronts->names_x + fronts->names_wide * column;
    double y = fronts->names_y + ROW * (place % fronts->names_rows);
    snprintf(look, sizeof look, "stroke=\"%s\" stroke-width=\"2\" stroke-dasharray=\"%s\"",
             svg_setup_colour(setup), svg_setup_dashes(setup));
    svg_line(stream, x, y - 4, x + NAME_STROKE - 6, y - 4, look);
    digest_setup_label(input->record, setup, label, sizeof label);
    text_fit(fitted, sizeof fitted, label,
             (int)((fronts->names_wide - NAME_STROKE) / PLOT_WORDS_BREADTH), false);
    svg_text(stream, x + NAME_STROKE, y, plot_words, fitted);
}

static void draw_fronts(FILE *stream, const struct report_input *input, struct fronts *fronts,
                        bool alone)
{
    const char *title = fronts->any_extension ? "Bar, pads and extensions on each setup"
                                              : "Bar and pads on each setup";
    int place = 0;
    make_scales(fronts);
    place_names(fronts, longest_name(input, fronts));
    double bottom =
        fmax(fronts->bottom + 40, fronts->names_y + ROW * (fronts->names_rows - 1) + 10);
    svg_begin(stream, SVG_WIDTH, bottom, alone, title);
    svg_text(stream, SIDE, 22, plot_title, title);
    svg_text(stream, SIDE, 39, plot_small,
             "Circle: bar clamp; square: pads. Worked out from the parts, good to 2 mm at best.");
    draw_axes(stream, fronts);
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        if (fronts->has[setup]) {
            draw_front(stream, fronts, setup);
            draw_name(stream, input, fronts, setup, place++);
        }
    }
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        if (fronts->has[setup]) {
            draw_number(stream, input, fronts, setup);
        }
    }
    svg_end(stream);
}

bool plot_fronts(FILE *stream, const struct report_input *input, bool alone)
{
    struct fronts fronts;
    bool there = collect(input, &fronts);
    if (there) {
        draw_fronts(stream, input, &fronts, alone);
    }
    return there;
}

bool report_fronts_svg(FILE *stream, const struct report_input *input, struct problem *problem)
{
    if (!plot_fronts(stream, input, true)) {
        return problem_set(problem, "no picture of the setups' bars: it takes two setups with all "
                                    "parts that carry the bar");
    }
    return plot_written(stream, problem);
}
