/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PAGES_INSIDE_H
#define HOLDLINE_REPORT_PAGES_INSIDE_H

#include "pages.h"

#include "pages_library.h"

/* What the files that set pages share. Lengths are points, y downwards from the page's top. */
struct pages {
    struct pages_library use;
    cairo_surface_t *surface; /* NULL: only counted */
    cairo_t *cairo;
    FILE *stream;
    bool failed; /* something could not be written there */
    PangoFontMap *fonts;
    PangoContext *context;
    struct pages_settings settings;
    double left, right, top, bottom;
    double y; /* where the next thing stands */
    /* a picture stands at the right from beside_left on, down to beside_bottom */
    double beside_left, beside_bottom;
    double picture_scale; /* of a large picture */
    int page;             /* 0: none begun */
    char part[64];
    int outline;      /* the part's entry in the list of contents */
    const char *leaf; /* the tag of the text being set; NULL: none */
    bool in_list;
};

struct pages_type {
    double size_pt;
    bool bold;
    double grey; /* 0 black */
};

/* Words in capitals that warn are bold. width_pt under 0: lines are not broken. The caller frees it
 * with use.g_object_unref. */
PangoLayout *pages_layout(struct pages *pages, struct pages_type type, double width_pt,
                          const char *text);
void pages_layout_size(const struct pages *pages, PangoLayout *layout, double *width_pt,
                       double *height_pt);
void pages_draw_layout(struct pages *pages, PangoLayout *layout, double x, double y, double grey);
void pages_draw_rule(struct pages *pages, double from, double to, double y, double thick,
                     double grey);

/* An entry of the document's list of contents, for the current place. */
void pages_outline_add(struct pages *pages, bool part, const char *text);

/* What stands between them is this to those who have it read aloud: "Table", "TR". One leaf, with
 * text or a picture in it, is open at a time; where the page turns, it goes on over there. */
void pages_tag_begin(struct pages *pages, const char *tag);
void pages_tag_end(struct pages *pages, const char *tag);
void pages_leaf_begin(struct pages *pages, const char *tag);
void pages_leaf_end(struct pages *pages);
/* Items that follow each other are one list: what comes now is one of them, or is none. */
void pages_list(struct pages *pages, bool item);

/* How far to the right the next thing may go. */
double pages_right(const struct pages *pages);
/* A new page when less than so much is left. */
void pages_room(struct pages *pages, double height_pt);
void pages_turn(struct pages *pages);

/* What a paper on pages is made of. last: what was written before. */
void pages_part(struct pages *pages, const char *heading);
void pages_element(struct pages *pages, enum paper_element element, enum paper_element last,
                   const char *text);
bool pages_table(struct pages *pages, const struct table *table, struct problem *problem);
bool pages_picture(struct pages *pages, enum picture_place place, const char *svg,
                   struct problem *problem);

#endif
