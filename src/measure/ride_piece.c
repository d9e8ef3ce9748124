/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/ride_cut.h"
#include "ride_walk.h"

#include <math.h>
#include <stdlib.h>

static void take(const struct ride *ride, double at_s, const struct ride_leg *leg,
                 struct ride_piece *piece)
{
    size_t i = piece->count++;
    piece->time_s[i] = at_s - leg->begin_s;
    piece->distance_m[i] = ride_value_at(ride, ride->distance_m, at_s) - leg->begin_m;
    piece->speed_m_s[i] = ride_value_at(ride, ride->speed_m_s, at_s);
    piece->power_w[i] = ride_value_at(ride, ride->power_w, at_s);
    if (piece->wind_m_s != NULL) {
        piece->wind_m_s[i] = ride_value_at(ride, ride->wind_m_s, at_s);
    }
}

bool ride_piece_take(const struct ride *ride, const struct ride_leg *leg, struct ride_piece *piece)
{
    size_t most = leg->last >= leg->first ? leg->last - leg->first + 3 : 2;
    *piece = (struct ride_piece){0};
    piece->time_s = malloc(most * sizeof(double));
    piece->distance_m = malloc(most * sizeof(double));
    piece->speed_m_s = malloc(most * sizeof(double));
    piece->power_w = malloc(most * sizeof(double));
    piece->wind_m_s = ride->wind_m_s != NULL ? malloc(most * sizeof(double)) : NULL;
    if (!piece->time_s || !piece->distance_m || !piece->speed_m_s || !piece->power_w ||
        (ride->wind_m_s != NULL && piece->wind_m_s == NULL)) {
        ride_piece_free(piece);
        return false;
    }
    take(ride, leg->begin_s, leg, piece);
    for (size_t i = leg->first; i <= leg->last; i++) {
        if (ride->time_s[i] > leg->begin_s && ride->time_s[i] < leg->end_s) {
            take(ride, ride->time_s[i], leg, piece);
        }
    }
    take(ride, leg->end_s, leg, piece);
    for (size_t i = 0; i < piece->count; i++) {
        if (isnan(piece->speed_m_s[i]) || isnan(piece->power_w[i])) {
            ride_piece_free(piece);
            return false;
        }
    }
    return true;
}

void ride_piece_free(struct ride_piece *piece)
{
    free(piece->time_s);
    free(piece->distance_m);
    free(piece->speed_m_s);
    free(piece->power_w);
    free(piece->wind_m_s);
    *piece = (struct ride_piece){0};
}
