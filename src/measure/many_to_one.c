/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/many_to_one.h"

#include "over_sd.h"
#include "remembered.h"

#include "measure/distribution.h"

#include <gsl/gsl_spline.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

/* Where the probability of staying inside is worked out, in standard errors; splines between. */
#define LIMIT_STEP 0.2
#define LIMITS 32 /* up to 6.2: less than 1e-9 of a normal error lies beyond */
/* How far f and g reach, and how finely they are cut where both play a part, and where one does. */
#define REACH 5.5
#define STEP_BOTH 0.5
#define STEP_ONE 0.1
#define OWN_LEAST 0.003 /* of a variance: less falls between the steps */
#define STEPS_MOST 40
#define SURE 6.0 /* standard deviations */
/* A plan asks for the same few designs again and again, a millisecond each. */
#define REMEMBERED_COUNT ((REMEMBERED_NUMBERS - 2) / 3) /* differences at most */
#define EXACT_ENOUGH 1e-5                               /* of the share beyond */

/* Parts in units of each difference's standard error; own as a standard deviation. */
static bool scale(const struct many_to_one *family, struct many_to_one *scaled, bool *both)
{
    scaled->count = family->count;
    *both = false;
    for (int i = 0; i < family->count; i++) {
        double total =
            family->own[i] + family->one[i] * family->one[i] + family->two[i] * family->two[i];
        if (!(family->own[i] >= 0.0) || !(total > 0.0) || isinf(total)) {
            return false;
        }
        scaled->own[i] = sqrt(fmax(family->own[i] / total, OWN_LEAST));
        scaled->one[i] = family->one[i] / sqrt(total);
        scaled->two[i] = family->two[i] / sqrt(total);
        *both = *both || family->two[i] != 0.0;
    }
    return true;
}

/* Adds to inside[] what the common parts f and g contribute with this weight. */
static void add_inside(const struct many_to_one *scaled, double f, double g, double weight,
                       double *inside)
{
    double middle[MANY_TO_ONE_MOST];
    for (int i = 0; i < scaled->count; i++) {
        middle[i] = scaled->one[i] * f + scaled->two[i] * g;
    }
    for (int at = 1; at < LIMITS; at++) {
        double limit = at * LIMIT_STEP, all = weight;
        for (int i = 0; i < scaled->count && all > 0.0; i++) {
            double up = (limit - middle[i]) / scaled->own[i];
            double down = (-limit - middle[i]) / scaled->own[i];
            all *= up > SURE && down < -SURE ? 1.0 : normal_upper(down) - normal_upper(up);
        }
        inside[at] += all;
    }
}

/* Probability that all stay inside each limit, the SD being known. The plane of f and g is
 * symmetric about its middle: half of it, twice. */
static void known_sd(const struct many_to_one *scaled, bool both, double *inside)
{
    double step = both ? STEP_BOTH : STEP_ONE, sum = 0.0;
    int reach = (int)(REACH / step);
    for (int at = 0; at < LIMITS; at++) {
        inside[at] = 0.0;
    }
    for (int i = 0; i <= reach; i++) {
        for (int j = both ? -reach : 0; j <= (both ? reach : 0); j++) {
            double f = i * step, g = j * step;
            if (f * f + g * g > REACH * REACH) {
                continue;
            }
            double weight = (i == 0 ? 1.0 : 2.0) * exp(-0.5 * (f * f + g * g));
            sum += weight;
            add_inside(scaled, f, g, weight, inside);
        }
    }
    for (int at = 0; at < LIMITS; at++) {
        inside[at] /= sum;
    }
}

struct question {
    const gsl_spline *inside;
    double c;
};

static double inside_at(double sd, const void *context)
{
    const struct question *question = context;
    double limit = question->c * sd;
    return limit < (LIMITS - 1) * LIMIT_STEP ? gsl_spline_eval(question->inside, limit, NULL) : 1.0;
}

/* How far the logarithm of the share beyond c is from the one wanted: nearly a straight line. */
static double too_much(const gsl_spline *inside, double c, double df, double wanted)
{
    struct question question = {inside, c};
    double all = isinf(df) ? inside_at(1.0, &question) : mean_over_sd(df, c, inside_at, &question);
    return log(fmax(1.0 - all, 1e-300) / wanted);
}

/* Between one difference alone and so many that have nothing in common (Bonferroni): false position
 * (Illinois). */
static double solve(const gsl_spline *inside, double low, double high, double df, double wanted)
{
    double f_low = too_much(inside, low, df, wanted), f_high = too_much(inside, high, df, wanted);
    double guess = f_low > 0.0 ? high : low;
    if (!(f_low > 0.0) || !(f_high < 0.0)) {
        return guess;
    }
    for (int step = 0; step < STEPS_MOST; step++) {
        guess = (low * f_high - high * f_low) / (f_high - f_low);
        double f = too_much(inside, guess, df, wanted);
        if (fabs(f) < EXACT_ENOUGH) {
            break;
        }
        if (f > 0.0) {
            low = guess;
            f_low = f;
            f_high *= 0.5;
        } else {
            high = guess;
            f_high = f;
            f_low *= 0.5;
        }
    }
    return guess;
}

static double two_sided(double beyond, double df)
{
    return isinf(df) ? normal_quantile(1.0 - 0.5 * beyond) : t_quantile(1.0 - 0.5 * beyond, df);
}

static double work_out(const struct many_to_one *scaled, bool both, double df, double beyond)
{
    double limits[LIMITS], inside[LIMITS];
    known_sd(scaled, both, inside);
    for (int at = 0; at < LIMITS; at++) {
        limits[at] = at * LIMIT_STEP;
    }
    gsl_spline *spline = gsl_spline_alloc(gsl_interp_cspline, LIMITS);
    double limit = (double)INFINITY;
    if (spline != NULL && gsl_spline_init(spline, limits, inside, LIMITS) == 0) {
        limit =
            solve(spline, two_sided(beyond, df), two_sided(beyond / scaled->count, df), df, beyond);
    }
    gsl_spline_free(spline);
    return limit;
}

static double remember(const struct many_to_one *scaled, bool both, double df, double beyond)
{
    static _Thread_local struct remembered remembered;
    const double *const parts[] = {scaled->own, scaled->one, scaled->two};
    double asked[REMEMBERED_NUMBERS] = {df, beyond}, limit;
    size_t count = 2, each = (size_t)scaled->count;
    for (int part = 0; part < 3; part++, count += each) {
        memcpy(asked + count, parts[part], each * sizeof(double));
    }
    if (!remembered_find(&remembered, asked, count, &limit)) {
        limit = work_out(scaled, both, df, beyond);
        if (isfinite(limit)) { /* else memory was short */
            remembered_keep(&remembered, asked, count, limit);
        }
    }
    return limit;
}

double many_to_one_limit(const struct many_to_one *family, double df, double confidence)
{
    struct many_to_one scaled;
    double beyond = 1.0 - confidence;
    bool both;
    if (family->count < 1 || family->count > MANY_TO_ONE_MOST || !(df > 0.0) ||
        !(confidence > 0.0 && confidence < 1.0) || !scale(family, &scaled, &both)) {
        return (double)INFINITY;
    }
    if (family->count == 1) {
        return two_sided(beyond, df);
    }
    return scaled.count <= REMEMBERED_COUNT ? remember(&scaled, both, df, beyond)
                                            : work_out(&scaled, both, df, beyond);
}
