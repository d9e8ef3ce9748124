/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_PRACTICE_H
#define HOLDLINE_MEASURE_PRACTICE_H

#include <stdbool.h>
#include <stddef.h>

/* The rules of practice at home: which piece is told of how, how long it is, and when to stop
 * (docs/practice.md). Lengths in s, shares 0 to 1. */

/* ---- the share in the band, so that 0 and 1 stay finite ---- */
/* ln((R n + 1/2) / ((1 - R) n + 1/2)) of a share R worth n blocks, SHARE_BLOCKS_LEAST at least. */
double share_logit(double share, double blocks);
double share_of_logit(double logit);

/* ---- which piece gets which feedback ---- */
enum told_way {
    TOLD_UNSAID,
    TOLD_SEEN,  /* gauge and sound during, share and mean after */
    TOLD_HEARD, /* the sound alone, share and mean after */
    TOLD_AFTER, /* nothing during; guess, then share and mean */
    TOLD_NONE,  /* nothing until the session's end */
    TOLD_WAYS,
};
enum { FEEDBACK_ROWS = 5, FEEDBACK_ORDER = 6 };
/* The row that a share belongs to, 0 (most is told) to FEEDBACK_ROWS - 1. */
int feedback_row(double share);
/* The row in force after these tests, in the order of time: it begins with the mean of the first
 * two, and goes one row up, or down, where two tests in a row lie over, or under, it. */
int feedback_row_after(const double *share, size_t tests);
/* How a piece (0, 1, ...) is told; after FEEDBACK_ORDER of them they begin anew. */
enum told_way feedback_of(int row, int piece);
/* Is anything told during it? */
bool told_during(enum told_way way);

/* ---- how long a piece is: up after two, down after one, by PIECE_STEP ---- */
struct piece_length {
    double length_s;
    int kept; /* pieces kept in a row since the length changed */
};
/* Where it begins: studio_s is how long the posture was kept in the studio, NAN not known. */
struct piece_length piece_length_first(double studio_s);
/* Was it kept: share in the band, lost within it, the largest discomfort (NAN: not asked)? */
bool piece_kept(double share, bool lost, double discomfort);
/* After a piece. held: it does not grow now. */
void piece_length_next(struct piece_length *piece, bool kept, bool held);
void piece_length_back(struct piece_length *piece); /* one step, for discomfort */
double piece_rest_s(double length_s);
/* What all pieces of a session may come to; totals_s: of the sessions before, the latest last.
 * None: INFINITY. */
double pieces_total_most_s(const double *totals_s, size_t sessions);

/* ---- discomfort over length ---- */
enum discomfort_asks {
    DISCOMFORT_NOTHING,
    DISCOMFORT_SHORTER, /* one step back, and no longer this session */
    DISCOMFORT_STUDIO,  /* no practice until the studio looked */
    DISCOMFORT_ENDS,    /* a sign that ends it at once */
};
/* Of one region: at the end of the last session and of the one before, the next morning; NAN = not
 * asked. sign: numb, tingling, shooting pain or blurred sight. */
enum discomfort_asks discomfort_asks_of(double last, double before, double morning, bool sign);

/* ---- kept only while told ---- */
/* Shares of pieces with feedback and of the test that followed, session by session in the order of
 * time; NAN = none. The last two pairs both apart by DEPENDENCE_SHARE? */
bool depends_on_feedback(const double *with_feedback, const double *next_test, size_t pairs);

#endif
