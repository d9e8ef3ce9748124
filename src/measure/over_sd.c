/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "over_sd.h"

#include "gsl_quiet.h"

#include <gsl/gsl_sf_gamma.h>
#include <math.h>

/* Nodes and weights of the 10-point Gauss-Legendre rule on [-1, 1], positive half (Abramowitz and
 * Stegun 1964, table 25.4). */
static const double nodes[5] = {0.148874338981631, 0.433395394129247, 0.679409568299024,
                                0.865063366688985, 0.973906528517172};
static const double weights[5] = {0.295524224714753, 0.269266719309996, 0.219086362515982,
                                  0.149451349150581, 0.066671344308688};

struct density {
    double df, log_constant;
};

static double density_at(const struct density *density, double s)
{
    if (s <= 0.0) {
        return 0.0;
    }
    return exp(density->log_constant + (density->df - 1.0) * log(s) - 0.5 * density->df * s * s);
}

double mean_over_sd(double df, double steep, double (*value)(double s, const void *context),
                    const void *context)
{
    gsl_quiet();
    struct density density = {df, log(2.0) + 0.5 * df * log(0.5 * df) - gsl_sf_lngamma(0.5 * df)};
    /* s has mean about 1 and SD about 1/sqrt(2 df): all but 1e-15 lies within 9 of them (few
     * degrees of freedom reach a little further up). */
    double sd = 1.0 / sqrt(2.0 * df), low = fmax(0.0, 1.0 - 9.0 * sd);
    double high = 1.0 + 9.0 * sd + 3.0 / df, sum = 0.0;
    int panels = 60;
    while ((high - low) / panels > 1.0 / fmax(1.0, steep) && panels < 4000) {
        panels *= 2;
    }
    double half = 0.5 * (high - low) / panels;
    for (int i = 0; i < panels; i++) {
        double middle = low + (2.0 * i + 1.0) * half;
        for (int k = 0; k < 5; k++) {
            double a = middle - half * nodes[k], b = middle + half * nodes[k];
            sum += weights[k] * (density_at(&density, a) * value(a, context) +
                                 density_at(&density, b) * value(b, context));
        }
    }
    return half * sum;
}
