/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Pages: where things stand, what is on top and at the foot of each. */
#include "pages_inside.h"

#include "base/clock.h"
#include "base/numbers.h"
#include "base/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FONT "DejaVu Sans"
#define SIDE_MARGIN 45.0 /* about 16 mm */
#define HEAD_MARGIN 50.0
#define FOOT_MARGIN 48.0
#define RUNNING_SIZE 7.5
#define GREY 0.35

/* ---- text ------------------------------------------------------------------------------------ */

static PangoAttrList *attributes(const struct pages *pages, struct pages_type type,
                                 const char *text)
{
    PangoAttrList *list = pages->use.pango_attr_list_new();
    /* no ligatures: programs that read aloud stop at their replaced text */
    pages->use.pango_attr_list_insert(list,
                                      pages->use.pango_attr_font_features_new("liga=0, clig=0"));
    if (type.bold) {
        pages->use.pango_attr_list_insert(list,
                                          pages->use.pango_attr_weight_new(PANGO_WEIGHT_BOLD));
        return list;
    }
    for (const char *at = text; *at != '\0';) {
        size_t length = paper_warning_length(at);
        if (length == 0) {
            at++;
            continue;
        }
        PangoAttribute *bold = pages->use.pango_attr_weight_new(PANGO_WEIGHT_BOLD);
        bold->start_index = (guint)(at - text);
        bold->end_index = bold->start_index + (guint)length;
        pages->use.pango_attr_list_insert(list, bold);
        at += length;
    }
    return list;
}

PangoLayout *pages_layout(struct pages *pages, struct pages_type type, double width_pt,
                          const char *source)
{
    char text[2 * PAPER_ELEMENT_SIZE];
    say_typeset(text, sizeof text, source);
    PangoLayout *layout = pages->use.pango_layout_new(pages->context);
    PangoFontDescription *font = pages->use.pango_font_description_from_string(FONT);
    PangoAttrList *list = attributes(pages, type, text);
    pages->use.pango_font_description_set_absolute_size(font, type.size_pt * PANGO_SCALE);
    pages->use.pango_layout_set_font_description(layout, font);
    pages->use.pango_layout_set_attributes(layout, list);
    pages->use.pango_layout_set_auto_dir(layout,
                                         FALSE); /* a name in Hebrew stands at the left too */
    pages->use.pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    pages->use.pango_layout_set_width(layout, width_pt < 0 ? -1 : (int)(width_pt * PANGO_SCALE));
    pages->use.pango_layout_set_text(layout, text, -1);
    pages->use.pango_attr_list_unref(list);
    pages->use.pango_font_description_free(font);
    return layout;
}

void pages_layout_size(const struct pages *pages, PangoLayout *layout, double *width_pt,
                       double *height_pt)
{
    int width = 0, height = 0;
    pages->use.pango_layout_get_size(layout, &width, &height);
    *width_pt = width / (double)PANGO_SCALE;
    *height_pt = height / (double)PANGO_SCALE;
}

void pages_draw_layout(struct pages *pages, PangoLayout *layout, double x, double y, double grey)
{
    if (pages->cairo != NULL) {
        pages->use.cairo_set_source_rgb(pages->cairo, grey, grey, grey);
        pages->use.cairo_move_to(pages->cairo, x, y);
        pages->use.pango_cairo_show_layout(pages->cairo, layout);
    }
}

void pages_draw_rule(struct pages *pages, double from, double to, double y, double thick,
                     double grey)
{
    if (pages->cairo != NULL) {
        pages->use.cairo_set_source_rgb(pages->cairo, grey, grey, grey);
        pages->use.cairo_set_line_width(pages->cairo, thick);
        pages->use.cairo_move_to(pages->cairo, from, y);
        pages->use.cairo_line_to(pages->cairo, to, y);
        pages->use.cairo_stroke(pages->cairo);
    }
}

/* ---- pages ----------------------------------------------------------------------------------- */

enum side { SIDE_LEFT, SIDE_RIGHT };

/* One line, cut where it is too long for its half. */
static void running_text(struct pages *pages, enum side side, double y, const char *text)
{
    struct pages_type type = {RUNNING_SIZE, false, GREY};
    double most = 0.62 * (pages->right - pages->left), width = 0, height = 0;
    PangoLayout *layout = pages_layout(pages, type, most, text);
    pages->use.pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    pages_layout_size(pages, layout, &width, &height);
    pages_draw_layout(pages, layout, side == SIDE_LEFT ? pages->left : pages->right - width, y,
                      type.grey);
    pages->use.g_object_unref(layout);
}

static void head_and_foot(struct pages *pages)
{
    const struct pages_settings *settings = &pages->settings;
    char number[64];
    double foot = settings->height_pt - FOOT_MARGIN + 14;
    running_text(pages, SIDE_LEFT, 26, settings->running);
    pages_draw_rule(pages, pages->left, pages->right, 39, 0.4, 0.6);
    running_text(pages, SIDE_LEFT, foot, pages->part);
    /* no words: a sheet and the report behind it may be of two languages */
    snprintf(number, sizeof number, "%d/%d", pages->page, settings->page_count);
    running_text(pages, SIDE_RIGHT, foot, number);
}

void pages_turn(struct pages *pages)
{
    if (pages->leaf != NULL) {
        pages_tag_end(pages, pages->leaf);
    }
    if (pages->page > 0 && pages->cairo != NULL) {
        pages->use.cairo_show_page(pages->cairo);
    }
    pages->page++;
    pages->y = pages->top;
    pages->beside_bottom = 0;
    if (pages->cairo != NULL) {
        head_and_foot(pages);
    }
    if (pages->leaf != NULL) {
        pages_tag_begin(pages, pages->leaf);
    }
}

double pages_right(const struct pages *pages)
{
    return pages->y < pages->beside_bottom ? pages->beside_left : pages->right;
}

void pages_room(struct pages *pages, double height_pt)
{
    if (pages->y + height_pt > pages->bottom && pages->y > pages->top) {
        pages_turn(pages);
    }
}

void pages_set_picture_scale(struct pages *pages, double scale)
{
    pages->picture_scale = scale;
}

int pages_count(const struct pages *pages)
{
    return pages->page;
}

void pages_set_size(struct pages *pages, double size_pt)
{
    pages->settings.size_pt = size_pt;
}

void pages_set_running(struct pages *pages, const char *running)
{
    pages->settings.running = running;
}

void pages_outline_add(struct pages *pages, bool part, const char *text)
{
    char where[96];
    size_t used = 0;
    if (pages->cairo == NULL) {
        return;
    }
    text_append(where, sizeof where, &used, "page=%d pos=[%.1f %.1f]", pages->page, pages->left,
                pages->y);
    int id = pages->use.cairo_pdf_surface_add_outline(
        pages->surface, part ? CAIRO_PDF_OUTLINE_ROOT : pages->outline, text, where,
        part ? CAIRO_PDF_OUTLINE_FLAG_OPEN : 0);
    if (part) {
        pages->outline = id;
    }
}

/* ---- the document ---------------------------------------------------------------------------- */

/* Always well: cairo 1.16 does not survive being told of a full disk. The stream keeps the error,
 * and pages_finish looks there. */
static cairo_status_t write_bytes(void *context, const unsigned char *bytes, unsigned int count)
{
    struct pages *pages = context;
    if (!pages->failed) {
        pages->failed = fwrite(bytes, 1, count, pages->stream) != count;
    }
    return CAIRO_STATUS_SUCCESS;
}

static void set_metadata(struct pages *pages)
{
    char date[CLOCK_TEXT_SIZE];
    clock_wall_text(date, pages->settings.created_ms);
    /* whole seconds are all that a PDF's date has */
    text_copy(date + strlen("2026-01-10T18:00:00"), 2, "Z");
    pages->use.cairo_pdf_surface_set_metadata(pages->surface, CAIRO_PDF_METADATA_TITLE,
                                              pages->settings.title);
    pages->use.cairo_pdf_surface_set_metadata(pages->surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
    pages->use.cairo_pdf_surface_set_metadata(pages->surface, CAIRO_PDF_METADATA_MOD_DATE, date);
}

/* The same on every machine: no hinting, no language from the environment. */
static void make_context(struct pages *pages)
{
    cairo_font_options_t *options = pages->use.cairo_font_options_create();
    pages->fonts = pages->use.pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT);
    pages->context = pages->use.pango_font_map_create_context(pages->fonts);
    pages->use.cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    pages->use.cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pages->use.cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pages->use.pango_cairo_context_set_font_options(pages->context, options);
    pages->use.pango_cairo_context_set_resolution(pages->context, 72);
    pages->use.pango_context_set_language(pages->context,
                                          pages->use.pango_language_from_string("en"));
    pages->use.pango_context_set_base_dir(pages->context, PANGO_DIRECTION_LTR);
    pages->use.pango_context_set_round_glyph_positions(pages->context, FALSE);
    pages->use.cairo_font_options_destroy(options);
}

struct pages *pages_create(FILE *stream, const struct pages_settings *settings,
                           struct problem *problem)
{
    struct pages *pages = calloc(1, sizeof *pages);
    if (pages == NULL) {
        problem_set(problem, "no memory for the pages");
        return NULL;
    }
    if (!pages_library_load(&pages->use, problem)) {
        free(pages);
        return NULL;
    }
    pages->settings = *settings;
    pages->left = SIDE_MARGIN;
    pages->right = settings->width_pt - SIDE_MARGIN;
    pages->top = HEAD_MARGIN;
    pages->bottom = settings->height_pt - FOOT_MARGIN;
    pages->picture_scale = 1;
    make_context(pages);
    if (stream != NULL) {
        pages->stream = stream;
        pages->surface = pages->use.cairo_pdf_surface_create_for_stream(
            write_bytes, pages, settings->width_pt, settings->height_pt);
        pages->cairo = pages->use.cairo_create(pages->surface);
        set_metadata(pages);
        pages_tag_begin(pages, "Document");
    }
    return pages;
}

bool pages_finish(struct pages *pages, struct problem *problem)
{
    if (pages->cairo == NULL) {
        return true;
    }
    pages_list(pages, false);
    pages_tag_end(pages, "Document");
    if (pages->page > 0) {
        pages->use.cairo_show_page(pages->cairo);
    }
    cairo_status_t status = pages->use.cairo_status(pages->cairo);
    if (status == CAIRO_STATUS_SUCCESS) {
        pages->use.cairo_surface_finish(pages->surface);
        status = pages->use.cairo_surface_status(pages->surface);
    }
    if (status != CAIRO_STATUS_SUCCESS) {
        return problem_set(problem, "the pages could not be made: %s",
                           pages->use.cairo_status_to_string(status));
    }
    return !pages->failed || problem_set(problem, "the pages could not be written");
}

void pages_destroy(struct pages *pages)
{
    if (pages == NULL) {
        return;
    }
    if (pages->cairo != NULL) {
        pages->use.cairo_destroy(pages->cairo);
        pages->use.cairo_surface_destroy(pages->surface);
    }
    pages->use.g_object_unref(pages->context);
    pages->use.g_object_unref(pages->fonts);
    free(pages);
}
