/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of a stream and can't be; streams that end or begin anew in the middle of a line;
 * what is told of them. */
#include "rig/decoder_options.h"
#include "rig/dialect.h"
#include "rig/envelope.h"
#include "rig/rig_clock.h"
#include "rig/shown_stream.h"

#include <math.h>

START_TEST(options_that_can_not_be)
{
    static const struct {
        struct decoder_options options;
        const char *why; /* NULL: they can */
    } cases[] = {
        {{.columns = "head=3,,5"}, "say a column for each"},
        {{.columns = "head="}, "say a column for each"},
        {{.columns = ","}, "say a column for each"},
        {{.columns = "head=3,5"}, NULL},
        {{.no_echo = -1}, "must be a number over 0"},
        {{.no_echo = 1e9}, "must be a number over 0"},
        {{.no_echo = (double)NAN}, "must be a number over 0"},
        {{.no_echo = 9e8}, NULL},
        {{.line_end = ";;"}, "wants one character"},
        {{.layout = "slip,crc16"}, "no field is a channel"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct problem problem = {PROBLEM_NONE, ""};
        bool sound = decoder_options_sound(&cases[i].options, &problem);
        ck_assert_msg(sound == (cases[i].why == NULL), "%zu: %s", i, problem.sentence);
        ck_assert(sound || strstr(problem.sentence, cases[i].why) != NULL);
    }
    struct decoder_options options = {.unit = ""};
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!decoder_option_set(&options, "no-echo", "much", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "--no-echo wants a number, not 'much'"));
}
END_TEST

/* A last line without an end is the one that tells, and then that a said column is not there. */
START_TEST(a_last_line_that_contradicts)
{
    struct decoder_options options = {.columns = "9"};
    struct decoded decoded = decode_with("412\n413", &options);
    ck_assert(!decoded.fine);
    ck_assert_ptr_nonnull(strstr(decoded.problem.sentence, "column '9' is not there"));
    decoded_free(&decoded);
}
END_TEST

static void count_one(void *context, const struct raw_sample *raw)
{
    (void)raw;
    (*(int *)context)++;
}

/* What was held is forgotten only while nothing is recognised. */
START_TEST(forgetting)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int count = 0;
    struct decoder *decoder = decoder_create(NULL, &problem);
    ck_assert(decoder_feed(decoder, "rubbish\n4", 9, count_one, &count, &problem));
    decoder_forget(decoder);
    ck_assert(decoder_feed(decoder, "412\n413\n41", 10, count_one, &count, &problem));
    ck_assert_int_eq(count, 2);
    decoder_forget(decoder); /* too late: the half line stays */
    ck_assert(decoder_feed(decoder, "4\n", 2, count_one, &count, &problem));
    ck_assert_int_eq(count, 3);
    ck_assert_uint_eq(decoder_counts(decoder)->lines, 3);
    decoder_destroy(decoder);
}
END_TEST

START_TEST(notes_are_one_of_a_kind)
{
    struct rig_info info = {.note_count = 0};
    struct wire_note *first = dialect_note(&info, WIRE_CODE, 0, 0);
    ck_assert_ptr_ne(dialect_note(&info, WIRE_CODE, 0, 1), first);
    ck_assert_ptr_ne(dialect_note(&info, WIRE_CODE, 1, 0), first);
    ck_assert_ptr_ne(dialect_note(&info, WIRE_NEGATIVE, 0, 0), first);
    ck_assert_ptr_eq(dialect_note(&info, WIRE_CODE, 0, 0), first);
    ck_assert_int_eq(info.note_count, 4);
}
END_TEST

START_TEST(names_of_channels)
{
    static const struct {
        const char *text, *name;
    } names[] = {{"head-", "head"}, {"head..-", "head"}, {"-", ""}, {"", ""}, {"-9a-b.", "a-b"}};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char name[CHANNEL_NAME_SIZE];
        dialect_channel_name(name, names[i].text, strlen(names[i].text));
        ck_assert_str_eq(name, names[i].name);
    }
    ck_assert_uint_eq(dialect_sentence_at_end("", 0).length, 0);
}
END_TEST

/* ---- arrivals -------------------------------------------------------------------------------- */

START_TEST(a_line_without_points)
{
    static struct envelope envelope;
    envelope_start(&envelope, 1, 1, 0);
    ck_assert_double_eq(envelope_at(&envelope, 1000), 0);
    ck_assert_double_eq(envelope_above(&envelope, 1000, 5000), 0);
    ck_assert(!envelope_is_known(&envelope));
    envelope_start(&envelope, 1, 0, 40); /* nothing expected, and forty to be trusted */
    for (int i = 0; i < 20; i++) {
        envelope_add(&envelope, i, 20 * i);
    }
    ck_assert(!envelope_is_known(&envelope));
}
END_TEST

static int64_t arrive(struct rig_clock *clock, int64_t arrival_us, uint64_t behind)
{
    struct raw_sample raw;
    struct sample sample;
    memset(&raw, 0, sizeof raw);
    memset(&sample, 0, sizeof sample);
    int64_t before_us = clock->has_last ? clock->last_time_us : 0;
    rig_clock_lines_behind(clock, behind);
    ck_assert(rig_clock_place(clock, &raw, arrival_us, &sample));
    ck_assert_int_ge(sample.time_us, before_us);
    return sample.time_us;
}

/* Lines that come all at once tell no interval: what comes after a silence is placed where it came.
 */
START_TEST(lines_that_come_all_at_once)
{
    static struct rig_clock clock;
    rig_clock_start(&clock, 0, true);
    for (int i = 0; i < 200; i++) {
        arrive(&clock, 1000, 0);
    }
    ck_assert_int_eq(arrive(&clock, 10001000, 0), 10000000);
    /* and late ones, for longer than any interval of nothing explains */
    rig_clock_start(&clock, 0, true);
    for (int i = 0; i < 200; i++) {
        arrive(&clock, 1000, 0);
    }
    for (int i = 0; i < 60; i++) {
        arrive(&clock, 501000 + i * 10000, 0);
    }
    int64_t last_us = arrive(&clock, 1111000, 0);
    ck_assert_int_ge(last_us, 0);
    ck_assert_int_le(last_us, 1110000);
}
END_TEST

/* A read of many lines behind a silence: kept by the system where the interval is known and the
 * link was up; else the silence was one. 20 ms apart. */
START_TEST(many_lines_behind_a_silence)
{
    static struct rig_clock clock;
    for (int kind = 0; kind < 3; kind++) {
        int before = kind == 0 ? 3 : 400; /* too few lines to know an interval by */
        rig_clock_start(&clock, 0, true);
        for (int i = 0; i < before; i++) {
            arrive(&clock, i * 20000, 0);
        }
        if (kind == 1) {
            rig_clock_link_gap(&clock);
        }
        int64_t came_us = before * 20000 + 5000000;
        int64_t first_us = arrive(&clock, came_us, 40);
        /* as they were measured, or as they came */
        ck_assert_int_eq(first_us / 20000, kind == 2 ? before : came_us / 20000);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("decoder ends");
    TCase *tests = tcase_create("decoder ends");
    tcase_add_test(tests, options_that_can_not_be);
    tcase_add_test(tests, a_last_line_that_contradicts);
    tcase_add_test(tests, forgetting);
    tcase_add_test(tests, notes_are_one_of_a_kind);
    tcase_add_test(tests, names_of_channels);
    tcase_add_test(tests, a_line_without_points);
    tcase_add_test(tests, lines_that_come_all_at_once);
    tcase_add_test(tests, many_lines_behind_a_silence);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
