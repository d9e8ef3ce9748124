/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Any document that is one list of elements, on pages. */
#include "pages.h"
#include "pages_library.h"
#include "paper_sizes.h"
#include "report/paper_files.h"

#define SIZE 9.2

static int set(const struct pages_settings *settings, FILE *stream, const struct paper_file *file,
               struct problem *problem)
{
    struct pages *pages = pages_create(stream, settings, problem);
    struct paper paper;
    if (pages == NULL) {
        return 0;
    }
    pages_paper(pages, &paper);
    bool done = file->write(&paper, file->what, problem);
    done = pages_finish(pages, done ? problem : NULL) && done;
    int count = done ? pages_count(pages) : 0;
    pages_destroy(pages);
    return count;
}

bool paper_file_pdf(FILE *stream, const struct paper_file *file, struct problem *problem)
{
    struct pages_settings settings = {
        .width_pt = paper_sizes_pt[file->size][0],
        .height_pt = paper_sizes_pt[file->size][1],
        .size_pt = SIZE,
        .running = file->title,
        .title = file->title,
        .created_ms = file->created_ms,
    };
    if (!pages_have_memory(problem)) {
        return false;
    }
    settings.page_count = set(&settings, NULL, file, problem);
    return settings.page_count > 0 && set(&settings, stream, file, problem) > 0 &&
           (!ferror(stream) || problem_set(problem, "the pages could not be written"));
}
