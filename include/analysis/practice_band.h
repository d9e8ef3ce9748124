/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_PRACTICE_BAND_H
#define HOLDLINE_ANALYSIS_PRACTICE_BAND_H

#include "analysis/analysis.h"

/* The band that a setup may be practised by. A target taken on another setup leads back to that
 * one's posture, and so does one that was entered and does not lie where this setup's rider was
 * without the gauge: neither is practised by, and what was kept of them is not this posture. */
enum practice_band_of {
    PRACTICE_BAND_NONE,
    PRACTICE_BAND_OWN,     /* taken on this setup */
    PRACTICE_BAND_ENTERED, /* of no setup here, and this setup's posture lies at it */
    PRACTICE_BAND_AWAY,    /* entered, and the posture lies by more than what matters beside it, or
                              outside its band */
    PRACTICE_BAND_OTHER    /* taken on another setup */
};

struct practice_band {
    enum practice_band_of of;
    int other;               /* index of the setup it was taken on, with PRACTICE_BAND_OTHER */
    struct hold_record hold; /* one with its target and band; without PRACTICE_BAND_NONE */
};

/* The setup's own latest target where there is one, else that of its last hold that counts. */
void practice_band_find(const struct session_record *record, const struct analysis *analysis,
                        int setup, struct practice_band *band);
/* There is one, and it is to be practised by. */
bool practice_band_holds_good(const struct practice_band *band);

/* How a setup was kept in the band with the gauge seen. */
struct practice_share {
    double share;  /* mean of the holds, NAN = none */
    double kept_s; /* what it rests on: of those holds what was looked at, s */
    int holds;
};

/* Of guided holds that count and have an interval, with the band's target alone; of none where the
 * band doesn't hold good. */
struct practice_share practice_share_of(const struct session_record *record,
                                        const struct analysis *analysis, int setup,
                                        const struct practice_band *band, int channel);

/* How long it was kept there, by the part of the body that was kept worst; s, NAN = not seen. */
struct practice_kept {
    double gone_after_s; /* the shortest time after which it was lost */
    double kept_s;       /* the longest for which it was kept at least, where it was not lost */
    double of_s;         /* the length of that hold */
};

/* Of the same holds, those of PRACTICE_LONG_HOLD_S and more. */
struct practice_kept practice_kept_of(const struct session_record *record,
                                      const struct analysis *analysis, int setup,
                                      const struct practice_band *band);
/* Of each setup in the band that it may be practised by, all together. */
struct practice_kept practice_kept_of_all(const struct session_record *record,
                                          const struct analysis *analysis);

#endif
