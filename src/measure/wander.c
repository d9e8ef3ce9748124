/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/wander.h"

#include "base/angle.h"

#include "measure/block.h"
#include "measure/rules.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* Steps that a capture is cut into, and the slowest cosines over them: the first row of a square is
 * the mean, the others are the cosines of 1/2, 1, 3/2 .. periods. */
enum { STEPS = 60, COSINES_MAX = 24, ROWS_MAX = COSINES_MAX + 1, TIMES_MAX = 16 };
_Static_assert((int)WANDER_TIMES <= (int)TIMES_MAX, "each time constant has room");

struct frame {
    double seconds;
    int cosines;
    double row[ROWS_MAX][STEPS];
    double unit[TIMES_MAX][ROWS_MAX][ROWS_MAX]; /* covariances of a wander of SD 1 mm */
};

/* A way to wander: first order, with a flat density of all that is quicker. */
struct model {
    int time;
    double time_s, variance_mm2, flat_mm2_s, log_likely;
};

static int model_count(void)
{
    int count = WANDER_TIMES * WANDER_SPREADS * WANDER_FLATS;
    return count < WANDER_MODELS_MAX ? count : WANDER_MODELS_MAX;
}

static struct model model_of(int index)
{
    struct model model = {.time = index % WANDER_TIMES};
    int spread = index / WANDER_TIMES % WANDER_SPREADS,
        flat = index / WANDER_TIMES / WANDER_SPREADS;
    double off = (spread - 0.5 * (WANDER_SPREADS - 1)) * 0.5 * log(2.0); /* half octaves */
    double sd_mm = WANDER_SD_MM * exp(off), z = off / WANDER_SD_LOG;
    model.time_s = WANDER_SHORTEST_S * pow(2.0, model.time);
    model.variance_mm2 = sd_mm * sd_mm;
    model.flat_mm2_s = WANDER_FLAT_LEAST * pow(WANDER_FLAT_TIMES, flat);
    model.log_likely = -0.5 * z * z;
    return model;
}

/* Of means over stretches of a first-order process of SD 1, so many stretches apart; length in time
 * constants. */
static double stretch_covariance(double length, int apart)
{
    double gone = -expm1(-length);
    if (apart == 0) {
        return 2.0 * (length - gone) / (length * length);
    }
    return exp(-(apart - 1) * length) * gone * gone / (length * length);
}

static void make_unit(struct frame *frame, int time)
{
    double of_lag[STEPS], product[ROWS_MAX][STEPS];
    double length = frame->seconds / (double)STEPS / (WANDER_SHORTEST_S * pow(2.0, time));
    int rows = frame->cosines + 1;
    for (int lag = 0; lag < STEPS; lag++) {
        of_lag[lag] = stretch_covariance(length, lag);
    }
    for (int r = 0; r < rows; r++) {
        for (int i = 0; i < STEPS; i++) {
            product[r][i] = 0.0;
            for (int k = 0; k < STEPS; k++) {
                product[r][i] += of_lag[i > k ? i - k : k - i] * frame->row[r][k];
            }
        }
    }
    for (int a = 0; a < rows; a++) {
        for (int b = 0; b < rows; b++) {
            double sum = 0.0;
            for (int i = 0; i < STEPS; i++) {
                sum += frame->row[a][i] * product[b][i];
            }
            frame->unit[time][a][b] = sum;
        }
    }
}

static void make_frame(double seconds, struct frame *frame)
{
    frame->seconds = seconds;
    frame->cosines = (int)fmin(COSINES_MAX, floor(2.0 * seconds * WANDER_TO_HZ + 1e-9));
    for (int i = 0; i < STEPS; i++) {
        frame->row[0][i] = 1.0 / (double)STEPS;
        for (int j = 1; j <= frame->cosines; j++) {
            frame->row[j][i] = sqrt(2.0) / (double)STEPS * cos(PI * j * (i + 0.5) / (double)STEPS);
        }
    }
    for (int time = 0; time < WANDER_TIMES; time++) {
        make_unit(frame, time);
    }
}

/* Means of the steps; those without a reading between their neighbours. */
static bool step_means(const double *time_s, const double *height_mm, size_t count, double from_s,
                       double to_s, double means[STEPS])
{
    struct block blocks[STEPS];
    size_t made = blocks_make(time_s, height_mm, count, from_s, to_s,
                              (to_s - from_s) / (double)STEPS, 1.0, blocks, STEPS);
    if (made < 4) {
        return false;
    }
    size_t next = 0;
    for (size_t i = 0; i < STEPS; i++) {
        while (next < made && blocks[next].index < i) {
            next++;
        }
        if (next == 0 || next == made) {
            means[i] = blocks[next == 0 ? 0 : made - 1].mean;
            continue;
        }
        const struct block *a = &blocks[next - 1], *b = &blocks[next];
        double part = (double)(i - a->index) / (double)(b->index - a->index);
        means[i] = a->mean + part * (b->mean - a->mean);
    }
    return true;
}

/* Of one model: log likelihood of the cosines' coefficients (times a constant), and the mean square
 * of the mean's distance from the level, given them. By Cholesky's decomposition. */
static double weigh(const struct frame *frame, const struct model *model,
                    const double coefficient[COSINES_MAX], double *square_mm2)
{
    double lower[COSINES_MAX][COSINES_MAX], seen[COSINES_MAX], shared[COSINES_MAX];
    double flat = model->flat_mm2_s / frame->seconds, log_likelihood = 0.0;
    const double(*unit)[ROWS_MAX] = frame->unit[model->time];
    double off_mm = 0.0, variance = model->variance_mm2 * unit[0][0] + flat;
    for (int j = 0; j < frame->cosines; j++) {
        for (int k = 0; k <= j; k++) {
            double sum = model->variance_mm2 * unit[j + 1][k + 1] + (j == k ? flat : 0.0);
            for (int i = 0; i < k; i++) {
                sum -= lower[j][i] * lower[k][i];
            }
            lower[j][k] = j == k ? sqrt(sum) : sum / lower[k][k];
        }
        seen[j] = coefficient[j];
        shared[j] = model->variance_mm2 * unit[0][j + 1];
        for (int i = 0; i < j; i++) {
            seen[j] -= lower[j][i] * seen[i];
            shared[j] -= lower[j][i] * shared[i];
        }
        seen[j] /= lower[j][j];
        shared[j] /= lower[j][j];
        log_likelihood -= log(lower[j][j]) + 0.5 * seen[j] * seen[j];
        off_mm += shared[j] * seen[j];
        variance -= shared[j] * shared[j];
    }
    *square_mm2 = variance + off_mm * off_mm;
    return log_likelihood;
}

/* The fourth-power mean of the models' errors: those that think the mean far off count for more
 * than they are likely, which keeps the promise for slow riders, too. */
static double half_width(double mean_fourth_power)
{
    return WANDER_WIDTH * sqrt(sqrt(mean_fourth_power));
}

enum measure_status wander_estimate(const double *time_s, const double *height_mm, size_t count,
                                    double from_s, double to_s, struct wander_estimate *estimate)
{
    struct frame frame;
    double means[STEPS], coefficient[COSINES_MAX], square_mm2[WANDER_MODELS_MAX];
    double largest = -(double)INFINITY, sum = 0.0, fourth = 0.0, square = 0.0;
    int models = model_count();
    memset(estimate, 0, sizeof *estimate);
    if (!(to_s - from_s > 0.0) || 2.0 * (to_s - from_s) * WANDER_TO_HZ < 1.0 ||
        !step_means(time_s, height_mm, count, from_s, to_s, means)) {
        return MEASURE_TOO_FEW;
    }
    make_frame(to_s - from_s, &frame);
    for (int i = 0; i < STEPS; i++) {
        estimate->mean_mm += (means[i] - means[0]) / (double)STEPS;
    }
    estimate->mean_mm += means[0];
    for (int j = 0; j < frame.cosines; j++) {
        coefficient[j] = 0.0;
        for (int i = 0; i < STEPS; i++) {
            coefficient[j] += frame.row[j + 1][i] * (means[i] - estimate->mean_mm);
        }
    }
    for (int m = 0; m < models; m++) {
        struct model model = model_of(m);
        estimate->weight[m] = model.log_likely + weigh(&frame, &model, coefficient, &square_mm2[m]);
        largest = fmax(largest, estimate->weight[m]);
    }
    if (!isfinite(largest)) {
        return MEASURE_NOT_FINITE;
    }
    for (int m = 0; m < models; m++) {
        estimate->weight[m] = exp(estimate->weight[m] - largest);
        sum += estimate->weight[m];
    }
    for (int m = 0; m < models; m++) {
        estimate->weight[m] /= sum;
        square += estimate->weight[m] * square_mm2[m];
        fourth += estimate->weight[m] * square_mm2[m] * square_mm2[m];
    }
    estimate->error_mm = sqrt(square);
    estimate->half_width_mm = half_width(fourth);
    return MEASURE_OK;
}

/* Of a mean of so many seconds, elsewhere. */
static double square_elsewhere(int index, double seconds)
{
    struct model model = model_of(index);
    return model.variance_mm2 * stretch_covariance(seconds / model.time_s, 0) +
           model.flat_mm2_s / seconds;
}

double wander_error_of(const struct wander_estimate *estimate, double seconds)
{
    double square = 0.0;
    for (int m = 0; m < model_count(); m++) {
        square += estimate->weight[m] * square_elsewhere(m, seconds);
    }
    return sqrt(square);
}

double wander_half_width_after(const struct wander_estimate *estimate, double seconds)
{
    double fourth = 0.0;
    for (int m = 0; m < model_count(); m++) {
        double square = square_elsewhere(m, seconds);
        fourth += estimate->weight[m] * square * square;
    }
    return half_width(fourth);
}
