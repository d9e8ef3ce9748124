/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoding.h"

#include "base/random.h"
#include "support/test_seed.h"

START_TEST(wrong_options_are_refused_with_a_sentence)
{
    static const struct {
        struct decoder_options options;
        const char *part;
    } cases[] = {
        {{.dialect = "morse"}, "morse"},       {{.unit = "yd"}, "yd"},
        {{.line_end = "ab"}, "one character"}, {{.layout = "head=u16"}, "cobs or slip"},
        {{.layout = "cobs,head=u9"}, "types"}, {{.layout = "slip,-=u8"}, "no field"},
        {{.time_unit = "h"}, "'h'"},           {{.no_echo = -1}, "no echo"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct problem problem = {PROBLEM_NONE, ""};
        ck_assert_ptr_null(decoder_create(&cases[i].options, &problem));
        ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
        ck_assert_msg(strstr(problem.sentence, cases[i].part) != NULL, "%s", problem.sentence);
    }
}
END_TEST

START_TEST(every_reason_has_a_text_of_its_own)
{
    static const struct {
        enum reject_reason reason;
        const char *text;
    } reasons[] = {
        {REJECT_CHECKSUM, "wrong checksum"},
        {REJECT_TOO_LONG, "line too long"},
        {REJECT_NOT_A_LINE, "not a line of this dialect"},
        {REJECT_BAD_NUMBER, "no number where one should be"},
        {REJECT_FIELD_COUNT, "wrong number of fields"},
        {REJECT_OUT_OF_RANGE, "number too large"},
        {REJECT_STALE, "old line"},
        {REJECT_WRONG_TIME, "wrong time"},
    };
    ck_assert_uint_eq(sizeof reasons / sizeof reasons[0], REJECT_REASONS);
    for (size_t i = 0; i < sizeof reasons / sizeof reasons[0]; i++) {
        ck_assert_str_eq(reject_reason_text(reasons[i].reason), reasons[i].text);
    }
}
END_TEST

START_TEST(line_ends_of_all_kinds_are_taken)
{
    static const char *const streams[] = {
        "412\n413\n414\n",     "412\r413\r414\r",       "412\r\n413\r\n414\r\n",
        "412\n\n413\n\n\n414", "412\n\r413\n\r414\n\r", "\r\n412\r413\n414",
    };
    for (size_t i = 0; i < sizeof streams / sizeof streams[0]; i++) {
        for (size_t chunk = 0; chunk < 6; chunk++) {
            struct decoded decoded = decode_bytes(streams[i], strlen(streams[i]), chunk, NULL);
            ck_assert_uint_eq(decoded.count, 3);
            ck_assert_uint_eq(decoded.counts.lines, 3);
            ck_assert_int_eq(decoded.sample[2].range_tenth_mm[0], 4140);
            decoded_free(&decoded);
        }
    }
}
END_TEST

START_TEST(a_line_of_a_megabyte_is_cut_counted_and_passed)
{
    const size_t size = 1 << 20;
    char *stream = malloc(size + 100);
    ck_assert_ptr_nonnull(stream);
    strcpy(stream, "412\n413\n");
    size_t length = strlen(stream);
    memset(stream + length, '5', size);
    length += size;
    strcpy(stream + length, "\n414\n");
    length += 5;
    for (size_t chunk = 0; chunk < 3000; chunk = chunk * 7 + 500) {
        struct decoded decoded = decode_bytes(stream, length, chunk, NULL);
        ck_assert_uint_eq(decoded.count, 3);
        ck_assert_uint_eq(decoded.counts.rejected[REJECT_TOO_LONG], 1);
        ck_assert_uint_eq(decoded.counts.bytes, length);
        ck_assert_int_eq(decoded.sample[2].range_tenth_mm[0], 4140);
        decoded_free(&decoded);
    }
    /* The longest line that is taken, and one byte more. */
    memset(stream, '0', 1000);
    memcpy(stream + DECODER_LINE_MAX - 3, "412\n412\n", 9);
    struct decoded decoded = decode_text(stream);
    ck_assert_uint_eq(decoded.count, 2);
    decoded_free(&decoded);
    memset(stream, '0', 1000);
    memcpy(stream + DECODER_LINE_MAX - 2, "412\n412\n", 9);
    decoded = decode_text(stream);
    ck_assert_uint_eq(decoded.count, 1);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_TOO_LONG], 1);
    decoded_free(&decoded);
    free(stream);
}
END_TEST

START_TEST(nothing_but_noise_is_counted_and_yields_nothing)
{
    char stream[8192];
    struct random_source source;
    random_seed(&source, test_seed(5));
    for (size_t i = 0; i < sizeof stream; i++) {
        stream[i] = i % 40 == 39 ? '\n' : (char)(128 + random_u64(&source) % 128);
    }
    struct decoded decoded = decode_bytes(stream, sizeof stream, 100, NULL);
    ck_assert(decoded.fine);
    ck_assert_uint_eq(decoded.count, 0);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_NOT_A_LINE], decoded.counts.lines);
    ck_assert_str_eq(decoded.info.dialect, "");
    decoded_free(&decoded);
    decoded = decode_text("");
    ck_assert(decoded.fine && decoded.count == 0);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_rig_is_recognised_behind_noise_and_its_own_half_line)
{
    char stream[20000] = "";
    for (int i = 0; i < 100; i++) {
        strcat(stream, "\xF0\x80~~garbage\n");
    }
    strcat(stream, "840000,412.5,356.1*2A\n");
    strcat(stream, "# holdline-rig 1 id=x rate=50 unit=mm channels=head,chest\n");
    strcat(stream, bench_line_of("43,860000,412.5,356.1"));
    struct decoded decoded = decode_text(stream);
    ck_assert_str_eq(decoded.info.dialect, "bench");
    ck_assert_uint_eq(decoded.count, 1);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_NOT_A_LINE], 101);
    decoded_free(&decoded);
}
END_TEST

START_TEST(after_a_break_the_half_line_is_forgotten)
{
    struct problem problem;
    struct decoded decoded;
    memset(&decoded, 0, sizeof decoded);
    struct decoder *decoder = decoder_create(NULL, &problem);
    const char *before = "412\n413\n41";
    const char *after = "4\n415\n416\n"; /* of '414' only the end comes */
    ck_assert(decoder_feed(decoder, before, strlen(before), decoded_keep, &decoded, &problem));
    decoder_resynchronise(decoder);
    ck_assert(decoder_feed(decoder, after, strlen(after), decoded_keep, &decoded, &problem));
    ck_assert(decoder_finish(decoder, decoded_keep, &decoded, &problem));
    ck_assert_uint_eq(decoded.count, 4);
    ck_assert_int_eq(decoded.sample[2].range_tenth_mm[0], 4150);
    ck_assert_uint_eq(decoder_counts(decoder)->rejected[REJECT_NOT_A_LINE], 1);
    decoder_destroy(decoder);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_break_costs_a_line_with_a_checksum_nothing)
{
    struct problem problem;
    struct decoded decoded;
    memset(&decoded, 0, sizeof decoded);
    struct decoder *decoder = decoder_create(NULL, &problem);
    const char *heading = "# holdline-rig 1 id=x rate=50 unit=mm channels=a\n";
    ck_assert(decoder_feed(decoder, heading, strlen(heading), decoded_keep, &decoded, &problem));
    decoder_resynchronise(decoder);
    const char *line = bench_line_of("5,100000,412.5");
    ck_assert(decoder_feed(decoder, line, strlen(line), decoded_keep, &decoded, &problem));
    ck_assert_uint_eq(decoded.count, 1);
    decoder_destroy(decoder);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_contradiction_stays)
{
    struct decoder_options options = {.columns = "chest"};
    struct problem problem = {PROBLEM_NONE, ""};
    struct decoded decoded;
    memset(&decoded, 0, sizeof decoded);
    struct decoder *decoder = decoder_create(&options, &problem);
    const char *stream = "412,1\n412,2\n412,3\n412,4\n412,5\n412,6\n412,7\n412,8\n412,9\n";
    ck_assert(!decoder_feed(decoder, stream, strlen(stream), decoded_keep, &decoded, &problem));
    ck_assert_int_eq(problem.kind, PROBLEM_FAILED);
    ck_assert_ptr_nonnull(strstr(problem.sentence, "'chest' is not there"));
    struct problem again = {PROBLEM_NONE, ""};
    ck_assert(!decoder_feed(decoder, "412,1\n", 6, decoded_keep, &decoded, &again));
    ck_assert_str_eq(again.sentence, problem.sentence);
    ck_assert(!decoder_finish(decoder, decoded_keep, &decoded, NULL));
    ck_assert_uint_eq(decoded.count, 0);
    decoder_destroy(decoder);
}
END_TEST

START_TEST(each_sample_knows_which_bytes_brought_it)
{
    const char *stream = "412\n413\r\n414";
    struct decoded decoded = decode_text(stream);
    ck_assert_uint_eq(decoded.count, 3);
    ck_assert_uint_eq(decoded.sample[0].end_byte, 4);
    ck_assert_uint_eq(decoded.sample[1].end_byte, 8);
    ck_assert_uint_eq(decoded.sample[2].end_byte, 12);
    decoded_free(&decoded);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("decoder");
    TCase *one = tcase_create("decoder");
    tcase_set_timeout(one, 60);
    tcase_add_test(one, wrong_options_are_refused_with_a_sentence);
    tcase_add_test(one, every_reason_has_a_text_of_its_own);
    tcase_add_test(one, line_ends_of_all_kinds_are_taken);
    tcase_add_test(one, a_line_of_a_megabyte_is_cut_counted_and_passed);
    tcase_add_test(one, nothing_but_noise_is_counted_and_yields_nothing);
    tcase_add_test(one, a_rig_is_recognised_behind_noise_and_its_own_half_line);
    tcase_add_test(one, after_a_break_the_half_line_is_forgotten);
    tcase_add_test(one, a_break_costs_a_line_with_a_checksum_nothing);
    tcase_add_test(one, a_contradiction_stays);
    tcase_add_test(one, each_sample_knows_which_bytes_brought_it);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
