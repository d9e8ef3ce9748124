#ifndef HOLDLINE_SESSION_INSIGHT_INSIDE_H
#define HOLDLINE_SESSION_INSIGHT_INSIDE_H

/* Shared by the files of the insight and the analysis only. */

#include "session/analysis.h"

/* Could the rider ever not see ahead on this setup? */
bool insight_sight_failed(const struct session_record *record, int setup);

/* What the setup's ratings, any of them, say against going lower from it, as a sentence's part;
 * NULL = nothing. The sheets go by the same rule (report/digest.h). */
const char *insight_complaint(const struct session_record *record, int setup);

/* The channels that are looked at together; -1 and -1 where there are no two. */
void insight_pick_channels(const struct analysis *analysis, int *x_channel, int *y_channel);

void insight_make_steps(const struct session_record *record, const struct analysis *analysis,
                        struct insight *insight);

#endif
