/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines to the virtual rig that say less or more than is usual, and settings at their ends. */
#include "rig/decoding.h"
#include "rig/virtual_day.h"
#include "rig/virtual_rig.h"

#include <math.h>

enum { SAMPLES = 200 };

static struct virtual_rig *rig_of(const char *parameters)
{
    struct virtual_rig_settings settings;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_msg(virtual_rig_settings_read("steady", parameters, &settings, &problem), "%s",
                  problem.sentence);
    struct virtual_rig *rig = virtual_rig_create(&settings);
    ck_assert_ptr_nonnull(rig);
    return rig;
}

static struct decoded hear(struct virtual_rig *rig)
{
    static char stream[SAMPLES * VIRTUAL_RIG_BYTES];
    int64_t time_us;
    size_t used = (size_t)sprintf(stream, "# holdline-rig 1 rate=50 unit=mm channels=head,chest\n");
    for (int i = 0; i < SAMPLES; i++) {
        used += virtual_rig_next(rig, stream + used, VIRTUAL_RIG_BYTES, &time_us);
    }
    return decode_bytes(stream, used, 0, NULL);
}

/* How many of a channel's readings are of a quality. */
static int count_of(const struct decoded *decoded, int channel, enum reading_quality quality)
{
    int count = 0;
    for (size_t i = 0; i < decoded->count; i++) {
        count += decoded->sample[i].quality[channel] == quality ? 1 : 0;
    }
    return count;
}

/* The mean of a channel's good readings in mm. */
static double mean_of(const struct decoded *decoded, int channel)
{
    double sum = 0;
    int count = 0;
    for (size_t i = 0; i < decoded->count; i++) {
        if (decoded->sample[i].quality[channel] == READING_GOOD) {
            sum += decoded->sample[i].range_tenth_mm[channel] / 10.0;
            count++;
        }
    }
    return count > 0 ? sum / count : (double)NAN;
}

/* The mean of the head's channel after lines were told, or what is wrong with one of them. */
static double head_after(const char *const *lines, struct problem *problem)
{
    struct virtual_rig *rig = rig_of("");
    for (int i = 0; lines[i] != NULL; i++) {
        virtual_rig_tell(rig, lines[i], problem);
    }
    struct decoded decoded = hear(rig);
    double mean_mm = mean_of(&decoded, 0);
    decoded_free(&decoded);
    virtual_rig_destroy(rig);
    return mean_mm;
}

START_TEST(words_that_are_left_out)
{
    struct problem problem = {PROBLEM_NONE, ""};
    double alone_mm = head_after((const char *const[]){NULL}, &problem);
    /* each of them takes back what the one before it told */
    static const char *const taken_back[][4] = {
        {"plate 700", "plate", NULL},
        {"block 100 head", "block", NULL},
        {"distance 700 head", "distance", NULL},
        {"hand head", "hand", NULL},
    };
    for (size_t i = 0; i < sizeof taken_back / sizeof taken_back[0]; i++) {
        const char *const told[] = {taken_back[i][0], NULL};
        ck_assert_msg(fabs(head_after(told, &problem) - alone_mm) > 20, "%s", told[0]);
        ck_assert_msg(fabs(head_after(taken_back[i], &problem) - alone_mm) < 5, "%s",
                      taken_back[i][1]);
    }
    ck_assert_int_eq(problem.kind, PROBLEM_NONE);
    head_after((const char *const[]){"sit", NULL}, &problem); /* as he likes */
    ck_assert_int_eq(problem.kind, PROBLEM_NONE);
}
END_TEST

START_TEST(mounts_of_no_channel_and_mounts_that_change_nothing)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct virtual_rig *rig = rig_of("");
    ck_assert(!virtual_rig_tell(rig, "mount carrier=stand", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no channel ''"));
    ck_assert(!virtual_rig_tell(rig, "mount", &problem));
    ck_assert(virtual_rig_tell(rig, "mount head role=ref", &problem));
    struct decoded first = hear(rig);
    ck_assert(
        virtual_rig_tell(rig, "mount head role=ref again", &problem)); /* it is that already */
    struct decoded second = hear(rig);
    ck_assert(fabs(mean_of(&first, 0) - mean_of(&second, 0)) < 1); /* a reference stands still */
    ck_assert(virtual_rig_tell(rig, "mount head look=down role=body y=1200", &problem));
    struct decoded down = hear(rig);
    ck_assert(virtual_rig_tell(rig, "mount head look=up", &problem)); /* the look alone */
    struct decoded up = hear(rig);
    ck_assert(fabs(mean_of(&down, 0) - mean_of(&up, 0)) > 20 || isnan(mean_of(&up, 0)) ||
              isnan(mean_of(&down, 0)));
    decoded_free(&first);
    decoded_free(&second);
    decoded_free(&down);
    decoded_free(&up);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(readings_at_the_ends_of_what_can_be)
{
    struct virtual_rig *rig = rig_of("missing=1");
    struct decoded decoded = hear(rig);
    ck_assert_int_eq(count_of(&decoded, 0, READING_MISSING), (int)decoded.count);
    ck_assert_int_eq(count_of(&decoded, 1, READING_MISSING), (int)decoded.count);
    decoded_free(&decoded);
    virtual_rig_destroy(rig);
    struct problem problem = {PROBLEM_NONE, ""};
    rig = rig_of("noise=5&missing=0&doubtful=0&outliers=0&lost=0"); /* its sensors end at 4 m */
    ck_assert(virtual_rig_tell(rig, "distance 4000 head", &problem));
    decoded = hear(rig);
    ck_assert_int_gt(count_of(&decoded, 0, READING_OUT_OF_RANGE), SAMPLES / 5);
    ck_assert_int_gt(count_of(&decoded, 0, READING_GOOD), SAMPLES / 5);
    for (size_t i = 0; i < decoded.count; i++) {
        ck_assert_int_le(decoded.sample[i].range_tenth_mm[0], 40000);
    }
    decoded_free(&decoded);
    virtual_rig_destroy(rig);
}
END_TEST

/* In a hall there is no wind to be told; on a road there mostly is. */
START_TEST(the_air_of_days)
{
    struct virtual_day_settings settings;
    double wind_m_s = 0;
    for (int laps = 0; laps < 2; laps++) {
        for (uint64_t seed = 1; seed <= 5; seed++) {
            virtual_day_defaults(&settings, seed);
            settings.laps = laps == 1;
            struct virtual_day *day = virtual_day_create(&settings);
            ck_assert_ptr_nonnull(day);
            struct virtual_air air = virtual_day_air(day, true);
            ck_assert(laps == 0 || air.wind_m_s == 0);
            wind_m_s += air.wind_m_s;
            virtual_day_free(day);
        }
    }
    ck_assert(wind_m_s > 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("virtual odd");
    TCase *tests = tcase_create("virtual odd");
    tcase_add_test(tests, words_that_are_left_out);
    tcase_add_test(tests, mounts_of_no_channel_and_mounts_that_change_nothing);
    tcase_add_test(tests, readings_at_the_ends_of_what_can_be);
    tcase_add_test(tests, the_air_of_days);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
