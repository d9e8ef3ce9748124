/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_SLIP_H
#define HOLDLINE_ANALYSIS_SLIP_H

#include "analysis/analysis.h"

/* A sensor that slipped, unseen, looks like a body that moved: but a body moves on all channels, a
 * clamp on one. Where two builds of one setup disagree on one channel, by more than its holds
 * repeat and by 5 mm, and the others went along by less than a third, somebody is asked; until then
 * nothing is said of that channel's differences. */

/* Fills analysis->slip from the holds' means: for each channel the first two builds of a setup that
 * disagree so and of which nobody said anything. Readings of plate, tape or a second sensor on the
 * later build settle it without a question. */
void slip_find(const struct session_record *record, struct analysis *analysis);

/* Did the build's sensors move since the build before, by what nobody entered: as it was answered
 * for the build, or because a sensor slipped somewhere between two builds of a setup, this one
 * among them. */
enum answer slip_or_moved(const struct session_record *record, int build);

/* The setup's build before this one, on the same placing; -1 = none. */
int slip_build_before(const struct session_record *record, int build);

/* The channel whose question is open, -1 = none. */
int slip_unanswered(const struct session_record *record, const struct analysis *analysis);

#endif
