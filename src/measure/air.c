/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/air.h"

#include "measure/rules.h"

#include <math.h>

#define ZERO_C_IN_K 273.15

/* Share of the molecules that are water (Picard et al. 2008, eq. A1.1 to A1.3). */
static double water_share(const struct air *air)
{
    double t = air->temperature_c, k = t + ZERO_C_IN_K;
    double saturated_pa =
        exp(1.2378847e-5 * k * k - 1.9121316e-2 * k + 33.93711047 - 6343.1645 / k);
    double enhancement = 1.00062 + 3.14e-8 * air->pressure_pa + 5.6e-7 * t * t;
    return air->humidity * enhancement * saturated_pa / air->pressure_pa;
}

/* How far it is from an ideal gas (eq. A1.4). */
static double compressibility(const struct air *air, double water)
{
    double t = air->temperature_c, per_k = air->pressure_pa / (t + ZERO_C_IN_K);
    double first = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t * t +
                   (5.707e-6 - 2.051e-8 * t) * water + (1.9898e-4 - 2.376e-6 * t) * water * water;
    return 1.0 - per_k * first + per_k * per_k * (1.83e-11 - 0.765e-8 * water * water);
}

enum measure_status air_density(const struct air *air, double *kg_per_m3)
{
    const double dry_kg_per_mol = 28.96546e-3, water_kg_per_mol = 18.01528e-3;
    const double gas_constant = 8.314472;
    if (!(air->temperature_c >= AIR_LEAST_C && air->temperature_c <= AIR_MOST_C &&
          air->pressure_pa >= AIR_LEAST_PA && air->pressure_pa <= AIR_MOST_PA &&
          air->humidity >= 0.0 && air->humidity <= 1.0)) {
        return MEASURE_BAD_SETTING;
    }
    double water = water_share(air), kelvin = air->temperature_c + ZERO_C_IN_K;
    *kg_per_m3 = air->pressure_pa * dry_kg_per_mol /
                 (compressibility(air, water) * gas_constant * kelvin) *
                 (1.0 - water * (1.0 - water_kg_per_mol / dry_kg_per_mol));
    return MEASURE_OK;
}
