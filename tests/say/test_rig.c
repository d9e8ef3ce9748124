/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/rig.h"
#include "support/test_main.h"

#include <string.h>

static struct rig_health health;
static struct {
    struct decoder_counts counts;
    uint64_t behind; /* of something else */
} counted;
#define counts counted.counts

static void begin(void)
{
    memset(&health, 0, sizeof health);
    memset(&counts, 0, sizeof counts);
    counted.behind = 999;
    health.samples = 1000;
    counts.lines = 1000;
}

static void check_finding(enum rig_finding finding, double assumed_rate_hz, const char *wanted)
{
    char text[256];
    bool said = say_rig_finding(text, sizeof text, finding, &health, &counts, assumed_rate_hz);
    ck_assert_int_eq(said, wanted != NULL);
    if (said) {
        ck_assert_str_eq(text, wanted);
    }
}

START_TEST(a_good_rig_has_no_findings)
{
    for (int i = 0; i <= RIG_FINDINGS; i++) {
        check_finding((enum rig_finding)i, 0, NULL);
    }
}
END_TEST

START_TEST(what_is_wrong_with_a_rig_is_told_over_its_limit)
{
    check_finding(RIG_RATE_ASSUMED, 50,
                  "the stream says neither time nor rate: taken as 50 a second (--rate)");
    health.announced_rate_hz = 50;
    health.sent_rate_hz = 40;
    health.rate_differs = true;
    check_finding(RIG_RATE_DIFFERS, 0, "the rate is 20 % below the announced one");
    health.sent_rate_hz = 60;
    check_finding(RIG_RATE_DIFFERS, 0, "the rate is 20 % above the announced one");
    health.sent_rate_hz = 50200;
    check_finding(RIG_RATE_DIFFERS, 0, NULL);
    check_finding(RIG_TIME_UNIT, 0,
                  "the rig's time runs 1000 times too slow: milliseconds where microseconds should "
                  "be?");
    health.samples = 980;
    health.lost = 20; /* 2 % */
    check_finding(RIG_LOST, 0, NULL);
    health.samples = 979;
    health.lost = 21;
    check_finding(RIG_LOST, 0, "2 % of the samples were lost on the way");
    counts.rejected[0] = 1;
    uint64_t lines = counts.lines;
    counts.lines = 20; /* 5 %, and only the first of them */
    check_finding(RIG_REJECTED, 0, NULL);
    counts.lines = lines;
    counts.rejected[0] = 4;
    counts.rejected[1] = 6; /* 1 % */
    check_finding(RIG_REJECTED, 0, NULL);
    counts.rejected[1] = 7;
    check_finding(RIG_REJECTED, 0, "1 % of the lines make no sense: is the speed (baud) right?");
    health.times_down = 1;
    check_finding(RIG_WAS_DOWN, 0, "the link was down once");
    health.clock_restarts = 3;
    check_finding(RIG_CLOCK_JUMPED, 0, "the rig's clock jumped or started anew 3 times");
}
END_TEST

/* A thousand times, as far as rates are known: from 800 to 1250, and the same the other way. */
START_TEST(a_wrong_unit_of_time_is_told_as_that)
{
    static const double wrong[] = {40050, 62450, 0.0401, 0.0624};
    static const double other[] = {40000, 62500, 0.04, 0.0625};
    for (int sent = 0; sent < 2; sent++) { /* none was announced */
        health.sent_rate_hz = 50.0 * sent;
        check_finding(RIG_TIME_UNIT, 0, NULL);
    }
    health.announced_rate_hz = 50;
    health.rate_differs = true;
    for (int i = 0; i < 4; i++) {
        char text[256];
        health.sent_rate_hz = wrong[i];
        check_finding(RIG_RATE_DIFFERS, 0, NULL);
        ck_assert(say_rig_finding(text, sizeof text, RIG_TIME_UNIT, &health, &counts, 0));
        ck_assert_ptr_nonnull(strstr(text, i < 2 ? "too slow" : "too fast"));
        health.sent_rate_hz = other[i];
        check_finding(RIG_TIME_UNIT, 0, NULL);
        ck_assert(say_rig_finding(text, sizeof text, RIG_RATE_DIFFERS, &health, &counts, 0));
    }
}
END_TEST

static struct channel_health channel;

static const char *sensor(int number)
{
    static char text[256];
    return say_sensor_finding(text, sizeof text, number, "head", &channel, 1000) ? text : NULL;
}

START_TEST(what_is_wrong_with_a_sensor_is_told_one_by_one)
{
    memset(&channel, 0, sizeof channel);
    channel.recent_valid_share = 0.5;
    channel.missing = 20;
    channel.doubtful = 30; /* 5 % */
    ck_assert_ptr_null(sensor(0));
    channel.doubtful = 31;
    ck_assert_ptr_nonnull(strstr(sensor(0), health_trouble_sentence(HEALTH_GAPS)));
    ck_assert_ptr_null(sensor(1));
    channel.two_levels_s = 2.9;
    channel.stuck_s = 4;
    channel.blocked = true;
    ck_assert_ptr_nonnull(strstr(sensor(0), health_trouble_sentence(HEALTH_BLOCKED)));
    ck_assert_ptr_null(strstr(sensor(0), "(for"));
    ck_assert_ptr_nonnull(strstr(sensor(1), health_trouble_sentence(HEALTH_STUCK)));
    ck_assert_ptr_nonnull(strstr(sensor(1), "head: "));
    ck_assert_ptr_nonnull(strstr(sensor(1), "(for 4 s)"));
    channel.stuck_s = 1;
    ck_assert_ptr_nonnull(strstr(sensor(1), "(for 1 s)"));
    channel.stuck_s = 0.9;
    ck_assert_ptr_null(strstr(sensor(1), "(for"));
    ck_assert_ptr_null(sensor(2));
    channel.blocked = false;
    channel.blocked_s = 2;
    ck_assert_ptr_nonnull(strstr(sensor(0), "(for 2 s)")); /* no longer, but it was */
    channel.stuck_s = 0;
    channel.stuck = channel.two_levels = true;
    ck_assert_ptr_nonnull(strstr(sensor(1), health_trouble_sentence(HEALTH_STUCK)));
    ck_assert_ptr_nonnull(strstr(sensor(2), health_trouble_sentence(HEALTH_TWO_LEVELS)));
    channel.two_levels = false;
    channel.two_levels_s = 3;
    ck_assert_ptr_nonnull(strstr(sensor(2), health_trouble_sentence(HEALTH_TWO_LEVELS)));
    ck_assert_ptr_null(sensor(3));
    channel.recent_valid_share = 0.49;
    ck_assert_str_eq(
        sensor(3), "head: fewer than half of the last readings are good: is the beam on the body?");
    ck_assert_ptr_null(sensor(4));
}
END_TEST

/* Of no samples no share is missing. */
START_TEST(a_sensor_without_samples_has_no_gaps)
{
    char text[256];
    memset(&channel, 0, sizeof channel);
    channel.recent_valid_share = 1.0;
    channel.missing = 3;
    ck_assert(!say_sensor_finding(text, sizeof text, 0, "head", &channel, 0));
}
END_TEST

START_TEST(a_rig_that_is_not_heard_is_silent_or_not_understood)
{
    char text[256];
    say_rig_unheard(text, sizeof text, "serial:ttyUSB0", &counts);
    ck_assert_ptr_nonnull(strstr(text, "'serial:ttyUSB0' is open and silent"));
    counts.bytes = 512;
    counts.lines = 3;
    say_rig_unheard(text, sizeof text, "serial:ttyUSB0", &counts);
    ck_assert_ptr_nonnull(
        strstr(text, "no readings came from 'serial:ttyUSB0' (512 bytes, 3 lines)"));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rig");
    TCase *tests = tcase_create("rig");
    tcase_add_checked_fixture(tests, begin, NULL);
    tcase_add_test(tests, a_good_rig_has_no_findings);
    tcase_add_test(tests, what_is_wrong_with_a_rig_is_told_over_its_limit);
    tcase_add_test(tests, a_wrong_unit_of_time_is_told_as_that);
    tcase_add_test(tests, what_is_wrong_with_a_sensor_is_told_one_by_one);
    tcase_add_test(tests, a_sensor_without_samples_has_no_gaps);
    tcase_add_test(tests, a_rig_that_is_not_heard_is_silent_or_not_understood);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
