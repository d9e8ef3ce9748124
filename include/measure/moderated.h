/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_MODERATED_H
#define HOLDLINE_MEASURE_MODERATED_H

#include <stdbool.h>

/* How well holds repeat, learnt from more than the session at hand: moderated variances (Smyth
 * 2004, Stat. Appl. Genet. Mol. Biol. 3, article 3). */

/* A variance, in any unit squared, and the degrees of freedom that it is worth; df 0: none. */
struct spread {
    double variance, df;
};

/* Both together: (df variance of one + df variance of other) / (df + df), with df + df (Smyth 2004,
 * section 3). */
struct spread spread_together(struct spread one, struct spread other);

/* The scaled F distribution that variances of many sessions come from (Smyth 2004, section 6.2):
 * what a session not yet seen is expected to have, and what that expectation is worth. df INFINITY
 * where they differ by no more than chance. false: fewer than two variances above 0, or not finite.
 */
bool spread_expected(const struct spread *sessions, int count, struct spread *expected);

/* What earlier sessions of the same rider are worth for the next one: their pooled variance. A
 * rider repeats differently from day to day, as an inverse chi squared with day_df degrees of
 * freedom would (INFINITY: always the same): 1/df = 1/sum(df) + (1 + 1/count)/day_df. None without
 * a session of df > 0. */
struct spread spread_of_rider(const struct spread *sessions, int count, double day_df);

#endif
