/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check_follow.h"
#include "check_judging.h"

#include "measure/block.h"
#include "measure/hampel.h"
#include "measure/range_calibration.h"
#include "measure/rules.h"
#include "measure/statistics.h"
#include "measure/step_test.h"
#include "measure/still_test.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- still ----------------------------------------------------------------------------------- */

static void find_still(int channel, const struct still_test *test, struct judging *judging)
{
    static const struct {
        enum still_reason reason;
        enum check_found found;
    } reasons[] = {
        {STILL_STUCK, CHECK_FOUND_STUCK},      {STILL_BLOCKED, CHECK_FOUND_BLOCKED},
        {STILL_TWO_LEVELS, CHECK_FOUND_JUMPS}, {STILL_NOISY, CHECK_FOUND_NOISY},
        {STILL_DROPS, CHECK_FOUND_DROPS},      {STILL_WANDERS, CHECK_FOUND_WANDERS},
        {STILL_DRIFTS, CHECK_FOUND_DRIFTS},
    };
    FIND(judging, CHECK_FOUND_NOISE, channel, test->white_mm);
    if (test->has_drift && !(test->reasons & STILL_TWO_LEVELS)) {
        FIND(judging, CHECK_FOUND_DRIFT, channel, test->drift_mm_per_min,
             test->drift_half_width_mm_per_min);
    }
    if (test->has_allan) {
        FIND(judging, test->best_is_longest ? CHECK_FOUND_AVERAGING_LONGEST : CHECK_FOUND_AVERAGING,
             channel, test->best_s, test->best_mm);
    }
    for (size_t i = 0; i < sizeof reasons / sizeof reasons[0]; i++) {
        if (test->reasons & reasons[i].reason) {
            check_worsen(judging, CHECK_FAILED);
            FIND(judging, reasons[i].found, channel, NAN);
        }
    }
    if ((test->reasons & STILL_DRIFTS) && test->warms_minutes > 0) {
        FIND(judging, CHECK_FOUND_WARMS_UP, channel, ceil(test->warms_minutes));
    }
    if (test->ripple.found) { /* over a hold it averages out: told, and no fault of its own */
        FIND(judging, CHECK_FOUND_RIPPLE, channel, test->ripple.amplitude_mm, test->ripple.hz,
             test->rate_hz - test->ripple.hz, test->rate_hz);
        if (test->ripple.mains_hz > 0) {
            FIND(judging, CHECK_FOUND_RIPPLE_MAINS, channel, test->ripple.mains_hz);
        }
    }
}

static void judge_still(const struct placing_record *placing, const struct check_stretch *stretch,
                        int channel, struct judging *judging)
{
    struct readings readings;
    struct still_test test;
    if (!readings_of(placing, channel, false, stretch, &readings)) {
        check_measured(judging, channel, MEASURE_NO_MEMORY);
        return;
    }
    struct still_input input = {readings.all_time_s, readings.all_mm, readings.valid, readings.all};
    if (check_measured(judging, channel, still_test(&input, &test))) {
        check_put(judging, CHECK_RANGE, channel, 0, test.mean_mm);
        check_put(judging, CHECK_NOISE, channel, 0, test.white_mm);
        check_put(judging, CHECK_QUANTUM, channel, 0, test.quantum_mm);
        check_put(judging, CHECK_VALID_SHARE, channel, 0, test.valid_share - test.outlier_share);
        if (test.has_drift) {
            check_put(judging, CHECK_DRIFT, channel, 0, test.drift_mm_per_min);
            check_put(judging, CHECK_DRIFT_HALF_WIDTH, channel, 0,
                      test.drift_half_width_mm_per_min);
        }
        if (test.has_allan) {
            check_put(judging, CHECK_BEST_AVERAGING, channel, 0, test.best_s);
            check_put(judging, CHECK_BEST_DEVIATION, channel, 0, test.best_mm);
        }
        find_still(channel, &test, judging);
    }
    readings_free(&readings);
}

/* ---- step ------------------------------------------------------------------------------------ */

#define STEP_BLOCKS_MAX 600

/* Readings far from those about them are left out, as a body's are. One of them at least is good.
 */
static size_t without_outliers(struct readings *readings)
{
    const struct hampel_settings settings = hampel_of_sensor();
    uint8_t *reject = malloc(readings->good);
    size_t kept = 0;
    bool judged = reject != NULL && hampel_reject(readings->mm, readings->good, &settings, reject,
                                                  NULL, NULL) == MEASURE_OK;
    for (size_t i = 0; i < readings->good; i++) {
        if (!judged || !reject[i]) {
            readings->mm[kept] = readings->mm[i];
            readings->time_s[kept++] = readings->time_s[i];
        }
    }
    free(reject);
    return kept;
}

static size_t block_means(struct readings *readings, double *means)
{
    struct block blocks[STEP_BLOCKS_MAX];
    size_t count = 0;
    if (readings->good > 0) {
        readings->good = without_outliers(readings);
        double end_s = readings->all_time_s[readings->all - 1];
        /* the last block may lack its last reading's own interval */
        double step_s = readings->all > 1 ? end_s / (double)(readings->all - 1) : 0.0;
        count = blocks_make(readings->time_s, readings->mm, readings->good, 0.0,
                            end_s + step_s + 1e-6, STEP_BLOCK_S, 3, blocks, STEP_BLOCKS_MAX);
    }
    for (size_t i = 0; i < count; i++) {
        means[i] = blocks[i].mean;
    }
    return count;
}

/* A step that is right for its block may still be of a sensor whose scale is wrong by more than
 * heights can bear. The limit is then that. */
static void judge_scale(const struct step_input *input, struct step_test *test)
{
    double limit_mm = fmin(STEP_SCALE_SHARE, STEP_COST_MM / test->bare_mm) * input->thickness_mm;
    if (test->verdict == STEP_PASSED && fabs(test->error_mm) > limit_mm &&
        fabs(test->error_mm) > STEP_SCALE_COVERAGE * test->u_mm) {
        test->verdict = STEP_FAILED;
        test->limit_mm = limit_mm;
    }
}

/* How near a sensor was, and whether that is why nothing can be told. */
static bool find_near(int channel, double bare_mm, double thickness_mm, struct judging *judging)
{
    double face_mm = bare_mm - thickness_mm;
    if (bare_mm < SENSOR_NEAR_MM) {
        FIND(judging, CHECK_FOUND_PLATE_TOO_NEAR, channel, fmax(bare_mm, 0.0), SENSOR_NEAR_MM);
    } else if (face_mm < SENSOR_NEAR_MM) {
        FIND(judging, CHECK_FOUND_TOO_NEAR, channel, fmax(face_mm, 0.0), SENSOR_NEAR_MM);
    } else {
        return false;
    }
    check_worsen(judging, CHECK_UNCERTAIN);
    return true;
}

static void find_scale(int channel, const struct step_test *test, struct judging *judging)
{
    FIND(judging, CHECK_FOUND_SCALE, channel, test->scale_error_percent,
         STEP_COVERAGE * test->scale_error_u_percent);
    FIND(judging, CHECK_FOUND_SCALE_COSTS, channel,
         fabs(test->scale_error_percent) / 100.0 * test->bare_mm, test->bare_mm);
}

static void find_step(int channel, const struct step_input *input, const struct step_test *test,
                      struct judging *judging)
{
    FIND(judging, CHECK_FOUND_BLOCK_READS, channel, input->thickness_mm, test->step_mm,
         STEP_COVERAGE * test->u_mm, test->limit_mm);
    if (test->verdict == STEP_FAILED) {
        if (find_near(channel, test->bare_mm, input->thickness_mm, judging)) {
            return;
        }
        check_worsen(judging, CHECK_FAILED);
        if (test->step_mm < STEP_SEEN_SHARE * input->thickness_mm) {
            FIND(judging, CHECK_FOUND_BLOCK_NOT_SEEN, channel, NAN);
        } else {
            find_scale(channel, test, judging);
        }
    } else if (test->verdict == STEP_UNCERTAIN) {
        check_worsen(judging, CHECK_UNCERTAIN);
        FIND(judging, CHECK_FOUND_SCATTER, channel, NAN);
    } else if (STEP_SCALE_COVERAGE * test->scale_error_u_percent > 100.0 * STEP_SCALE_OPEN_SHARE) {
        FIND(judging, CHECK_FOUND_SCALE_OPEN, channel,
             STEP_SCALE_COVERAGE * test->scale_error_u_percent, 100.0 * STEP_SCALE_OPEN_SHARE);
    }
}

static void judge_step(const struct check_plan *plan, const struct placing_record *placing,
                       const struct check_stretch *stretches, struct judging *judging)
{
    int channel = plan->channel;
    struct readings bare = {0}, block = {0};
    double bare_mm[STEP_BLOCKS_MAX], block_mm[STEP_BLOCKS_MAX];
    struct step_test test;
    if (!readings_of(placing, channel, false, &stretches[0], &bare) ||
        !readings_of(placing, channel, false, &stretches[1], &block)) {
        check_measured(judging, channel, MEASURE_NO_MEMORY);
        goto done;
    }
    struct step_input input = {.bare_mm = bare_mm,
                               .bare_count = block_means(&bare, bare_mm),
                               .block_mm = block_mm,
                               .block_count = block_means(&block, block_mm),
                               .thickness_mm = plan->asked_mm[0],
                               .thickness_u_mm = plan->block_u_mm};
    enum measure_status status = step_test(&input, &test);
    if (status == MEASURE_CONSTANT && find_near(channel, bare_mm[0], plan->asked_mm[0], judging)) {
        goto done; /* at the end of what it can measure a sensor often says one and the same */
    }
    if (check_measured(judging, channel, status)) {
        judge_scale(&input, &test);
        check_put(judging, CHECK_RANGE, channel, 0, test.bare_mm);
        check_put(judging, CHECK_BLOCK_STEP, channel, 0, test.step_mm);
        check_put(judging, CHECK_BLOCK_STEP_U, channel, 0, test.u_mm);
        check_put(judging, CHECK_LIMIT, channel, 0, test.limit_mm);
        check_put(judging, CHECK_SCALE_ERROR, channel, 0, test.scale_error_percent);
        find_step(channel, &input, &test, judging);
    }
done:
    readings_free(&bare);
    readings_free(&block);
}

double check_time_s(const struct session_record *record, const struct check_record *check)
{
    double time_s = (double)(uuid_unix_ms(&check->uuid) - record->started_ms) / 1000.0;
    return time_s >= 0.0 && time_s <= SESSION_MOST_S ? time_s : (double)NAN;
}

bool check_wants_calibration(const struct check_record *check)
{
    double step_mm = check_value(check, CHECK_BLOCK_STEP, check->channel, 0);
    double off_mm = fabs(step_mm - check->asked_mm[0]);
    return check->kind == CHECK_STEP && check->verdict == CHECK_FAILED &&
           step_mm >= STEP_SEEN_SHARE * check->asked_mm[0] &&
           off_mm > check_value(check, CHECK_LIMIT, check->channel, 0);
}

bool check_step_shifted(const struct session_record *record, int check, double *shift_mm)
{
    const struct check_record *now = &record->check[check], *first = NULL;
    bool knows = now->kind == CHECK_STEP && now->verdict != CHECK_UNCERTAIN;
    for (int i = 0; knows && i < check; i++) {
        const struct check_record *earlier = &record->check[i];
        if (earlier->channel != now->channel || earlier->placing != now->placing) {
            continue;
        }
        if (earlier->kind == CHECK_CALIBRATION && earlier->verdict == CHECK_PASSED) {
            first = NULL; /* readings mean something else from here on */
        } else if (earlier->kind == CHECK_STEP && first == NULL &&
                   earlier->verdict != CHECK_UNCERTAIN &&
                   earlier->asked_mm[0] == now->asked_mm[0]) {
            first = earlier;
        }
    }
    if (first == NULL) {
        return false;
    }
    int c = now->channel;
    double u_mm = hypot(check_value(now, CHECK_BLOCK_STEP_U, c, 0),
                        check_value(first, CHECK_BLOCK_STEP_U, c, 0));
    *shift_mm =
        check_value(now, CHECK_BLOCK_STEP, c, 0) - check_value(first, CHECK_BLOCK_STEP, c, 0);
    return fabs(*shift_mm) > fmax(STEP_SHIFT_MM, STEP_COVERAGE * u_mm);
}

/* ---- calibration ----------------------------------------------------------------------------- */

static void find_calibration(int channel, const struct range_calibration *line,
                             struct judging *judging)
{
    bool bent = line->has_lack_of_fit && line->lack_of_fit_p < CALIBRATION_P &&
                fabs(line->worst_residual_mm) > CALIBRATION_RESIDUAL_MM;
    FIND(judging, CHECK_FOUND_LINE, channel, line->gain, line->offset_mm);
    if (line->has_errors) {
        FIND(judging, CHECK_FOUND_LINE_ERRORS, channel,
             2.0 * line->slope_u / (line->slope * line->slope), line->residual_sd_mm,
             line->worst_residual_mm);
    } else {
        FIND(judging, CHECK_FOUND_TWO_DISTANCES, channel, NAN);
    }
    if (line->gain < CALIBRATION_GAIN_LEAST || line->gain > CALIBRATION_GAIN_MOST) {
        check_worsen(judging, CHECK_FAILED);
        FIND(judging, CHECK_FOUND_WRONG_DISTANCES, channel, NAN);
    } else if (bent || (line->has_errors && line->residual_sd_mm > CALIBRATION_RESIDUAL_MM)) {
        check_worsen(judging, CHECK_FAILED);
        FIND(judging, CHECK_FOUND_NOT_STRAIGHT, channel, NAN);
    }
}

static void judge_calibration(const struct check_plan *plan, const struct placing_record *placing,
                              const struct check_stretch *stretches, struct judging *judging)
{
    int channel = plan->channel;
    double mean_mm[CHECK_PHASES_MAX] = {0};
    struct range_calibration line;
    for (int p = 0; p < plan->phase_count; p++) {
        struct readings readings;
        bool made = readings_of(placing, channel, true, &stretches[p], &readings);
        enum measure_status status =
            made ? readings.good < (size_t)CALIBRATION_READINGS_MIN ? MEASURE_TOO_FEW : MEASURE_OK
                 : MEASURE_NO_MEMORY;
        if (status == MEASURE_OK) { /* the median of the good half would do; outliers are rare */
            status = statistics_median(readings.mm, readings.good, &mean_mm[p]);
            double sum = 0.0, within = 0.0;
            for (size_t i = 0; i < readings.good; i++) {
                bool near = fabs(readings.mm[i] - mean_mm[p]) <= CALIBRATION_NEAR_MM;
                sum += near ? readings.mm[i] : 0.0;
                within += near;
            }
            mean_mm[p] = within > 0.0 ? sum / within : mean_mm[p];
        }
        if (made) {
            readings_free(&readings);
        }
        if (!check_measured(judging, channel, status)) {
            return;
        }
        check_put(judging, CHECK_RANGE, channel, p, mean_mm[p]);
    }
    if (!check_measured(
            judging, channel,
            calibration_fit(plan->asked_mm, mean_mm, (size_t)plan->phase_count, &line))) {
        return;
    }
    check_put(judging, CHECK_GAIN, channel, 0, line.gain);
    check_put(judging, CHECK_OFFSET, channel, 0, line.offset_mm);
    if (line.has_errors) {
        check_put(judging, CHECK_GAIN_U, channel, 0, line.slope_u / (line.slope * line.slope));
        check_put(judging, CHECK_RESIDUAL_SD, channel, 0, line.residual_sd_mm);
        check_put(judging, CHECK_WORST_RESIDUAL, channel, 0, line.worst_residual_mm);
    }
    if (line.has_lack_of_fit) {
        check_put(judging, CHECK_LACK_OF_FIT_P, channel, 0, line.lack_of_fit_p);
    }
    find_calibration(channel, &line, judging);
}

/* ---------------------------------------------------------------------------------------------- */

void check_judge(const struct check_plan *plan, const struct placing_record *placing,
                 const struct check_stretch *stretches, struct check_record *check,
                 struct check_findings *findings)
{
    struct judging judging = {check, findings};
    findings->count = 0;
    check->kind = plan->kind;
    check->channel = plan->channel;
    check->phase_count = plan->phase_count;
    memcpy(check->asked_mm, plan->asked_mm, sizeof check->asked_mm);
    check->verdict = CHECK_PASSED;
    check->number_count = 0;
    switch (plan->kind) {
    case CHECK_STILL:
        for (int c = 0; c < placing->channel_count; c++) {
            if (plan->channel == c ||
                (plan->channel < 0 && placing->channel[c].role != ROLE_AUXILIARY)) {
                judge_still(placing, &stretches[0], c, &judging);
            }
        }
        break;
    case CHECK_STEP:
        judge_step(plan, placing, stretches, &judging);
        break;
    case CHECK_BEAM:
        check_judge_beam(plan, placing, stretches, &judging);
        break;
    case CHECK_RIDER:
        check_judge_rider(placing, stretches, &judging);
        break;
    case CHECK_CALIBRATION:
        judge_calibration(plan, placing, stretches, &judging);
        break;
    case CHECK_KINDS:
        break;
    }
}
