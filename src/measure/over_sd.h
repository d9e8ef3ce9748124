/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_OVER_SD_H
#define HOLDLINE_SRC_MEASURE_OVER_SD_H

/* Mean of value(s) over the estimated SD s of a normal population with SD 1, known with df degrees
 * of freedom (s^2 df is chi-square): by Gauss-Legendre quadrature in panels. steep: the steepest
 * slope that value has, so that the panels are narrow enough. Inside the layer only. */
double mean_over_sd(double df, double steep, double (*value)(double s, const void *context),
                    const void *context);

#endif
