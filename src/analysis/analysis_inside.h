/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_ANALYSIS_INSIDE_H
#define HOLDLINE_ANALYSIS_ANALYSIS_INSIDE_H

/* Shared by the files of the analysis only. */

#include "analysis/analysis.h"
#include "measure/sat_up.h"

const struct placing_record *analysis_placing_of(const struct session_record *record, int build);

/* analysis_auxiliary.c: sums of one hold's other readings, piece by piece (cut: 1 = left out), what
 * they come to, and which holds were ridden otherwise than those they are compared with. */
struct auxiliary_sums {
    double sum[AUXILIARIES];
    uint64_t good[AUXILIARIES];
};
void auxiliary_add(const struct placing_record *placing, const struct sample *samples, size_t count,
                   const uint8_t *cut, struct auxiliary_sums *sums);
void auxiliary_means(const struct auxiliary_sums *sums, struct hold_result *result);
void analysis_auxiliary_apart(const struct session_record *record, struct analysis *analysis);

/* analysis_holds.c: everything of one hold: summaries, what was sat up, steps, the ellipse. False
 * where its samples are not there. */
bool analysis_of_hold(const struct session_record *record, int index, sample_source *source,
                      void *context, struct analysis *analysis, struct problem *problem);

/* step_in_hold.c: one channel of the body stepped by step_mm, and another by other_mm there: both
 * did. Also where the other's is not known. */
bool analysis_stepped_along(bool known, double other_mm, double step_mm);

/* hold_sat_up.c: who tells of sitting up: channels of the body with a band that ends above. Of a
 * hold of practice, sample by sample; telling = 0: nobody. */
struct up_teller {
    int channel;
    bool is_head;
    double limit_mm;
    struct cue_machine slow;
};
struct up_watch {
    int build, telling;
    struct up_teller teller[CHANNELS_MAX];
    struct sat_up sat;
    double at_s;
};
void up_watch_begin(struct up_watch *watch, const struct session_record *record, int index,
                    const struct hold_settings *settings);
/* True: a stretch ended, *cut is that. */
bool up_watch_step(struct up_watch *watch, const struct session_record *record,
                   const struct analysis *analysis, const struct sample *sample, double at_s,
                   struct hold_cut *cut);
bool up_watch_end(struct up_watch *watch, struct hold_cut *cut);
/* Up to when it is known whether the rider sat up. */
double up_watch_known_s(const struct up_watch *watch);
/* The stretches of a hold in which the rider sat up (measure/sat_up.h), by the parts
 * of the body with a band (settings: of each channel); how many, never over most. */
int analysis_sat_up(const struct session_record *record, const struct analysis *analysis, int index,
                    const struct hold_settings *settings, const struct sample *samples,
                    size_t count, struct hold_cut *cuts, int most);

/* The share of a hold's time in which the rider was seen, and down. */
void analysis_posture_share(const struct session_record *record, int index,
                            const struct analysis *analysis, struct hold_result *result);

/* hold_meter.c: a ride, measured of what the source has of it, in pieces. */
bool analysis_ride(const struct session_record *record, int index, sample_source *source,
                   void *context, struct analysis *analysis, struct problem *problem);
size_t analysis_ride_minutes(const struct session_record *record, const struct analysis *analysis,
                             int index, int channel, sample_source *source, void *context,
                             struct minute_row *rows, size_t most);

/* analysis_compare.c: is the hold over, and kept? */
bool analysis_hold_counts(const struct hold_record *hold);
/* Which holds count, how they compare, what that is not to be said of, and what follows. */
void analysis_compare(const struct session_record *record, struct analysis *analysis);

#endif
