/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoding.h"

static void expect(const struct decoded *decoded, size_t index, int channel, int32_t tenth_mm)
{
    ck_assert_msg(decoded->fine, "%s", decoded->problem.sentence);
    ck_assert_uint_lt(index, decoded->count);
    ck_assert_int_eq(decoded->sample[index].range_tenth_mm[channel], tenth_mm);
    ck_assert_int_eq(decoded->sample[index].quality[channel], READING_GOOD);
}

static void expect_quality(const struct decoded *decoded, size_t index, int channel,
                           enum reading_quality quality)
{
    ck_assert_uint_lt(index, decoded->count);
    ck_assert_int_eq(decoded->sample[index].quality[channel], quality);
}

START_TEST(one_number_a_line)
{
    struct decoded decoded = decode_text("412\n412.5\n4.13e2\n");
    ck_assert_str_eq(decoded.info.dialect, "plain");
    check_channels(&decoded, "ch1");
    ck_assert(!decoded.info.has_rig_time && !decoded.info.has_sequence);
    ck_assert_uint_eq(decoded.count, 3);
    expect(&decoded, 0, 0, 4120);
    expect(&decoded, 1, 0, 4125);
    expect(&decoded, 2, 0, 4130);
    decoded_free(&decoded);
    decoded = decode_text("412"); /* a single line, without an end */
    expect(&decoded, 0, 0, 4120);
    decoded_free(&decoded);
}
END_TEST

START_TEST(what_is_said_above_the_numbers_is_read)
{
    struct decoded decoded = decode_text("Fs,50.00\nLogging time,3600\nd\n79.0\n74.0\n76.0\n");
    ck_assert_uint_eq(decoded.count, 3);
    ck_assert_str_eq(decoded.info.channel_name[0], "d");
    ck_assert_double_eq(decoded.info.rate_hz, 50);
    ck_assert_uint_eq(decoded.counts.skipped, 3);
    ck_assert_uint_eq(decoded_rejected(&decoded), 0);
    expect(&decoded, 0, 0, 790);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_heading_tells_ranges_time_and_units)
{
    struct decoded decoded = decode_text("time,distance [cm],strength,temperature\n"
                                         "2025-11-02T11:50:41.073744+00:00,16,101,2360\n"
                                         "2025-11-02T11:50:41.113727+00:00,17,105,2356\n"
                                         "2025-11-02T11:50:41.143123+00:00,65534,65535,2358\n"
                                         "2025-11-02T11:50:41.173123+00:00,0,12,2358\n");
    ck_assert_uint_eq(decoded.count, 4);
    check_channels(&decoded, "distance");
    ck_assert(decoded.info.has_rig_time);
    expect(&decoded, 0, 0, 1600);
    ck_assert(decoded.sample[1].rig_time_us - decoded.sample[0].rig_time_us == 39983);
    ck_assert(decoded.sample[0].rig_time_us == INT64_C(1762084241073744));
    expect_quality(&decoded, 2, 0, READING_MISSING); /* 65534 is no range */
    expect_quality(&decoded, 3, 0, READING_MISSING);
    ck_assert_uint_eq(decoded.counts.skipped, 1);
    decoded_free(&decoded);
}
END_TEST

START_TEST(units_are_read_wherever_they_stand)
{
    static const struct {
        const char *stream;
        int32_t tenth_mm;
        const char *name;
    } cases[] = {
        {"range_cm\n41.25\n41.25\n", 4125, "range"},
        {"Range (m)\n0.4125\n0.4125\n", 4125, "Range"},
        {"# head [in]\n10\n10\n", 2540, "head"},
        {"Distance (mm): 412\nDistance (mm): 413\nDistance (mm): 412\nDistance (mm): 412\n", 4120,
         "Distance"},
        {"Distance: 41.2 cm\nDistance: 41.3 cm\nDistance: 41.2 cm\nDistance: 41.2 cm\n", 4120,
         "Distance"},
        {"d=412mm\nd=413mm\nd=412mm\nd=412mm\n", 4120, "d"},
        {"{\"distance\": 412}\n{\"distance\": 412}\n{\"distance\": 412}\n{\"distance\": 412}\n",
         4120, "distance"},
        {"H\xC3\xB6he: 412\nH\xC3\xB6he: 412\nH\xC3\xB6he: 412\nH\xC3\xB6he: 412\n", 4120, "H_he"},
        {"\x1b[0;32mI (1) d: 412\x1b[0m\n\x1b[0;32mI (2) d: 412\x1b[0m\n", 4120, "d"},
        {"\xEF\xBB\xBF"
         "412\n412\n",
         4120, "ch1"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct decoded decoded = decode_text(cases[i].stream);
        ck_assert_msg(decoded.fine, "%s: %s", cases[i].stream, decoded.problem.sentence);
        ck_assert_msg(decoded.count >= 2, "%s", cases[i].stream);
        int channel = decoded.info.channel_count - 1;
        ck_assert_msg(decoded.sample[0].range_tenth_mm[channel] == cases[i].tenth_mm, "%s gives %d",
                      cases[i].stream, decoded.sample[0].range_tenth_mm[channel]);
        ck_assert_str_eq(decoded.info.channel_name[channel], cases[i].name);
        decoded_free(&decoded);
    }
}
END_TEST

START_TEST(delimiters_and_decimal_signs)
{
    static const char *const streams[] = {
        "a,b\n412.5,356.1\n412.5,356.1\n412.5,356.1\n",
        "a;b\n412,5;356,1\n412,5;356,1\n412,5;356,1\n",
        "a;b\n412.5;356.1\n412.5;356.1\n412.5;356.1\n",
        "a\tb\n412,5\t356,1\n412,5\t356,1\n412,5\t356,1\n",
        "a b\n412.5 356.1\n412.5   356.1\n  412.5 356.1 \n",
        "\"a\", \"b\"\n412.5, 356.1\n\"412.5\" , 356.1\n412.5,356.1\n",
        "a:412.5,b:356.1\na:412.5,b:356.1\na:412.5,b:356.1\n",
        "a=412.5 b=356.1\na=412.5 b=356.1\na=412.5 b=356.1\n",
        "a: 412.5 mm, b: 356.1 mm\na: 412.5 mm, b: 356.1 mm\na: 412.5 mm, b: 356.1 mm\n",
        "[a: 412.5 | b: 356.1]\n[a: 412.5 | b: 356.1]\n[a: 412.5 | b: 356.1]\n",
    };
    for (size_t i = 0; i < sizeof streams / sizeof streams[0]; i++) {
        struct decoded decoded = decode_text(streams[i]);
        ck_assert_msg(decoded.count == 3, "%s: %s", streams[i], decoded.problem.sentence);
        check_channels(&decoded, "a b");
        for (size_t sample = 0; sample < 3; sample++) {
            expect(&decoded, sample, 0, 4125);
            expect(&decoded, sample, 1, 3561);
        }
        decoded_free(&decoded);
    }
}
END_TEST

START_TEST(columns_are_named_by_heading_or_number)
{
    const char *stream = "S1,S2,S3,OUTPUT\n0.438,0.498,5.000,Ahead\n0.438,0.5,5.028,Right\n"
                         "0.440,0.5,3.5,Right\n";
    struct decoder_options options = {.columns = "head=S3,S1,chest=2", .unit = "m", .no_echo = 5};
    struct decoded decoded = decode_with(stream, &options);
    ck_assert_uint_eq(decoded.count, 3);
    ck_assert_str_eq(decoded.info.channel_name[0], "head");
    ck_assert_str_eq(decoded.info.channel_name[1], "S1");
    ck_assert_str_eq(decoded.info.channel_name[2], "chest");
    expect_quality(&decoded, 0, 0, READING_MISSING);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 0);
    expect_quality(&decoded, 1, 0, READING_MISSING);
    expect(&decoded, 2, 0, 35000);
    expect(&decoded, 0, 1, 4380);
    expect(&decoded, 0, 2, 4980);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_raw_log_with_more_columns_than_channels)
{
    /* ms, a label, 12 ranges, a phase; the first line is cut, the next two are left from before. */
    char stream[2000] = "98,99,1\n";
    char line[200];
    const int times_ms[] = {15284, 15351, 265087, 265154, 265221};
    for (int i = 0; i < 5; i++) {
        snprintf(line, sizeof line, "%d,VL,9%d,96,97,98,99,100,101,102,103,104,105,106,1\n",
                 times_ms[i], i);
        strcat(stream, line);
    }
    struct decoded decoded = decode_text(stream);
    ck_assert(!decoded.fine);
    ck_assert_ptr_nonnull(strstr(decoded.problem.sentence, "--columns head=3,chest=5"));
    ck_assert_ptr_nonnull(strstr(decoded.problem.sentence, "1, 2 text 'VL', 3 to 15"));
    decoded_free(&decoded);
    struct decoder_options options = {.columns = "head=3,chest=14", .time_column = "1"};
    decoded = decode_with(stream, &options);
    ck_assert_uint_eq(decoded.count, 5);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_FIELD_COUNT], 1);
    expect(&decoded, 1, 0, 910);
    expect(&decoded, 1, 1, 1060);
    ck_assert(decoded.sample[2].rig_time_us == 265087000);
    decoded_free(&decoded);
}
END_TEST

START_TEST(columns_that_are_not_there_are_named)
{
    static const struct {
        struct decoder_options options;
        const char *parts[2];
    } cases[] = {
        {{.columns = "chest"}, {"'chest' is not there", "2 'distance [cm]'"}},
        {{.columns = "9"}, {"'9' is not there", "1 'time'"}},
        {{.columns = "0"}, {"'0' is not there", "1 'time'"}},
        {{.columns = "label"}, {"'label' holds no ranges", "3 'label'"}},
        {{.columns = "2,distance"}, {"'distance' is named twice", "2 'distance [cm]'"}},
        {{.columns = "2", .time_column = "clock"}, {"'clock' is not there", "1 'time'"}},
        {{.columns = "2", .time_column = "3"}, {"'3' holds no times", "3 'label'"}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct decoded decoded = decode_with(
            "time,distance [cm],label\n1,41,x\n2,42,y\n3,43,z\n4,44,z\n", &cases[i].options);
        ck_assert(!decoded.fine);
        for (int part = 0; part < 2; part++) {
            ck_assert_msg(strstr(decoded.problem.sentence, cases[i].parts[part]) != NULL, "%s",
                          decoded.problem.sentence);
        }
        decoded_free(&decoded);
    }
}
END_TEST

START_TEST(time_columns_in_their_units)
{
    static const struct {
        const char *stream;
        int64_t step_us;
    } cases[] = {
        {"ms,d\n100,412\n120,412\n140,412\n", 20000},
        {"time [us],d\n100000,412\n120000,412\n140000,412\n", 20000},
        {"t (\xC2\xB5s),d\n100000,412\n120000,412\n140000,412\n", 20000},
        {"t_s,d\n1.00,412\n1.02,412\n1.04,412\n", 20000},
        {"time,d\n1.00,412\n1.02,412\n1.04,412\n", 20000}, /* no unit: steps of 0.02 are seconds */
        {"time,d\n100,412\n120,412\n140,412\n", 20000},    /* else milliseconds */
        {"time,d\n3100000,412\n3120000,412\n3140000,412\n",
         20000}, /* steps of 20 000: microseconds */
        {"Timestamp;x\n0;412,5\n100;412,5\n200;412,5\n", 100000},
        {"date,time,d\n2026-01-10,18:00:00.00,412\n2026-01-10,18:00:00.02,412\n2026-01-10,18:00:00."
         "04,412\n",
         20000},
        {"when,d\n2026-01-10 18:00:00.00,412\n2026-01-10 18:00:00.02,412\n2026-01-10 "
         "18:00:00.04,412\n",
         20000},
        {"[18:00:00.000, 7] 412\n[18:00:00.020, 8] 412\n[18:00:00.040, 9] 412\n", 20000},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct decoded decoded = decode_text(cases[i].stream);
        ck_assert_msg(decoded.count == 3 && decoded.sample[0].has_rig_time, "%s: %s",
                      cases[i].stream, decoded.problem.sentence);
        for (int sample = 1; sample < 3; sample++) {
            ck_assert_msg(decoded.sample[sample].rig_time_us -
                                  decoded.sample[sample - 1].rig_time_us ==
                              cases[i].step_us,
                          "%s", cases[i].stream);
        }
        int last = decoded.info.channel_count - 1;
        ck_assert_int_eq(decoded.sample[0].range_tenth_mm[last] / 10, 412);
        decoded_free(&decoded);
    }
}
END_TEST

START_TEST(a_first_column_that_counts_is_taken_for_the_time)
{
    char counting[600] = "";
    char moving[600] = "";
    for (int i = 0; i < 10; i++) {
        char line[60];
        snprintf(line, sizeof line, "%d,41%d\n", 500 + 20 * i + i % 2, i);
        strcat(counting, line);
        snprintf(line, sizeof line, "%d,41%d\n", 412 + i * i, i * 7 % 10); /* a head that rises */
        strcat(moving, line);
    }
    struct decoded decoded = decode_text(counting);
    ck_assert_int_eq(decoded.info.channel_count, 1);
    ck_assert(decoded.info.has_rig_time);
    ck_assert(decoded.sample[1].rig_time_us - decoded.sample[0].rig_time_us == 21000);
    decoded_free(&decoded);
    decoded = decode_text(moving);
    ck_assert_int_eq(decoded.info.channel_count, 2);
    ck_assert(!decoded.info.has_rig_time);
    decoded_free(&decoded);
}
END_TEST

START_TEST(readings_that_did_not_come)
{
    struct decoder_options options = {.columns = "1,2"};
    struct decoded decoded =
        decode_with("412,356\n412,356\n412,356\n,356\nnan,356\nNULL,0\n412,timeout\n"
                    "412,356\n412,356\n412,356\n412,356\n412,356\n412,356\n",
                    &options);
    ck_assert_uint_eq(decoded.count, 13);
    expect_quality(&decoded, 3, 0, READING_MISSING);
    expect(&decoded, 3, 1, 3560);
    expect_quality(&decoded, 4, 0, READING_MISSING);
    expect_quality(&decoded, 5, 0, READING_MISSING);
    expect_quality(&decoded, 5, 1, READING_MISSING);
    expect_quality(&decoded, 6, 1, READING_MISSING);
    decoded_free(&decoded);
    decoded = decode_text("412\n413\nMeasurement timeout\n414\nready\n");
    ck_assert_uint_eq(decoded.count, 4);
    expect_quality(&decoded, 2, 0, READING_MISSING);
    ck_assert_uint_eq(decoded.counts.skipped, 1);
    decoded_free(&decoded);
    decoded = decode_text("a=412 b=356\na=nan b=356\na=412 b=356\na=412 b=nan\n");
    ck_assert_uint_eq(decoded.count, 4);
    expect_quality(&decoded, 1, 0, READING_MISSING);
    expect(&decoded, 1, 1, 3560);
    expect_quality(&decoded, 3, 1, READING_MISSING);
    decoded_free(&decoded);
}
END_TEST

START_TEST(wrong_lines_are_counted_by_reason)
{
    static const char stream[] = "412\n413\n41x\n4 1\n4\x01\n1e30\n41\0"
                                 "2\n\xFF"
                                 "412\n\0"
                                 "412\n# note\n412\n";
    struct decoded decoded = decode_bytes(stream, sizeof stream - 1, 0, NULL);
    ck_assert_uint_eq(decoded.count, 4);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_BAD_NUMBER], 1);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_FIELD_COUNT], 1);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_NOT_A_LINE], 3);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_OUT_OF_RANGE], 1);
    ck_assert_uint_eq(decoded.counts.skipped, 1);
    decoded_free(&decoded);
}
END_TEST

START_TEST(figures_in_words_are_no_numbers)
{
    struct decoded decoded =
        decode_text("VL53L0X v1.0.2 on 0x29: 412 mm\nVL53L0X v1.0.2 on 0x29: 413 mm\n"
                    "VL53L0X v1.0.2 on 0x29: 414 mm\nVL53L0X v1.0.2 on 0x29: 415 mm\n");
    ck_assert_int_eq(decoded.info.channel_count, 1);
    expect(&decoded, 3, 0, 4150);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_board_that_greets_is_waited_for)
{
    struct decoded decoded =
        decode_text("ets Jun  8 2016 00:22:57\nrst:0x1 (POWERON_RESET),boot:0x13\n"
                    "load:0x3fff0030,len:1184\nload:0x40078000,len:13232\n"
                    "load:0x40080400,len:3028\nentry 0x400805e4\nready\n"
                    "412\n413\n414\n415\n");
    ck_assert_uint_eq(decoded.count, 4);
    ck_assert_int_eq(decoded.info.channel_count, 1);
    expect(&decoded, 0, 0, 4120);
    ck_assert_uint_eq(decoded_rejected(&decoded), 0);
    decoded_free(&decoded);
}
END_TEST

START_TEST(the_same_name_is_not_given_twice)
{
    struct decoded decoded = decode_text("d,d,d\n411,412,413\n411,412,413\n411,412,413\n");
    check_channels(&decoded, "d ch2 ch3");
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_stream_without_ranges_says_so)
{
    struct decoded decoded = decode_text("time,temperature,rssi\n1,20,3\n2,20,3\n3,20,3\n");
    ck_assert(!decoded.fine);
    ck_assert_ptr_nonnull(strstr(decoded.problem.sentence, "no column"));
    ck_assert_ptr_nonnull(strstr(decoded.problem.sentence, "2 'temperature'"));
    decoded_free(&decoded);
}
END_TEST

START_TEST(for_times_alone_no_column_need_be_told)
{
    char many[3000] = "";
    for (int i = 0; i < 10; i++) {
        char line[100];
        snprintf(line, sizeof line, "%d,1,2,3,4,5,6,7,8,9,10\n", 30000 + 67 * i);
        strcat(many, line);
    }
    struct decoder_options options = {.times_only = true};
    struct decoded decoded = decode_with(many, &options);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    ck_assert_uint_eq(decoded.count, 10);
    ck_assert(decoded.sample[9].rig_time_us - decoded.sample[0].rig_time_us == 9 * 67000);
    decoded_free(&decoded);
    decoded = decode_with("temperature\n20\n21\n22\n", &options); /* no channel at all */
    ck_assert_uint_eq(decoded.count, 3);
    ck_assert_int_eq(decoded.info.channel_count, 0);
    decoded_free(&decoded);
    decoded = decode_with("time,temperature\n1,20\n2,20\n3,20\n", &options);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    ck_assert_uint_eq(decoded.count, 3);
    decoded_free(&decoded);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain numbers");
    TCase *one = tcase_create("plain numbers");
    tcase_add_test(one, one_number_a_line);
    tcase_add_test(one, what_is_said_above_the_numbers_is_read);
    tcase_add_test(one, a_heading_tells_ranges_time_and_units);
    tcase_add_test(one, units_are_read_wherever_they_stand);
    tcase_add_test(one, delimiters_and_decimal_signs);
    tcase_add_test(one, columns_are_named_by_heading_or_number);
    tcase_add_test(one, a_raw_log_with_more_columns_than_channels);
    tcase_add_test(one, columns_that_are_not_there_are_named);
    tcase_add_test(one, time_columns_in_their_units);
    tcase_add_test(one, a_first_column_that_counts_is_taken_for_the_time);
    tcase_add_test(one, readings_that_did_not_come);
    tcase_add_test(one, wrong_lines_are_counted_by_reason);
    tcase_add_test(one, figures_in_words_are_no_numbers);
    tcase_add_test(one, a_board_that_greets_is_waited_for);
    tcase_add_test(one, the_same_name_is_not_given_twice);
    tcase_add_test(one, a_stream_without_ranges_says_so);
    tcase_add_test(one, for_times_alone_no_column_need_be_told);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
