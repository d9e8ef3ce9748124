/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/residual_force.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <stdlib.h>

/* Part of one sample interval joins a piece. */
static void piece_add(struct drag_leg *piece, double dx, double dt, double speed, double power)
{
    piece->length_m += dx;
    piece->duration_s += dt;
    piece->work_j += power * dt;
    piece->speed_m_per_s += speed * dx;
    piece->speed_squared += speed * speed * dx;
}

static void piece_end(struct drag_leg *piece, double out_m_per_s)
{
    piece->out_m_per_s = out_m_per_s;
    piece->speed_m_per_s /= piece->length_m;
    piece->speed_squared /= piece->length_m;
}

size_t drag_pieces(const struct drag_samples *samples, size_t first, size_t last, double piece_m,
                   struct drag_leg *pieces, size_t capacity)
{
    size_t made = 0;
    if (!(piece_m > 0.0) || last >= samples->count || first >= last) {
        return 0;
    }
    struct drag_leg piece = {.in_m_per_s = samples->speed_m_per_s[first]};
    for (size_t i = first; i < last; i++) {
        double begin = samples->speed_m_per_s[i], end = samples->speed_m_per_s[i + 1];
        double dt = samples->time_s[i + 1] - samples->time_s[i];
        double speed = 0.5 * (begin + end),
               power = 0.5 * (samples->power_w[i] + samples->power_w[i + 1]);
        double left_s = dt;
        if (!(dt > 0.0) || !(speed > 0.0)) {
            continue;
        }
        while (piece.length_m + speed * left_s >= piece_m && made < capacity) {
            double dx = piece_m - piece.length_m, part_s = dx / speed;
            piece_add(&piece, dx, part_s, speed, power);
            left_s = fmax(0.0, left_s - part_s);
            double at = end + (begin - end) * left_s / dt;
            piece_end(&piece, at);
            pieces[made++] = piece;
            piece = (struct drag_leg){.in_m_per_s = at};
        }
        piece_add(&piece, speed * left_s, left_s, speed, power);
    }
    if (piece.length_m >= 0.5 * piece_m && made < capacity) {
        piece_end(&piece, samples->speed_m_per_s[last]);
        pieces[made++] = piece;
    }
    return made;
}

double drag_piece_residual_n(const struct drag_leg *piece, const struct drag_rider *rider,
                             double drag_m2, double wind_m_per_s, double density_kg_per_m3)
{
    return drag_leg_force_n(piece, rider) -
           0.5 * density_kg_per_m3 * drag_m2 * drag_leg_air_squared(piece, wind_m_per_s);
}

enum measure_status drag_residual_sd(const double *const *residual_n, const size_t *count,
                                     size_t laps, double *sd_n)
{
    const double sd_of_middle = 1.4826; /* of the median size, for Gaussian steps */
    size_t steps = 0, most = 0;
    for (size_t lap = 0; lap < laps; lap++) {
        most += count[lap];
    }
    double *step = malloc((most + 1) * sizeof *step), middle = 0.0;
    if (step == NULL) {
        return MEASURE_NO_MEMORY;
    }
    for (size_t lap = 0; lap < laps; lap++) {
        for (size_t i = 1; i < count[lap]; i++) {
            step[steps++] = fabs(residual_n[lap][i] - residual_n[lap][i - 1]);
        }
    }
    enum measure_status status =
        steps < 4 ? MEASURE_TOO_FEW : statistics_median(step, steps, &middle);
    free(step);
    if (status == MEASURE_OK) {
        *sd_n = sd_of_middle * middle / sqrt(2.0);
    }
    return status;
}

bool drag_residual_leaves(const double *residual_n, size_t count, double sd_n, size_t *at,
                          double *by_n)
{
    double sum_n = 0.0;
    *by_n = 0.0;
    if (count < 4 || !(sd_n > 0.0)) {
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        sum_n += residual_n[i];
    }
    for (size_t i = 0; i + 1 < count; i++) {
        double off_n = 0.5 * (residual_n[i] + residual_n[i + 1]) - sum_n / (double)count;
        if (fabs(off_n) > fabs(*by_n)) {
            *by_n = off_n;
            *at = i;
        }
    }
    return fabs(*by_n) > DRAG_LEAVES_SDS * sd_n;
}
