/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_EXPORT_FILE_H
#define HOLDLINE_APP_EXPORT_FILE_H

#include "base/problem.h"
#include "report/report.h"
#include "report/visits.h"

/* One session to one file; the kind follows the file's ending. The one place that knows which
 * ending is what: scripts, the live session, `replay` and `export` all come here. A name that ends
 * in -setups.csv or -cloud.svg chooses that table or picture, others get holds and heights. An
 * ending that is none is wrong use. */
bool export_file(const struct report_input *input, sample_source *source, void *context,
                 const struct report_file *file, struct problem *problem);

/* A rider's record over these visits: .pdf, .html, .csv or .json. */
bool export_visits(const struct across *across, enum page_size size, const struct report_file *file,
                   struct problem *problem);

/* What a file of this name carries of the person ridden for (say/carried.h); false: nothing. */
bool export_file_carries(const char *path, const struct session_record *record, char *text,
                         size_t size);

/* The endings there are, for sentences and help: '.txt, .csv, .json, .html, .pdf, .svg'. */
extern const char *const export_endings;

#endif
