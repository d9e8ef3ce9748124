/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check_judge.h"

#include "base/text.h"
#include "measure/block.h"
#include "measure/hampel.h"
#include "measure/range_calibration.h"
#include "measure/rules.h"
#include "measure/statistics.h"
#include "measure/step_test.h"
#include "measure/still_test.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- readings -------------------------------------------------------------------------------- */

bool readings_of(const struct placing_record *placing, int channel, bool raw,
                 const struct check_stretch *stretch, struct readings *readings)
{
    const struct channel_record *recorded = &placing->channel[channel];
    memset(readings, 0, sizeof *readings);
    readings->all_time_s = malloc((stretch->count + 1) * sizeof(double));
    readings->all_mm = malloc((stretch->count + 1) * sizeof(double));
    readings->time_s = malloc((stretch->count + 1) * sizeof(double));
    readings->mm = malloc((stretch->count + 1) * sizeof(double));
    readings->valid = malloc(stretch->count + 1);
    if (readings->all_time_s == NULL || readings->all_mm == NULL || readings->time_s == NULL ||
        readings->mm == NULL || readings->valid == NULL) {
        readings_free(readings);
        return false;
    }
    for (size_t i = 0; i < stretch->count; i++) {
        const struct sample *sample = &stretch->samples[i];
        double time_s = (double)(sample->time_us - stretch->samples[0].time_us) / 1e6;
        if (readings->all > 0 && time_s <= readings->all_time_s[readings->all - 1]) {
            continue; /* two at one time: the second says nothing about how it went on */
        }
        double tenths = (double)sample->range_tenth_mm[channel];
        double mm = raw ? tenths / 10.0 : calibrated_mm(recorded, tenths);
        bool good = sample->quality[channel] == READING_GOOD;
        readings->all_time_s[readings->all] = time_s;
        readings->all_mm[readings->all] = mm;
        readings->valid[readings->all++] = good;
        if (good) {
            readings->time_s[readings->good] = time_s;
            readings->mm[readings->good++] = mm;
        }
    }
    return true;
}

void readings_free(struct readings *readings)
{
    free(readings->all_time_s);
    free(readings->all_mm);
    free(readings->time_s);
    free(readings->mm);
    free(readings->valid);
    memset(readings, 0, sizeof *readings);
}

/* ---- results --------------------------------------------------------------------------------- */

void check_put(struct check_record *check, enum check_quantity quantity, int channel, int phase,
               double value)
{
    if (check->number_count < CHECK_NUMBERS_MAX && isfinite(value)) {
        check->number[check->number_count++] =
            (struct check_number){quantity, channel, phase, value};
    }
}

double check_value(const struct check_record *check, enum check_quantity quantity, int channel,
                   int phase)
{
    for (int i = 0; i < check->number_count; i++) {
        const struct check_number *number = &check->number[i];
        if (number->quantity == quantity && number->channel == channel && number->phase == phase) {
            return number->value;
        }
    }
    return NAN;
}

void check_say(struct check_record *check, const char *format, ...)
{
    char sentence[CHECK_WORDS_SIZE];
    size_t used = strlen(check->words);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(sentence, sizeof sentence, format, arguments);
    va_end(arguments);
    text_append(check->words, sizeof check->words, &used, "%s%s", used > 0 ? "; " : "", sentence);
}

void check_worsen(struct check_record *check, enum check_verdict verdict)
{
    /* failed is worse than not known */
    if (check->verdict != CHECK_FAILED) {
        check->verdict = verdict == CHECK_PASSED ? check->verdict : verdict;
    }
}

bool check_measured(struct check_record *check, const char *name, enum measure_status status)
{
    if (status == MEASURE_OK) {
        return true;
    }
    check_worsen(check, status == MEASURE_CONSTANT ? CHECK_FAILED : CHECK_UNCERTAIN);
    check_say(check, "%s: %s", name, measure_status_sentence(status));
    return false;
}

/* ---- still ----------------------------------------------------------------------------------- */

static void say_still(const char *name, const struct still_test *test, struct check_record *check)
{
    static const struct {
        enum still_reason reason;
        const char *words;
    } reasons[] = {
        {STILL_STUCK, "every reading is the same: the sensor is stuck"},
        {STILL_BLOCKED, "something lies on its window"},
        {STILL_TWO_LEVELS, "readings jump between two levels: the beam sees two things"},
        {STILL_NOISY, "too noisy: more light on the plate, a matt light surface, a shorter range"},
        {STILL_DROPS, "readings drop out: missing, doubtful or far off"},
        {STILL_WANDERS, "it wanders more than its noise explains: the plate, the clamp or the "
                        "sensor is not still"},
        {STILL_DRIFTS, "it drifts: still warming up, or the plate moves"},
    };
    check_say(check, "%s: noise %.1f mm", name, test->white_mm);
    if (test->has_drift && !(test->reasons & STILL_TWO_LEVELS)) {
        check_say(check, "drift %+.1f ±%.1f mm a minute", test->drift_mm_per_min,
                  test->drift_half_width_mm_per_min);
    }
    if (test->has_allan) {
        check_say(check, "averaging over %.*f s%s leaves %.2f mm", test->best_s < 10 ? 1 : 0,
                  test->best_s, test->best_is_longest ? " (a longer test would say more)" : "",
                  test->best_mm);
    }
    for (size_t i = 0; i < sizeof reasons / sizeof reasons[0]; i++) {
        if (test->reasons & reasons[i].reason) {
            check_worsen(check, CHECK_FAILED);
            check_say(check, "%s", reasons[i].words);
        }
    }
}

static void judge_still(const struct placing_record *placing, const struct check_stretch *stretch,
                        int channel, struct check_record *check)
{
    const char *name = placing->channel[channel].name;
    struct readings readings;
    struct still_test test;
    if (!readings_of(placing, channel, false, stretch, &readings)) {
        check_measured(check, name, MEASURE_NO_MEMORY);
        return;
    }
    struct still_input input = {readings.all_time_s, readings.all_mm, readings.valid, readings.all};
    if (check_measured(check, name, still_test(&input, &test))) {
        check_put(check, CHECK_RANGE, channel, 0, test.mean_mm);
        check_put(check, CHECK_NOISE, channel, 0, test.white_mm);
        check_put(check, CHECK_QUANTUM, channel, 0, test.quantum_mm);
        check_put(check, CHECK_VALID_SHARE, channel, 0, test.valid_share - test.outlier_share);
        if (test.has_drift) {
            check_put(check, CHECK_DRIFT, channel, 0, test.drift_mm_per_min);
            check_put(check, CHECK_DRIFT_HALF_WIDTH, channel, 0, test.drift_half_width_mm_per_min);
        }
        if (test.has_allan) {
            check_put(check, CHECK_BEST_AVERAGING, channel, 0, test.best_s);
            check_put(check, CHECK_BEST_DEVIATION, channel, 0, test.best_mm);
        }
        say_still(name, &test, check);
    }
    readings_free(&readings);
}

/* ---- step ------------------------------------------------------------------------------------ */

#define STEP_BLOCKS_MAX 600

/* Readings far from those about them are left out, as a body's are. */
static size_t without_outliers(struct readings *readings)
{
    const struct hampel_settings settings = hampel_of_sensor();
    uint8_t *reject = malloc(readings->good + 1);
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
    readings->good = without_outliers(readings);
    if (readings->good > 0) {
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

static void say_step(const char *name, const struct step_input *input, const struct step_test *test,
                     struct check_record *check)
{
    check_say(check, "%s: the block of %g mm reads %.1f ±%.1f mm (limit ±%.1f)", name,
              input->thickness_mm, test->step_mm, STEP_COVERAGE * test->u_mm, test->limit_mm);
    if (test->verdict == STEP_FAILED) {
        check_worsen(check, CHECK_FAILED);
        if (test->step_mm < STEP_SEEN_SHARE * input->thickness_mm) {
            check_say(check, "the beam does not see the block: is it in the beam?");
        } else {
            check_say(check, "a millimetre reads %+.0f ±%.0f %%: calibrate the sensor",
                      test->scale_error_percent, STEP_COVERAGE * test->scale_error_u_percent);
        }
    } else if (test->verdict == STEP_UNCERTAIN) {
        check_worsen(check, CHECK_UNCERTAIN);
        check_say(check, "readings scatter too much to tell: a longer test, a matt light plate");
    }
}

static void judge_step(const struct check_plan *plan, const struct placing_record *placing,
                       const struct check_stretch *stretches, struct check_record *check)
{
    int channel = plan->channel;
    const char *name = placing->channel[channel].name;
    struct readings bare = {0}, block = {0};
    double bare_mm[STEP_BLOCKS_MAX], block_mm[STEP_BLOCKS_MAX];
    struct step_test test;
    if (!readings_of(placing, channel, false, &stretches[0], &bare) ||
        !readings_of(placing, channel, false, &stretches[1], &block)) {
        check_measured(check, name, MEASURE_NO_MEMORY);
        goto done;
    }
    struct step_input input = {.bare_mm = bare_mm,
                               .bare_count = block_means(&bare, bare_mm),
                               .block_mm = block_mm,
                               .block_count = block_means(&block, block_mm),
                               .thickness_mm = plan->asked_mm[0],
                               .thickness_u_mm = plan->block_u_mm};
    if (check_measured(check, name, step_test(&input, &test))) {
        check_put(check, CHECK_RANGE, channel, 0, test.bare_mm);
        check_put(check, CHECK_BLOCK_STEP, channel, 0, test.step_mm);
        check_put(check, CHECK_BLOCK_STEP_U, channel, 0, test.u_mm);
        check_put(check, CHECK_LIMIT, channel, 0, test.limit_mm);
        check_put(check, CHECK_SCALE_ERROR, channel, 0, test.scale_error_percent);
        say_step(name, &input, &test, check);
    }
done:
    readings_free(&bare);
    readings_free(&block);
}

#define SESSION_MOST_S (7 * 86400.0)

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
    for (int i = 0; now->kind == CHECK_STEP && i < check; i++) {
        const struct check_record *earlier = &record->check[i];
        if (earlier->channel != now->channel || earlier->placing != now->placing) {
            continue;
        }
        if (earlier->kind == CHECK_CALIBRATION && earlier->verdict == CHECK_PASSED) {
            first = NULL; /* readings mean something else from here on */
        } else if (earlier->kind == CHECK_STEP && first == NULL &&
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

static void say_calibration(const char *name, const struct range_calibration *line,
                            struct check_record *check)
{
    bool bent = line->has_lack_of_fit && line->lack_of_fit_p < CALIBRATION_P &&
                fabs(line->worst_residual_mm) > CALIBRATION_RESIDUAL_MM;
    check_say(check, "%s: true range = %.4f × reading %+.1f mm", name, line->gain, line->offset_mm);
    if (line->has_errors) {
        check_say(check, "gain ±%.4f, scatter about the line %.1f mm, furthest off %+.1f mm",
                  2.0 * line->slope_u / (line->slope * line->slope), line->residual_sd_mm,
                  line->worst_residual_mm);
    } else {
        check_say(check, "two distances only: nothing tells whether a line is right");
    }
    if (line->gain < CALIBRATION_GAIN_LEAST || line->gain > CALIBRATION_GAIN_MOST) {
        check_worsen(check, CHECK_FAILED);
        check_say(check, "not taken: no sensor is that wrong; was the plate at these distances?");
    } else if (bent || (line->has_errors && line->residual_sd_mm > CALIBRATION_RESIDUAL_MM)) {
        check_worsen(check, CHECK_FAILED);
        check_say(check, "not taken: the readings do not lie on a straight line; measure again, or "
                         "over a shorter range");
    }
}

static void judge_calibration(const struct check_plan *plan, const struct placing_record *placing,
                              const struct check_stretch *stretches, struct check_record *check)
{
    int channel = plan->channel;
    const char *name = placing->channel[channel].name;
    double mean_mm[CHECK_PHASES_MAX];
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
        if (!check_measured(check, name, status)) {
            return;
        }
        check_put(check, CHECK_RANGE, channel, p, mean_mm[p]);
    }
    if (!check_measured(
            check, name,
            calibration_fit(plan->asked_mm, mean_mm, (size_t)plan->phase_count, &line))) {
        return;
    }
    check_put(check, CHECK_GAIN, channel, 0, line.gain);
    check_put(check, CHECK_OFFSET, channel, 0, line.offset_mm);
    if (line.has_errors) {
        check_put(check, CHECK_GAIN_U, channel, 0, line.slope_u / (line.slope * line.slope));
        check_put(check, CHECK_RESIDUAL_SD, channel, 0, line.residual_sd_mm);
        check_put(check, CHECK_WORST_RESIDUAL, channel, 0, line.worst_residual_mm);
    }
    if (line.has_lack_of_fit) {
        check_put(check, CHECK_LACK_OF_FIT_P, channel, 0, line.lack_of_fit_p);
    }
    say_calibration(name, &line, check);
}

/* ---------------------------------------------------------------------------------------------- */

void check_judge(const struct check_plan *plan, const struct placing_record *placing,
                 const struct check_stretch *stretches, struct check_record *check)
{
    check->kind = plan->kind;
    check->channel = plan->channel;
    check->phase_count = plan->phase_count;
    memcpy(check->asked_mm, plan->asked_mm, sizeof check->asked_mm);
    check->verdict = CHECK_PASSED;
    check->words[0] = '\0';
    check->number_count = 0;
    switch (plan->kind) {
    case CHECK_STILL:
        for (int c = 0; c < placing->channel_count; c++) {
            if (plan->channel == c ||
                (plan->channel < 0 && placing->channel[c].role != ROLE_AUXILIARY)) {
                judge_still(placing, &stretches[0], c, check);
            }
        }
        break;
    case CHECK_STEP:
        judge_step(plan, placing, stretches, check);
        break;
    case CHECK_BEAM:
        check_judge_beam(plan, placing, stretches, check);
        break;
    case CHECK_RIDER:
        check_judge_rider(placing, stretches, check);
        break;
    case CHECK_CALIBRATION:
        judge_calibration(plan, placing, stretches, check);
        break;
    case CHECK_KINDS:
        break;
    }
}
