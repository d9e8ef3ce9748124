/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A rider's record on pages: laid out once to count them, then drawn. */
#include "pages.h"
#include "pages_library.h"
#include "paper_sizes.h"
#include "report/visits.h"

#include "say/say.h"

#define SIZE 9.2

static int set(const struct pages_settings *settings, FILE *stream, const struct across *across,
               struct problem *problem)
{
    struct pages *pages = pages_create(stream, settings, problem);
    struct paper paper;
    if (pages == NULL) {
        return 0;
    }
    pages_paper(pages, &paper);
    bool done = visits_document(&paper, across, problem);
    done = pages_finish(pages, done ? problem : NULL) && done;
    int count = done ? pages_count(pages) : 0;
    pages_destroy(pages);
    return count;
}

bool report_visits_pdf(FILE *stream, const struct across *across, enum page_size size,
                       struct problem *problem)
{
    char title[SAY_SIZE];
    visits_title(across, title, sizeof title);
    struct pages_settings settings = {
        .width_pt = paper_sizes_pt[size][0],
        .height_pt = paper_sizes_pt[size][1],
        .size_pt = SIZE,
        .running = title,
        .title = title,
        .created_ms = across->session[across->session_count - 1].record->started_ms,
    };
    if (!pages_have_memory(problem)) {
        return false;
    }
    settings.page_count = set(&settings, NULL, across, problem);
    return settings.page_count > 0 && set(&settings, stream, across, problem) > 0 &&
           (!ferror(stream) || problem_set(problem, "the pages could not be written"));
}
