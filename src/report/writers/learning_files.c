/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A rider's practice as a file of HTML or PDF. */
#include "report/learning.h"
#include "report/paper_files.h"

#include "say/say.h"

static bool document(struct paper *paper, const void *what, struct problem *problem)
{
    return learning_document(paper, what, problem);
}

typedef bool file_writer(FILE *stream, const struct paper_file *file, struct problem *problem);

static bool as(file_writer *write, FILE *stream, const struct learning_report *report,
               struct problem *problem)
{
    char title[SAY_SIZE];
    const struct learning *learning = report->learning;
    int last = learning->day_count - 1;
    learning_title(learning, title, sizeof title);
    const struct paper_file file = {.title = title,
                                    .created_ms = last >= 0 ? learning->day[last].at_ms : 0,
                                    .size = report->size,
                                    .write = document,
                                    .what = report};
    return write(stream, &file, problem);
}

bool report_learning_html(FILE *stream, const struct learning_report *report,
                          struct problem *problem)
{
    return as(paper_file_html, stream, report, problem);
}

bool report_learning_pdf(FILE *stream, const struct learning_report *report,
                         struct problem *problem)
{
    return as(paper_file_pdf, stream, report, problem);
}
