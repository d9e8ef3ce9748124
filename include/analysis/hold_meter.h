/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_HOLD_METER_H
#define HOLDLINE_ANALYSIS_HOLD_METER_H

#include "analysis/analysis.h"

/* A ride, measured as its samples come: live, and in the same way when it is read again. Takes them
 * in pieces of about a minute, whose readings are forgotten then (measure/hold_stream.h). What it
 * hangs on (heights, target, band, marks) is asked of record and analysis as it goes on. */
struct hold_meter;

/* Of a hold that has begun. NULL without memory. */
struct hold_meter *hold_meter_create(const struct session_record *record,
                                     const struct analysis *analysis, int hold);
void hold_meter_destroy(struct hold_meter *meter); /* NULL is allowed */

/* The hold's next sample. Some tens of ms where a piece ends, now and then. */
void hold_meter_sample(struct hold_meter *meter, const struct session_record *record,
                       const struct analysis *analysis, const struct sample *sample);
/* The same of samples first to last of a source, some at a time. False: some are not there. */
bool hold_meter_read(struct hold_meter *meter, const struct session_record *record,
                     const struct analysis *analysis, int64_t first, int64_t last,
                     sample_source *source, void *context);
/* The last sample has come. */
void hold_meter_end(struct hold_meter *meter, const struct session_record *record,
                    const struct analysis *analysis);
/* False: since it was begun something has changed that it hangs on, so that samples are to be taken
 * anew; or a piece found no memory. After the end. */
bool hold_meter_stands(const struct hold_meter *meter, const struct session_record *record,
                       const struct analysis *analysis);
/* What the hold came to, after the end: all of the result but its health, which is made once and
 * stays where it is known. */
void hold_meter_result(struct hold_meter *meter, const struct session_record *record,
                       const struct analysis *analysis, struct hold_result *result);
/* One channel up to the last piece. */
void hold_meter_so_far(const struct hold_meter *meter, int channel, struct hold_summary *summary);
/* Rows of one channel (measure/minutes.h), after the end; never over most. */
size_t hold_meter_rows(const struct hold_meter *meter, int channel, struct minute_row *rows,
                       size_t most);

#endif
