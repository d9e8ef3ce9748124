/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_MANY_TO_ONE_H
#define HOLDLINE_MEASURE_MANY_TO_ONE_H

/* Several means against one (Dunnett 1955, J. Am. Stat. Assoc. 50, 1096-1121; 1964, Biometrics 20,
 * 482-491), for any design whose differences hang together through two common parts: the first
 * setup's own error, which is in all of them, and a slope that was taken out. Error i is
 * sqrt(own[i]) e_i + one[i] f + two[i] g with e_i, f, g standard normal and apart. */
#define MANY_TO_ONE_MOST 64

struct many_to_one {
    int count;
    double own[MANY_TO_ONE_MOST]; /* variance, in any unit, the same for all */
    double one[MANY_TO_ONE_MOST], two[MANY_TO_ONE_MOST]; /* square roots of variances */
};

/* The c with which all |error i| stay under c times their standard errors with this probability,
 * where the unit's own SD is estimated with df degrees of freedom (df INFINITY: known). For one
 * difference it is Student's t. By the trapezoidal rule over f and g, cubic splines between limits,
 * and quadrature over the estimated SD: to about 0.001. INFINITY outside its domain (no difference,
 * one without variance, df <= 0, confidence not in 0..1) and where memory is short. */
double many_to_one_limit(const struct many_to_one *family, double df, double confidence);

#endif
