/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_STEP_TEST_H
#define HOLDLINE_MEASURE_STEP_TEST_H

#include "measure/status.h"

#include <stddef.h>

/* Step test: a block of known thickness is put on a flat plate in the beam; the range must get
 * shorter by it. Two means of block means with u = sqrt(s1^2/n1 + s2^2/n2) (JCGM 100:2008, 5.1.2).
 */
struct step_input {
    const double *bare_mm; /* block means of the range to the plate */
    size_t bare_count;
    const double *block_mm; /* the same with the block on it */
    size_t block_count;
    double thickness_mm,
        thickness_u_mm; /* of the block; its standard uncertainty, 0 where not known */
};

enum step_verdict {
    STEP_PASSED,
    STEP_FAILED,    /* the error is beyond the limit, and beyond its own uncertainty */
    STEP_UNCERTAIN, /* readings scatter too much to tell within the limit */
};

struct step_test {
    double bare_mm, step_mm; /* range to the plate; bare minus with the block */
    double u_mm;             /* standard uncertainty of the step and the block together */
    double error_mm;
    double limit_mm; /* STEP_LIMIT_MM, or STEP_LIMIT_SHARE of the block, the larger */
    double t;        /* error over u */
    double scale_error_percent, scale_error_u_percent; /* by how much a millimetre reads too long */
    enum step_verdict verdict;
};

/* From two block means of each. MEASURE_CONSTANT when neither has any scatter: a stuck sensor, or
 * readings coarser than their noise. */
enum measure_status step_test(const struct step_input *input, struct step_test *test);

#endif
