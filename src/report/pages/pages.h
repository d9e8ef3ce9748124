/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PAGES_H
#define HOLDLINE_REPORT_PAGES_H

#include "report/paper.h"

#include <stdint.h>

/* Pages of a PDF, filled from top to bottom; what does not fit goes on the next. Text is set by
 * Pango, pictures by librsvg, both into one cairo document, so text stays text. Fonts: DejaVu Sans,
 * and for scripts that it lacks whatever the system has. */
struct pages;

struct pages_settings {
    double width_pt, height_pt;
    double size_pt;      /* of running text; everything else follows it */
    const char *running; /* stands on top of every page; not copied */
    int page_count;      /* '2/9'; 0 while they are counted, and nothing is drawn */
    const char *title;   /* of the document */
    int64_t created_ms;  /* the document's date, Unix time */
};

/* stream NULL: nothing is drawn, only the pages are counted. NULL with a problem. */
struct pages *pages_create(FILE *stream, const struct pages_settings *settings,
                           struct problem *problem);
/* Writes what is left. False when something could not be written. */
bool pages_finish(struct pages *pages, struct problem *problem);
void pages_destroy(struct pages *pages); /* NULL is fine */
int pages_count(const struct pages *pages);

/* The size of running text from here on. */
void pages_set_size(struct pages *pages, double size_pt);
/* What stands on top of the pages that begin from here on; not copied. */
void pages_set_running(struct pages *pages, const char *running);
/* How large PICTURE_LARGE is set from here on, of its own size: 1. */
void pages_set_picture_scale(struct pages *pages, double scale);
/* Paper that is these pages: parts begin on a page of their own. */
void pages_paper(struct pages *pages, struct paper *paper);

#endif
