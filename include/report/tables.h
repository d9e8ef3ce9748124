/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_TABLES_H
#define HOLDLINE_REPORT_TABLES_H

#include "report/csv.h"
#include "report/report.h"

/* The tables of a session's package that have no file of their own, and what stands in the columns
 * of all. */
report_writer report_ratings_csv;     /* a row for each rating */
report_writer report_ties_csv;        /* a row for each reading of plate and tape */
report_writer report_differences_csv; /* a row for each setup and channel against the first setup */

report_writer report_drag_csv; /* a row for each setup of a day of runs against the first one */

/* Rows of the data dictionary. */
typedef void report_columns(struct csv_writer *csv, const char *file);
report_columns report_setups_columns;
report_columns report_holds_columns;
report_columns report_readings_columns;
report_columns report_runs_columns;
report_columns report_ratings_columns;
report_columns report_ties_columns;
report_columns report_differences_columns;
report_columns report_drag_columns;

#endif
