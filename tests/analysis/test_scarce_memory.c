/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Each call for memory of an analysis fails once: nothing breaks, nothing is kept, and the next
 * time all is as ever. */
#include "plain_session.h"

#include "support/scarce_memory.h"

#include "analysis/across.h"
#include "analysis/check.h"
#include "analysis/hold_meter.h"

static struct problem problem;

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

/* A ride is read again piece by piece. */
static double run_ride(void)
{
    record->hold[3].purpose = PURPOSE_RIDE;
    double mean_mm = analysis_add_hold(record, 3, samples_of, NULL, analysis, &problem)
                         ? analysis->hold[3].summary[1].mean_mm
                         : (double)NAN;
    record->hold[3].purpose = PURPOSE_NONE;
    return mean_mm;
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
    {"create", run_create, 1, false},  {"make", run_make, 50, true},
    {"meter", run_meter, 10, true},    {"ride", run_ride, 20, true},
    {"stretch", run_stretch, 8, true}, {"target", run_target, 3, true},
    {"across", run_across, 2, true},   {"still", run_still, 8, true},
    {"step", run_step, 10, true},      {"beam", run_beam, 10, true},
    {"rider", run_rider, 5, true},     {"calibration", run_calibration, 5, false},
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
