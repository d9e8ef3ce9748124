/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/moderated.h"

#include "gsl_quiet.h"

#include <gsl/gsl_sf_psi.h>

#include <math.h>

static bool usable(const struct spread *spread)
{
    return spread->variance > 0.0 && isfinite(spread->variance) && spread->df > 0.0 &&
           isfinite(spread->df);
}

struct spread spread_together(struct spread one, struct spread other)
{
    if (isinf(other.df) || !(one.df > 0.0)) {
        return other;
    }
    if (isinf(one.df) || !(other.df > 0.0)) {
        return one;
    }
    double df = one.df + other.df;
    return (struct spread){(one.df * one.variance + other.df * other.variance) / df, df};
}

/* The y with trigamma(y) = x > 0, by Newton's method on 1/trigamma, which is nearly a straight line
 * and convex: from the left of the root it never steps past it (Smyth 2004, appendix). */
static double trigamma_inverse(double x)
{
    double y = 0.5 + 1.0 / x;
    for (int i = 0; i < 50; i++) {
        double value = gsl_sf_psi_1(y);
        double step = value * (1.0 - value / x) / gsl_sf_psi_n(2, y);
        y += step;
        if (fabs(step) < 1e-12 * y) {
            break;
        }
    }
    return y;
}

bool spread_expected(const struct spread *sessions, int count, struct spread *expected)
{
    double sum = 0.0, squares = 0.0, chance = 0.0, weighted = 0.0, df = 0.0;
    int used = 0;
    gsl_quiet();
    for (int i = 0; i < count; i++) {
        if (!usable(&sessions[i])) {
            continue;
        }
        double half = 0.5 * sessions[i].df;
        double e = log(sessions[i].variance) - gsl_sf_psi(half) + log(half);
        double before = used > 0 ? sum / used : 0.0;
        used++;
        sum += e;
        squares += (e - before) * (e - sum / used);
        chance += gsl_sf_psi_1(half);
        weighted += sessions[i].df * sessions[i].variance;
        df += sessions[i].df;
    }
    if (used < 2) {
        return false;
    }
    double between = squares / (used - 1) - chance / used;
    if (!(between > 0.0)) {
        *expected = (struct spread){weighted / df, (double)INFINITY};
        return true;
    }
    double half = trigamma_inverse(between);
    *expected = (struct spread){exp(sum / used + gsl_sf_psi(half) - log(half)), 2.0 * half};
    return isfinite(expected->variance) && isfinite(expected->df);
}

struct spread spread_of_rider(const struct spread *sessions, int count, double day_df)
{
    struct spread all = {0.0, 0.0};
    int days = 0;
    for (int i = 0; i < count; i++) {
        if (usable(&sessions[i])) {
            all = spread_together(all, sessions[i]);
            days++;
        }
    }
    if (days > 0) {
        all.df = 1.0 / (1.0 / all.df + (1.0 + 1.0 / days) / day_df);
    }
    return all;
}
