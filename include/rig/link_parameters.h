/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_LINK_PARAMETERS_H
#define HOLDLINE_RIG_LINK_PARAMETERS_H

#include "base/problem.h"

#include <stdbool.h>
#include <stddef.h>

/* Checks of what stands behind a link's '?'. Wrong ones are wrong use, named in the sentence. */

/* Is every name one of those known (count of them)? */
bool link_parameters_check(const char *parameters, const char *const *known, size_t count,
                           struct problem *problem);

/* The number behind a name into value, which keeps what it has where the name is not there. */
bool link_parameter_number(const char *parameters, const char *name, double minimum, double maximum,
                           double *value, struct problem *problem);

/* speed=: times real time; 'max' gives INFINITY. value keeps what it has where there is none. */
bool link_parameter_speed(const char *parameters, double *value, struct problem *problem);

#endif
