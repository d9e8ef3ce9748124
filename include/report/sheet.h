/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_SHEET_H
#define HOLDLINE_REPORT_SHEET_H

#include "report/sections.h"

/* The rider's sheet: what to take home. Where no setup was chosen (report_input.chosen_setup) it
 * says so and shows what was found. */
report_section sheet_heading;   /* who, which bike, when: without the fitter's own words */
report_section sheet_attention; /* of the setup chosen: cannot see ahead, strained, numb */
report_section sheet_bike;      /* as found, as chosen, the change */
report_section sheet_wrench;    /* what to turn to get there, with boxes to tick */
report_section sheet_evidence;  /* why: in words */
report_section sheet_practice;  /* how to practise; what is common practice is marked as such */

#endif
