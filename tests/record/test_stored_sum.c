/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/full_session.h"
#include "support/test_main.h"

#include "record/stored_sum.h"

#include <stdlib.h>
#include <string.h>

/* Worked out by a few lines of Python from the description: FNV-1a over "after_sample", a NUL, 5 in
 * eight bytes, lowest first, "text", a NUL, "hold", a NUL. */
START_TEST(a_records_sum_is_the_published_hash)
{
    struct command_record command = {.ordinal = 9, .after_sample = 5, .text = "hold"};
    ck_assert_uint_eq(stored_sum(TABLE_COMMAND, &command), 0xf1a98b9b);
}
END_TEST

/* Likewise. */
START_TEST(samples_are_summed_one_behind_the_other)
{
    struct sample one = {.time_us = 20000,
                         .delay_us = -1500,
                         .link_gap_before = true,
                         .lost_before = 3,
                         .range_tenth_mm = {4125, -7}};
    struct sample two = {.time_us = 40000, .range_tenth_mm = {4126, 3561}};
    one.quality[1] = READING_MISSING;
    uint64_t sum = stored_sum_sample(0, &one);
    ck_assert_uint_eq(stored_sum_fold(sum), 0xbafafe30);
    ck_assert_uint_eq(stored_sum_fold(stored_sum_sample(sum, &two)), 0x2822f1a2);
}
END_TEST

/* Each bit of a sample counts. */
START_TEST(no_bit_of_a_sample_is_left_out)
{
    struct sample sample = {.time_us = 20000, .range_tenth_mm = {4125, 3561, 1, 1, 1, 1, 1, 1}};
    uint32_t sum = stored_sum_fold(stored_sum_sample(0, &sample));
    int tried = 0;
    for (int bit = 0; bit < 64; bit++) {
        struct sample other = sample;
        other.time_us ^= INT64_C(1) << (bit < 62 ? bit : 0);
        ck_assert_uint_ne(stored_sum_fold(stored_sum_sample(0, &other)), sum);
        other = sample;
        other.delay_us ^= INT64_C(1) << (bit < 62 ? bit : 0);
        ck_assert_uint_ne(stored_sum_fold(stored_sum_sample(0, &other)), sum);
        for (int channel = 0; channel < CHANNELS_MAX && bit < 31; channel++) {
            other = sample;
            other.range_tenth_mm[channel] ^= 1 << bit;
            ck_assert_uint_ne(stored_sum_fold(stored_sum_sample(0, &other)), sum);
            tried++;
        }
    }
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        struct sample other = sample;
        other.quality[channel] = READING_WEAK;
        ck_assert_uint_ne(stored_sum_fold(stored_sum_sample(0, &other)), sum);
    }
    ck_assert_int_eq(tried, 248);
}
END_TEST

/* What a record owns is in its sum; what it says nothing of is not. */
START_TEST(what_is_owned_counts_and_what_is_not_known_does_not)
{
    struct session_record *record = full_session(1);
    struct setup_record setup = record->setup[1];
    uint32_t sum = stored_sum(TABLE_SETUP, &setup);
    setup.bike.value[BIKE_SPACERS] += 1.0;
    ck_assert_uint_ne(stored_sum(TABLE_SETUP, &setup), sum);
    setup.bike.value[BIKE_SPACERS] -= 1.0;
    ck_assert_uint_eq(stored_sum(TABLE_SETUP, &setup), sum);
    struct placing_record placing = record->placing[0];
    sum = stored_sum(TABLE_PLACING, &placing);
    placing.channel[placing.channel_count - 1].gain += 1e-9;
    ck_assert_uint_ne(stored_sum(TABLE_PLACING, &placing), sum);
    struct hold_record hold = record->hold[0];
    hold.planned_s = NAN;
    sum = stored_sum(TABLE_HOLD, &hold);
    hold.planned_s = 0.0;
    ck_assert_uint_eq(stored_sum(TABLE_HOLD, &hold), sum);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("stored sum");
    TCase *tests = tcase_create("stored sum");
    tcase_add_test(tests, a_records_sum_is_the_published_hash);
    tcase_add_test(tests, samples_are_summed_one_behind_the_other);
    tcase_add_test(tests, no_bit_of_a_sample_is_left_out);
    tcase_add_test(tests, what_is_owned_counts_and_what_is_not_known_does_not);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
