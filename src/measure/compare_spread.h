/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_COMPARE_SPREAD_H
#define HOLDLINE_SRC_MEASURE_COMPARE_SPREAD_H

#include "compare_fit.h"

/* How holds repeat: pooled over the cells, with what was learnt before; and which setups' holds
 * differ more than the others'. Inside the layer only. */

/* The cell that a hold is in. */
int fit_cell_of(const struct compare_input *input, const struct compare_hold *hold);
/* squares: of all holds about their cells, the order taken out where it is; largest: of the values'
 * sizes. Fills here, pooled, no_spread and the cells' own. */
void compare_spread(struct fit *fit, double squares, double largest);

#endif
