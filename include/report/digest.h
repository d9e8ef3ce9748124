/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_DIGEST_H
#define HOLDLINE_REPORT_DIGEST_H

#include "report/report.h"
#include "say/say.h"

/* What stands beside height for one setup: medians over its holds and ratings, with the values
 * behind them. No test and no score: they are put side by side. NAN = nothing there. */
struct channel_digest {
    int free_holds, guided_holds;                    /* that count and have a summary */
    double steadiness_free_mm, steadiness_guided_mm; /* geometric mean of the holds' RMS */
    double creep_free, creep_guided;                 /* median, mm a minute */
    double in_band_share;                            /* mean of the guided holds */
    double came_up, went_low;                        /* mean a guided hold */
};

struct setup_digest {
    struct channel_digest channel[CHANNELS_MAX];
    int rating_count;
    int ratings[RATINGS_MAX]; /* index in the record, in order */
    double
        value[RATING_ITEMS]; /* what they come to (analysis/setup_ratings.h); NAN = never given */
};

void digest_setup(const struct report_input *input, int setup, struct setup_digest *digest);

/* An item as it stands beside height: its word, or its median with every value: '4',
 * '4 (3, 4, 6)', '30 min', '-'. */
void digest_item_text(const struct report_input *input, const struct setup_digest *digest, int item,
                      char *text, size_t size);
/* The regions with discomfort over 0, worst first, with every value: 'neck 4, hands 2 (1, 3)'; else
 * as say_no_discomfort. */
void digest_discomfort_text(const struct report_input *input, const struct setup_digest *digest,
                            char *text, size_t size);

/* 'hands', 'hands and saddle' or, not in a sentence, 'hands, saddle'; false where nothing was numb.
 */
bool digest_numb_text(const struct setup_digest *digest, bool in_sentence, char *text, size_t size);
/* The regions of which nobody asked whether they were numb: 'hands, saddle'; of how many it was. */
int digest_numb_unasked(const struct setup_digest *digest, char *text, size_t size);

/* The limits from the makers' papers: the session's own and those given with the report. */
struct bike_limits digest_limits(const struct report_input *input);
/* Those that a setup passes: 'spacers 40 mm: over the limit entered, 30 mm'; '' for none. */
void digest_limits_passed(const struct report_input *input, int setup, char *text, size_t size);

/* How far a part moved along an axis, as the whole millimetres differ in which both its places
 * stand; 0 where it is too little to be a move. */
#define DIGEST_MOVED_MM 0.5
double digest_moved_mm(double from_mm, double to_mm);

/* Index of the setup that the bike came with: the first that was built (an earlier session's setups
 * are known without that); 0 where none was. */
int digest_found(const struct report_input *input);
/* Index of the setup that is asked for, else of the one that was chosen in the session, or -1. */
int digest_chosen(const struct report_input *input);

/* '2  spacers out, pads down': number and intent, or what was changed where no intent was given. */
void digest_setup_label(const struct session_record *record, int setup, char *text, size_t size);

/* The session's day where it was held: '10 January 2026'. */
void digest_day(const struct report_input *input, char *text, size_t size);
/* '60 mm', '-6°': a finite measure of the bike with its unit. */
void digest_measure(char *text, size_t size, double value, const char *unit);

/* Places in the record that reports ask for. */
const struct placing_record *digest_placing(const struct report_input *input, int build);
const struct setup_record *digest_setup_of_hold(const struct report_input *input, int hold);
/* The build the bike was in at this sample: the latest that had begun. -1 = none yet. */
int digest_build_at(const struct session_record *record, int64_t sample);
/* Ranges are all there is of the channel: where its sensor is fixed was never said. */
bool digest_is_range(const struct report_input *input, int channel);
/* 'height', or 'range' where it is one. */
const char *digest_measured(const struct report_input *input, int channel);
/* Are all heights of this channel above the bottom bracket, none counted from the first build? */
bool digest_absolute(const struct report_input *input, int channel);

#endif
