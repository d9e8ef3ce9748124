/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_LEARNING_H
#define HOLDLINE_REPORT_LEARNING_H

#include "analysis/learning.h"
#include "report/paper.h"
#include "report/report.h"

/* A rider's practice over weeks: what tests show, each of them, what was practised, how it felt,
 * what was not done, what comes next. health: discomfort goes in. */
struct learning_report {
    const struct learning *learning;
    bool health;
    int64_t since_ms; /* tables, CSV and JSON have tests and sessions from here on; 0: all */
    enum page_size size;
    bool for_rider; /* papers are one page: what comes next, and the picture */
};

typedef bool learning_writer(FILE *stream, const struct learning_report *report,
                             struct problem *problem);
learning_writer report_learning_csv, report_learning_json, report_learning_svg,
    report_learning_html, report_learning_pdf;
bool report_learning_text(FILE *stream, const struct learning_report *report, int width,
                          struct problem *problem);

/* On whatever paper. */
bool learning_document(struct paper *paper, const struct learning_report *report,
                       struct problem *problem);
/* 'R-07, 14 sessions of practice, 3 to 30 January 2026' */
void learning_title(const struct learning *learning, char *text, size_t size);
/* Tests over time with intervals and phases, how long it was kept, and discomfort, on one axis. */
void plot_learning(FILE *stream, const struct learning_report *report, bool alone);

#endif
