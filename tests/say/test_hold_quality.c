/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of how good a hold's data are: each finding, and from where on. */
#include "say/hold_quality.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct session_record *record;
static struct analysis *analysis;
static struct hold_record *hold;
static struct hold_result *result;
static struct hold_summary *head;

/* One hold of 60 s, all of it good: head and a sensor of the frame. */
static void begin(void)
{
    record = calloc(1, sizeof *record);
    analysis = calloc(1, sizeof *analysis);
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->placing_count = record->build_count = record->hold_count = 1;
    record->placing[0].channel_count = 2;
    strcpy(record->placing[0].channel[0].name, "head");
    record->placing[0].channel[0].role = ROLE_BODY;
    strcpy(record->placing[0].channel[1].name, "frame");
    record->placing[0].channel[1].role = ROLE_REFERENCE;
    hold = &record->hold[0];
    hold->build = record->build[0].placing = 0;
    hold->status = HOLD_COMPLETE;
    hold->planned_s = 60.0;
    hold->resit = RESIT_SEEN;
    result = &analysis->hold[0];
    result->duration_s = 60.0;
    result->health.known = true;
    result->has[0] = result->has[1] = true;
    for (int c = 0; c < 2; c++) {
        result->summary[c] = (struct hold_summary){.has_interval = c == 0,
                                                   .readings = 1000,
                                                   .valid = 1000,
                                                   .valid_share = 1.0,
                                                   .kept_s = 60.0};
    }
    head = &result->summary[0];
}

static void end(void)
{
    free(record);
    free(analysis);
}

static void says(const char *words)
{
    static char text[SAY_QUALITY_SIZE];
    say_hold_quality(text, record, analysis, 0);
    ck_assert_str_eq(text, words);
}

START_TEST(a_good_hold_has_no_findings)
{
    says("");
    ck_assert(!say_hold_only_lost(record, analysis, 0));
}
END_TEST

START_TEST(of_the_hold_as_a_whole)
{
    result->lost = 1;
    says("1 sample lost on the way");
    ck_assert(say_hold_only_lost(record, analysis, 0));
    result->lost = 2;
    result->link_gap = true;
    says("the link to the rig was down within it; 2 samples lost on the way");
    ck_assert(!say_hold_only_lost(record, analysis, 0));
    hold->status = HOLD_STOPPED;
    result->link_gap = false;
    result->lost = 0;
    result->duration_s = 41.0;
    says("stopped after 41 s of 60 s");
    hold->planned_s = INFINITY;
    says("stopped after 41 s");
    hold->status = HOLD_COMPLETE;
    hold->kept_afterwards = true;
    says("kept afterwards, chosen after the fact: left out of verdicts");
    hold->kept_afterwards = false;
    hold->rejected = true;
    says("REJECTED: no reason given");
    strcpy(hold->reject_reason, "coughed");
    says("REJECTED: coughed");
}
END_TEST

/* Only a damaged or crafted store has such a hold. */
START_TEST(without_a_placing_there_is_nothing_of_sensors)
{
    record->build[0].placing = -1;
    head->has_interval = false;
    says("");
}
END_TEST

START_TEST(marks_are_counted_by_their_kind)
{
    record->mark_count = 4;
    for (int i = 0; i < 4; i++) {
        record->mark[i].kind = i == 0 ? MARK_LOOKED : MARK_COUGHED;
        record->mark[i].hold = i == 3 ? 1 : 0; /* the last one is another hold's */
        record->mark[i + 1] = (struct mark_record){.kind = MARK_COUGHED}; /* taken back */
    }
    says("marked 'looked'; marked 'coughed' 2 times");
}
END_TEST

START_TEST(what_was_cut)
{
    head->cut_start_s = 4.5;
    says("head: first 4.5 s cut, not settled yet");
    head->not_settled = true;
    says(
        "head: NOT SETTLED by a third of the hold, repeat it (first 4.5 s cut; the height is where "
        "it was going)");
    head->cut_start_s = 0.0;
    says("head: NOT SETTLED, it moved all the way, repeat it");
    head->not_settled = false;
    head->cut_marked_s = 4.0;
    says("head: 4.0 s cut around marks");
}
END_TEST

START_TEST(a_step_is_up_or_down)
{
    head->stepped = true;
    head->step_mm = 12.0;
    head->step_at_s = 31.0;
    says("head: STEPPED up by 12 mm at 31 s: sensor or rider? read the plate");
    head->step_mm = -12.0;
    result->step_alone[0] = true;
    says(
        "head: STEPPED down by 12 mm at 31 s: the sensor, the body did not follow; read the plate");
}
END_TEST

START_TEST(a_band_that_was_lost)
{
    head->has_band = head->sustain_reached = true;
    head->sustain_s = 40.0;
    says("head: LOST the band after 40 s");
    head->has_band = false;
    says("");
}
END_TEST

/* One in twenty. */
START_TEST(readings_are_pointed_out_over_five_of_a_hundred)
{
    head->valid = 950;
    head->outliers = 50;
    says("");
    head->outliers = 49;
    head->valid = 948;
    says("head: 5 % of the readings missing or doubtful");
    head->valid = 1000;
    head->outliers = 52;
    says("head: 5 % of the readings are outliers");
    head->valid = 1001; /* one more than there were is no huge number of bad ones */
    head->outliers = 0;
    says("");
}
END_TEST

START_TEST(why_there_is_no_interval)
{
    head->has_interval = false;
    says("head: LEFT OUT of the comparison, too short for limits");
    head->kept_s = 19.0;
    says("head: LEFT OUT of the comparison, only 19 s kept");
    head->kept_s = 20.0;
    says("head: LEFT OUT of the comparison, too short for limits");
    head->valid_share = 0.89;
    says("head: LEFT OUT of the comparison, only 89 % of the readings are good");
    head->valid_share = 0.9;
    says("head: LEFT OUT of the comparison, too short for limits");
    head->has_interval = true;
    result->summary[1].has_interval = false; /* no body's: nothing is compared */
    says("");
    head->status = MEASURE_TOO_FEW;
    head->cut_start_s = 4.0; /* not told where there are no numbers */
    char words[200];
    snprintf(words, sizeof words, "head: NO NUMBERS, %s", measure_status_sentence(MEASURE_TOO_FEW));
    says(words);
    result->has[0] = false;
    says("");
}
END_TEST

START_TEST(what_the_sensor_did)
{
    result->health.channel[0].stuck = true;
    says("head: the sensor STOOD STILL for a while, its readings never changed");
    result->health.channel[0].stuck = false;
    result->health.channel[0].blocked = true;
    says("head: the sensor's window was COVERED for a while");
    result->health.channel[0].blocked = false;
    result->health.channel[1].two_levels = true;
    says("frame: readings JUMPED between two levels, the beam saw two things");
    result->health.known = false;
    says("");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold quality");
    TCase *tests = tcase_create("hold quality");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_good_hold_has_no_findings);
    tcase_add_test(tests, of_the_hold_as_a_whole);
    tcase_add_test(tests, without_a_placing_there_is_nothing_of_sensors);
    tcase_add_test(tests, marks_are_counted_by_their_kind);
    tcase_add_test(tests, what_was_cut);
    tcase_add_test(tests, a_step_is_up_or_down);
    tcase_add_test(tests, a_band_that_was_lost);
    tcase_add_test(tests, readings_are_pointed_out_over_five_of_a_hundred);
    tcase_add_test(tests, why_there_is_no_interval);
    tcase_add_test(tests, what_the_sensor_did);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
