/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/practice.h"

#include "measure/rules.h"

#include <math.h>

double share_logit(double share, double blocks)
{
    double n = fmax(blocks, SHARE_BLOCKS_LEAST);
    return log((share * n + 0.5) / ((1.0 - share) * n + 0.5));
}

double share_of_logit(double logit)
{
    return 1.0 / (1.0 + exp(-logit));
}

/* ---- feedback ---- */

/* After Park, Shea and Wright 2000: told during one piece, nothing during the next, more seldom as
 * tests get better. */
static const enum told_way orders[FEEDBACK_ROWS][FEEDBACK_ORDER] = {
    {TOLD_SEEN, TOLD_SEEN, TOLD_AFTER, TOLD_SEEN, TOLD_HEARD, TOLD_AFTER},
    {TOLD_SEEN, TOLD_AFTER, TOLD_HEARD, TOLD_SEEN, TOLD_AFTER, TOLD_HEARD},
    {TOLD_HEARD, TOLD_AFTER, TOLD_HEARD, TOLD_AFTER, TOLD_HEARD, TOLD_AFTER},
    {TOLD_HEARD, TOLD_AFTER, TOLD_AFTER, TOLD_HEARD, TOLD_AFTER, TOLD_NONE},
    {TOLD_AFTER, TOLD_NONE, TOLD_AFTER, TOLD_NONE, TOLD_AFTER, TOLD_NONE},
};

int feedback_row(double share)
{
    return share > FEEDBACK_LEARNT       ? 4
           : share >= FEEDBACK_VERY_GOOD ? 3
           : share >= FEEDBACK_GOOD      ? 2
           : share >= FEEDBACK_FAIR      ? 1
                                         : 0;
}

int feedback_row_after(const double *share, size_t tests)
{
    if (tests == 0) {
        return 0;
    }
    if (tests == 1) { /* one alone is noise: never the row in which nothing is told */
        int row = feedback_row(share[0]);
        return row < FEEDBACK_ROWS - 1 ? row : FEEDBACK_ROWS - 2;
    }
    int row = feedback_row((share[0] + share[1]) / 2.0), over = 0, under = 0;
    if (row == FEEDBACK_ROWS - 1 && fmin(share[0], share[1]) <= FEEDBACK_LEARNT) {
        row--;
    }
    for (size_t i = 2; i < tests; i++) {
        int own = feedback_row(share[i]);
        over = own > row ? over + 1 : 0;
        under = own < row ? under + 1 : 0;
        if (over == 2 || under == 2) {
            row += over == 2 ? 1 : -1;
            over = under = 0;
        }
    }
    return row;
}

enum told_way feedback_of(int row, int piece)
{
    int last = FEEDBACK_ROWS - 1;
    return orders[row < 0 ? 0 : row > last ? last : row][piece % FEEDBACK_ORDER];
}

bool told_during(enum told_way way)
{
    return way == TOLD_SEEN || way == TOLD_HEARD;
}

/* ---- length ---- */

static double limited(double length_s)
{
    return fmin(fmax(length_s, PIECE_LEAST_S), PIECE_MOST_S);
}

struct piece_length piece_length_first(double studio_s)
{
    double first_s =
        isfinite(studio_s) && studio_s > 0.0 ? PIECE_OF_STUDIO * studio_s : PIECE_FIRST_S;
    return (struct piece_length){limited(first_s), 0};
}

bool piece_kept(double share, bool lost, double discomfort)
{
    return share >= PIECE_KEPT_SHARE && !lost && !(discomfort >= PIECE_DISCOMFORT);
}

void piece_length_back(struct piece_length *piece)
{
    *piece = (struct piece_length){limited(piece->length_s / PIECE_STEP), 0};
}

void piece_length_next(struct piece_length *piece, bool kept, bool held)
{
    if (!kept) {
        piece_length_back(piece);
    } else if (!held && ++piece->kept >= 2) {
        *piece = (struct piece_length){limited(piece->length_s * PIECE_STEP), 0};
    }
}

double piece_rest_s(double length_s)
{
    return fmin(length_s, PIECE_REST_MOST_S);
}

double pieces_total_most_s(const double *totals_s, size_t sessions)
{
    double most = 0.0;
    size_t from = sessions > PRACTICE_MORE_SESSIONS ? sessions - PRACTICE_MORE_SESSIONS : 0;
    for (size_t i = from; i < sessions; i++) {
        most = fmax(most, totals_s[i]);
    }
    return most > 0.0 ? PRACTICE_MORE * most : INFINITY;
}

/* ---- discomfort ---- */

enum discomfort_asks discomfort_asks_of(double last, double before, double morning, bool sign)
{
    if (sign) {
        return DISCOMFORT_ENDS;
    }
    if (last >= DISCOMFORT_STOP || (last >= DISCOMFORT_BACK && before >= DISCOMFORT_BACK)) {
        return DISCOMFORT_STUDIO;
    }
    return last >= DISCOMFORT_BACK || morning > DISCOMFORT_MORNING ? DISCOMFORT_SHORTER
                                                                   : DISCOMFORT_NOTHING;
}

bool depends_on_feedback(const double *with_feedback, const double *next_test, size_t pairs)
{
    int apart = 0;
    for (size_t i = pairs; i > 0 && apart < 2; i--) {
        double more = with_feedback[i - 1] - next_test[i - 1];
        if (isnan(more)) {
            continue;
        }
        if (more <= DEPENDENCE_SHARE) {
            return false;
        }
        apart++;
    }
    return apart == 2;
}
