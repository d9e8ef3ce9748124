/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_DOCUMENT_H
#define HOLDLINE_REPORT_DOCUMENT_H

#include "report/paper.h"
#include "report/traces.h"

struct kept_pictures;

/* What HTML and PDF hold: the rider's sheet, then the fitter's report, both with pictures. */
struct document {
    const struct report_input *input;
    const struct traces *traces;
    sample_source *source;
    void *context;
    struct kept_pictures *kept; /* NULL: each is drawn where it is set */
};

/* Pictures that were drawn once, for a document that is set several times. NULL: no memory. */
struct kept_pictures *kept_pictures_create(void);
void kept_pictures_destroy(struct kept_pictures *kept);

/* 'R-07, 2026-01-10 18:00 UTC' */
void document_title(const struct report_input *input, char *text, size_t size);
bool document_sheet(struct paper *paper, const struct document *document, struct problem *problem);
bool document_report(struct paper *paper, const struct document *document, struct problem *problem);

#endif
