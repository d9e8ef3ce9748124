/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_SETUP_RATINGS_H
#define HOLDLINE_ANALYSIS_SETUP_RATINGS_H

#include "record/record.h"

/* What an item comes to over a setup's ratings, as its row says; NAN = never given. */
double setup_rating(const struct session_record *record, int setup, int item);

/* Could the rider ever not see ahead on this setup? */
bool setup_sight_failed(const struct session_record *record, int setup);

/* What the setup's ratings, any of them, say against going lower from it, the weightiest. The
 * sheets go by the same rule (report/digest.h). In words: say/setup.h. */
enum complaint {
    COMPLAINT_NONE,
    COMPLAINT_FAILED, /* could not see ahead */
    COMPLAINT_NUMB,
    COMPLAINT_STRAINED, /* to see ahead */
    COMPLAINTS
};
enum complaint setup_complaint(const struct session_record *record, int setup);

#endif
