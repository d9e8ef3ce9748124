/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_HOLD_STREAM_H
#define HOLDLINE_MEASURE_HOLD_STREAM_H

#include "measure/minutes.h"

/* One channel of a hold that may last for hours, measured as it goes on: the same summary and
 * minutes as hold_summarise and minutes_make give of all readings at once, in memory that does not
 * grow with their rate (docs/measures.md, 'One ride'). What differs: nothing is cut off its
 * beginning; outliers, and what is filtered, end with the piece; quantiles are known to 0.1 mm;
 * steps are judged as if it lasted most_s, since nobody knows yet. The same pieces give the same
 * numbers, live and when they are read again. */
struct hold_stream;

/* rate_hz: about how many readings a second come. NULL without memory. */
struct hold_stream *hold_stream_create(const struct hold_settings *settings, double rate_hz,
                                       double most_s);
void hold_stream_destroy(struct hold_stream *stream); /* NULL is allowed */

/* The next piece, which begins from_s into the hold: its times and cuts are from its own start. Of
 * what lies between the pieces nothing was read. At most 1.5 times STEP_STRETCH_S long. Its status
 * as hold_summarise's: MEASURE_TOO_FEW where nothing of it is kept, which is no harm;
 * MEASURE_NO_MEMORY: some of it is missing in what the hold comes to. */
enum measure_status hold_stream_add(struct hold_stream *stream, const struct hold_input *piece,
                                    double from_s);
/* Looks for a step in what was not looked at yet, where there is enough of it: costs some tens of
 * ms, every half STEP_STRETCH_S. over: no more comes. True: a step was found that is larger than
 * those before, at *at_s. */
bool hold_stream_look(struct hold_stream *stream, bool over, double *step_mm, double *at_s);
/* What a step of this channel would be at the time of another's, right after that look. */
enum measure_status hold_stream_step_at(const struct hold_stream *stream, double at_s,
                                        double *step_mm);
/* What it has come to by so_far_s: of the summary the counts, the spread, the interval and the
 * band, but not how long that lasted. Costs little. */
enum measure_status hold_stream_so_far(const struct hold_stream *stream, double so_far_s,
                                       struct hold_summary *summary);
/* The hold is over, and has come to duration_s. */
enum measure_status hold_stream_summarise(const struct hold_stream *stream, double duration_s,
                                          struct hold_summary *summary);
/* Rows of a minute: up_s and the last one's end are the caller's. As minutes_make. */
size_t hold_stream_minutes(const struct hold_stream *stream, double duration_s,
                           struct minute_row *rows, size_t most);

#endif
