/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What checks of made-up sensors ask for and find, in numbers and words. */
#include "analysis/check.h"
#include "base/random.h"
#include "base/words.h"
#include "say/check.h"
#include "support/outcome.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RATE_HZ 25
#define SAMPLES_MOST 2000

static struct random_source source;
static struct placing_record placing;
static struct sample samples[CHECK_PHASES_MAX][SAMPLES_MOST];

static const char *const lines[] = {
    "still 20s",
    "still 60s",
    "still head 30s",
    "step head block=25 10s",
    "step chest block=10 u=0.1 5s pause=2s",
    "step head block=50 10s",
    "beam head block=50 5s",
    "beam chest 5s",
    "beam head block=20 5s",
    "rider 20s",
    "rider 10s pause=key",
    "calibrate head 200 400 600 5s",
    "calibrate chest 300 500 2s pause=1s",
    "calibrate head 200 300 400 200 300 400 5s",
    "still",
    "still nose 20s",
    "still 0s",
    "still 2h",
    "step block=25",
    "step head",
    "step head block=0",
    "step head block=500",
    "beam",
    "rider 1s",
    "calibrate head",
    "calibrate head 200",
    "calibrate head 5 10",
    "calibrate head 200 400 pause=x",
    "fly",
    "",
};

/* What the sensor of a channel shows in a phase, and how. */
static double level_mm(const struct check_plan *plan, int phase, int channel, int how)
{
    double asked = plan->asked_mm[0], mm = channel == 0 ? 420.0 : 330.0;
    bool checked = plan->channel < 0 || plan->channel == channel;
    switch (plan->kind) {
    case CHECK_STEP:
        mm -= phase == 1 && checked ? asked * (1.0 + 0.02 * (how % 7 - 3)) : 0.0;
        break;
    case CHECK_BEAM:
        mm -= phase == 1 && checked == (how % 5 != 4) ? (isnan(asked) ? 60.0 : asked) * 0.9 : 0.0;
        mm += phase == 1 && how % 7 == 3 ? 120.0 : 0.0;
        break;
    case CHECK_RIDER:
        mm -= phase == RIDER_NODS && channel == 0 ? 20.0 * (how % 4 - 1) : 0.0;
        mm += phase == RIDER_RISES ? 40.0 * (how % 5 - 1) : 0.0;
        mm += phase == RIDER_HANDS && how % 6 == 5 ? 45.0 : 0.0;
        break;
    case CHECK_CALIBRATION:
        mm = plan->asked_mm[phase] * (1.0 + 0.01 * (how % 5 - 2)) + 4.0;
        mm += how % 6 == 5 ? 0.0004 * plan->asked_mm[phase] * plan->asked_mm[phase] : 0.0;
        break;
    default:
        mm = how % 8 == 7 ? 30.0 : mm;
        break;
    }
    return mm;
}

static void ride(const struct check_plan *plan, int how, struct check_stretch *stretches)
{
    double sd = how % 9 == 8 ? 0.0 : 0.5 + 1.5 * (how % 3) * (how % 4 == 1);
    for (int p = 0; p < plan->phase_count; p++) {
        size_t count = (size_t)(plan->phase[p].length_s * RATE_HZ);
        count = count < SAMPLES_MOST ? count : SAMPLES_MOST;
        for (size_t i = 0; i < count; i++) {
            struct sample *sample = &samples[p][i];
            *sample = (struct sample){.number = (int64_t)i + 1,
                                      .time_us = (int64_t)i * 1000000 / RATE_HZ};
            for (int c = 0; c < 2; c++) {
                double t = (double)i / RATE_HZ;
                double mm = level_mm(plan, p, c, how) + sd * random_normal(&source);
                bool nods = plan->kind == CHECK_RIDER && p == RIDER_NODS;
                mm = nods && sin(2.0 * t) < 0.0 ? level_mm(plan, 0, c, how) : mm;
                mm += how % 5 == 3 ? 0.08 * t : 0.0;
                mm += how % 7 == 6 && c == 0 && i / 8 % 2 == 0 ? 25.0 : 0.0;
                mm += plan->kind == CHECK_RIDER ? 2.0 * sin(9.0 * t) : 0.0;
                sample->range_tenth_mm[c] = (int32_t)lround(10.0 * mm);
                bool bad = how % 6 == 2 && random_uniform(&source) < 0.08;
                sample->quality[c] = bad ? READING_MISSING : READING_GOOD;
            }
        }
        stretches[p] = (struct check_stretch){samples[p], count};
    }
}

static void pin_check(const struct check_plan *plan, const char *line, int how)
{
    struct check_stretch stretches[CHECK_PHASES_MAX];
    struct check_record *check = calloc(1, sizeof *check);
    struct check_findings findings = {.count = 0};
    char words[CHECK_WORDS_SIZE], name[40];
    ck_assert_ptr_nonnull(check);
    ride(plan, how, stretches);
    check->kind = plan->kind;
    check->channel = plan->channel;
    check->phase_count = plan->phase_count;
    memcpy(check->asked_mm, plan->asked_mm, sizeof check->asked_mm);
    check_judge(plan, &placing, stretches, check, &findings);
    say_check(words, sizeof words, &findings, &placing);
    outcome_of("%s.%d", line, how);
    outcome_text("words", words);
    outcome_number("verdict", check->verdict);
    outcome_number("wants_calibration", check_wants_calibration(check));
    for (int n = 0; n < check->number_count; n++) {
        const struct check_number *number = &check->number[n];
        snprintf(name, sizeof name, "%s.%d.%d", check_quantities[number->quantity].key,
                 number->channel, number->phase);
        outcome_number(name, number->value);
    }
    free(check);
}

START_TEST(checks)
{
    random_seed(&source, 51);
    placing = (struct placing_record){.channel_count = 2, .announced_rate_hz = RATE_HZ};
    for (int c = 0; c < 2; c++) {
        placing.channel[c] = (struct channel_record){.role = ROLE_BODY, .gain = 1.0};
        snprintf(placing.channel[c].name, sizeof placing.channel[c].name, "%s",
                 c == 0 ? "head" : "chest");
        placing.channel[c].mount.direction = 1;
    }
    outcome_begin("say-checks");
    for (size_t l = 0; l < sizeof lines / sizeof lines[0]; l++) {
        struct words words;
        struct check_plan plan;
        struct problem problem = {.sentence = ""};
        ck_assert(words_split(lines[l], &words, &problem));
        outcome_of("%s", lines[l]);
        if (!check_plan_read(&words, 0, &placing, &plan, &problem)) {
            outcome_text("refused", problem.sentence);
            continue;
        }
        for (int p = 0; p < plan.phase_count; p++) {
            outcome_text("ask", plan.phase[p].ask);
            outcome_text("rig", plan.phase[p].rig_before);
            outcome_text("rig", plan.phase[p].rig_during);
            outcome_number("pause_s", plan.phase[p].pause_s);
            outcome_number("length_s", plan.phase[p].length_s);
        }
        for (int how = 0; how < 10; how++) {
            pin_check(&plan, lines[l], how + 10 * (int)(l % 3));
        }
    }
    outcome_end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outcome_checks");
    TCase *tests = tcase_create("outcome_checks");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, checks);
    return test_main(suite);
}
