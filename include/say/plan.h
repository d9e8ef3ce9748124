/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_PLAN_H
#define HOLDLINE_SAY_PLAN_H

#include "measure/plan.h"

#include <stddef.h>

/* What a plan of holds (measure/plan.h) comes to, as sentences. */

/* What to ride, and how surely it finds the difference; "" where nothing is known of that. */
void say_plan_ride(char *text, size_t size, const struct plan_input *input,
                   const struct plan *plan);
/* What it would take, where that is not sure enough; enough: NULL where no plan is. */
void say_plan_enough(char *text, size_t size, const struct plan_input *input,
                     const struct plan *enough);
/* Where nothing fits; fewer_setups would, in so many minutes (0: not even two). */
void say_plan_nothing(char *text, size_t size, const struct plan *shortest, int fewer_setups,
                      double fewer_minutes);

#endif
