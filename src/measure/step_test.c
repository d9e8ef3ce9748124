/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/step_test.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <string.h>

enum measure_status step_test(const struct step_input *input, struct step_test *test)
{
    double bare, bare_sd, block, block_sd, thickness = input->thickness_mm;
    memset(test, 0, sizeof *test);
    if (!(thickness > 0.0) || isinf(thickness) || !(input->thickness_u_mm >= 0.0) ||
        isinf(input->thickness_u_mm)) {
        return MEASURE_BAD_SETTING;
    }
    enum measure_status status =
        statistics_mean_sd(input->bare_mm, input->bare_count, &bare, &bare_sd);
    if (status == MEASURE_OK) {
        status = statistics_mean_sd(input->block_mm, input->block_count, &block, &block_sd);
    }
    if (status != MEASURE_OK) {
        return status;
    }
    if (bare_sd == 0.0 && block_sd == 0.0) {
        return MEASURE_CONSTANT;
    }
    test->bare_mm = bare;
    test->step_mm = bare - block;
    test->u_mm = sqrt(bare_sd * bare_sd / (double)input->bare_count +
                      block_sd * block_sd / (double)input->block_count +
                      input->thickness_u_mm * input->thickness_u_mm);
    test->error_mm = test->step_mm - thickness;
    test->t = test->error_mm / test->u_mm;
    test->limit_mm = fmax(STEP_LIMIT_MM, STEP_LIMIT_SHARE * thickness);
    test->scale_error_percent = 100.0 * test->error_mm / thickness;
    test->scale_error_u_percent = 100.0 * test->u_mm / thickness;
    /* Not known well enough to tell is no pass. */
    if (fabs(test->error_mm) > fmax(STEP_COVERAGE * test->u_mm, test->limit_mm)) {
        test->verdict = STEP_FAILED;
    } else if (STEP_COVERAGE * test->u_mm > test->limit_mm) {
        test->verdict = STEP_UNCERTAIN;
    } else {
        test->verdict = STEP_PASSED;
    }
    return MEASURE_OK;
}
