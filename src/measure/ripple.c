/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/ripple.h"

#include "gsl_quiet.h"
#include "measure/rules.h"
#include "measure/spectrum.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SIDE 8  /* bins on each side that a line is compared with */
#define APART 2 /* and so many between: a Hann window widens a line to them */

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The median of bins [from, to), SIDE at most; 0 where there are hardly any. */
static double median_of(const double *power, size_t from, size_t to)
{
    double sorted[SIDE];
    if (from + 2 > to) {
        return 0.0;
    }
    size_t count = to - from;
    memcpy(sorted, power + from, count * sizeof *sorted);
    qsort(sorted, count, sizeof *sorted, compare);
    return (sorted[(count - 1) / 2] + sorted[count / 2]) / 2.0;
}

/* Gaps by a straight line between their neighbours. False: nothing is finite. */
static bool bridge(const double *from, double *to, size_t count)
{
    size_t last = count;
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(from[i])) {
            continue;
        }
        to[i] = from[i];
        size_t begin = last < count ? last + 1 : 0;
        for (size_t k = begin; k < i; k++) {
            double share = last < count ? (double)(k - last) / (double)(i - last) : 1.0;
            to[k] = last < count ? from[last] + share * (from[i] - from[last]) : from[i];
        }
        last = i;
    }
    for (size_t k = last + 1; last < count && k < count; k++) {
        to[k] = from[last];
    }
    return last < count;
}

/* Where a frequency shows at a rate of readings. */
static double shown_hz(double hz, double rate_hz)
{
    return fabs(hz - rate_hz * rint(hz / rate_hz));
}

/* Lamps go by twice the mains, supplies by either; grids keep to a few thousandths. */
static double mains_at(double hz, double rate_hz, double bin_hz)
{
    static const double known_hz[] = {100.0, 120.0, 50.0, 60.0};
    for (size_t i = 0; i < sizeof known_hz / sizeof known_hz[0]; i++) {
        double off_hz = bin_hz + known_hz[i] * RIPPLE_MAINS_SHARE;
        if (fabs(shown_hz(known_hz[i], rate_hz) - hz) <= off_hz) {
            return known_hz[i];
        }
    }
    return 0.0;
}

/* How many times the level beside it a bin must have. windows: half overlapped ones tell nearly as
 * much as so many apart. */
static double times_needed(size_t windows, size_t bins)
{
    double shape = windows > 1 ? 0.9 * (double)windows : 1.0;
    return gsl_cdf_gamma_Qinv(RIPPLE_CHANCE / (double)bins, shape, 1.0 / shape) /
           gsl_cdf_gamma_Pinv(0.5, shape, 1.0 / shape);
}

static void look(const struct spectrum *spectrum, const double *power, size_t bins, double rate_hz,
                 struct ripple *ripple)
{
    double bin_hz = spectrum_bin_hz(spectrum), best = 0.0;
    double needed = times_needed(spectrum_windows(spectrum), bins);
    size_t first = (size_t)ceil(RIPPLE_FROM_HZ / bin_hz);
    for (size_t bin = first > APART ? first : APART + 1; bin + APART < bins; bin++) {
        size_t from = bin > SIDE + APART ? bin - APART - SIDE : 1;
        size_t to = bin + APART + 1 + SIDE < bins ? bin + APART + 1 + SIDE : bins;
        double below = median_of(power, from, bin - APART);
        double above = median_of(power, bin + APART + 1, to);
        double level = fmax(below, above);
        double over = level > 0.0 ? power[bin] / level : 0.0;
        double amplitude =
            sqrt(2.0 * fmax(0.0, power[bin - 1] + power[bin] + power[bin + 1] - 3.0 * level));
        if (over > needed && power[bin] > best && amplitude >= RIPPLE_LEAST_MM) {
            best = power[bin];
            double sum = power[bin - 1] + power[bin] + power[bin + 1];
            double shift = (power[bin + 1] - power[bin - 1]) / sum;
            *ripple = (struct ripple){
                .found = true, .amplitude_mm = amplitude, .hz = ((double)bin + shift) * bin_hz};
        }
    }
    ripple->mains_hz = ripple->found ? mains_at(ripple->hz, rate_hz, bin_hz) : 0.0;
}

enum measure_status ripple_find(const double *range_mm, size_t count, double rate_hz,
                                struct ripple *ripple)
{
    *ripple = (struct ripple){.found = false};
    if (!(rate_hz > 0.0)) {
        return MEASURE_TOO_FEW;
    }
    size_t window = spectrum_window_near((size_t)fmin(RIPPLE_WINDOW_S * rate_hz, (double)count));
    if (window < 8 * SIDE) {
        return MEASURE_TOO_FEW;
    }
    size_t bins = window / 2 + 1;
    struct spectrum *spectrum = spectrum_create(window, rate_hz);
    double *values = malloc(count * sizeof *values), *power = calloc(bins, sizeof *power);
    bool made = spectrum != NULL && values != NULL && power != NULL;
    if (made && bridge(range_mm, values, count)) {
        double bin_hz = spectrum_bin_hz(spectrum);
        spectrum_add(spectrum, values, count);
        for (size_t bin = 0; bin < bins; bin++) {
            power[bin] = spectrum_power(spectrum, ((double)bin - 0.5) * bin_hz,
                                        ((double)bin + 0.5) * bin_hz);
        }
        look(spectrum, power, bins, rate_hz, ripple);
    }
    free(values);
    free(power);
    spectrum_destroy(spectrum);
    return made ? MEASURE_OK : MEASURE_NO_MEMORY;
}
