/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_EXPORT_FILE_H
#define HOLDLINE_APP_EXPORT_FILE_H

#include "base/problem.h"
#include "report/report.h"
#include "report/visits.h"

#include <stdio.h>

/* One session to one file; the kind follows the file's ending. The one place that knows which
 * ending is what: scripts, the live session, `replay` and `export` all come here. A name that ends
 * in -setups.csv or -cloud.svg chooses that table or picture, others get holds and heights. An
 * ending that is none is wrong use. */
bool export_file(const struct report_input *input, sample_source *source, void *context,
                 const struct report_file *file, struct problem *problem);

/* 'pdf', 'setups.csv' as the ending of a file's name, '.pdf', '-setups.csv'; else a sentence. */
bool export_ending(const char *kind, char *ending, size_t size, struct problem *problem);
/* The name that is proposed for it: 'R-07-2026-01-10.pdf', by rider and day. */
void export_name(const struct session_record *record, const char *ending, char *name, size_t size);
/* The same where no file of that name is in the folder ("" = the present one); else with a number
 * from 2 on before the ending. It asks a disk. */
void export_name_free(const char *proposed, const char *ending, const char *folder, char *name,
                      size_t size);
/* The same as a file with this ending, to a stream. */
bool export_to(FILE *stream, const struct report_input *input, sample_source *source, void *context,
               const char *ending, struct problem *problem);

/* What such a record carries of the rider (say/carried.h). */
bool export_visits_carries(const char *path, const struct across *across, char *text, size_t size);
/* A rider's record over these visits: .pdf, .html, .csv or .json. language: of the first two; NULL:
 * as HOLDLINE_LANGUAGE says, else English. */
bool export_visits(const struct across *across, enum page_size size,
                   const struct language *language, const struct report_file *file,
                   struct problem *problem);

/* What a file of this name carries of the person ridden for (say/carried.h); false: nothing. */
bool export_file_carries(const char *path, const struct session_record *record, char *text,
                         size_t size);

/* The endings there are, for sentences and help: '.txt, .csv, .json, .html, .pdf, .svg'. */
extern const char *const export_endings;

#endif
