/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_FITTERS_MARK_H
#define HOLDLINE_APP_FITTERS_MARK_H

#include "base/problem.h"

/* The fitter's or the studio's mark, as it stands on sheets: the PNG or SVG file that HOLDLINE_MARK
 * names, of 256 kB at most, as a picture in SVG. The file's bytes stand in it as data, so that
 * nothing in them can load or run anything where the sheet is read.
 * *svg is the caller's to free, NULL where none is named. False with a sentence. */
bool fitters_mark_read(char **svg, struct problem *problem);

#endif
