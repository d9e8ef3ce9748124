/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_REPORT_H
#define HOLDLINE_REPORT_REPORT_H

#include "analysis/analysis.h"
#include "base/language.h"
#include "base/problem.h"
#include "bike/limits.h"
#include "record/record.h"

#include <stdio.h>

/* Tables and exports of one session. Reports take records and summaries, never SQL rows; the same
 * records give the same bytes (no clock, no locale). Numbers are rounded to what is known, with
 * units. */
enum page_size { PAGE_A4, PAGE_LETTER };
struct report_input {
    const struct session_record *record;
    const struct analysis *analysis;
    /* the command log, for JSON; may be NULL */
    const struct command_record *commands;
    size_t command_count;
    /* beside the session's own limits, in their place where both say one; may be NULL */
    const struct bike_limits *limits;
    bool sheet_only;          /* of HTML and PDF: the rider's sheet without the fitter's report */
    enum page_size page_size; /* of PDF */
    const char *fitter;       /* whose name stands on the sheet; NULL or "": none */
    const char *mark;         /* and mark, as SVG; NULL: none */
    const struct language *language; /* of the rider's sheet (report/languages.h); NULL: English */
    int chosen_setup; /* the setup's number that the rider's sheet is about; 0 = the session's */
};

typedef bool report_writer(FILE *stream, const struct report_input *input, struct problem *problem);
/* source gives the samples of captures; context is its own */
typedef bool report_samples_writer(FILE *stream, const struct report_input *input,
                                   sample_source *source, void *context, struct problem *problem);
/* width in cells (80 where unknown) */
typedef bool report_text_writer(FILE *stream, const struct report_input *input, int width,
                                struct problem *problem);

/* The comparison as the fitter reads it: setups, differences with verdicts in words, what was left
 * out. */
report_text_writer report_compare_text;
/* A day of runs alone: setups by their runs, each run, what was left out. */
report_text_writer report_drag_text;
/* The whole session: rider, bike, placing, setups with coordinates, builds with ties, targets,
 * holds, ratings, notes, comparison, how it was measured, cautions. */
report_text_writer report_session_text;
/* CSV (RFC 4180): one row a hold and channel with its setup's parts, tie and summary; cells that
 * would start a formula are made harmless. */
report_writer report_holds_csv;
/* CSV: one row a setup and channel with mean, interval, difference, verdict, ratings, and whether
 * no other setup beats it. */
report_writer report_setups_csv;
/* CSV: one row a body channel and part: how far the height followed it, and on the row of the part
 * that is suggested next, what to expect of it. */
report_writer report_steps_csv;
/* CSV: one row a lap or way of each run, with its run, its drag and what left it out. */
report_writer report_runs_csv;
/* CSV: every reading of every capture: sample, seconds, channel, range, quality, height. */
report_samples_writer report_readings_csv;
/* CSV: holds of over MINUTE_ROWS_FROM_S by the minute and by quarters: a row each, hold and
 * channel. */
report_samples_writer report_minutes_csv;
/* JSON (RFC 8259) of everything above; docs/export.schema.json describes it. */
report_writer report_json;
/* A day of runs alone, for drag --json. */
report_writer report_drag_json;
/* Only the comparison, for compare --json. */
report_writer report_compare_json;

/* One HTML file, nothing outside it: the rider's sheet (as found, as chosen, what to turn, why, how
 * to practise), then the fitter's report with its pictures. */
report_samples_writer report_html;

/* The same on pages to hand over, with numbers and a head: the sheet on two at most. Its date is
 * the session's. */
report_samples_writer report_pdf;

/* A file that is written through a temporary one beside it, which then gets its name; never over an
 * existing file unless replace. */
typedef bool report_body(FILE *stream, void *context, struct problem *problem);
struct report_file {
    const char *path;
    bool replace;
    /* asked before each write to the disk; false, and false from then on: nothing more is written,
     * nothing is left, and the problem says 'stopped'. NULL = it is always gone on with. */
    bool (*go_on)(void *context);
    void *go_on_context;
};
bool report_write_file(const struct report_file *file, report_body *body, void *context,
                       struct problem *problem);

#endif
