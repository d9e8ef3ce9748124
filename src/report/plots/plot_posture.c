/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The rider on the bike, as found and as chosen, to scale. What is measured is drawn dark; frame,
 * wheels and body are there to find one's way. */
#include "name_place.h"
#include "posture.h"

#include "base/angle.h"
#include "base/language.h"
#include "base/text.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"

#include <math.h>
#include <stdio.h>

/* Lengths that are drawn without being measured, mm. */
#define WHEEL 335.0
#define AXLE_UP 70.0 /* over the bottom bracket */
#define CHAINSTAY 405.0
#define FORK_OFFSET 45.0
#define HEAD_TUBE 120.0

#define LABEL_ROW 17.0
#define LETTER 12.0
#define BREADTH (0.64 * LETTER) /* of one, bold */
#define NAME_BREADTH (0.58 * LETTER)

/* Where the drawing stands on the page. */
struct view {
    double per; /* units a millimetre */
    double x, y, width, height;
    double labels; /* where words begin */
};

static double across(const struct view *view, double x_mm)
{
    return view->x + view->per * x_mm;
}

static double down(const struct view *view, double y_mm)
{
    return view->y - view->per * y_mm;
}

/* ---- the body ---- */

static void limb(FILE *stream, const struct view *view, struct point from, struct point to,
                 double thick_mm, const char *look)
{
    char whole[160], width[32];
    text_from_double(width, sizeof width, fmax(1, thick_mm * view->per), 1);
    snprintf(whole, sizeof whole, "%s stroke-linecap=\"round\" stroke-width=\"%s\"", look, width);
    svg_line(stream, across(view, from.x_mm), down(view, from.y_mm), across(view, to.x_mm),
             down(view, to.y_mm), whole);
}

static void draw_body(FILE *stream, const struct view *view, const struct posture_body *body)
{
    const char *look = "stroke=\"#e3e3e3\"";
    if (body->has_leg) {
        limb(stream, view, body->hip, body->knee, 120, look);
        limb(stream, view, body->knee, body->foot, 80, look);
    }
    limb(stream, view, body->hip, body->shoulder, 170, look);
    limb(stream, view, body->shoulder, body->head, 90, look);
    if (body->has_arm) {
        limb(stream, view, body->shoulder, body->elbow, 70, look);
        limb(stream, view, body->elbow, body->hand, 55, look);
    }
    svg_circle(stream, across(view, body->head.x_mm), down(view, body->head.y_mm),
               POSTURE_SKULL_MM * view->per, "fill=\"#e3e3e3\"");
}

static void draw_body_found(FILE *stream, const struct view *view, const struct posture_body *body)
{
    const char *look = "stroke=\"#777777\" stroke-dasharray=\"5 4\" fill=\"none\"";
    limb(stream, view, body->hip, body->shoulder, 0, look);
    if (body->has_arm) {
        limb(stream, view, body->shoulder, body->elbow, 0, look);
    }
    svg_circle(stream, across(view, body->head.x_mm), down(view, body->head.y_mm),
               POSTURE_SKULL_MM * view->per,
               "fill=\"none\" stroke=\"#777777\" stroke-dasharray=\"5 4\" stroke-width=\"1\"");
}

/* ---- the bike ---- */

static void draw_wheels(FILE *stream, const struct view *view, const struct bike_values *bike,
                        const struct bike_points *points)
{
    const char *look = "fill=\"none\" stroke=\"#c9c9c9\" stroke-width=\"3\"";
    const char *tube = "stroke=\"#c9c9c9\"";
    double angle = bike_value(bike, BIKE_HEAD_ANGLE) * RADIANS_PER_DEGREE;
    struct point top = {bike_value(bike, BIKE_REACH), bike_value(bike, BIKE_STACK)};
    struct point low = {top.x_mm + HEAD_TUBE * cos(angle), top.y_mm - HEAD_TUBE * sin(angle)};
    struct point front = {top.x_mm + (top.y_mm - AXLE_UP) / tan(angle) + FORK_OFFSET / sin(angle),
                          AXLE_UP};
    struct point rear = {-sqrt(CHAINSTAY * CHAINSTAY - AXLE_UP * AXLE_UP), AXLE_UP};
    svg_circle(stream, across(view, front.x_mm), down(view, front.y_mm), WHEEL * view->per, look);
    svg_circle(stream, across(view, rear.x_mm), down(view, rear.y_mm), WHEEL * view->per, look);
    limb(stream, view, low, front, 16, tube);
    limb(stream, view, (struct point){0, 0}, rear, 14, tube);
    if (points->has_saddle) {
        limb(stream, view, (struct point){0.72 * points->saddle.x_mm, 0.72 * points->saddle.y_mm},
             rear, 12, tube);
    }
}

static const struct {
    const char *colour;
    double thick_mm;
} parts[SIDE_PARTS] = {
    [SIDE_FRAME] = {"#b5b5b5", 22},     [SIDE_SPACERS] = {"#e69f00", 30},
    [SIDE_STEM] = {"#444444", 22},      [SIDE_PADS] = {"#00735a", 16},
    [SIDE_EXTENSION] = {"#00735a", 16}, [SIDE_SADDLE] = {"#222222", 20},
    [SIDE_CRANK] = {"#b5b5b5", 14},     [SIDE_BEAM] = {"#cc79a7", 3},
};

static void draw_bike(FILE *stream, const struct view *view, const struct side_view *bike)
{
    for (int i = 0; i < bike->stroke_count; i++) {
        const struct side_stroke *stroke = &bike->stroke[i];
        char look[64];
        snprintf(look, sizeof look, "stroke=\"%s\"", parts[stroke->part].colour);
        limb(stream, view, stroke->from, stroke->to, parts[stroke->part].thick_mm, look);
    }
}

static bool moves(enum side_part part)
{
    return part != SIDE_FRAME && part != SIDE_BEAM;
}

static bool has_stroke(const struct side_view *bike, enum side_part part)
{
    for (int i = 0; i < bike->stroke_count; i++) {
        if (bike->stroke[i].part == part) {
            return true;
        }
    }
    return false;
}

static bool stayed(const struct posture *posture, int stroke)
{
    const struct side_stroke *was = &posture->found.stroke[stroke];
    const struct side_stroke *is = &posture->chosen.stroke[stroke];
    return stroke < posture->chosen.stroke_count &&
           hypot(was->from.x_mm - is->from.x_mm, was->from.y_mm - is->from.y_mm) <
               DIGEST_MOVED_MM &&
           hypot(was->to.x_mm - is->to.x_mm, was->to.y_mm - is->to.y_mm) < DIGEST_MOVED_MM;
}

/* Is anything of the bike as found drawn beside the chosen one? */
static bool shows_found(const struct posture *posture)
{
    bool shows = false;
    for (int i = 0; i < posture->found.stroke_count; i++) {
        shows = shows || (moves(posture->found.stroke[i].part) && !stayed(posture, i));
    }
    for (int i = 0; i < posture->marks; i++) {
        shows = shows || posture->mark[i].has_found;
    }
    return shows;
}

/* Only what moved is seen beside the chosen one. */
static void draw_bike_found(FILE *stream, const struct view *view, const struct posture *posture)
{
    for (int i = 0; i < posture->found.stroke_count; i++) {
        const struct side_stroke *stroke = &posture->found.stroke[i];
        if (moves(stroke->part) && !stayed(posture, i)) {
            svg_line(stream, across(view, stroke->from.x_mm), down(view, stroke->from.y_mm),
                     across(view, stroke->to.x_mm), down(view, stroke->to.y_mm),
                     "stroke=\"#555555\" stroke-width=\"2\" stroke-dasharray=\"5 4\"");
        }
    }
}

static void draw_marks(FILE *stream, const struct view *view, const struct posture *posture)
{
    for (int i = 0; i < posture->marks; i++) {
        if (posture->mark[i].has_found) {
            svg_circle(stream, across(view, posture->mark[i].found.x_mm),
                       down(view, posture->mark[i].found.y_mm), 4,
                       posture->has_chosen
                           ? "fill=\"#ffffff\" stroke=\"#555555\" stroke-width=\"1.3\" "
                             "stroke-dasharray=\"2 2\""
                           : "fill=\"#0072b2\" stroke=\"#ffffff\" stroke-width=\"1\"");
        }
        if (posture->mark[i].has_chosen) {
            svg_circle(stream, across(view, posture->mark[i].chosen.x_mm),
                       down(view, posture->mark[i].chosen.y_mm), 4.5,
                       "fill=\"#0072b2\" stroke=\"#ffffff\" stroke-width=\"1\"");
        }
    }
}

/* ---- dimensions and words ---- */

/* The words of a change, beside the drawing. */
struct label {
    const struct posture_change *change;
    int lines;
    char line[2][POSTURE_WORDS_SIZE];
    double y; /* of the first */
};

/* Labels stand at the right, each as near to its change as the one above it lets it. */
static void place_labels(struct label *labels, const struct posture *posture,
                         const struct view *view)
{
    for (int i = 0; i < posture->changes; i++) { /* from the top down */
        int at = i;
        for (; at > 0 && labels[at - 1].change->to.y_mm < posture->change[i].to.y_mm; at--) {
            labels[at].change = labels[at - 1].change;
        }
        labels[at].change = &posture->change[i];
    }
    double last = 0;
    for (int i = 0; i < posture->changes; i++) {
        struct label *label = &labels[i];
        double from = down(view, label->change->from.y_mm), to = down(view, label->change->to.y_mm);
        label->lines = posture_words_lines(
            label->change->words, (int)((view->width - view->labels) / BREADTH), label->line);
        label->y = fmax((from + to) / 2, last + LABEL_ROW);
        last = label->y + LABEL_ROW * (label->lines - 1);
    }
}

#define DIMENSION "stroke=\"#0072b2\" stroke-width=\"1.1\""
#define OUT 18.0 /* how far the dimension stands from its point */

static void arrow_head(FILE *stream, double x, double y, double to_x, double to_y)
{
    bool pen_down = false;
    svg_path_begin(stream, "fill=\"#0072b2\"");
    svg_path_point(stream, x, y, &pen_down);
    svg_path_point(stream, x + 5 * to_x + 2.4 * to_y, y + 5 * to_y + 2.4 * to_x, &pen_down);
    svg_path_point(stream, x + 5 * to_x - 2.4 * to_y, y + 5 * to_y - 2.4 * to_x, &pen_down);
    svg_path_end(stream);
}

/* Lines out from both places, an arrow between them at the third, and where it goes on from. */
struct dimension {
    struct {
        double x0, y0, x1, y1;
    } line[3];
    double tip_x, tip_y, to_x, to_y, out_x, out_y;
};

static struct dimension dimension_of(const struct view *view, const struct posture_change *change)
{
    double x0 = across(view, change->from.x_mm), y0 = down(view, change->from.y_mm);
    double x1 = across(view, change->to.x_mm), y1 = down(view, change->to.y_mm);
    if (fabs(y1 - y0) >= fabs(x1 - x0)) {
        double x = fmax(x0, x1) + OUT;
        return (struct dimension){
            {{x0 + 5, y0, x + 3, y0}, {x1 + 5, y1, x + 3, y1}, {x, y0, x, y1}},
            x,
            y1,
            0,
            y1 > y0 ? -1 : 1,
            x,
            (y0 + y1) / 2};
    }
    double y = fmin(y0, y1) - OUT;
    return (struct dimension){{{x0, y0 - 5, x0, y - 3}, {x1, y1 - 5, x1, y - 3}, {x0, y, x1, y}},
                              x1,
                              y,
                              x1 > x0 ? -1 : 1,
                              0,
                              fmax(x0, x1),
                              y};
}

/* And a line on to the words. */
static void draw_change(FILE *stream, const struct view *view, const struct label *label)
{
    const struct dimension dimension = dimension_of(view, label->change);
    int letters = text_width(label->line[0]); /* what is long begins before the others */
    double words = fmin(view->labels, view->width - letters * BREADTH);
    double end = words - 4, knee = fmax(end - 12, dimension.out_x);
    for (int i = 0; i < 3; i++) {
        svg_line(stream, dimension.line[i].x0, dimension.line[i].y0, dimension.line[i].x1,
                 dimension.line[i].y1, DIMENSION);
    }
    arrow_head(stream, dimension.tip_x, dimension.tip_y, dimension.to_x, dimension.to_y);
    svg_line(stream, dimension.out_x, dimension.out_y, knee, dimension.out_y,
             DIMENSION " stroke-opacity=\"0.45\"");
    svg_line(stream, knee, dimension.out_y, end, label->y, DIMENSION " stroke-opacity=\"0.45\"");
    for (int i = 0; i < label->lines; i++) {
        svg_text(stream, words, label->y + 4 + LABEL_ROW * i,
                 (struct svg_type){LETTER, SVG_START, true, "#004f7c"}, label->line[i]);
    }
}

/* ---- the marks' names ---- */

#define BOXES_MAX (2 * CHANNELS_MAX + 4 * POSTURE_CHANGES_MAX)

static void add_box(struct name_box *boxes, int *count, double x0, double y0, double x1, double y1,
                    double wide)
{
    boxes[(*count)++] = (struct name_box){fmin(x0, x1) - wide, fmin(y0, y1) - wide,
                                          fmax(x0, x1) + wide, fmax(y0, y1) + wide};
}

/* Marks, and arrows with the lines to their words: what no name is to lie under. */
static int drawn_boxes(const struct view *view, const struct posture *posture, bool arrows,
                       struct name_box *boxes)
{
    int count = 0;
    for (int i = 0; i < posture->marks; i++) {
        const struct point at[2] = {posture->mark[i].found, posture->mark[i].chosen};
        const bool has[2] = {posture->mark[i].has_found, posture->mark[i].has_chosen};
        for (int k = 0; k < 2; k++) {
            double x = across(view, at[k].x_mm), y = down(view, at[k].y_mm);
            if (has[k]) {
                add_box(boxes, &count, x, y, x, y, 5);
            }
        }
    }
    for (int i = 0; arrows && i < posture->changes; i++) {
        const struct dimension dimension = dimension_of(view, &posture->change[i]);
        for (int l = 0; l < 3; l++) {
            add_box(boxes, &count, dimension.line[l].x0, dimension.line[l].y0, dimension.line[l].x1,
                    dimension.line[l].y1, 2.5);
        }
        add_box(boxes, &count, dimension.out_x, dimension.out_y, view->labels, dimension.out_y, 1);
    }
    return count;
}

/* Over all that is drawn, on a ground on which what lies under them is pale. */
static void draw_names(FILE *stream, const struct report_input *input, const struct view *view,
                       const struct posture *posture, bool arrows)
{
    struct name_box boxes[BOXES_MAX + CHANNELS_MAX];
    int count = drawn_boxes(view, posture, arrows, boxes);
    for (int i = 0; i < posture->marks; i++) {
        const bool has_chosen = posture->mark[i].has_chosen;
        struct point at = has_chosen ? posture->mark[i].chosen : posture->mark[i].found;
        struct point from = posture->mark[i].has_found ? posture->mark[i].found : at;
        double x = across(view, at.x_mm), far_x = fmin(x, across(view, from.x_mm));
        const char *words = say_sensor(input->analysis->channel_name[posture->mark[i].channel]);
        struct name_box box = name_place(x, far_x, down(view, at.y_mm),
                                         text_width(words) * NAME_BREADTH, LETTER, boxes, count);
        boxes[count++] = box;
        svg_rectangle(stream, box.left, box.top, box.right - box.left, box.bottom - box.top,
                      "fill=\"#ffffff\" fill-opacity=\"0.8\" rx=\"2\"");
        svg_text(stream, box.right, name_baseline(&box, LETTER),
                 (struct svg_type){LETTER, SVG_END, false, NULL}, words);
    }
}

static void draw_key_line(FILE *stream, double y, enum side_part part, const char *words)
{
    char look[64];
    snprintf(look, sizeof look, "stroke=\"%s\" stroke-width=\"5\"", parts[part].colour);
    svg_line(stream, 8, y - 4, 40, y - 4, look);
    svg_text(stream, 46, y, (struct svg_type){12, SVG_START, false, NULL}, words);
}

/* Of what is drawn, and nothing else. */
static void draw_key(FILE *stream, const struct view *view, const struct posture *posture)
{
    struct svg_type type = {12, SVG_START, false, NULL};
    double y = 16;
    if (posture->has_chosen) {
        bool pads = has_stroke(&posture->chosen, SIDE_PADS);
        draw_key_line(stream, y, pads ? SIDE_PADS : SIDE_STEM, T_("as chosen"));
        y += LABEL_ROW;
    }
    if (posture->has_chosen && shows_found(posture)) {
        svg_line(stream, 8, y - 4, 40, y - 4,
                 "stroke=\"#555555\" stroke-width=\"2\" stroke-dasharray=\"5 4\"");
        svg_text(stream, 46, y, type, T_("as found"));
        y += LABEL_ROW;
    }
    if (has_stroke(posture->has_chosen ? &posture->chosen : &posture->found, SIDE_SPACERS)) {
        draw_key_line(stream, y, SIDE_SPACERS, T_(bike_fields[BIKE_SPACERS].words));
        y += LABEL_ROW;
    }
    if (posture->marks > 0) {
        svg_circle(stream, 24, y - 4, 4.5, "fill=\"#0072b2\"");
        svg_text(stream, 46, y, type, T_("your marks, measured"));
        y += LABEL_ROW;
    }
    double length = 200 * view->per;
    svg_line(stream, 8, y - 4, 8 + length, y - 4, "stroke=\"#000000\" stroke-width=\"1.5\"");
    svg_line(stream, 8, y - 8, 8, y, "stroke=\"#000000\" stroke-width=\"1.5\"");
    svg_line(stream, 8 + length, y - 8, 8 + length, y, "stroke=\"#000000\" stroke-width=\"1.5\"");
    svg_text(stream, 14 + length, y, type, "200 mm");
}

/* Under all else: beside the key a wheel may stand. */
static void draw_undrawn(FILE *stream, const struct view *view, const struct posture *posture)
{
    double y = view->height - LABEL_ROW * (posture->undrawn - 1) - 6;
    for (int i = 0; i < posture->undrawn; i++) {
        svg_text(stream, 8, y + LABEL_ROW * i, (struct svg_type){LETTER, SVG_START, false, NULL},
                 posture->undrawn_words[i]);
    }
}

/* ---- the picture ---- */

static void reach(struct point *far, struct point at)
{
    far->x_mm = fmax(far->x_mm, at.x_mm);
    far->y_mm = fmax(far->y_mm, at.y_mm);
}

static void set_view(struct view *view, const struct posture *posture, enum picture_breadth breadth)
{
    const double left_mm = -CHAINSTAY - WHEEL, bottom_mm = AXLE_UP - WHEEL;
    bool narrow = breadth == PICTURE_NARROW;
    struct point far = {640 + WHEEL, 0}; /* the front wheel at least */
    reach(&far, posture->found.high);
    reach(&far, posture->has_chosen ? posture->chosen.high : posture->found.high);
    for (int i = 0; i < posture->marks; i++) {
        reach(&far, posture->mark[i].has_found ? posture->mark[i].found : posture->mark[i].chosen);
    }
    far.y_mm += posture->marks > 0 ? 2.1 * POSTURE_SKULL_MM : 30;
    double wide = far.x_mm - left_mm, high = far.y_mm - bottom_mm;
    view->width = narrow ? SVG_NARROW : SVG_WIDTH;
    double room = narrow ? view->width : 0.75 * view->width; /* the rest is for words */
    view->per = fmin(room / wide, (narrow ? 300 : 470) / high);
    view->height = view->per * high + 8;
    view->x = 6 - view->per * left_mm;
    view->y = 4 + view->per * far.y_mm;
    view->labels = narrow ? 0 : across(view, far.x_mm) - 30;
    if (narrow) { /* room for the words under it */
        view->height += LABEL_ROW * posture->changes + 6;
    }
    view->height += posture->undrawn > 0 ? LABEL_ROW * posture->undrawn + 6 : 0;
}

static void draw_words_below(FILE *stream, const struct view *view, const struct posture *posture)
{
    double undrawn = posture->undrawn > 0 ? LABEL_ROW * posture->undrawn + 6 : 0;
    double y = view->height - undrawn - LABEL_ROW * posture->changes + 8;
    for (int i = 0; i < posture->changes; i++) {
        svg_text(stream, 10, y, (struct svg_type){13, SVG_START, true, "#004f7c"},
                 posture->change[i].words);
        y += LABEL_ROW;
    }
}

bool plot_posture(FILE *stream, const struct report_input *input, int chosen,
                  enum picture_breadth breadth)
{
    struct posture posture = {.marks = 0};
    struct view view = {0};
    if (!posture_find(&posture, input, chosen)) {
        return false;
    }
    set_view(&view, &posture, breadth);
    const struct bike_values *now =
        &input->record->setup[posture.has_chosen ? chosen : digest_found(input)].bike;
    double crank = bike_value(now, BIKE_CRANK_LENGTH);
    struct posture_body found = posture_body_of(&posture, false, crank),
                        body = posture_body_of(&posture, true, crank);
    svg_begin(stream, view.width, view.height, false,
              posture.has_chosen
                  ? T_("You on your bike, from the right: as chosen, and as found dashed")
                  : T_("You on your bike, from the right, as found"));
    if (posture.has_chosen ? body.there : found.there) {
        draw_body(stream, &view, posture.has_chosen ? &body : &found);
    }
    draw_wheels(stream, &view, now,
                posture.has_chosen ? &posture.chosen_points : &posture.found_points);
    draw_bike(stream, &view, posture.has_chosen ? &posture.chosen : &posture.found);
    if (posture.has_chosen) {
        draw_bike_found(stream, &view, &posture);
        if (found.there) {
            draw_body_found(stream, &view, &found);
        }
    }
    draw_marks(stream, &view, &posture);
    if (breadth == PICTURE_BROAD) {
        struct label labels[POSTURE_CHANGES_MAX];
        place_labels(labels, &posture, &view);
        for (int i = 0; i < posture.changes; i++) {
            draw_change(stream, &view, &labels[i]);
        }
    } else {
        draw_words_below(stream, &view, &posture);
    }
    draw_names(stream, input, &view, &posture, breadth == PICTURE_BROAD);
    draw_key(stream, &view, &posture);
    draw_undrawn(stream, &view, &posture);
    svg_end(stream);
    return true;
}
