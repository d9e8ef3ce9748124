/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "report/paper.h"
#include "report/side_view.h"

#include <math.h>
#include <string.h>

#define MARGIN_MM 70.0
#define SCALE 5.0

/* Colours of a published palette for colour-blind readers (Okabe and Ito 2008). */
static const char style[] =
    ".side-view text{font-family:'DejaVu Sans',sans-serif;fill:#000}"
    ".side-view .grid{stroke:#ddd;stroke-width:1}"
    ".side-view .level{stroke:#999;stroke-width:1}"
    ".side-view line{stroke-linecap:round}"
    ".side-view .frame{stroke:#bbb;stroke-width:14}"
    ".side-view .spacers{stroke:#e69f00;stroke-width:22}"
    ".side-view .stem{stroke:#0072b2;stroke-width:14}"
    ".side-view .pads{stroke:#009e73;stroke-width:9}"
    ".side-view .extension{stroke:#009e73;stroke-width:9}"
    ".side-view .saddle{stroke:#000;stroke-width:12}"
    ".side-view .crank{stroke:#bbb;stroke-width:8}"
    ".side-view .beam{stroke:#cc79a7;stroke-width:3;stroke-dasharray:8 6}"
    ".side-view circle{fill:#fff;stroke:#000;stroke-width:3}"
    ".side-view .before line{stroke:#777;stroke-width:4;stroke-dasharray:10 9}"
    ".side-view .before circle{stroke:#777}"
    ".side-view .larger line{stroke-width:5}"
    ".side-view .larger .grid,.side-view .larger .level{stroke-width:.5}"
    ".side-view .larger .before line{stroke-width:2.5;stroke-dasharray:6 5}"
    ".side-view .larger circle{stroke-width:1.5}"
    ".side-view .enlarged{fill:none;stroke:#777;stroke-width:2}";

static void number(char text[32], double value)
{
    text_from_double(text, 32, value, 2);
}

/* y goes down on a page. */
static void line(FILE *stream, const char *class, struct point from, struct point to)
{
    char x1[32], y1[32], x2[32], y2[32];
    number(x1, from.x_mm);
    number(y1, -from.y_mm);
    number(x2, to.x_mm);
    number(y2, -to.y_mm);
    fprintf(stream, "<line class=\"%s\" x1=\"%s\" y1=\"%s\" x2=\"%s\" y2=\"%s\"/>\n", class, x1, y1,
            x2, y2);
}

static void grid(FILE *stream, struct point low, struct point high, double step)
{
    for (int i = (int)ceil(low.x_mm / step); i * step <= high.x_mm; i++) {
        line(stream, i == 0 ? "level" : "grid", (struct point){i * step, low.y_mm},
             (struct point){i * step, high.y_mm});
    }
    for (int i = (int)ceil(low.y_mm / step); i * step <= high.y_mm; i++) {
        line(stream, i == 0 ? "level" : "grid", (struct point){low.x_mm, i * step},
             (struct point){high.x_mm, i * step});
    }
}

static bool is_front(enum side_part part)
{
    return part == SIDE_SPACERS || part == SIDE_STEM || part == SIDE_PADS || part == SIDE_EXTENSION;
}

static void draw_parts(FILE *stream, const struct side_view *view, const char *name, bool front)
{
    fprintf(stream, "<g id=\"%s\" class=\"%s\">\n", name, name);
    for (int i = 0; i < view->stroke_count; i++) {
        if (front && !is_front(view->stroke[i].part)) {
            continue;
        }
        line(stream, side_part_key(view->stroke[i].part), view->stroke[i].from, view->stroke[i].to);
    }
    for (int i = 0; i < view->mark_count; i++) {
        const struct side_mark *mark = &view->mark[i];
        char x[32], y[32];
        if (front && (mark->letter == 'b' || mark->letter == 's')) {
            continue;
        }
        number(x, mark->at.x_mm);
        number(y, -mark->at.y_mm);
        fprintf(stream, "<circle id=\"%s-", name);
        paper_escape(stream, mark->key);
        fprintf(stream, "\" cx=\"%s\" cy=\"%s\" r=\"7\"/>\n", x, y);
    }
    fputs("</g>\n", stream);
}

static void draw(FILE *stream, const struct side_view *view, const char *name)
{
    draw_parts(stream, view, name, false);
}

#define LETTERS 30.0      /* the drawing's width over the size of its letters */
#define SMALLEST_MM 16.0  /* letters */
#define LEGEND_ROW 1.4    /* in sizes of letters */
#define LEGEND_ENTRY 19.0 /* 'h  top of the head tube  -1000, 1000' */
#define LEGEND_COLUMNS_MOST 3
#define NOTES 3 /* lines under it */

/* As many beside each other as have room. */
static int legend_columns(double width_mm, double size_mm)
{
    int columns = (int)(width_mm / (LEGEND_ENTRY * size_mm));
    return columns < 1 ? 1 : columns > LEGEND_COLUMNS_MOST ? LEGEND_COLUMNS_MOST : columns;
}

static int legend_rows(const struct side_view *view, double width_mm, double size_mm)
{
    int columns = legend_columns(width_mm, size_mm);
    return (view->mark_count + columns - 1) / columns;
}

/* A letter at each point, and under the drawing what it is and where. */
static void words(FILE *stream, const struct side_view *view, struct point corner, double width_mm,
                  double size_mm)
{
    int columns = legend_columns(width_mm, size_mm);
    for (int i = 0; i < view->mark_count; i++) {
        const struct side_mark *mark = &view->mark[i];
        char x[32], y[32];
        number(x, mark->at.x_mm + 0.6 * size_mm);
        number(y, -mark->at.y_mm + 1.4 * size_mm);
        fprintf(stream, "<text x=\"%s\" y=\"%s\">%c</text>\n", x, y, mark->letter);
        number(x, corner.x_mm + 12.0 + (i % columns) * width_mm / columns);
        int rows_below = legend_rows(view, width_mm, size_mm) - i / columns;
        number(y, -corner.y_mm - LEGEND_ROW * size_mm * (rows_below + NOTES - 1) - 0.5 * size_mm);
        fprintf(stream, "<text x=\"%s\" y=\"%s\">%c  ", x, y, mark->letter);
        paper_escape(stream, mark->words);
        fprintf(stream, "  %.0f, %.0f</text>\n", mark->at.x_mm, mark->at.y_mm);
    }
}

/* What the drawing is. */
static void notes(FILE *stream, struct point low, struct point corner, double size_mm, bool before)
{
    const char *const lines[NOTES] = {
        "grid 100 mm; from the bottom bracket:",
        "forward, up, mm; the frame's lines are",
        before ? "for orientation; dashed: before" : "for orientation",
    };
    char x[32], y[32];
    number(x, low.x_mm + 12.0);
    for (int i = 0; i < NOTES; i++) {
        number(y, -corner.y_mm - 0.5 * size_mm - LEGEND_ROW * size_mm * (NOTES - 1 - i));
        fprintf(stream, "<text x=\"%s\" y=\"%s\">%s</text>\n", x, y, lines[i]);
    }
}

/* The page from corner to corner, letters of this size. */
static void begin(FILE *stream, const char *title, struct point low, struct point high,
                  double size_mm)
{
    char x[32], y[32], width[32], height[32], page_width[32], page_height[32], letters[32];
    number(x, low.x_mm);
    number(y, -high.y_mm);
    number(width, high.x_mm - low.x_mm);
    number(height, high.y_mm - low.y_mm);
    number(letters, size_mm);
    number(page_width, (high.x_mm - low.x_mm) / SCALE);
    number(page_height, (high.y_mm - low.y_mm) / SCALE);
    fprintf(
        stream,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"%smm\" height=\"%smm\" "
        "viewBox=\"%s %s %s %s\" font-size=\"%s\" role=\"img\" class=\"side-view\">\n<title>",
        page_width, page_height, x, y, width, height, letters);
    paper_escape(stream, title);
    fprintf(stream, "</title>\n<style>%s</style>\n", style);
}

/* Corners of both. */
static void span(const struct side_view *view, const struct side_view *before, struct point *low,
                 struct point *high)
{
    *low = view->low;
    *high = view->high;
    if (before) {
        *low = (struct point){fmin(low->x_mm, before->low.x_mm), fmin(low->y_mm, before->low.y_mm)};
        *high = (struct point){fmax(high->x_mm, before->high.x_mm),
                               fmax(high->y_mm, before->high.y_mm)};
    }
    *low = (struct point){low->x_mm - MARGIN_MM, low->y_mm - MARGIN_MM / 2.0};
    *high = (struct point){high->x_mm + MARGIN_MM, high->y_mm + MARGIN_MM};
}

bool side_view_svg(FILE *stream, const struct side_view *view, const struct side_view *before,
                   const char *title, struct problem *problem)
{
    struct point low, high;
    span(view, before, &low, &high);
    /* room for a line of the legend, however narrow the bike */
    high.x_mm = fmax(high.x_mm, low.x_mm + (LEGEND_ENTRY + 1) * SMALLEST_MM);
    double across = high.x_mm - low.x_mm, size = fmax(SMALLEST_MM, across / LETTERS);
    double rows = legend_rows(view, across, size) + NOTES + 0.5;
    struct point corner = {low.x_mm, low.y_mm - LEGEND_ROW * size * rows};
    begin(stream, title, (struct point){low.x_mm, corner.y_mm}, high, size);
    grid(stream, low, high, 100.0);
    if (before) {
        draw(stream, before, "before");
    }
    draw(stream, view, "now");
    words(stream, view, corner, across, size);
    notes(stream, low, corner, size, before != NULL);
    fputs("</svg>\n", stream);
    return !ferror(stream) || problem_set(problem, "the drawing could not be written");
}

/* ---- with the front enlarged
 * --------------------------------------------------------------------- */

#define SHEET_LETTERS 22.0 /* a fifth of a page wide it still prints at 9 points */
#define ALONE_LETTERS 26.0 /* of the front alone, which is wider on the page than high */
#define FRONT_ROOM_MM 25.0
#define FRONT_HIGH 0.6 /* of the width, at most */
#define FRONT_GRID_MM 50.0
#define FRONT_NOTES 2
#define SECOND_COLUMN 13.0 /* of the legend, in sizes of letters */

struct enlarged {
    struct point low, high; /* what is enlarged */
    double times, x, y;     /* (x_mm, y_mm) stands at x + times * x_mm, y - times * y_mm */
};

static void reach_to(struct enlarged *front, struct point at)
{
    front->low.x_mm = fmin(front->low.x_mm, at.x_mm - FRONT_ROOM_MM);
    front->low.y_mm = fmin(front->low.y_mm, at.y_mm - FRONT_ROOM_MM);
    front->high.x_mm = fmax(front->high.x_mm, at.x_mm + FRONT_ROOM_MM);
    front->high.y_mm = fmax(front->high.y_mm, at.y_mm + FRONT_ROOM_MM);
}

static struct enlarged front_of(const struct side_view *view, const struct side_view *before,
                                double across)
{
    const struct side_view *views[] = {view, before};
    struct enlarged front = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}, 1, 0, 0};
    for (int v = 0; v < 2 && views[v] != NULL; v++) {
        for (int i = 0; i < views[v]->stroke_count; i++) {
            if (is_front(views[v]->stroke[i].part)) {
                reach_to(&front, views[v]->stroke[i].from);
                reach_to(&front, views[v]->stroke[i].to);
            }
        }
    }
    front.times = fmin(across / (front.high.x_mm - front.low.x_mm),
                       FRONT_HIGH * across / (front.high.y_mm - front.low.y_mm));
    return front;
}

static bool in_front(const struct enlarged *front, struct point at)
{
    return at.x_mm >= front->low.x_mm && at.x_mm <= front->high.x_mm &&
           at.y_mm >= front->low.y_mm && at.y_mm <= front->high.y_mm;
}

static void draw_larger(FILE *stream, const struct side_view *view, const struct enlarged *front,
                        const char *name)
{
    fprintf(stream, "<g class=\"%s\">\n", name);
    for (int i = 0; i < view->stroke_count; i++) {
        if (is_front(view->stroke[i].part)) {
            line(stream, side_part_key(view->stroke[i].part), view->stroke[i].from,
                 view->stroke[i].to);
        }
    }
    for (int i = 0; i < view->mark_count; i++) {
        char x[32], y[32];
        number(x, view->mark[i].at.x_mm);
        number(y, -view->mark[i].at.y_mm);
        if (in_front(front, view->mark[i].at)) {
            fprintf(stream, "<circle cx=\"%s\" cy=\"%s\" r=\"3.5\"/>\n", x, y);
        }
    }
    fputs("</g>\n", stream);
}

static void draw_front(FILE *stream, const struct side_view *view, const struct side_view *before,
                       const struct enlarged *front)
{
    char x[32], y[32], times[32], width[32], height[32];
    number(x, front->x);
    number(y, front->y);
    text_from_double(times, sizeof times, front->times, 4);
    fprintf(stream, "<g class=\"larger\" transform=\"translate(%s %s) scale(%s)\">\n", x, y, times);
    grid(stream, front->low, front->high, FRONT_GRID_MM);
    if (before) {
        draw_larger(stream, before, front, "before");
    }
    draw_larger(stream, view, front, "now");
    fputs("</g>\n", stream);
    /* and where that is on the bike */
    number(x, front->low.x_mm);
    number(y, -front->high.y_mm);
    number(width, front->high.x_mm - front->low.x_mm);
    number(height, front->high.y_mm - front->low.y_mm);
    fprintf(stream, "<rect class=\"enlarged\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"/>\n", x,
            y, width, height);
}

static void text_at(FILE *stream, double x_mm, double y_mm, const char *text)
{
    char x[32], y[32];
    number(x, x_mm);
    number(y, y_mm);
    fprintf(stream, "<text x=\"%s\" y=\"%s\">", x, y);
    paper_escape(stream, text);
    fputs("</text>\n", stream);
}

static int marks_in_front(const struct side_view *view, const struct enlarged *front)
{
    int count = 0;
    for (int i = 0; i < view->mark_count; i++) {
        count += in_front(front, view->mark[i].at) ? 1 : 0;
    }
    return count;
}

/* A letter at each point of the enlarged front; what they are, two beside each other; what the
 * drawing is. top: of the rows, as the page counts. */
static void front_words(FILE *stream, const struct side_view *view, const struct enlarged *front,
                        double left, double size_mm, double top, bool whole, bool before)
{
    char text[96];
    int count = 0;
    for (int i = 0; i < view->mark_count; i++) {
        const struct side_mark *mark = &view->mark[i];
        const char letter[2] = {mark->letter, '\0'};
        if (!in_front(front, mark->at)) {
            continue;
        }
        /* below, on the right; over the pads, whose post goes down */
        bool pads = text_equal(mark->key, "pads");
        text_at(stream, front->x + front->times * mark->at.x_mm + 0.45 * size_mm,
                front->y - front->times * mark->at.y_mm + (pads ? -0.5 : 1.05) * size_mm, letter);
        snprintf(text, sizeof text, "%c  %s", mark->letter, mark->words);
        int row = count / 2, column = count % 2;
        text_at(stream, left + column * SECOND_COLUMN * size_mm,
                top + LEGEND_ROW * size_mm * (row + 0.75), text);
        count++;
    }
    const char *const lines[FRONT_NOTES] = {
        whole ? "The front, below, on a grid of 50 mm." : "Bar and pads on a grid of 50 mm.",
        whole ? (before ? "Frame for orientation; dashed: as found." : "Frame for orientation.")
              : (before ? "Dashed: as found." : ""),
    };
    int rows = (count + 1) / 2;
    top += LEGEND_ROW * size_mm * rows;
    for (int i = 0; i < FRONT_NOTES; i++) {
        text_at(stream, left, top + LEGEND_ROW * size_mm * (i + 0.75), lines[i]);
    }
}

static bool has_saddle(const struct side_view *view)
{
    for (int i = 0; i < view->stroke_count; i++) {
        if (view->stroke[i].part == SIDE_SADDLE) {
            return true;
        }
    }
    return false;
}

/* The front alone: without a saddle the whole bike would be a line on an empty sheet. */
static void front_alone(FILE *stream, const struct side_view *view, const struct side_view *before,
                        const char *title)
{
    struct enlarged front = front_of(view, before, 1);
    double wide = front.high.x_mm - front.low.x_mm, high = front.high.y_mm - front.low.y_mm;
    double across = fmax(wide, high / FRONT_HIGH), more = (across - wide) / 2;
    double size = across / ALONE_LETTERS, words_top = -front.low.y_mm + 0.2 * size;
    int rows = (marks_in_front(view, &front) + 1) / 2 + FRONT_NOTES;
    front.low.x_mm -= more;
    front.high.x_mm += more;
    front.times = 1;
    begin(stream, title,
          (struct point){front.low.x_mm, -words_top - LEGEND_ROW * size * rows - 0.3 * size},
          front.high, size);
    fputs("<g class=\"larger\">\n", stream);
    grid(stream, front.low, front.high, FRONT_GRID_MM);
    if (before) {
        draw_parts(stream, before, "before", true);
    }
    draw_parts(stream, view, "now", true);
    fputs("</g>\n", stream);
    front_words(stream, view, &front, front.low.x_mm, size, words_top, false, before != NULL);
}

bool side_view_front_svg(FILE *stream, const struct side_view *view, const struct side_view *before,
                         const char *title, struct problem *problem)
{
    struct point low, high;
    if (!has_saddle(view) && (before == NULL || !has_saddle(before))) {
        front_alone(stream, view, before, title);
        fputs("</svg>\n", stream);
        return !ferror(stream) || problem_set(problem, "the drawing could not be written");
    }
    span(view, before, &low, &high);
    high.y_mm -= MARGIN_MM / 2.0;
    double across = high.x_mm - low.x_mm, size = across / SHEET_LETTERS;
    struct enlarged front = front_of(view, before, across);
    double front_top = -low.y_mm + 0.5 * size;
    double words_top = front_top + front.times * (front.high.y_mm - front.low.y_mm) + 0.2 * size;
    int rows = (marks_in_front(view, &front) + 1) / 2 + FRONT_NOTES;
    double bottom = words_top + LEGEND_ROW * size * rows + 0.3 * size;
    front.x = low.x_mm - front.times * front.low.x_mm;
    front.y = front_top + front.times * front.high.y_mm;
    begin(stream, title, (struct point){low.x_mm, -bottom}, high, size);
    line(stream, "level", (struct point){low.x_mm, 0}, (struct point){high.x_mm, 0});
    if (before) {
        draw(stream, before, "before");
    }
    draw(stream, view, "now");
    draw_front(stream, view, before, &front);
    front_words(stream, view, &front, low.x_mm, size, words_top, true, before != NULL);
    fputs("</svg>\n", stream);
    return !ferror(stream) || problem_set(problem, "the drawing could not be written");
}
