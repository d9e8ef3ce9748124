/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/svg.h"

#include "base/numbers.h"
#include "base/text.h"
#include "report/paper.h"

#include <math.h>

/* Places on the page to a tenth of a unit. */
static void place(FILE *stream, const char *name, double value)
{
    char text[64];
    text_from_double(text, sizeof text, value, 1);
    fprintf(stream, " %s=\"%s\"", name, text);
}

void svg_begin(FILE *stream, double width, double height, bool alone, const char *title)
{
    char across[64], down[64];
    text_from_double(across, sizeof across, width, 0);
    text_from_double(down, sizeof down, height, 0);
    if (alone) {
        fputs("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n", stream);
    }
    fprintf(stream,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" viewBox=\"0 0 %s %s\" "
            "width=\"%s\" "
            "height=\"%s\" role=\"img\" font-family=\"%s\">\n<title>",
            across, down, across, down, SVG_FONT);
    paper_escape(stream, title);
    fputs("</title>\n", stream);
    if (alone) {
        svg_rectangle(stream, 0, 0, width, height, "fill=\"#ffffff\"");
    }
}

void svg_end(FILE *stream)
{
    fputs("</svg>\n", stream);
}

void svg_group_begin(FILE *stream, double x, double y)
{
    char across[64], down[64];
    text_from_double(across, sizeof across, x, 1);
    text_from_double(down, sizeof down, y, 1);
    fprintf(stream, "<g transform=\"translate(%s %s)\">\n", across, down);
}

void svg_group_end(FILE *stream)
{
    fputs("</g>\n", stream);
}

void svg_text(FILE *stream, double x, double y, struct svg_type type, const char *text)
{
    static const char *const anchors[] = {"start", "middle", "end"};
    char typeset[PAPER_ELEMENT_SIZE];
    say_typeset(typeset, sizeof typeset, text);
    fputs("<text", stream);
    place(stream, "x", x);
    place(stream, "y", y);
    place(stream, "font-size", type.size);
    fprintf(stream, " text-anchor=\"%s\"%s fill=\"%s\">", anchors[type.anchor],
            type.bold ? " font-weight=\"bold\"" : "",
            type.colour != NULL ? type.colour : "#000000");
    paper_escape(stream, typeset);
    fputs("</text>\n", stream);
}

void svg_line(FILE *stream, double x1, double y1, double x2, double y2, const char *look)
{
    fputs("<line", stream);
    place(stream, "x1", x1);
    place(stream, "y1", y1);
    place(stream, "x2", x2);
    place(stream, "y2", y2);
    fprintf(stream, " %s/>\n", look);
}

void svg_rectangle(FILE *stream, double x, double y, double width, double height, const char *look)
{
    fputs("<rect", stream);
    place(stream, "x", x);
    place(stream, "y", y);
    place(stream, "width", width);
    place(stream, "height", height);
    fprintf(stream, " %s/>\n", look);
}

void svg_circle(FILE *stream, double x, double y, double radius, const char *look)
{
    fputs("<circle", stream);
    place(stream, "cx", x);
    place(stream, "cy", y);
    place(stream, "r", radius);
    fprintf(stream, " %s/>\n", look);
}

void svg_ellipse(FILE *stream, double x, double y, double radius_x, double radius_y,
                 double angle_deg, const char *look)
{
    char cx[64], cy[64], angle[64];
    text_from_double(cx, sizeof cx, x, 1);
    text_from_double(cy, sizeof cy, y, 1);
    text_from_double(angle, sizeof angle, -angle_deg, 1);
    fprintf(stream, "<ellipse cx=\"%s\" cy=\"%s\"", cx, cy);
    place(stream, "rx", radius_x);
    place(stream, "ry", radius_y);
    fprintf(stream, " transform=\"rotate(%s %s %s)\" %s/>\n", angle, cx, cy, look);
}

void svg_path_begin(FILE *stream, const char *look)
{
    fprintf(stream, "<path %s d=\"", look);
}

void svg_path_point(FILE *stream, double x, double y, bool *pen_down)
{
    char across[64], down[64];
    if (!isfinite(x) || !isfinite(y)) {
        *pen_down = false;
        return;
    }
    text_from_double(across, sizeof across, x, 1);
    text_from_double(down, sizeof down, y, 1);
    fprintf(stream, "%s%s %s", *pen_down ? "L" : "M", across, down);
    *pen_down = true;
}

void svg_path_end(FILE *stream)
{
    fputs("\"/>\n", stream);
}

#define LOOKS 7

const char *svg_setup_colour(int setup)
{
    static const char *const colours[LOOKS] = {"#000000", "#0072b2", "#d55e00", "#009e73",
                                               "#cc79a7", "#e69f00", "#56b4e9"};
    return colours[setup % LOOKS];
}

const char *svg_setup_dashes(int setup)
{
    static const char *const dashes[LOOKS] = {"none", "8 3",  "2 3", "10 3 2 3",
                                              "5 5",  "12 4", "1 4"};
    return dashes[setup % LOOKS];
}

struct svg_scale svg_scale_make(double low, double high, double from, double to, double gap)
{
    struct svg_scale scale = {low, high, from, to, 1};
    double room = 0.06 * (high - low);
    if (!(room > 0)) {
        room = 1;
    }
    scale.low -= room;
    scale.high += room;
    double wanted = (scale.high - scale.low) * gap / fabs(to - from);
    double power = pow(10, floor(log10(wanted)));
    double share = wanted / power;
    scale.step = power * (share <= 1 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10);
    return scale;
}

double svg_scale_at(const struct svg_scale *scale, double value)
{
    return scale->from +
           (value - scale->low) / (scale->high - scale->low) * (scale->to - scale->from);
}

double svg_scale_tick(const struct svg_scale *scale, int tick)
{
    return (ceil(scale->low / scale->step) + tick) * scale->step;
}

int svg_scale_ticks(const struct svg_scale *scale)
{
    double first = ceil(scale->low / scale->step), last = floor(scale->high / scale->step);
    return last < first ? 0 : (int)(last - first) + 1;
}
