/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_LEAST_SQUARES_H
#define HOLDLINE_MEASURE_LEAST_SQUARES_H

#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Linear least squares by the singular value decomposition of the column-scaled design (one-sided
 * Jacobi; Golub and Van Loan 2013, Matrix Computations, 4th ed., section 5.5), so that a design
 * which does not determine everything still says what it does determine. */
#define LEAST_SQUARES_COLUMNS_MAX 8

struct least_squares {
    size_t rows, columns, rank;
    double coefficient[LEAST_SQUARES_COLUMNS_MAX]; /* the shortest solution where rank < columns */
    double df;                                     /* rows - rank */
    double ss_residual, residual_sd;               /* weighted; residual_sd 0 when df is 0 */
    /* (X'WX)^+ in the units of the coefficients: times residual_sd^2 it is their covariance */
    double inverse[LEAST_SQUARES_COLUMNS_MAX][LEAST_SQUARES_COLUMNS_MAX];
    double scale[LEAST_SQUARES_COLUMNS_MAX];
    double row_space[LEAST_SQUARES_COLUMNS_MAX][LEAST_SQUARES_COLUMNS_MAX]; /* projector, scaled */
};

/* x: rows x columns, row by row. weights (1 / variance) or NULL for equal ones. From as many rows
 * as columns or fewer where the design is short of rank. MEASURE_CONSTANT when x is all 0. */
enum measure_status least_squares_fit(const double *x, const double *y, const double *weights,
                                      size_t rows, size_t columns, struct least_squares *fit);

/* Whether the data determine the combination sum direction[k] coefficient[k]. */
bool least_squares_determines(const struct least_squares *fit, const double *direction);
/* Its value, and its variance in units of the residual variance. */
double least_squares_value(const struct least_squares *fit, const double *direction);
double least_squares_variance(const struct least_squares *fit, const double *direction);

#endif
