/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_AIR_H
#define HOLDLINE_MEASURE_AIR_H

#include "measure/status.h"

/* Density of moist air, the CIPM-2007 equation (Picard, Davis, Glaeser and Fujii 2008, Metrologia
 * 45, 149-155) with its usual share of carbon dioxide. */
struct air {
    double temperature_c;
    double pressure_pa; /* where the ride is: not reduced to sea level */
    double humidity;    /* relative, 0 to 1 */
};

/* kg/m3. MEASURE_BAD_SETTING for air that nobody rides in: AIR_LEAST_C to AIR_MOST_C and
 * AIR_LEAST_PA to AIR_MOST_PA are taken; the equation itself is vouched for from 15 to 27 C and 600
 * to 1100 hPa. */
enum measure_status air_density(const struct air *air, double *kg_per_m3);

#endif
