/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PLOTS_NAME_PLACE_H
#define HOLDLINE_REPORT_PLOTS_NAME_PLACE_H

/* What takes up room in a picture: y goes down. */
struct name_box {
    double left, top, right, bottom;
};

/* Where the name of the mark at x, y, so wide, in letters of this size, lies on none of the boxes:
 * left of the mark or, further out, of far_x; else a row under or over that, or the mark itself. If
 * none is free: left of far_x. */
struct name_box name_place(double x, double far_x, double y, double wide, double letter,
                           const struct name_box *boxes, int count);

/* The line that its letters stand on. */
double name_baseline(const struct name_box *name, double letter);

#endif
