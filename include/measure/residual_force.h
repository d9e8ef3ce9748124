/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RESIDUAL_FORCE_H
#define HOLDLINE_MEASURE_RESIDUAL_FORCE_H

#include "measure/drag_leg.h"

#include <stdbool.h>

/* Force along the course that the model leaves unexplained, in pieces of DRAG_PIECE_M: what shows a
 * gust, a brake or a passer-by to the eye. It estimates nothing. */

/* Cuts samples first to last into pieces of piece_m from the first one on, each a leg of its own; a
 * sample interval that reaches over a border is divided. What is left at the end joins as a piece
 * from half of piece_m on, and else is left out. Returns how many were written (never over
 * capacity). */
size_t drag_pieces(const struct drag_samples *samples, size_t first, size_t last, double piece_m,
                   struct drag_leg *pieces, size_t capacity);

/* What the drag area and the wind (+ from ahead in this direction) leave of a piece's force, N. */
double drag_piece_residual_n(const struct drag_leg *piece, const struct drag_rider *rider,
                             double drag_m2, double wind_m_per_s, double density_kg_per_m3);

/* SD that residuals have from piece to piece, N, from the middle size of their steps: a stretch of
 * others does not widen it. Neighbours of a lap follow each other; count[] of each of the laps.
 * MEASURE_TOO_FEW under 4 steps. */
enum measure_status drag_residual_sd(const double *const *residual_n, const size_t *count,
                                     size_t laps, double *sd_n);

/* Where a lap leaves what it has elsewhere: the two neighbours whose mean is furthest from the mean
 * of all, where that is over DRAG_LEAVES_SDS of sd_n. at: the first of them; by_n: how far. False:
 * nowhere, or under 4 pieces. */
bool drag_residual_leaves(const double *residual_n, size_t count, double sd_n, size_t *at,
                          double *by_n);

#endif
