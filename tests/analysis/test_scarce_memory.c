/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Each call for memory of an analysis fails once: nothing breaks, nothing is kept, and the next
 * time all is as ever. */
#include "support/scarce_memory.h"
#include "support/test_main.h"

#include "analysis/across.h"
#include "analysis/analysis.h"
#include "analysis/check.h"
#include "analysis/hold_meter.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { READINGS = 400, CHANNELS = 3, HOLDS = 4 };
#define RATE_HZ 20.0

static struct session_record *record;
static struct analysis *analysis;
static struct problem problem;

/* A body that breathes over two sensors, and a plate over the third. */
static void make_samples(int64_t first, struct sample *made)
{
    for (int i = 0; i < READINGS; i++) {
        made[i] = (struct sample){.number = first + i, .time_us = (first + i) * 50000};
        for (int c = 0; c < CHANNELS; c++) {
            int breath = c < 2 ? (i / 10 + c) % 5 * 10 : 0;
            made[i].range_tenth_mm[c] = 4000 + 500 * c + breath + (i * 7 + c) % 5;
        }
    }
}

static bool samples_of(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    static struct sample made[READINGS];
    int64_t from = (first - 1) / READINGS * READINGS + 1;
    (void)context;
    make_samples(from, made);
    *samples = made + (first - from);
    *count = (size_t)(last - first + 1);
    return true;
}

/* Two setups of one build each, a target and two holds on each. */
static void set_up(void)
{
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->has_rider = true;
    record->placing_count = 1;
    record->placing[0].channel_count = CHANNELS;
    record->placing[0].announced_rate_hz = RATE_HZ;
    for (int c = 0; c < CHANNELS; c++) {
        struct channel_record *channel = &record->placing[0].channel[c];
        channel->role = c < 2 ? ROLE_BODY : ROLE_REFERENCE;
        channel->gain = 1.0;
        snprintf(channel->name, sizeof channel->name, "part%d", c);
    }
    record->setup_count = record->build_count = record->target_count = 2;
    record->hold_count = HOLDS;
    record->capture_count = HOLDS + 2;
    for (int i = 0; i < HOLDS + 2; i++) {
        record->capture[i] =
            (struct capture_record){.kind = i < HOLDS ? CAPTURE_HOLD : CAPTURE_TARGET,
                                    .first_sample = 1 + (int64_t)i * READINGS,
                                    .last_sample = (int64_t)(i + 1) * READINGS};
    }
    for (int b = 0; b < 2; b++) {
        record->setup[b].number = b + 1;
        record->build[b] = (struct build_record){
            .setup = b, .ordinal = 1, .first_sample = 1 + (int64_t)b * 2 * READINGS};
        record->target[b].capture = HOLDS + b;
        record->target[b].build = b;
        record->target[b].kept = true;
        for (int c = 0; c < CHANNELS_MAX; c++) {
            record->target[b].entered_mm[c] = NAN;
        }
    }
    for (int h = 0; h < HOLDS; h++) {
        record->hold[h] = (struct hold_record){.number = h + 1,
                                               .capture = h,
                                               .build = h / 2,
                                               .target = h / 2,
                                               .band = -1,
                                               .planned_s = 20.0,
                                               .status = HOLD_COMPLETE,
                                               .guessed_share = NAN};
    }
    record->last_sample = (int64_t)(HOLDS + 2) * READINGS;
}

static void tear_down(void)
{
    analysis_destroy(analysis);
    free(record);
}

/* What came of one, in one number; NAN: it said that it could not, or that it lacks memory. Check
 * asks for memory itself, so nothing is asserted here. */
typedef double analysis_run(void);

static double run_create(void)
{
    struct analysis *made = analysis_create();
    double there = made != NULL ? made->insight.x_channel : (double)NAN;
    analysis_destroy(made);
    return there;
}

static double run_make(void)
{
    bool done = analysis_make(record, samples_of, NULL, analysis, &problem);
    return done ? analysis->hold[3].summary[1].mean_mm : (double)NAN;
}

static double run_meter(void)
{
    struct hold_result result = {.counts = false};
    struct hold_meter *meter = hold_meter_create(record, analysis, 1);
    if (meter == NULL) {
        return (double)NAN;
    }
    hold_meter_read(meter, record, analysis, READINGS + 1, 2 * READINGS, samples_of, NULL);
    hold_meter_end(meter, record, analysis);
    hold_meter_result(meter, record, analysis, &result);
    hold_meter_destroy(meter);
    return result.summary[0].mean_mm;
}

static double run_stretch(void)
{
    struct hold_summary summary;
    bool done =
        analysis_stretch(record, analysis, 0, 0, 1, READINGS, samples_of, NULL, NULL, &summary);
    return done && summary.status == MEASURE_OK ? summary.mean_mm : (double)NAN;
}

static double run_target(void)
{
    struct target_estimate estimate;
    bool done =
        analysis_target_stretch(record, analysis, 0, 0, 1, READINGS, samples_of, NULL, &estimate);
    return done ? estimate.height_mm : (double)NAN;
}

static double run_across(void)
{
    struct across_session sessions[] = {{1, record, analysis}, {2, record, analysis}};
    struct across *across = across_make(sessions, 2, -1, &problem);
    double setups = across != NULL ? across->setup_count : (double)NAN;
    across_destroy(across);
    return setups;
}

/* A check of each kind on what the samples are: its verdict, unless memory is what it names. */
static double run_check(enum check_kind kind)
{
    static struct sample made[CHECK_PHASES_MAX][READINGS];
    static struct check_record check;
    static struct check_findings findings;
    struct check_stretch stretch[CHECK_PHASES_MAX];
    struct check_plan plan = {.kind = kind,
                              .channel = 0,
                              .phase_count = kind == CHECK_STILL || kind == CHECK_RIDER ? 1 : 4};
    for (int p = 0; p < CHECK_PHASES_MAX; p++) {
        plan.asked_mm[p] = kind == CHECK_CALIBRATION ? 400.0 + 100.0 * p : 50.0;
        make_samples(1, made[p]);
        for (int i = 0; i < READINGS; i++) {
            made[p][i].range_tenth_mm[0] += 1000 * p;
        }
        stretch[p] = (struct check_stretch){made[p], READINGS};
    }
    check_judge(&plan, &record->placing[0], stretch, &check, &findings);
    for (int i = 0; i < findings.count; i++) {
        if (findings.finding[i].kind == CHECK_FOUND_STATUS &&
            (enum measure_status)findings.finding[i].value[0] == MEASURE_NO_MEMORY) {
            return (double)NAN;
        }
    }
    return check.verdict;
}

static double run_still(void)
{
    return run_check(CHECK_STILL);
}

static double run_step(void)
{
    return run_check(CHECK_STEP);
}

static double run_beam(void)
{
    return run_check(CHECK_BEAM);
}

static double run_rider(void)
{
    return run_check(CHECK_RIDER);
}

static double run_calibration(void)
{
    return run_check(CHECK_CALIBRATION);
}

static const struct {
    const char *words;
    analysis_run *run;
    int least;         /* calls for memory at least */
    bool goes_without; /* may give a result that lacks something (base/memory.h tells of it) */
} runs[] = {
    {"create", run_create, 1, false},
    {"make", run_make, 50, true},
    {"meter", run_meter, 10, true},
    {"stretch", run_stretch, 8, true},
    {"target", run_target, 3, true},
    {"across", run_across, 2, true},
    {"still", run_still, 8, true},
    {"step", run_step, 10, true},
    {"beam", run_beam, 10, true},
    {"rider", run_rider, 5, true},
    {"calibration", run_calibration, 5, false},
};

START_TEST(what_lacks_memory_breaks_nothing_and_keeps_none)
{
    if (!scarce_memory_is_here()) {
        printf("skipped: the sanitizers have their own memory\n");
        return;
    }
    ck_assert(!isnan(run_make()));
    bool failed = true;
    long calls = 0;
    for (long call = 1; failed; call++) {
        long before = scarce_memory_blocks();
        scarce_memory_begin(call);
        double result = runs[_i].run();
        failed = scarce_memory_end();
        long kept = scarce_memory_blocks() - before;
        /* GSL 2.7 keeps one where a part of a matrix or vector finds none */
        ck_assert_msg(kept <= failed, "%s, call %ld: %ld kept", runs[_i].words, call, kept);
        ck_assert_msg(failed ? isnan(result) || runs[_i].goes_without : result == runs[_i].run(),
                      "%s, call %ld: %g", runs[_i].words, call, result);
        calls += failed;
    }
    ck_assert_msg(calls >= runs[_i].least, "%s: %ld calls", runs[_i].words, calls);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("scarce_memory");
    TCase *tests = tcase_create("scarce_memory");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 120);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_loop_test(tests, what_lacks_memory_breaks_nothing_and_keeps_none, 0,
                        sizeof runs / sizeof runs[0]);
    return test_main(suite);
}
