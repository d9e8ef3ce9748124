/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Headings, titles, paragraphs, items: text that flows over pages. */
#include "pages_inside.h"

#include "base/text.h"

#define TITLE_NEEDS 6.5 /* lines: a title does not stand alone at a page's foot */
#define TOGETHER 4      /* lines of a paragraph that are not torn apart */

/* How an element looks, in sizes of running text. */
struct look {
    double size, indent, above, below, grey;
    bool bold;
    const char *tag; /* what it is to those who have it read aloud */
};
static const struct look looks[] = {
    [PAPER_NOTHING] = {1, 0, 0, 0, 0, false, "P"},
    [PAPER_HEADING] = {1.75, 0, 0, 0.4, 0, true, "H1"},
    [PAPER_TITLE] = {1.22, 0, 1.2, 0.35, 0, true, "H2"},
    [PAPER_LINE] = {1, 0, 0, 0.1, 0, false, "P"},
    [PAPER_PARAGRAPH] = {1, 0, 0.15, 0.35, 0, false, "P"},
    [PAPER_ITEM] = {1, 1.1, 0.08, 0.12, 0, false, "LBody"},
    [PAPER_LABEL] = {1, 0, 0.5, 0.1, 0, true, "P"},
    [PAPER_UNDER] = {1, 1.1, 0, 0.1, 0, false, "P"},
    [PAPER_TABLE] = {1, 0, 0, 0, 0, false, "P"},
    [PAPER_NOTE] = {0.9, 0, 0.1, 0.4, 0.3, false, "P"},
    [PAPER_PICTURE] = {1, 0, 0, 0, 0, false, "P"},
    [PAPER_DECISION] = {2.1, 0, 0.7, 0.3, 0, true, "P"},
    [PAPER_LEAD] = {1.4, 0, 0.1, 0.2, 0, false, "P"},
};

/* Lines one by one, on the next page where this one is full. */
static void flow(struct pages *pages, PangoLayout *layout, double x, const struct look *look)
{
    PangoLayoutIter *iter = pages->use.pango_layout_get_iter(layout);
    do {
        PangoRectangle logical;
        pages->use.pango_layout_iter_get_line_extents(iter, NULL, &logical);
        double height = logical.height / (double)PANGO_SCALE;
        double baseline =
            (pages->use.pango_layout_iter_get_baseline(iter) - logical.y) / (double)PANGO_SCALE;
        pages_room(pages, height);
        if (pages->leaf == NULL) {
            pages_leaf_begin(pages, look->tag);
        }
        if (pages->cairo != NULL) {
            pages->use.cairo_set_source_rgb(pages->cairo, look->grey, look->grey, look->grey);
            pages->use.cairo_move_to(pages->cairo, x + logical.x / (double)PANGO_SCALE,
                                     pages->y + baseline);
            pages->use.pango_cairo_show_layout_line(
                pages->cairo, pages->use.pango_layout_iter_get_line_readonly(iter));
        }
        pages->y += height;
    } while (pages->use.pango_layout_iter_next_line(iter));
    pages_leaf_end(pages);
    pages->use.pango_layout_iter_free(iter);
}

void pages_element(struct pages *pages, enum paper_element element, enum paper_element last,
                   const char *text)
{
    const struct look *look = &looks[element];
    double size = pages->settings.size_pt, width = 0, height = 0;
    double x = pages->left + look->indent * size;
    bool first = pages->y <= pages->top;
    pages_list(pages, element == PAPER_ITEM);
    double above = first ? 0 : look->above * size;
    if (last == PAPER_TABLE || last == PAPER_PICTURE) {
        above += element == PAPER_NOTE || element == PAPER_TITLE ? 0 : 0.3 * size;
    }
    pages->y += above;
    if (element == PAPER_TITLE) {
        pages_room(pages, TITLE_NEEDS * 1.3 * size);
    }
    struct pages_type type = {look->size * size, look->bold, look->grey};
    PangoLayout *layout = pages_layout(pages, type, pages_right(pages) - x, text);
    pages_layout_size(pages, layout, &width, &height);
    if (element == PAPER_LABEL) {
        pages_room(pages, height + 3 * size);
    } else if (pages->use.pango_layout_get_line_count(layout) <= TOGETHER) {
        pages_room(pages, height);
    }
    if (element == PAPER_HEADING || element == PAPER_TITLE) {
        pages_outline_add(pages, element == PAPER_HEADING, text);
    }
    if (element == PAPER_ITEM) {
        PangoLayout *dot = pages_layout(pages, type, -1, "\xE2\x80\x93");
        pages_room(pages, 1.2 * size);
        pages_tag_begin(pages, "LI");
        pages_leaf_begin(pages, "Lbl");
        pages_draw_layout(pages, dot, pages->left, pages->y, type.grey);
        pages_leaf_end(pages);
        pages->use.g_object_unref(dot);
    }
    flow(pages, layout, x, look);
    if (element == PAPER_ITEM) {
        pages_tag_end(pages, "LI");
    }
    pages->use.g_object_unref(layout);
    if (element == PAPER_TITLE) {
        pages->y += 1.5;
        pages_draw_rule(pages, pages->left, pages_right(pages), pages->y, 0.9, 0);
    }
    pages->y += look->below * size;
}

void pages_part(struct pages *pages, const char *heading)
{
    text_copy(pages->part, sizeof pages->part, heading);
    pages_list(pages, false);
    pages_turn(pages);
    pages_element(pages, PAPER_HEADING, PAPER_NOTHING, heading);
}
