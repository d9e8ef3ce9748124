/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/spectrum.h"

#include "base/angle.h"

#include "gsl_quiet.h"

#include <gsl/gsl_fft_real.h>
#include <math.h>
#include <stdlib.h>

struct spectrum {
    size_t window;
    double rate_hz;
    size_t windows;  /* transformed so far */
    double scale;    /* of |X|^2 to density, one-sided */
    double *weights; /* window */
    double *values;  /* window: work space */
    double *sums;    /* window / 2 + 1 */
    gsl_fft_real_wavetable *table;
    gsl_fft_real_workspace *space;
};

struct spectrum *spectrum_create(size_t window, double rate_hz)
{
    gsl_quiet();
    if (window < 4 || !(rate_hz > 0.0) || !isfinite(rate_hz)) {
        return NULL;
    }
    struct spectrum *s = calloc(1, sizeof *s);
    if (!s) {
        return NULL;
    }
    s->window = window;
    s->rate_hz = rate_hz;
    s->weights = malloc(window * sizeof(double));
    s->values = malloc(window * sizeof(double));
    s->sums = calloc(window / 2 + 1, sizeof(double));
    s->table = gsl_fft_real_wavetable_alloc(window);
    s->space = gsl_fft_real_workspace_alloc(window);
    if (!s->weights || !s->values || !s->sums || !s->table || !s->space) {
        spectrum_destroy(s);
        return NULL;
    }
    double squares = 0.0;
    for (size_t i = 0; i < window; i++) {
        double w = 0.5 - 0.5 * cos(2.0 * PI * (double)i / (double)window);
        s->weights[i] = w;
        squares += w * w;
    }
    s->scale = 2.0 / (rate_hz * squares);
    return s;
}

void spectrum_destroy(struct spectrum *s)
{
    if (!s) {
        return;
    }
    if (s->table) {
        gsl_fft_real_wavetable_free(s->table);
    }
    if (s->space) {
        gsl_fft_real_workspace_free(s->space);
    }
    free(s->weights);
    free(s->values);
    free(s->sums);
    free(s);
}

static void add_window(struct spectrum *s, const double *values)
{
    size_t n = s->window;
    double sum = 0.0, first = values[0];
    for (size_t i = 0; i < n; i++) {
        sum += values[i] - first;
    }
    double mean = first + sum / (double)n;
    for (size_t i = 0; i < n; i++) {
        s->values[i] = (values[i] - mean) * s->weights[i];
    }
    gsl_fft_real_transform(s->values, 1, n, s->table, s->space);
    /* Packed: real part of bin 0, then real and imaginary parts; the last one of an even n is real.
     */
    s->sums[0] += s->values[0] * s->values[0];
    for (size_t bin = 1; 2 * bin < n; bin++) {
        double re = s->values[2 * bin - 1], im = s->values[2 * bin];
        s->sums[bin] += re * re + im * im;
    }
    if (n % 2 == 0) {
        s->sums[n / 2] += s->values[n - 1] * s->values[n - 1];
    }
    s->windows++;
}

size_t spectrum_add(struct spectrum *s, const double *values, size_t count)
{
    size_t before = s->windows, step = s->window - s->window / 2;
    for (size_t start = 0; start + s->window <= count; start += step) {
        add_window(s, values + start);
    }
    return s->windows - before;
}

size_t spectrum_windows(const struct spectrum *s)
{
    return s->windows;
}

/* window / 2 + 1 */
static size_t bins(const struct spectrum *s)
{
    return s->window / 2 + 1;
}

double spectrum_bin_hz(const struct spectrum *s)
{
    return s->rate_hz / (double)s->window;
}

/* Of a bin, unit^2 per Hz, averaged over the windows. */
static double density(const struct spectrum *s, size_t bin)
{
    if (s->windows == 0) {
        return 0.0;
    }
    double density = s->sums[bin] * s->scale / (double)s->windows;
    int unpaired = bin == 0 || (s->window % 2 == 0 && bin == s->window / 2);
    return unpaired ? 0.5 * density : density;
}

double spectrum_power(const struct spectrum *s, double from_hz, double to_hz)
{
    double width = spectrum_bin_hz(s), sum = 0.0;
    for (size_t bin = 0; bin < bins(s); bin++) {
        double f = (double)bin * width;
        if (f >= from_hz && f < to_hz) {
            sum += density(s, bin);
        }
    }
    return sum * width;
}

size_t spectrum_window_near(size_t wanted)
{
    for (size_t n = wanted - wanted % 2; n > 4; n -= 2) {
        size_t rest = n;
        while (rest % 2 == 0) {
            rest /= 2;
        }
        while (rest % 3 == 0) {
            rest /= 3;
        }
        while (rest % 5 == 0) {
            rest /= 5;
        }
        if (rest == 1) {
            return n;
        }
    }
    return 4;
}
