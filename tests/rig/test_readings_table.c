/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoding.h"

#include "rig/readings_table.h"

/* The program's own table of readings as a stream. What must come out is written beside the rows.
 */

#define HEADING                                                                                    \
    "sample,seconds,capture,kind,hold,setup,build,channel,range_mm,quality,height_mm,"             \
    "other_value\r\n"

START_TEST(samples_keep_their_numbers_and_times)
{
    /* Samples 3, 4 and 8: 1 and 2 are before the capture, 5 to 7 between two of them. */
    struct decoded decoded =
        decode_text(HEADING "3,0.040000,1,hold,1,1,1,head,412.5,good,900.10,\r\n"
                            "3,0.040000,1,hold,1,1,1,power,,good,,201.0\r\n"
                            "4,0.060100,1,hold,1,1,1,head,,missing,,\r\n"
                            "4,0.060100,1,hold,1,1,1,power,,good,,202.5\r\n"
                            "8,0.140100,2,hold,2,1,1,head,413.0,weak,900.60,\r\n"
                            "8,0.140100,2,hold,2,1,1,power,,missing,,\r\n");
    static const int64_t time_us[] = {0, 20000, 40000, 60100, 80100, 100100, 120100, 140100};
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    ck_assert_str_eq(decoded.info.dialect, "readings");
    ck_assert_int_eq(decoded.info.channel_count, 2);
    ck_assert_str_eq(decoded.info.channel_name[0], "head");
    ck_assert_str_eq(decoded.info.channel_name[1], "power");
    ck_assert_uint_eq(decoded.count, 8);
    for (size_t i = 0; i < decoded.count; i++) {
        const struct raw_sample *raw = &decoded.sample[i];
        bool has_rows = i == 2 || i == 3 || i == 7;
        ck_assert_int_eq(raw->rig_time_us, time_us[i]);
        ck_assert(raw->has_rig_time && !raw->has_sequence);
        ck_assert(has_rows ||
                  (raw->quality[0] == READING_MISSING && raw->quality[1] == READING_MISSING));
    }
    ck_assert_int_eq(decoded.sample[2].range_tenth_mm[0], 4125);
    ck_assert_int_eq(decoded.sample[2].quality[0], READING_GOOD);
    ck_assert_int_eq(decoded.sample[2].range_tenth_mm[1], 2010);
    ck_assert_int_eq(decoded.sample[3].quality[0], READING_MISSING);
    ck_assert_int_eq(decoded.sample[3].range_tenth_mm[1], 2025);
    ck_assert_int_eq(decoded.sample[7].quality[0], READING_WEAK);
    ck_assert_int_eq(decoded.sample[7].range_tenth_mm[0], 4130);
    ck_assert_int_eq(decoded.sample[7].quality[1], READING_MISSING);
    ck_assert_uint_eq(decoded.counts.skipped, 1); /* the heading */
    free(decoded.sample);
}
END_TEST

START_TEST(what_is_no_row_is_counted_by_its_reason)
{
    static const struct {
        const char *row;
        enum reject_reason reason;
    } rows[] = {
        {"5,0.1,1,hold,1,1,1,head,412.5,good", REJECT_FIELD_COUNT},
        {"5,0.1,1,hold,1,1,1,head,412.5,good,,,7", REJECT_FIELD_COUNT},
        {"5,0.1x,1,hold,1,1,1,head,412.5,good,,", REJECT_BAD_NUMBER},
        {"0,0.1,1,hold,1,1,1,head,412.5,good,,", REJECT_BAD_NUMBER},
        {"5,-0.1,1,hold,1,1,1,head,412.5,good,,", REJECT_BAD_NUMBER},
        {"5,0.1,1,hold,1,1,1,head,,good,,", REJECT_BAD_NUMBER},
        {"5,0.1,1,hold,1,1,1,head,412.5,fine,,", REJECT_BAD_NUMBER},
        {"5,0.1,1,hold,1,1,1,he ad,412.5,good,,", REJECT_BAD_NUMBER},
        {"5,0.1,1,hold,1,1,1,,412.5,good,,", REJECT_BAD_NUMBER},
        {"5,0.1,1,hold,1,1,1,head,99999999999,good,,", REJECT_OUT_OF_RANGE},
        {"5,0.1,1,hold,1,1,1,knee,412.5,good,,", REJECT_NOT_A_LINE},
        {"1,0.1,1,hold,1,1,1,head,412.5,good,,", REJECT_STALE}, /* the samples go on */
        {"5,0.02,1,hold,1,1,1,head,412.5,good,,", REJECT_STALE},
        {"5,0.1,0,hold,1,1,1,head,412.5,good,,", REJECT_BAD_NUMBER},
        {"5,0.1,1,hold,-1,1,1,head,412.5,good,,", REJECT_BAD_NUMBER},
        {"5,0.1,1,hold,1,-1,1,head,412.5,good,,", REJECT_BAD_NUMBER},
        {"5,0.1,1,hold,1,1,-1,head,412.5,good,,", REJECT_BAD_NUMBER},
        {"5,0.1,1,a kind of which no hold has ever been,1,1,1,head,412.5,good,,",
         REJECT_BAD_NUMBER},
        {"5,0.1,1,hold,1,1,1,head,412.5,good and so much more than that,,", REJECT_BAD_NUMBER},
        {"sample,seconds,capture,kind,hold,setup,build,channel,range_mm,quality,height_mm,other_"
         "value,x",
         REJECT_FIELD_COUNT},
        {"500000,0.1,1,hold,1,1,1,head,412.5,good,,", REJECT_WRONG_TIME},  /* 6 MHz */
        {"1000,1e10,1,hold,1,1,1,head,412.5,good,,", REJECT_WRONG_TIME},   /* 300 years */
        {"9000000,0.1,1,hold,1,1,1,head,412.5,good,,", REJECT_WRONG_TIME}, /* 90 MHz */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[1024];
        snprintf(text, sizeof text,
                 HEADING "1,0,1,hold,1,1,1,head,412.5,good,,\r\n"
                         "2,0.02,1,hold,1,1,1,head,412.5,good,,\r\n%s\r\n",
                 rows[i].row);
        struct decoded decoded = decode_text(text);
        ck_assert_uint_eq(decoded.count, 2);
        for (int r = 0; r < REJECT_REASONS; r++) {
            ck_assert_msg(decoded.counts.rejected[r] == (r == (int)rows[i].reason ? 1 : 0),
                          "%s: %s", rows[i].row, reject_reason_text((enum reject_reason)r));
        }
        free(decoded.sample);
    }
}
END_TEST

START_TEST(more_channels_than_there_can_be)
{
    char text[2000] = HEADING;
    size_t used = strlen(text);
    for (int i = 0; i < 9; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used,
                                 "1,0,1,hold,1,1,1,sensor%d,412.5,good,,\r\n", i);
    }
    struct decoded decoded = decode_text(text);
    ck_assert_uint_eq(decoded.count, 1);
    ck_assert_int_eq(decoded.info.channel_count, CHANNELS_MAX);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_NOT_A_LINE], 1);
    free(decoded.sample);
}
END_TEST

START_TEST(another_table_is_left_to_the_others)
{
    struct decoded decoded = decode_text("sample,seconds,range_mm\r\n1,0.00,400.0\r\n"
                                         "2,0.02,400.1\r\n3,0.04,400.2\r\n4,0.06,399.8\r\n");
    ck_assert_str_eq(decoded.info.dialect, "plain");
    free(decoded.sample);
    ck_assert(!readings_is_heading((struct span){"sample,seconds", 14}));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("readings_table");
    TCase *tests = tcase_create("readings_table");
    tcase_add_test(tests, samples_keep_their_numbers_and_times);
    tcase_add_test(tests, what_is_no_row_is_counted_by_its_reason);
    tcase_add_test(tests, more_channels_than_there_can_be);
    tcase_add_test(tests, another_table_is_left_to_the_others);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
