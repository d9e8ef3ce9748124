/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/record.h"

const struct check_quantity_field check_quantities[CHECK_QUANTITIES] = {
    [CHECK_RANGE] = {"range_mm", "range", "mm"},
    [CHECK_NOISE] = {"noise_mm", "noise", "mm"},
    [CHECK_DRIFT] = {"drift_mm_per_min", "drift", "mm/min"},
    [CHECK_DRIFT_HALF_WIDTH] = {"drift_half_width_mm_per_min", "drift known to", "mm/min"},
    [CHECK_QUANTUM] = {"quantum_mm", "step between readings", "mm"},
    [CHECK_BEST_AVERAGING] = {"best_averaging_s", "longest averaging worth doing", "s"},
    [CHECK_BEST_DEVIATION] = {"best_deviation_mm", "what it leaves", "mm"},
    [CHECK_VALID_SHARE] = {"valid_share", "share of good readings", ""},
    [CHECK_BLOCK_STEP] = {"block_step_mm", "step at the block", "mm"},
    [CHECK_BLOCK_STEP_U] = {"block_step_u_mm", "standard uncertainty of the step", "mm"},
    [CHECK_LIMIT] = {"limit_mm", "limit", "mm"},
    [CHECK_SCALE_ERROR] = {"scale_error_percent", "scale error", "%"},
    [CHECK_SHIFT] = {"shift_mm", "lasting change", "mm"},
    [CHECK_DOWN] = {"down_mm", "furthest down", "mm"},
    [CHECK_UP] = {"up_mm", "furthest up", "mm"},
    [CHECK_CROSSTALK] = {"crosstalk_share", "share of the other's movement", ""},
    [CHECK_GAIN] = {"gain", "gain", ""},
    [CHECK_GAIN_U] = {"gain_u", "standard uncertainty of the gain", ""},
    [CHECK_OFFSET] = {"offset_mm", "offset", "mm"},
    [CHECK_RESIDUAL_SD] = {"residual_sd_mm", "scatter about the line", "mm"},
    [CHECK_WORST_RESIDUAL] = {"worst_residual_mm", "furthest from the line", "mm"},
    [CHECK_LACK_OF_FIT_P] = {"lack_of_fit_p", "p of a straight line", ""},
};
