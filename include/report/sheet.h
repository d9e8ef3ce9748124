/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_SHEET_H
#define HOLDLINE_REPORT_SHEET_H

#include "report/sections.h"

/* The rider's sheet: what to take home. Where no setup was chosen (report_input.chosen_setup) it
 * says so and shows what was found. */
report_section sheet_heading;   /* who, which bike, when: without the fitter's own words */
report_section sheet_decision;  /* what to ride, what it did, what it costs */
report_section sheet_attention; /* past a limit, strained, numb; heights in doubt */
report_section sheet_wrench;    /* what to turn to get there, with bolts and boxes to tick */
report_section sheet_evidence;  /* why: in words */
report_section sheet_drag;      /* what a day of runs showed, in one line */
report_section sheet_practice;  /* how to practise; what is common practice is marked as such */
report_section sheet_rest;      /* what stays as it was, and where bar and pads are */
report_section sheet_cautions;  /* those of bolts stand with what to turn */

/* A setup was chosen, and nothing speaks against it whatever its numbers: a sheet says how to build
 * and to practise no other. */
bool sheet_may_be_ridden(const struct report_input *input);

#endif
