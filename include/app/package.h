/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PACKAGE_H
#define HOLDLINE_APP_PACKAGE_H

#include "report/report.h"

/* A session as one ZIP archive: its tables as CSV, what stands in them, JSON, and a script in R and
 * in Python that works the comparison out again from the tables. The same session gives the same
 * bytes. */
report_samples_writer package_write;

/* docs/export.schema.json, ended by NUL. */
extern const char package_schema[];

/* The two scripts and the text that tells what is in the archive: lines, and a NULL. */
extern const char *const package_readme[], *const package_python[], *const package_r[];
extern const char *const package_drag_python[], *const package_drag_r[]; /* of a day of runs */

#endif
