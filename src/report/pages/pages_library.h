/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PAGES_LIBRARY_H
#define HOLDLINE_REPORT_PAGES_LIBRARY_H

#include "base/problem.h"

#include <cairo-pdf.h>
#include <librsvg/rsvg.h>
#include <pango/pangocairo.h>

/* The libraries that set pages bring forty others with them: a program that is linked with them
 * takes 10 to 20 ms and 8 MiB more at every start. They are loaded when a page is asked for. A
 * function is called by its own name: pages->use.cairo_create(...). */
#define PAGES_FUNCTIONS(X)                                                                         \
    X(cairo_create)                                                                                \
    X(cairo_destroy)                                                                               \
    X(cairo_font_options_create)                                                                   \
    X(cairo_font_options_destroy)                                                                  \
    X(cairo_font_options_set_antialias)                                                            \
    X(cairo_font_options_set_hint_metrics)                                                         \
    X(cairo_font_options_set_hint_style)                                                           \
    X(cairo_line_to)                                                                               \
    X(cairo_move_to)                                                                               \
    X(cairo_pdf_surface_add_outline)                                                               \
    X(cairo_pdf_surface_create_for_stream)                                                         \
    X(cairo_pdf_surface_set_metadata)                                                              \
    X(cairo_set_line_width)                                                                        \
    X(cairo_set_source_rgb)                                                                        \
    X(cairo_show_page)                                                                             \
    X(cairo_status)                                                                                \
    X(cairo_status_to_string)                                                                      \
    X(cairo_stroke)                                                                                \
    X(cairo_surface_destroy)                                                                       \
    X(cairo_surface_finish)                                                                        \
    X(cairo_surface_status)                                                                        \
    X(cairo_tag_begin)                                                                             \
    X(cairo_tag_end)                                                                               \
    X(g_error_free)                                                                                \
    X(g_object_unref)                                                                              \
    X(pango_attr_font_features_new)                                                                \
    X(pango_attr_list_insert)                                                                      \
    X(pango_attr_list_new)                                                                         \
    X(pango_attr_list_unref)                                                                       \
    X(pango_attr_weight_new)                                                                       \
    X(pango_cairo_context_set_font_options)                                                        \
    X(pango_cairo_context_set_resolution)                                                          \
    X(pango_cairo_font_map_new_for_font_type)                                                      \
    X(pango_cairo_show_layout)                                                                     \
    X(pango_cairo_show_layout_line)                                                                \
    X(pango_context_set_base_dir)                                                                  \
    X(pango_context_set_language)                                                                  \
    X(pango_context_set_round_glyph_positions)                                                     \
    X(pango_font_description_free)                                                                 \
    X(pango_font_description_from_string)                                                          \
    X(pango_font_description_set_absolute_size)                                                    \
    X(pango_font_map_create_context)                                                               \
    X(pango_language_from_string)                                                                  \
    X(pango_layout_get_iter)                                                                       \
    X(pango_layout_get_line_count)                                                                 \
    X(pango_layout_get_size)                                                                       \
    X(pango_layout_iter_free)                                                                      \
    X(pango_layout_iter_get_baseline)                                                              \
    X(pango_layout_iter_get_line_extents)                                                          \
    X(pango_layout_iter_get_line_readonly)                                                         \
    X(pango_layout_iter_next_line)                                                                 \
    X(pango_layout_new)                                                                            \
    X(pango_layout_set_alignment)                                                                  \
    X(pango_layout_set_attributes)                                                                 \
    X(pango_layout_set_auto_dir)                                                                   \
    X(pango_layout_set_ellipsize)                                                                  \
    X(pango_layout_set_font_description)                                                           \
    X(pango_layout_set_text)                                                                       \
    X(pango_layout_set_width)                                                                      \
    X(pango_layout_set_wrap)                                                                       \
    X(rsvg_handle_get_intrinsic_size_in_pixels)                                                    \
    X(rsvg_handle_new_from_data)                                                                   \
    X(rsvg_handle_render_document)                                                                 \
    X(rsvg_handle_set_dpi)

struct pages_library {
#define X(name) __typeof__(&(name)) name; /* NOLINT(bugprone-macro-parentheses): declares it */
    PAGES_FUNCTIONS(X)
#undef X
};

/* They stay loaded for the program's life. False with a problem that names what is missing. */
bool pages_library_load(struct pages_library *library, struct problem *problem);

/* False, with a sentence, where too little memory is left for them. */
bool pages_have_memory(struct problem *problem);

#endif
