/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PAPER_FILES_H
#define HOLDLINE_REPORT_PAPER_FILES_H

#include "report/paper.h"
#include "report/report.h"

#include <stdint.h>

/* A document that is one list of elements, as a file. */
struct paper_file {
    const char *title;  /* its name, and the running head of its pages */
    int64_t created_ms; /* Unix time that pages are dated with */
    enum page_size size;
    bool (*write)(struct paper *paper, const void *what, struct problem *problem);
    const void *what;
};

bool paper_file_html(FILE *stream, const struct paper_file *file, struct problem *problem);
/* Laid out once to count the pages, then drawn. */
bool paper_file_pdf(FILE *stream, const struct paper_file *file, struct problem *problem);

#endif
