/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_SECTIONS_H
#define HOLDLINE_REPORT_SECTIONS_H

#include "report/paper.h"
#include "report/report.h"

/* The parts that text reports are put together from. Each writes itself with its title, and nothing
 * at all where there is nothing to say. False only without memory. */
typedef bool report_section(struct paper *paper, const struct report_input *input,
                            struct problem *problem);

report_section section_heading;   /* who, which bike, when, which rig */
report_section section_attention; /* what is wrong: alarms, not tied, cut short, cannot see ahead */
report_section section_heights;   /* setups, means, differences in words */
report_section section_steadiness; /* steadiness, in-band share, creep; ratings */
report_section section_insight;    /* which setups no other beats; steps per change, the next one */
report_section section_together;   /* the first two channels' ellipse of each setup */
report_section section_certainty;  /* how far the numbers can be trusted */
report_section section_data_quality; /* cut, missing, doubtful, rejected, kept afterwards */
report_section section_readings;     /* the same, counted for each hold and channel */
report_section section_setups;       /* parts and coordinates of each setup */
report_section section_ties;         /* builds, and how each sensor's height is known on them */
report_section section_targets;      /* targets and bands */
report_section section_holds;        /* each hold and channel */
report_section section_rides;        /* long rides by their quarters */
report_section section_effort;       /* power, cadence, heart rate of the holds */
report_section section_drag;         /* setups by their runs */
report_section section_runs;         /* each run, and what was left out */
report_section section_checks;       /* checks of the sensors */
report_section section_ratings;      /* every rating as given, and notes */
report_section section_notes;
report_section section_method; /* how it was measured */
report_section section_cautions;

/* The setup (index) that a next step is counted from: the chosen one, else the lowest that no other
 * beats; -1 = none. */
int section_next_from(const struct report_input *input);

#endif
