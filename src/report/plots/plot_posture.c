/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The rider on the bike, as found and as chosen, to scale. What is measured is drawn dark; frame,
 * wheels and body are there to find one's way. */
#include "posture_words.h"

#include "base/angle.h"
#include "base/language.h"
#include "base/text.h"
#include "bike/side_view.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "report/side_view.h"

#include <math.h>
#include <string.h>

/* Lengths that are drawn without being measured, mm. */
#define WHEEL 335.0
#define AXLE_UP 70.0 /* over the bottom bracket */
#define CHAINSTAY 405.0
#define FORK_OFFSET 45.0
#define HEAD_TUBE 120.0
#define SKULL 105.0 /* from the mark under it to its middle */
#define SHOULDER_UP 120.0
#define SHOULDER_ON 60.0
#define HIP_UP 85.0
#define THIGH 450.0
#define SHANK 470.0

#define LABEL_ROW 17.0
#define LABELS_MAX 12
#define LETTER 12.0
#define BREADTH (0.64 * LETTER) /* of one, bold */

/* Where the drawing stands on the page. */
struct view {
    double per; /* units a millimetre */
    double x, y;
    double labels; /* where words begin */
    double width, height;
};

/* One change: from a point to a point, and in words. */
struct change {
    struct point from, to;
    char words[POSTURE_WORDS_SIZE];
    int lines;
    char line[2][POSTURE_WORDS_SIZE]; /* beside the drawing */
    double label_y;                   /* of the first */
};

struct drawing {
    struct side_view found, chosen;
    bool has_chosen;
    struct bike_points found_points, chosen_points;
    /* marks on the body, of the first channels */
    int marks;
    struct {
        int channel;
        bool has_found, has_chosen;
        struct point found, chosen;
    } mark[CHANNELS_MAX];
    int changes;
    struct change change[LABELS_MAX];
    /* changes of parts whose place is not known */
    int undrawn;
    char undrawn_words[POSTURE_UNDRAWN_MAX][POSTURE_UNDRAWN_SIZE];
    double right_mm, top_mm;
};

static double across(const struct view *view, double x_mm)
{
    return view->x + view->per * x_mm;
}

static double down(const struct view *view, double y_mm)
{
    return view->y - view->per * y_mm;
}

/* ---- what there is ---- */

/* A mark is where the sensor's beam meets the height that was measured. */
static bool mark_at(const struct report_input *input, int channel, int setup, struct point *at)
{
    const struct session_record *record = input->record;
    const struct setup_estimate *estimate = analysis_estimate(input->analysis, channel, setup);
    const struct bike_values *bike = &record->setup[setup].bike;
    struct sensor_position sensor;
    if (record->placing_count == 0 || channel >= record->placing[0].channel_count ||
        !record->placing[0].channel[channel].mounted || estimate->holds == 0 || !estimate->tied ||
        !digest_absolute(input, channel) ||
        !sensor_locate(bike, &record->setup[0].bike, &record->placing[0].channel[channel].mount,
                       &sensor, NULL) ||
        !isfinite(sensor.x_mm) || !isfinite(sensor.y_mm)) {
        return false;
    }
    double lean = tan(sensor.tilt_deg * RADIANS_PER_DEGREE);
    *at = (struct point){sensor.x_mm + (estimate->mean - sensor.y_mm) * lean, estimate->mean};
    return isfinite(at->x_mm) && isfinite(at->y_mm);
}

static void find_marks(struct drawing *drawing, const struct report_input *input, int chosen)
{
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (!input->analysis->body[channel]) {
            continue;
        }
        struct point found = {0, 0}, now = {0, 0};
        bool has_found = mark_at(input, channel, digest_found(input), &found);
        bool has_chosen = chosen >= 0 && mark_at(input, channel, chosen, &now);
        if (has_found || has_chosen) {
            int i = drawing->marks++;
            drawing->mark[i].channel = channel;
            drawing->mark[i].has_found = has_found;
            drawing->mark[i].has_chosen = has_chosen;
            drawing->mark[i].found = found;
            drawing->mark[i].chosen = now;
        }
    }
}

static void add_change(struct drawing *drawing, const char *words, struct point from,
                       struct point to)
{
    if (words[0] != '\0' && drawing->changes < LABELS_MAX) {
        struct change *change = &drawing->change[drawing->changes++];
        *change = (struct change){.from = from, .to = to};
        text_copy(change->words, sizeof change->words, words);
    }
}

static bool same_move(struct point a_from, struct point a_to, struct point b_from,
                      struct point b_to)
{
    return fabs((a_to.x_mm - a_from.x_mm) - (b_to.x_mm - b_from.x_mm)) < DIGEST_MOVED_MM &&
           fabs((a_to.y_mm - a_from.y_mm) - (b_to.y_mm - b_from.y_mm)) < DIGEST_MOVED_MM;
}

/* Of parts that moved together the one that carries the others. */
static void find_changes(struct drawing *drawing, const struct report_input *input, int chosen)
{
    const struct bike_points *from = &drawing->found_points, *to = &drawing->chosen_points;
    char words[POSTURE_WORDS_SIZE];
    for (int i = 0; i < drawing->marks; i++) {
        const char *name = say_sensor(input->analysis->channel_name[drawing->mark[i].channel]);
        const struct setup_difference *difference =
            analysis_difference(input->analysis, drawing->mark[i].channel, chosen);
        char by[64];
        say_whole(by, sizeof by, fabs(difference->difference));
        if (difference->verdict == VERDICT_LOWER || difference->verdict == VERDICT_HIGHER) {
            snprintf(words, sizeof words,
                     difference->verdict == VERDICT_LOWER ? T_("%s %s mm lower")
                                                          : T_("%s %s mm higher"),
                     name, by);
            add_change(drawing, drawing->mark[i].has_found ? words : "", drawing->mark[i].found,
                       drawing->mark[i].chosen);
        }
    }
    posture_moved(words, sizeof words, PART_BAR, from->clamp, to->clamp);
    add_change(drawing, words, from->clamp, to->clamp);
    if (from->has_pad && to->has_pad && !same_move(from->clamp, to->clamp, from->pad, to->pad)) {
        posture_moved(words, sizeof words, PART_PADS, from->pad, to->pad);
        add_change(drawing, words, from->pad, to->pad);
    }
    if (from->has_extension && to->has_extension &&
        !same_move(from->pad, to->pad, from->extension_tip, to->extension_tip)) {
        posture_moved(words, sizeof words, PART_TIPS, from->extension_tip, to->extension_tip);
        add_change(drawing, words, from->extension_tip, to->extension_tip);
    }
    if (from->has_saddle && to->has_saddle) {
        posture_moved(words, sizeof words, PART_SADDLE, from->saddle, to->saddle);
        add_change(drawing, words, from->saddle, to->saddle);
    }
}

/* ---- the body ---- */

/* Shoulder and hip follow from marks and saddle; -1 = not drawn. */
struct body {
    bool there, has_arm, has_leg;
    struct point head, shoulder, hip, elbow, hand, knee, foot;
};

static struct body body_of(const struct drawing *drawing, bool as_chosen, double crank)
{
    const struct bike_points *points = as_chosen ? &drawing->chosen_points : &drawing->found_points;
    struct body body = {.there = false};
    if (drawing->marks < 2 || !points->has_saddle) {
        return body;
    }
    bool has = as_chosen ? drawing->mark[0].has_chosen && drawing->mark[1].has_chosen
                         : drawing->mark[0].has_found && drawing->mark[1].has_found;
    struct point head = as_chosen ? drawing->mark[0].chosen : drawing->mark[0].found;
    struct point chest = as_chosen ? drawing->mark[1].chosen : drawing->mark[1].found;
    body.there = has && chest.x_mm > points->saddle.x_mm + 150 && head.x_mm > chest.x_mm;
    body.head = (struct point){head.x_mm, head.y_mm + SKULL};
    body.shoulder = (struct point){chest.x_mm + SHOULDER_ON, chest.y_mm + SHOULDER_UP};
    body.hip = (struct point){points->saddle.x_mm + 10, points->saddle.y_mm + HIP_UP};
    body.has_arm = points->has_pad;
    body.elbow = points->pad;
    body.hand = points->has_extension ? points->extension_tip : points->pad;
    body.foot = (struct point){isnan(crank) ? 0 : crank, 0};
    double x = body.foot.x_mm - body.hip.x_mm, y = body.foot.y_mm - body.hip.y_mm;
    double apart = hypot(x, y);
    body.has_leg = !isnan(crank) && apart < THIGH + SHANK && apart > SHANK - THIGH + 1;
    if (body.has_leg) { /* the knee bends forward */
        double along = (THIGH * THIGH - SHANK * SHANK + apart * apart) / (2 * apart);
        double off = sqrt(fmax(0, THIGH * THIGH - along * along));
        body.knee = (struct point){body.hip.x_mm + (along * x - off * y) / apart,
                                   body.hip.y_mm + (along * y + off * x) / apart};
    }
    return body;
}

static void limb(FILE *stream, const struct view *view, struct point from, struct point to,
                 double thick_mm, const char *look)
{
    char whole[160], width[32];
    text_from_double(width, sizeof width, fmax(1, thick_mm * view->per), 1);
    snprintf(whole, sizeof whole, "%s stroke-linecap=\"round\" stroke-width=\"%s\"", look, width);
    svg_line(stream, across(view, from.x_mm), down(view, from.y_mm), across(view, to.x_mm),
             down(view, to.y_mm), whole);
}

static void draw_body(FILE *stream, const struct view *view, const struct body *body)
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
               SKULL * view->per, "fill=\"#e3e3e3\"");
}

static void draw_body_found(FILE *stream, const struct view *view, const struct body *body)
{
    const char *look = "stroke=\"#777777\" stroke-dasharray=\"5 4\" fill=\"none\"";
    limb(stream, view, body->hip, body->shoulder, 0, look);
    if (body->has_arm) {
        limb(stream, view, body->shoulder, body->elbow, 0, look);
    }
    svg_circle(stream, across(view, body->head.x_mm), down(view, body->head.y_mm),
               SKULL * view->per,
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

static bool stayed(const struct drawing *drawing, int stroke)
{
    const struct side_stroke *was = &drawing->found.stroke[stroke];
    const struct side_stroke *is = &drawing->chosen.stroke[stroke];
    return stroke < drawing->chosen.stroke_count &&
           hypot(was->from.x_mm - is->from.x_mm, was->from.y_mm - is->from.y_mm) <
               DIGEST_MOVED_MM &&
           hypot(was->to.x_mm - is->to.x_mm, was->to.y_mm - is->to.y_mm) < DIGEST_MOVED_MM;
}

/* Is anything of the bike as found drawn beside the chosen one? */
static bool shows_found(const struct drawing *drawing)
{
    bool shows = false;
    for (int i = 0; i < drawing->found.stroke_count; i++) {
        shows = shows || (moves(drawing->found.stroke[i].part) && !stayed(drawing, i));
    }
    for (int i = 0; i < drawing->marks; i++) {
        shows = shows || drawing->mark[i].has_found;
    }
    return shows;
}

/* Only what moved is seen beside the chosen one. */
static void draw_bike_found(FILE *stream, const struct view *view, const struct drawing *drawing)
{
    for (int i = 0; i < drawing->found.stroke_count; i++) {
        const struct side_stroke *stroke = &drawing->found.stroke[i];
        if (moves(stroke->part) && !stayed(drawing, i)) {
            svg_line(stream, across(view, stroke->from.x_mm), down(view, stroke->from.y_mm),
                     across(view, stroke->to.x_mm), down(view, stroke->to.y_mm),
                     "stroke=\"#555555\" stroke-width=\"2\" stroke-dasharray=\"5 4\"");
        }
    }
}

static void draw_marks(FILE *stream, const struct report_input *input, const struct view *view,
                       const struct drawing *drawing)
{
    for (int i = 0; i < drawing->marks; i++) {
        struct point at =
            drawing->mark[i].has_chosen ? drawing->mark[i].chosen : drawing->mark[i].found;
        svg_text(stream, across(view, at.x_mm) - 9, down(view, at.y_mm) + 4,
                 (struct svg_type){LETTER, SVG_END, false, NULL},
                 say_sensor(input->analysis->channel_name[drawing->mark[i].channel]));
        if (drawing->mark[i].has_found) {
            svg_circle(stream, across(view, drawing->mark[i].found.x_mm),
                       down(view, drawing->mark[i].found.y_mm), 4,
                       drawing->has_chosen
                           ? "fill=\"#ffffff\" stroke=\"#555555\" stroke-width=\"1.3\" "
                             "stroke-dasharray=\"2 2\""
                           : "fill=\"#0072b2\" stroke=\"#ffffff\" stroke-width=\"1\"");
        }
        if (drawing->mark[i].has_chosen) {
            svg_circle(stream, across(view, drawing->mark[i].chosen.x_mm),
                       down(view, drawing->mark[i].chosen.y_mm), 4.5,
                       "fill=\"#0072b2\" stroke=\"#ffffff\" stroke-width=\"1\"");
        }
    }
}

/* ---- dimensions and words ---- */

/* Labels stand at the right, each as near to its change as the one above it lets it. */
static void place_labels(struct drawing *drawing, const struct view *view)
{
    for (int i = 0; i < drawing->changes; i++) { /* from the top down */
        for (int k = i + 1; k < drawing->changes; k++) {
            if (drawing->change[k].to.y_mm > drawing->change[i].to.y_mm) {
                struct change swap = drawing->change[i];
                drawing->change[i] = drawing->change[k];
                drawing->change[k] = swap;
            }
        }
    }
    double last = 0;
    for (int i = 0; i < drawing->changes; i++) {
        struct change *change = &drawing->change[i];
        double wanted = (down(view, change->from.y_mm) + down(view, change->to.y_mm)) / 2;
        change->lines = posture_words_lines(
            change->words, (int)((view->width - view->labels) / BREADTH), change->line);
        change->label_y = fmax(wanted, last + LABEL_ROW);
        last = change->label_y + LABEL_ROW * (change->lines - 1);
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

/* Lines out from both places, an arrow between them, and a line on to the words. */
static void draw_change(FILE *stream, const struct view *view, const struct change *change)
{
    double x0 = across(view, change->from.x_mm), y0 = down(view, change->from.y_mm);
    double x1 = across(view, change->to.x_mm), y1 = down(view, change->to.y_mm);
    int letters = text_width(change->line[0]); /* what is long begins before the others */
    double words = fmin(view->labels, view->width - letters * BREADTH);
    double label = words - 4, knee = label - 12;
    if (fabs(y1 - y0) >= fabs(x1 - x0)) {
        double x = fmax(x0, x1) + OUT, way = y1 > y0 ? 1 : -1;
        svg_line(stream, x0 + 5, y0, x + 3, y0, DIMENSION);
        svg_line(stream, x1 + 5, y1, x + 3, y1, DIMENSION);
        svg_line(stream, x, y0, x, y1, DIMENSION);
        arrow_head(stream, x, y1, 0, -way);
        x0 = x;
        y0 = (y0 + y1) / 2;
    } else {
        double y = fmin(y0, y1) - OUT, way = x1 > x0 ? 1 : -1;
        svg_line(stream, x0, y0 - 5, x0, y - 3, DIMENSION);
        svg_line(stream, x1, y1 - 5, x1, y - 3, DIMENSION);
        svg_line(stream, x0, y, x1, y, DIMENSION);
        arrow_head(stream, x1, y, -way, 0);
        x0 = fmax(x0, x1);
        y0 = y;
    }
    svg_line(stream, x0, y0, fmax(knee, x0), y0, DIMENSION " stroke-opacity=\"0.45\"");
    svg_line(stream, fmax(knee, x0), y0, label, change->label_y,
             DIMENSION " stroke-opacity=\"0.45\"");
    for (int i = 0; i < change->lines; i++) {
        svg_text(stream, words, change->label_y + 4 + LABEL_ROW * i,
                 (struct svg_type){LETTER, SVG_START, true, "#004f7c"}, change->line[i]);
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
static void draw_key(FILE *stream, const struct view *view, const struct drawing *drawing)
{
    struct svg_type type = {12, SVG_START, false, NULL};
    double y = 16;
    if (drawing->has_chosen) {
        bool pads = has_stroke(&drawing->chosen, SIDE_PADS);
        draw_key_line(stream, y, pads ? SIDE_PADS : SIDE_STEM, T_("as chosen"));
        y += LABEL_ROW;
    }
    if (drawing->has_chosen && shows_found(drawing)) {
        svg_line(stream, 8, y - 4, 40, y - 4,
                 "stroke=\"#555555\" stroke-width=\"2\" stroke-dasharray=\"5 4\"");
        svg_text(stream, 46, y, type, T_("as found"));
        y += LABEL_ROW;
    }
    if (has_stroke(drawing->has_chosen ? &drawing->chosen : &drawing->found, SIDE_SPACERS)) {
        draw_key_line(stream, y, SIDE_SPACERS, T_(bike_fields[BIKE_SPACERS].words));
        y += LABEL_ROW;
    }
    if (drawing->marks > 0) {
        svg_circle(stream, 24, y - 4, 4.5, "fill=\"#0072b2\"");
        svg_text(stream, 46, y, type, T_("your marks, measured"));
        y += LABEL_ROW;
    }
    double length = 200 * view->per;
    svg_line(stream, 8, y - 4, 8 + length, y - 4, "stroke=\"#000000\" stroke-width=\"1.5\"");
    svg_line(stream, 8, y - 8, 8, y, "stroke=\"#000000\" stroke-width=\"1.5\"");
    svg_line(stream, 8 + length, y - 8, 8 + length, y, "stroke=\"#000000\" stroke-width=\"1.5\"");
    svg_text(stream, 14 + length, y, type, "200 mm");
    for (int i = 0; i < drawing->undrawn; i++) {
        y += LABEL_ROW;
        svg_text(stream, 8, y, type, drawing->undrawn_words[i]);
    }
}

/* ---- the picture ---- */

static void reach(struct drawing *drawing, struct point at)
{
    drawing->right_mm = fmax(drawing->right_mm, at.x_mm);
    drawing->top_mm = fmax(drawing->top_mm, at.y_mm);
}

static void set_view(struct view *view, struct drawing *drawing, enum picture_breadth breadth)
{
    const double left_mm = -CHAINSTAY - WHEEL, bottom_mm = AXLE_UP - WHEEL;
    bool narrow = breadth == PICTURE_NARROW;
    reach(drawing, drawing->found.high);
    reach(drawing, drawing->has_chosen ? drawing->chosen.high : drawing->found.high);
    for (int i = 0; i < drawing->marks; i++) {
        reach(drawing,
              drawing->mark[i].has_found ? drawing->mark[i].found : drawing->mark[i].chosen);
    }
    drawing->top_mm += drawing->marks > 0 ? 2.1 * SKULL : 30;
    drawing->right_mm = fmax(drawing->right_mm, 640 + WHEEL);
    double wide = drawing->right_mm - left_mm, high = drawing->top_mm - bottom_mm;
    view->width = narrow ? SVG_NARROW : SVG_WIDTH;
    double room = narrow ? view->width : 0.75 * view->width; /* the rest is for words */
    view->per = fmin(room / wide, (narrow ? 300 : 470) / high);
    view->height = view->per * high + 8;
    view->x = 6 - view->per * left_mm;
    view->y = 4 + view->per * drawing->top_mm;
    view->labels = narrow ? 0 : across(view, drawing->right_mm) - 30;
    if (narrow) { /* room for the words under it */
        view->height += LABEL_ROW * drawing->changes + 6;
    }
}

static void draw_words_below(FILE *stream, const struct view *view, const struct drawing *drawing)
{
    double y = view->height - LABEL_ROW * drawing->changes + 8;
    for (int i = 0; i < drawing->changes; i++) {
        svg_text(stream, 10, y, (struct svg_type){13, SVG_START, true, "#004f7c"},
                 drawing->change[i].words);
        y += LABEL_ROW;
    }
}

/* Without a seat angle the saddle still stands about where it is. */
static struct bike_values to_draw(const struct bike_values *bike)
{
    struct bike_values values = *bike;
    if (isnan(values.value[BIKE_SEAT_ANGLE])) {
        values.value[BIKE_SEAT_ANGLE] = SIDE_SEAT_ANGLE_DEG;
    }
    return values;
}

static bool make(struct drawing *drawing, const struct report_input *input, int chosen)
{
    const struct session_record *record = input->record;
    if (record->setup_count == 0) {
        return false;
    }
    const int as_found = digest_found(input);
    const struct bike_values found = to_draw(&record->setup[as_found].bike);
    if (!bike_forward(&found, &drawing->found_points, NULL) ||
        !side_view_make(&found, &found, NULL, 0, &drawing->found, NULL)) {
        return false;
    }
    const bool changed = chosen >= 0 && chosen != as_found;
    const struct bike_values now = to_draw(&record->setup[changed ? chosen : as_found].bike);
    drawing->has_chosen = changed && bike_forward(&now, &drawing->chosen_points, NULL) &&
                          side_view_make(&now, &now, NULL, 0, &drawing->chosen, NULL);
    find_marks(drawing, input, drawing->has_chosen ? chosen : -1);
    if (drawing->has_chosen) {
        find_changes(drawing, input, chosen);
        drawing->undrawn = posture_undrawn(&record->setup[as_found].bike,
                                           &record->setup[chosen].bike, &drawing->found_points,
                                           &drawing->chosen_points, drawing->undrawn_words);
    }
    return true;
}

bool plot_posture(FILE *stream, const struct report_input *input, int chosen,
                  enum picture_breadth breadth)
{
    struct drawing drawing = {.marks = 0};
    struct view view = {0};
    if (!make(&drawing, input, chosen)) {
        return false;
    }
    set_view(&view, &drawing, breadth);
    const struct bike_values *now =
        &input->record->setup[drawing.has_chosen ? chosen : digest_found(input)].bike;
    double crank = bike_value(now, BIKE_CRANK_LENGTH);
    struct body found = body_of(&drawing, false, crank), body = body_of(&drawing, true, crank);
    svg_begin(stream, view.width, view.height, false,
              drawing.has_chosen
                  ? T_("You on your bike, from the right: as chosen, and as found dashed")
                  : T_("You on your bike, from the right, as found"));
    if (drawing.has_chosen ? body.there : found.there) {
        draw_body(stream, &view, drawing.has_chosen ? &body : &found);
    }
    draw_wheels(stream, &view, now,
                drawing.has_chosen ? &drawing.chosen_points : &drawing.found_points);
    draw_bike(stream, &view, drawing.has_chosen ? &drawing.chosen : &drawing.found);
    if (drawing.has_chosen) {
        draw_bike_found(stream, &view, &drawing);
        if (found.there) {
            draw_body_found(stream, &view, &found);
        }
    }
    draw_marks(stream, input, &view, &drawing);
    if (breadth == PICTURE_BROAD) {
        place_labels(&drawing, &view);
        for (int i = 0; i < drawing.changes; i++) {
            draw_change(stream, &view, &drawing.change[i]);
        }
    } else {
        draw_words_below(stream, &view, &drawing);
    }
    draw_key(stream, &view, &drawing);
    svg_end(stream);
    return true;
}
