/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_VISITS_H
#define HOLDLINE_REPORT_VISITS_H

#include "analysis/across.h"
#include "report/paper.h"
#include "report/report.h"

/* A rider's record over the visits: heights on a line of time for each bike, setups by their parts,
 * ratings, what was chosen and what came of it, how much the same setup differed from day to day,
 * and what can't be compared. */

typedef bool visits_writer(FILE *stream, const struct across *across, enum page_size size,
                           struct problem *problem);
visits_writer report_visits_html, report_visits_pdf;
/* CSV: a row for each visit, setup and channel. */
visits_writer report_visits_csv;

/* The document, on whatever paper. */
bool visits_document(struct paper *paper, const struct across *across, struct problem *problem);
/* 'R-07, 3 visits, 10 January 2026 to 10 March 2026' */
void visits_title(const struct across *across, char *text, size_t size);

/* One bike's line of time, one channel. False, and nothing written, where fewer than two heights on
 * it are tied. */
bool plot_visits(FILE *stream, const struct across *across, const char *bike, int channel);

#endif
