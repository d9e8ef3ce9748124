/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A rider's record as HTML and on pages. */
#include "report/paper_files.h"
#include "report/visits.h"

#include "say/say.h"

static bool write_visits(struct paper *paper, const void *what, struct problem *problem)
{
    return visits_document(paper, what, problem);
}

static bool as(bool (*file)(FILE *stream, const struct paper_file *file, struct problem *problem),
               FILE *stream, const struct across *across, enum page_size size,
               struct problem *problem)
{
    char title[SAY_SIZE];
    visits_title(across, title, sizeof title);
    const struct paper_file visits = {
        .title = title,
        .created_ms = across->session[across->session_count - 1].record->started_ms,
        .size = size,
        .write = write_visits,
        .what = across};
    return file(stream, &visits, problem);
}

bool report_visits_html(FILE *stream, const struct across *across, enum page_size size,
                        struct problem *problem)
{
    return as(paper_file_html, stream, across, size, problem);
}

bool report_visits_pdf(FILE *stream, const struct across *across, enum page_size size,
                       struct problem *problem)
{
    return as(paper_file_pdf, stream, across, size, problem);
}
