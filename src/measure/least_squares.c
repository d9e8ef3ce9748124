/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/least_squares.h"

#include "gsl_quiet.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#define RANK_TOLERANCE 1e-9

static enum measure_status check(const double *x, const double *y, const double *weights,
                                 size_t rows, size_t columns)
{
    if (columns < 1 || columns > LEAST_SQUARES_COLUMNS_MAX) {
        return MEASURE_BAD_SETTING;
    }
    if (rows < 1) {
        return MEASURE_TOO_FEW;
    }
    for (size_t i = 0; i < rows * columns; i++) {
        if (!isfinite(x[i])) {
            return MEASURE_NOT_FINITE;
        }
    }
    for (size_t i = 0; i < rows; i++) {
        if (!isfinite(y[i]) || (weights && !isfinite(weights[i]))) {
            return MEASURE_NOT_FINITE;
        }
        if (weights && !(weights[i] > 0.0)) {
            return MEASURE_BAD_SETTING;
        }
    }
    return MEASURE_OK;
}

struct decomposition {
    gsl_matrix *u, *v;
    gsl_vector *s;
};

static void decomposition_free(struct decomposition *d)
{
    if (d->u) {
        gsl_matrix_free(d->u);
    }
    if (d->v) {
        gsl_matrix_free(d->v);
    }
    if (d->s) {
        gsl_vector_free(d->s);
    }
}

/* Columns scaled to length 1; rows of zeros below where there are fewer rows than columns. */
static enum measure_status decompose(const double *x, const double *weights,
                                     struct least_squares *fit, struct decomposition *d)
{
    size_t rows = fit->rows, p = fit->columns, high = rows > p ? rows : p;
    d->u = gsl_matrix_calloc(high, p);
    d->v = gsl_matrix_alloc(p, p);
    d->s = gsl_vector_alloc(p);
    if (!d->u || !d->v || !d->s) {
        return MEASURE_NO_MEMORY;
    }
    bool any = false;
    for (size_t k = 0; k < p; k++) {
        double squares = 0.0;
        for (size_t i = 0; i < rows; i++) {
            squares += x[i * p + k] * x[i * p + k] * (weights ? weights[i] : 1.0);
        }
        fit->scale[k] = squares > 0.0 ? sqrt(squares) : 1.0;
        any = any || squares > 0.0;
        for (size_t i = 0; i < rows; i++) {
            gsl_matrix_set(d->u, i, k,
                           x[i * p + k] * (weights ? sqrt(weights[i]) : 1.0) / fit->scale[k]);
        }
    }
    if (!any) {
        return MEASURE_CONSTANT;
    }
    return gsl_linalg_SV_decomp_jacobi(d->u, d->v, d->s) == 0 ? MEASURE_OK : MEASURE_NOT_FINITE;
}

static void solve(const double *y, const double *weights, const struct decomposition *d,
                  struct least_squares *fit)
{
    size_t p = fit->columns;
    double largest = gsl_vector_get(d->s, 0);
    for (size_t j = 0; j < p; j++) {
        double s = gsl_vector_get(d->s, j), product = 0.0;
        if (!(s > RANK_TOLERANCE * largest)) {
            continue;
        }
        fit->rank++;
        for (size_t i = 0; i < fit->rows; i++) {
            product += gsl_matrix_get(d->u, i, j) * y[i] * (weights ? sqrt(weights[i]) : 1.0);
        }
        for (size_t k = 0; k < p; k++) {
            double v = gsl_matrix_get(d->v, k, j);
            fit->coefficient[k] += v * product / s / fit->scale[k];
            for (size_t l = 0; l < p; l++) {
                double w = gsl_matrix_get(d->v, l, j);
                fit->row_space[k][l] += v * w;
                fit->inverse[k][l] += v * w / (s * s) / (fit->scale[k] * fit->scale[l]);
            }
        }
    }
}

enum measure_status least_squares_fit(const double *x, const double *y, const double *weights,
                                      size_t rows, size_t columns, struct least_squares *fit)
{
    gsl_quiet();
    memset(fit, 0, sizeof *fit);
    enum measure_status status = check(x, y, weights, rows, columns);
    if (status != MEASURE_OK) {
        return status;
    }
    struct decomposition d = {NULL, NULL, NULL};
    fit->rows = rows;
    fit->columns = columns;
    status = decompose(x, weights, fit, &d);
    if (status == MEASURE_OK) {
        solve(y, weights, &d, fit);
    }
    decomposition_free(&d);
    if (status != MEASURE_OK) {
        return status;
    }
    for (size_t i = 0; i < rows; i++) {
        double e = y[i];
        for (size_t k = 0; k < columns; k++) {
            e -= x[i * columns + k] * fit->coefficient[k];
        }
        fit->ss_residual += e * e * (weights ? weights[i] : 1.0);
    }
    fit->df = (double)(rows - fit->rank);
    if (fit->df > 0.0) {
        fit->residual_sd = sqrt(fit->ss_residual / fit->df);
    }
    return MEASURE_OK;
}

bool least_squares_determines(const struct least_squares *fit, const double *direction)
{
    double length = 0.0, outside = 0.0;
    for (size_t k = 0; k < fit->columns; k++) {
        double scaled = direction[k] / fit->scale[k], inside = 0.0;
        for (size_t l = 0; l < fit->columns; l++) {
            inside += fit->row_space[k][l] * direction[l] / fit->scale[l];
        }
        length += scaled * scaled;
        outside += (scaled - inside) * (scaled - inside);
    }
    return length > 0.0 && outside <= 1e-12 * length;
}

double least_squares_value(const struct least_squares *fit, const double *direction)
{
    double value = 0.0;
    for (size_t k = 0; k < fit->columns; k++) {
        value += direction[k] * fit->coefficient[k];
    }
    return value;
}

double least_squares_variance(const struct least_squares *fit, const double *direction)
{
    double variance = 0.0;
    for (size_t k = 0; k < fit->columns; k++) {
        for (size_t l = 0; l < fit->columns; l++) {
            variance += direction[k] * fit->inverse[k][l] * direction[l];
        }
    }
    return variance > 0.0 ? variance : 0.0;
}
