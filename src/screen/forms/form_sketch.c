/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_sketch.h"

#include "base/angle.h"
#include "base/text.h"
#include "bike/side_view.h"
#include "say/measure.h"
#include "screen/form_bike.h"
#include "screen/form_value.h"
#include "screen/plot.h"

#include <math.h>
#include <stddef.h>

/* What is drawn where nothing is known: no measure of anybody's, only a bike to point at. */
static const struct {
    enum bike_key key;
    double value;
} usual[] = {
    {BIKE_STACK, 550},
    {BIKE_REACH, 400},
    {BIKE_HEAD_ANGLE, 73},
    {BIKE_HEADSET_CAP, 15},
    {BIKE_SEAT_ANGLE, SIDE_SEAT_ANGLE_DEG},
    {BIKE_SPACERS, 25},
    {BIKE_STEM_LENGTH, 100},
    {BIKE_STEM_ANGLE, -8},
    {BIKE_PAD_RISE, 70},
    {BIKE_PAD_FORE_AFT, -30},
    {BIKE_EXTENSION_LENGTH, 320},
    {BIKE_EXTENSION_ANGLE, 8},
    {BIKE_EXTENSION_RISE, -20},
    {BIKE_SADDLE_HEIGHT, 730},
    {BIKE_SADDLE_SETBACK, 40},
    {BIKE_CRANK_LENGTH, 170},
};

#define WORD_ROWS 3 /* over the drawing */
#define ARC_MM 110.0
#define TICK_MM 14.0
#define MARGIN_MM 25.0

/* A measure as it is shown: a line between two points, or an arc about one; and a dotted line that
 * leads to it from what it is counted from. */
struct dimension {
    bool has, is_arc, leads;
    struct point from, to;
    double from_deg, to_deg, radius_mm;
    struct point lead;
};

struct sketch {
    struct bike_values bike;
    struct bike_points points;
    struct side_view view;
    struct point head_top, stem_low, stem_mid;
    struct point low, high;
    double mm_per_column;
    struct plot plot;
};

static struct point away(struct point from, double length_mm, double degrees)
{
    struct point by = point_turned(length_mm, 0.0, degrees);
    return (struct point){from.x_mm + by.x_mm, from.y_mm + by.y_mm};
}

/* ---- the bike ---- */

static void take_values(struct sketch *sketch, const struct form *form, const struct view *view)
{
    const struct setup_record *current = snapshot_setup(view->snapshot);
    const struct bike_values *known = form->kind != FORM_BIKE && current != NULL
                                          ? &current->bike
                                          : &view->snapshot->record.bike.frame;
    char trouble[128];
    sketch->bike = *known;
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        int key = form_bike_key(field);
        if (key >= 0 && form_field_trouble(field, trouble, sizeof trouble) == NULL) {
            sketch->bike.value[key] = form_number(field);
        }
    }
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
        double *value = &sketch->bike.value[usual[i].key];
        *value = isfinite(*value) ? *value : usual[i].value;
    }
}

static bool make_bike(struct sketch *sketch, const struct form *form, const struct view *view)
{
    take_values(sketch, form, view);
    const struct bike_values *bike = &sketch->bike;
    if (!bike_forward(bike, &sketch->points, NULL) ||
        !side_view_make(bike, bike, NULL, 0, &sketch->view, NULL)) {
        return false;
    }
    double up = 180.0 - bike_value(bike, BIKE_HEAD_ANGLE);
    sketch->head_top = (struct point){bike_value(bike, BIKE_REACH), bike_value(bike, BIKE_STACK)};
    sketch->stem_low = away(
        sketch->head_top, bike_value(bike, BIKE_HEADSET_CAP) + bike_value(bike, BIKE_SPACERS), up);
    sketch->stem_mid = away(sketch->stem_low, bike_value(bike, BIKE_STEM_CLAMP_HEIGHT) / 2.0, up);
    sketch->low = sketch->view.low;
    sketch->high = sketch->view.high;
    return true;
}

/* ---- the measure under the cursor ---- */

static struct dimension line(struct point from, struct point to)
{
    return (struct dimension){.has = true, .from = from, .to = to};
}

static struct dimension led(struct point lead, struct point from, struct point to)
{
    return (struct dimension){.has = true, .leads = true, .lead = lead, .from = from, .to = to};
}

static struct dimension arc(struct point about, double from_deg, double to_deg)
{
    return (struct dimension){.has = true,
                              .is_arc = true,
                              .from = about,
                              .from_deg = from_deg,
                              .to_deg = to_deg,
                              .radius_mm = ARC_MM};
}

static struct dimension dimension_of(const struct sketch *sketch, enum bike_key key)
{
    const struct bike_values *bike = &sketch->bike;
    const struct bike_points *at = &sketch->points;
    const struct point middle = {0.0, 0.0}, top = sketch->head_top;
    double head = bike_value(bike, BIKE_HEAD_ANGLE), seat = bike_value(bike, BIKE_SEAT_ANGLE);
    double roll = bike_value(bike, BIKE_BAR_ROLL), up = 180.0 - head;
    struct point cap = away(top, bike_value(bike, BIKE_HEADSET_CAP), up);
    switch (key) {
    case BIKE_STACK:
        return led(middle, (struct point){top.x_mm, 0.0}, top);
    case BIKE_REACH:
        return led(middle, (struct point){0.0, top.y_mm}, top);
    case BIKE_HEAD_ANGLE:
        return arc(away(top, ARC_MM, -head), 180.0, up);
    case BIKE_HEADSET_CAP:
        return line(top, cap);
    case BIKE_SEAT_ANGLE:
        return arc(middle, 180.0, 180.0 - seat);
    case BIKE_SPACERS:
        return line(cap, sketch->stem_low);
    case BIKE_STEM_LENGTH:
        return line(sketch->stem_mid, at->clamp);
    case BIKE_STEM_ANGLE:
        return arc(sketch->stem_mid, 90.0 - head,
                   stem_elevation_deg(head, bike_value(bike, BIKE_STEM_ANGLE)));
    case BIKE_STEM_CLAMP_HEIGHT:
        return line(sketch->stem_low,
                    away(sketch->stem_low, bike_value(bike, BIKE_STEM_CLAMP_HEIGHT), up));
    case BIKE_BAR_ROLL:
        return arc(at->clamp, 0.0, fabs(roll) > 1.0 ? roll : 30.0);
    case BIKE_PAD_RISE:
        return led(at->pad, (struct point){at->clamp.x_mm, at->pad.y_mm}, at->clamp);
    case BIKE_PAD_FORE_AFT:
        return led(at->clamp, (struct point){at->clamp.x_mm, at->pad.y_mm}, at->pad);
    case BIKE_PAD_TILT:
        return arc(at->pad, 0.0, roll + fmax(15.0, bike_value(bike, BIKE_PAD_TILT)));
    case BIKE_EXTENSION_LENGTH:
        return line(at->extension_root, at->extension_tip);
    case BIKE_EXTENSION_ANGLE:
        return arc(at->extension_root, 0.0, roll + bike_value(bike, BIKE_EXTENSION_ANGLE));
    case BIKE_EXTENSION_RISE:
        return led(at->extension_root, (struct point){at->pad.x_mm, at->extension_root.y_mm},
                   at->pad);
    case BIKE_SADDLE_HEIGHT:
        return line(middle, at->saddle);
    case BIKE_SADDLE_SETBACK:
        return led(middle, (struct point){0.0, at->saddle.y_mm},
                   (struct point){-bike_value(bike, BIKE_SADDLE_SETBACK), at->saddle.y_mm});
    case BIKE_SADDLE_TILT:
        return arc(at->saddle, 0.0, 15.0);
    case BIKE_CRANK_LENGTH:
        return line(middle, (struct point){bike_value(bike, BIKE_CRANK_LENGTH), 0.0});
    case BIKE_PAD_WIDTH: /* across: nothing of it is seen from the side */
    case BIKE_KEYS:
        break;
    }
    return (struct dimension){.has = false};
}

/* A sensor: from its carrier's reference point forward and up to its face. */
static struct dimension dimension_of_place(struct sketch *sketch, const struct form *form)
{
    const struct bike_points *at = &sketch->points;
    struct form *fields = (struct form *)form; /* form_find gives what may be changed */
    const struct form_field *carrier = form_find(fields, "carrier");
    const char *focus = form->field[form->focus].key;
    int found = carrier != NULL ? word_find(&carrier_keys, carrier->value, -1) : -1;
    double x = form_number(form_find(fields, "x")), y = form_number(form_find(fields, "y"));
    if (found < 0) {
        return (struct dimension){.has = false};
    }
    struct point of = found == CARRIER_BASE_BAR      ? at->clamp
                      : found == CARRIER_PAD_BRACKET ? at->pad
                      : found == CARRIER_EXTENSION   ? at->extension_tip
                                                     : (struct point){0.0, 0.0};
    bool far = found == CARRIER_STAND || found == CARRIER_FRAME;
    x = isfinite(x) ? x : far ? 350.0 : 110.0;
    y = isfinite(y) ? y : far ? 500.0 : 60.0;
    struct point corner = {of.x_mm + x, of.y_mm}, face = {of.x_mm + x, of.y_mm + y};
    if (text_equal(focus, "x")) {
        return led(face, corner, of);
    }
    return text_equal(focus, "y") ? led(of, corner, face) : led(face, corner, of);
}

/* ---- drawing ---- */

static int across_of(const struct sketch *sketch, double x_mm)
{
    return (int)floor((x_mm - sketch->low.x_mm) / sketch->mm_per_column *
                      plot_across(&sketch->plot));
}

static int level_of(const struct sketch *sketch, double y_mm)
{
    return (int)floor((y_mm - sketch->low.y_mm) / (2.0 * sketch->mm_per_column) *
                      plot_down(&sketch->plot));
}

static void draw_line(struct sketch *sketch, struct point from, struct point to, enum style style,
                      bool strong, bool dotted)
{
    double dx = to.x_mm - from.x_mm, dy = to.y_mm - from.y_mm;
    int steps = (int)ceil(hypot(dx, dy) / sketch->mm_per_column * 4.0) + 1;
    for (int i = 0; i <= steps; i++) {
        if (!dotted || i % 8 < 2) {
            plot_point(&sketch->plot, across_of(sketch, from.x_mm + dx * i / steps),
                       level_of(sketch, from.y_mm + dy * i / steps), style, strong);
        }
    }
}

static void draw_dimension(struct sketch *sketch, const struct dimension *shown)
{
    if (shown->is_arc) {
        double step = shown->to_deg > shown->from_deg ? 2.0 : -2.0;
        int count = (int)ceil(fabs(shown->to_deg - shown->from_deg) / 2.0);
        struct point last = away(shown->from, shown->radius_mm, shown->from_deg);
        draw_line(sketch, shown->from, last, STYLE_PANEL_LINE, false, true);
        for (int i = 1; i <= count; i++) {
            double at = i == count ? shown->to_deg : shown->from_deg + step * i;
            struct point next = away(shown->from, shown->radius_mm, at);
            draw_line(sketch, last, next, STYLE_PANEL_NEXT, true, false);
            last = next;
        }
        draw_line(sketch, shown->from, last, STYLE_PANEL_NEXT, true, true);
        return;
    }
    if (shown->leads) {
        struct point corner = shown->from;
        draw_line(sketch, shown->lead, corner, STYLE_PANEL_LINE, false, true);
    }
    double angle = atan2(shown->to.y_mm - shown->from.y_mm, shown->to.x_mm - shown->from.x_mm) /
                   RADIANS_PER_DEGREE;
    draw_line(sketch, shown->from, shown->to, STYLE_PANEL_NEXT, true, false);
    for (int side = -1; side <= 1; side += 2) {
        draw_line(sketch, shown->from, away(shown->from, TICK_MM, angle + 90.0 * side),
                  STYLE_PANEL_NEXT, true, false);
        draw_line(sketch, shown->to, away(shown->to, TICK_MM, angle + 90.0 * side),
                  STYLE_PANEL_NEXT, true, false);
    }
}

static void reach_to(struct sketch *sketch, struct point at)
{
    sketch->low.x_mm = fmin(sketch->low.x_mm, at.x_mm);
    sketch->low.y_mm = fmin(sketch->low.y_mm, at.y_mm);
    sketch->high.x_mm = fmax(sketch->high.x_mm, at.x_mm);
    sketch->high.y_mm = fmax(sketch->high.y_mm, at.y_mm);
}

/* The whole bike at the largest scale that fits, to the left and the bottom of its place. */
static void fit(struct sketch *sketch, const struct dimension *shown, int rows, int columns)
{
    if (shown->has && !shown->is_arc) {
        reach_to(sketch, shown->from);
        reach_to(sketch, shown->to);
    }
    sketch->low = (struct point){sketch->low.x_mm - MARGIN_MM, sketch->low.y_mm - MARGIN_MM};
    sketch->high = (struct point){sketch->high.x_mm + MARGIN_MM, sketch->high.y_mm + MARGIN_MM};
    double by_width = (sketch->high.x_mm - sketch->low.x_mm) / columns;
    double by_height = (sketch->high.y_mm - sketch->low.y_mm) / (2.0 * rows);
    sketch->mm_per_column = fmax(by_width, by_height);
}

static void draw_marks(const struct sketch *sketch, struct canvas *canvas, int row, int column,
                       int rows)
{
    for (int i = 0; i < sketch->view.mark_count; i++) {
        const struct side_mark *mark = &sketch->view.mark[i];
        int right = across_of(sketch, mark->at.x_mm) / plot_across(&sketch->plot);
        int up = level_of(sketch, mark->at.y_mm) / plot_down(&sketch->plot);
        canvas_put(canvas, row + rows - 1 - up, column + right, STYLE_PANEL_CURVE,
                   (uint32_t)mark->letter);
    }
}

static void words_of(const struct form *form, char *text, size_t size)
{
    const struct form_field *field = &form->field[form->focus];
    int key = form_bike_key(field);
    text_copy(text, size, key >= 0 ? say_bike_measure((enum bike_key)key) : say_place(field->key));
}

void form_sketch_draw(struct canvas *canvas, const struct form *form, const struct view *view,
                      int row, int column, int rows, int columns)
{
    struct sketch sketch;
    char words[256];
    int key = form_bike_key(&form->field[form->focus]);
    words_of(form, words, sizeof words);
    int used = canvas_wrapped(canvas, row, column, columns, WORD_ROWS, STYLE_STRONG, words);
    (void)used;
    row += WORD_ROWS;
    rows -= WORD_ROWS;
    if (rows < 6 || !make_bike(&sketch, form, view) ||
        !plot_create(&sketch.plot, canvas->letters)) {
        return;
    }
    struct dimension shown = form->kind == FORM_SENSORS ? dimension_of_place(&sketch, form)
                             : key >= 0                 ? dimension_of(&sketch, (enum bike_key)key)
                                                        : (struct dimension){.has = false};
    fit(&sketch, &shown, rows, columns);
    plot_begin(&sketch.plot, rows, columns);
    for (int i = 0; i < sketch.view.stroke_count; i++) {
        const struct side_stroke *stroke = &sketch.view.stroke[i];
        draw_line(&sketch, stroke->from, stroke->to, STYLE_PANEL_LINE, false, false);
    }
    if (shown.has) {
        draw_dimension(&sketch, &shown);
    }
    plot_draw(&sketch.plot, canvas, row, column, NULL);
    draw_marks(&sketch, canvas, row, column, rows);
    plot_destroy(&sketch.plot);
}
