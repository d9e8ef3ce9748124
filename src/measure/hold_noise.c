/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_noise.h"

#include "gsl_quiet.h"

#include "base/angle.h"
#include "measure/rules.h"

#include <gsl/gsl_multimin.h>
#include <math.h>
#include <string.h>

#define SEARCH_STEPS 60
#define FILTER_SETTLED 4
#define NOT_TOLD_APART 1e12

double noise_breathing_hz(const struct noise_blocks *blocks)
{
    double duration_s = (double)blocks->count * blocks->block_s, mean = 0.0, there = 0.0;
    double best = -1.0, best_hz = BREATHING_LINE_FROM_HZ;
    for (size_t i = 0; i < blocks->count; i++) {
        mean += blocks->there[i] ? blocks->value_mm[i] : 0.0;
        there += blocks->there[i];
    }
    mean /= fmax(there, 1.0);
    double most_hz = fmin(BREATHING_LINE_TO_HZ, 0.4 / blocks->block_s);
    for (int tried = 0;; tried++) {
        double hz = BREATHING_LINE_FROM_HZ + 0.25 * tried / duration_s;
        if (!(hz < most_hz)) {
            break;
        }
        /* the phase is turned on block by block */
        double turn_cos = cos(TWO_PI * hz * blocks->block_s),
               turn_sin = sin(TWO_PI * hz * blocks->block_s);
        double c = 1.0, s = 0.0, sum_c = 0.0, sum_s = 0.0;
        for (size_t i = 0; i < blocks->count; i++) {
            if (blocks->there[i]) {
                double part = ((double)i + 0.5) / (double)blocks->count;
                double value = 4.0 * part * (1.0 - part) * (blocks->value_mm[i] - mean);
                sum_c += c * value;
                sum_s += s * value;
            }
            double next = turn_cos * c - turn_sin * s;
            s = turn_sin * c + turn_cos * s;
            c = next;
        }
        double power = (sum_c * sum_c + sum_s * sum_s) * hz * hz; /* wander falls with f^2 */
        if (power > best) {
            best = power;
            best_hz = hz;
        }
    }
    return best_hz;
}

/* Medians of the priors; what is left in a mean shrinks as the block grows. */
static void medians(const struct noise_blocks *blocks, double *log_median)
{
    log_median[NOISE_WANDER] = log(NOISE_WANDER_MM);
    log_median[NOISE_WANDER_S] = log(NOISE_WANDER_LASTS_S);
    log_median[NOISE_REST] = log(NOISE_REST_MM * sqrt(MODEL_BLOCK_S / blocks->block_s));
    log_median[NOISE_BREATHING] = log(NOISE_BREATHING_MM);
}

void noise_usual(const struct noise_blocks *blocks, struct noise *noise)
{
    medians(blocks, noise->log);
}

/* -2 log of the priors: Student's t, so that a rider unlike others may be so. */
static double prior(const struct noise_blocks *blocks, const struct noise *noise)
{
    double median[NOISE_PARTS], sum = 0.0;
    const double spread[NOISE_PARTS] = {NOISE_WANDER_SPREAD, NOISE_WANDER_LASTS_SPREAD,
                                        NOISE_REST_SPREAD, NOISE_BREATHING_SPREAD};
    medians(blocks, median);
    for (int i = 0; i < NOISE_PARTS; i++) {
        double off = (noise->log[i] - median[i]) / spread[i];
        sum += (NOISE_PRIOR_DF + 1.0) * log1p(off * off / NOISE_PRIOR_DF);
    }
    return sum;
}

/* Covariance of the state: wander, breathing, and breathing a quarter turn on. */
struct covariance {
    double ww, wb, wq, bb, bq, qq;
};

void noise_filter_make(const struct noise_blocks *blocks, const struct noise *noise,
                       struct noise_filter *filter)
{
    double wander = exp(2.0 * noise->log[NOISE_WANDER]);
    double rest = exp(2.0 * noise->log[NOISE_REST]);
    double breathing = exp(2.0 * noise->log[NOISE_BREATHING]);
    double keep = exp(-blocks->block_s / exp(noise->log[NOISE_WANDER_S]));
    double damped = exp(-BREATHING_DAMPING * blocks->block_s);
    double turn = TWO_PI * blocks->breathing_hz * blocks->block_s;
    double c = damped * cos(turn), s = damped * sin(turn);
    double new_wander = wander * (1.0 - keep * keep);
    double new_breathing = breathing * (1.0 - damped * damped);
    struct covariance p = {.ww = wander, .bb = breathing, .qq = breathing};
    double last = 0.0, log_variance = 0.0;
    int settled =
        0; /* blocks for which the filter has not changed: it won't until one is missing */
    *filter = (struct noise_filter){.keep = keep, .turn_cos = c, .turn_sin = s};
    for (size_t i = 0; i < blocks->count; i++) {
        if (blocks->there[i] && settled >= FILTER_SETTLED) {
            memcpy(filter->gain[i], filter->gain[i - 1], sizeof filter->gain[i]);
            filter->inverse_sd[i] = filter->inverse_sd[i - 1];
            filter->log_variances += log_variance;
            continue;
        }
        if (blocks->there[i]) {
            double w = p.ww + p.wb, b = p.wb + p.bb, q = p.wq + p.bq, variance = w + b + rest;
            double inverse = 1.0 / variance;
            filter->gain[i][0] = w * inverse;
            filter->gain[i][1] = b * inverse;
            filter->gain[i][2] = q * inverse;
            filter->inverse_sd[i] = sqrt(inverse);
            settled = fabs(variance - last) < 1e-9 * variance ? settled + 1 : 0;
            last = variance;
            log_variance = log(variance);
            filter->log_variances += log_variance;
            p.ww -= w * w * inverse;
            p.wb -= w * b * inverse;
            p.wq -= w * q * inverse;
            p.bb -= b * b * inverse;
            p.bq -= b * q * inverse;
            p.qq -= q * q * inverse;
        } else {
            settled = 0;
        }
        p = (struct covariance){
            .ww = keep * keep * p.ww + new_wander,
            .wb = keep * (c * p.wb - s * p.wq),
            .wq = keep * (s * p.wb + c * p.wq),
            .bb = c * c * p.bb - 2.0 * c * s * p.bq + s * s * p.qq + new_breathing,
            .bq = c * s * p.bb + (c * c - s * s) * p.bq - c * s * p.qq,
            .qq = s * s * p.bb + 2.0 * c * s * p.bq + c * c * p.qq + new_breathing,
        };
    }
}

void noise_whiten(const struct noise_filter *filter, size_t count, const double *values,
                  size_t from, double *white)
{
    double wander = 0.0, breathing = 0.0, quarter = 0.0;
    memset(white, 0, from * sizeof *white);
    for (size_t i = from; i < count; i++) {
        white[i] = 0.0;
        if (filter->inverse_sd[i] > 0.0) {
            double error = values[i] - wander - breathing;
            wander += filter->gain[i][0] * error;
            breathing += filter->gain[i][1] * error;
            quarter += filter->gain[i][2] * error;
            white[i] = error * filter->inverse_sd[i];
        }
        double next = filter->turn_cos * breathing - filter->turn_sin * quarter;
        quarter = filter->turn_sin * breathing + filter->turn_cos * quarter;
        breathing = next;
        wander *= filter->keep;
    }
}

static double product(const double *a, const double *b, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += a[i] * b[i];
    }
    return sum;
}

/* Solves the symmetric a x = b in place by Cholesky's factors; diagonal: of a's inverse. */
static bool solve(double a[NOISE_COLUMNS_MAX][NOISE_COLUMNS_MAX], double *b, double *diagonal,
                  int n)
{
    double inverse[NOISE_COLUMNS_MAX][NOISE_COLUMNS_MAX] = {{0}};
    for (int i = 0; i < n; i++) {
        for (int j = 0; j <= i; j++) {
            double sum = a[i][j];
            for (int k = 0; k < j; k++) {
                sum -= a[i][k] * a[j][k];
            }
            if (i == j && !(sum > 1e-10 * a[i][i])) {
                return false;
            }
            a[i][j] = i == j ? sqrt(sum) : sum / a[j][j];
        }
    }
    for (int i = 0; i < n; i++) { /* the factor's inverse, and b by it */
        inverse[i][i] = 1.0 / a[i][i];
        for (int j = 0; j < i; j++) {
            for (int k = j; k < i; k++) {
                inverse[i][j] -= a[i][k] * inverse[k][j] / a[i][i];
            }
        }
    }
    double half[NOISE_COLUMNS_MAX];
    for (int i = 0; i < n; i++) {
        half[i] = 0.0;
        for (int j = 0; j <= i; j++) {
            half[i] += inverse[i][j] * b[j];
        }
    }
    for (int i = 0; i < n; i++) {
        b[i] = diagonal[i] = 0.0;
        for (int k = i; k < n; k++) {
            b[i] += inverse[k][i] * half[k];
            diagonal[i] += inverse[k][i] * inverse[k][i];
        }
    }
    return true;
}

void noise_regress(const struct noise_blocks *blocks, const struct noise *noise,
                   const double *const *columns, int column_count,
                   struct noise_regression *regression)
{
    struct noise_filter filter;
    double white[NOISE_BLOCKS_MAX], column[NOISE_COLUMNS_MAX][NOISE_BLOCKS_MAX];
    double a[NOISE_COLUMNS_MAX][NOISE_COLUMNS_MAX], b[NOISE_COLUMNS_MAX];
    double diagonal[NOISE_COLUMNS_MAX], explained = 0.0;
    noise_filter_make(blocks, noise, &filter);
    noise_whiten(&filter, blocks->count, blocks->value_mm, 0, white);
    for (int i = 0; i < column_count; i++) {
        noise_whiten(&filter, blocks->count, columns[i], 0, column[i]);
        b[i] = product(column[i], white, blocks->count);
        regression->coefficient[i] = b[i];
        for (int j = 0; j <= i; j++) {
            a[i][j] = product(column[i], column[j], blocks->count);
        }
    }
    if (!solve(a, b, diagonal, column_count)) {
        *regression = (struct noise_regression){.misfit = NOT_TOLD_APART};
        return;
    }
    for (int i = 0; i < column_count; i++) {
        explained += b[i] * regression->coefficient[i];
        regression->coefficient[i] = b[i];
        regression->se[i] = sqrt(diagonal[i]);
    }
    regression->misfit = product(white, white, blocks->count) - explained + filter.log_variances +
                         prior(blocks, noise);
}

struct search {
    const struct noise_blocks *blocks;
    const double *const *columns;
    int column_count;
};

static struct noise noise_at(const gsl_vector *point)
{
    struct noise noise;
    for (int i = 0; i < NOISE_PARTS; i++) {
        noise.log[i] = gsl_vector_get(point, (size_t)i);
    }
    return noise;
}

static double misfit_at(const gsl_vector *point, void *context)
{
    const struct search *search = context;
    struct noise_regression regression;
    struct noise noise = noise_at(point);
    noise_regress(search->blocks, &noise, search->columns, search->column_count, &regression);
    return regression.misfit;
}

bool noise_fit(const struct noise_blocks *blocks, const double *const *columns, int column_count,
               struct noise *noise, struct noise_regression *regression)
{
    gsl_quiet();
    struct search search = {blocks, columns, column_count};
    gsl_multimin_function function = {misfit_at, NOISE_PARTS, &search};
    gsl_multimin_fminimizer *minimizer =
        gsl_multimin_fminimizer_alloc(gsl_multimin_fminimizer_nmsimplex2, NOISE_PARTS);
    gsl_vector *point = gsl_vector_alloc(NOISE_PARTS), *step = gsl_vector_alloc(NOISE_PARTS);
    bool there = minimizer && point && step;
    if (there) {
        for (int i = 0; i < NOISE_PARTS; i++) {
            gsl_vector_set(point, (size_t)i, noise->log[i]);
        }
        gsl_vector_set_all(step, 0.4);
        gsl_multimin_fminimizer_set(minimizer, &function, point, step);
        for (int i = 0; i < SEARCH_STEPS && gsl_multimin_fminimizer_size(minimizer) > 0.03; i++) {
            if (gsl_multimin_fminimizer_iterate(minimizer) != 0) {
                break;
            }
        }
        *noise = noise_at(gsl_multimin_fminimizer_x(minimizer));
    }
    if (minimizer) {
        gsl_multimin_fminimizer_free(minimizer);
    }
    gsl_vector_free(point);
    gsl_vector_free(step);
    if (there) {
        noise_regress(blocks, noise, columns, column_count, regression);
    }
    return there;
}
