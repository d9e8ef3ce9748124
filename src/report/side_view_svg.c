#include "base/text.h"
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
    ".side-view .before circle{stroke:#777}";

static void number(char text[32], double value)
{
    text_from_double(text, 32, value, 2);
}

static void escaped(FILE *stream, const char *text)
{
    for (; *text; text++) {
        const char *instead = *text == '<'   ? "&lt;"
                              : *text == '>' ? "&gt;"
                              : *text == '&' ? "&amp;"
                              : *text == '"' ? "&quot;"
                                             : NULL;
        if (instead) {
            fputs(instead, stream);
        } else {
            fputc(*text, stream);
        }
    }
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

static void grid(FILE *stream, struct point low, struct point high)
{
    for (int i = (int)ceil(low.x_mm / 100.0); i * 100.0 <= high.x_mm; i++) {
        line(stream, i == 0 ? "level" : "grid", (struct point){i * 100.0, low.y_mm},
             (struct point){i * 100.0, high.y_mm});
    }
    for (int i = (int)ceil(low.y_mm / 100.0); i * 100.0 <= high.y_mm; i++) {
        line(stream, i == 0 ? "level" : "grid", (struct point){low.x_mm, i * 100.0},
             (struct point){high.x_mm, i * 100.0});
    }
}

static void draw(FILE *stream, const struct side_view *view, const char *name)
{
    fprintf(stream, "<g id=\"%s\" class=\"%s\">\n", name, name);
    for (int i = 0; i < view->stroke_count; i++) {
        line(stream, side_part_key(view->stroke[i].part), view->stroke[i].from, view->stroke[i].to);
    }
    for (int i = 0; i < view->mark_count; i++) {
        const struct side_mark *mark = &view->mark[i];
        char x[32], y[32];
        number(x, mark->at.x_mm);
        number(y, -mark->at.y_mm);
        fprintf(stream, "<circle id=\"%s-", name);
        escaped(stream, mark->key);
        fprintf(stream, "\" cx=\"%s\" cy=\"%s\" r=\"7\"/>\n", x, y);
    }
    fputs("</g>\n", stream);
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
        escaped(stream, mark->words);
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

bool side_view_svg(FILE *stream, const struct side_view *view, const struct side_view *before,
                   const char *title, struct problem *problem)
{
    struct point low = view->low, high = view->high;
    if (before) {
        low = (struct point){fmin(low.x_mm, before->low.x_mm), fmin(low.y_mm, before->low.y_mm)};
        high =
            (struct point){fmax(high.x_mm, before->high.x_mm), fmax(high.y_mm, before->high.y_mm)};
    }
    low = (struct point){low.x_mm - MARGIN_MM, low.y_mm - MARGIN_MM / 2.0};
    high = (struct point){high.x_mm + MARGIN_MM, high.y_mm + MARGIN_MM};
    /* room for a line of the legend, however narrow the bike */
    high.x_mm = fmax(high.x_mm, low.x_mm + (LEGEND_ENTRY + 1) * SMALLEST_MM);
    double across = high.x_mm - low.x_mm, size = fmax(SMALLEST_MM, across / LETTERS);
    double rows = legend_rows(view, across, size) + NOTES + 0.5;
    struct point corner = {low.x_mm, low.y_mm - LEGEND_ROW * size * rows};
    char x[32], y[32], width[32], height[32], page_width[32], page_height[32], letters[32];
    number(x, low.x_mm);
    number(y, -high.y_mm);
    number(width, high.x_mm - low.x_mm);
    number(height, high.y_mm - corner.y_mm);
    number(letters, size);
    number(page_width, (high.x_mm - low.x_mm) / SCALE);
    number(page_height, (high.y_mm - corner.y_mm) / SCALE);
    fprintf(
        stream,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"%smm\" height=\"%smm\" "
        "viewBox=\"%s %s %s %s\" font-size=\"%s\" role=\"img\" class=\"side-view\">\n<title>",
        page_width, page_height, x, y, width, height, letters);
    escaped(stream, title);
    fprintf(stream, "</title>\n<style>%s</style>\n", style);
    grid(stream, low, high);
    if (before) {
        draw(stream, before, "before");
    }
    draw(stream, view, "now");
    words(stream, view, corner, across, size);
    notes(stream, low, corner, size, before != NULL);
    fputs("</svg>\n", stream);
    return !ferror(stream) || problem_set(problem, "the drawing could not be written");
}
