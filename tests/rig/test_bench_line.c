/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoding.h"

#include "rig/dialect.h"

static const char heading[] = "# holdline-rig 1 id=bench-a rate=50 unit=mm channels=head,chest\n";

static void append(char *stream, const char *text)
{
    strcat(stream, text);
}

START_TEST(a_line_gives_a_sample)
{
    char stream[400] = "";
    append(stream, heading);
    append(stream, bench_line_of("1042,20840000,412.5,356.1"));
    struct decoded decoded = decode_text(stream);
    ck_assert(decoded.fine);
    ck_assert_uint_eq(decoded.count, 1);
    const struct raw_sample *raw = &decoded.sample[0];
    ck_assert(raw->has_sequence && raw->sequence == 1042);
    ck_assert(raw->has_rig_time && raw->rig_time_us == 20840000);
    ck_assert_int_eq(raw->range_tenth_mm[0], 4125);
    ck_assert_int_eq(raw->range_tenth_mm[1], 3561);
    ck_assert_int_eq(raw->quality[0], READING_GOOD);
    ck_assert_str_eq(decoded.info.dialect, "bench");
    ck_assert_str_eq(decoded.info.id, "bench-a");
    ck_assert_double_eq(decoded.info.rate_hz, 50);
    check_channels(&decoded, "head chest");
    ck_assert_uint_eq(decoded.counts.lines, 2);
    ck_assert_uint_eq(decoded.counts.skipped, 1);
    ck_assert_uint_eq(decoded_rejected(&decoded), 0);
    decoded_free(&decoded);
}
END_TEST

START_TEST(the_checksum_is_that_of_the_standard)
{
    /* Sentences with the checksums that were printed with them: public documentation of IEC 61162-1
     * (NMEA 0183) talkers. Here only the arithmetic is used: a bench line with the same body is no
     * sentence. */
    static const struct {
        const char *sentence;
        const char *sum;
    } known[] = {
        {"GPDTM,W84,C", "52"},
        {"INDPT,2.3,0.0", "46"},
        {"SDDBT,7.8,f,2.4,M,1.3,F", "0D"},
        {"APXDR,A,0.135,D,PTCH", "7C"},
        {"GNGLL,4404.14012,N,12118.85993,W,001037.00,A,A", "67"},
    };
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        char wanted[100];
        snprintf(wanted, sizeof wanted, "$%s*%s\n", known[i].sentence, known[i].sum);
        ck_assert_str_eq(bench_line_of(known[i].sentence),
                         wanted); /* the test's own sum is right */
    }
    char stream[600] = "";
    append(stream, heading);
    append(stream, bench_line_of("1,20000,412.5,356.1"));
    char *sum = strrchr(stream, '*') + 1;
    struct decoded decoded = decode_text(stream);
    ck_assert_uint_eq(decoded.count, 1);
    decoded_free(&decoded);
    for (int low = 0; low < 256; low++) { /* every other sum is refused */
        char right[3] = {sum[0], sum[1], '\0'};
        char other[600];
        char digits[3];
        snprintf(digits, sizeof digits, "%02X", (unsigned)low);
        if (strcmp(right, digits) == 0) {
            continue;
        }
        strcpy(other, stream);
        memcpy(strrchr(other, '*') + 1, digits, 2);
        decoded = decode_text(other);
        ck_assert_uint_eq(decoded.count, 0);
        ck_assert_uint_eq(decoded.counts.rejected[REJECT_CHECKSUM], 1);
        decoded_free(&decoded);
    }
}
END_TEST

START_TEST(missing_and_doubtful_readings_are_marked)
{
    static const struct {
        const char *fields;
        int32_t tenth_mm[2];
        uint8_t quality[2];
    } cases[] = {
        {",356.1", {0, 3561}, {READING_MISSING, READING_GOOD}},
        {"412.5,", {4125, 0}, {READING_GOOD, READING_MISSING}},
        {",", {0, 0}, {READING_MISSING, READING_MISSING}},
        {"412.5w,356.1s", {4125, 3561}, {READING_WEAK, READING_SATURATED}},
        {"412.5r,356", {4125, 3560}, {READING_OUT_OF_RANGE, READING_GOOD}},
        {"r,0.0", {0, 0}, {READING_MISSING, READING_GOOD}},
        {"412.55,412.54", {4126, 4125}, {READING_GOOD, READING_GOOD}},
        {"1234567,-3.2", {12345670, -32}, {READING_OUT_OF_RANGE, READING_GOOD}},
        {"100000.0,100000.1", {1000000, 1000001}, {READING_GOOD, READING_OUT_OF_RANGE}},
        {"0412.5,.5", {4125, 5}, {READING_GOOD, READING_GOOD}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char body[100];
        char stream[300] = "";
        snprintf(body, sizeof body, "7,140000,%s", cases[i].fields);
        append(stream, heading);
        append(stream, bench_line_of(body));
        struct decoded decoded = decode_text(stream);
        ck_assert_msg(decoded.count == 1, "%s", body);
        for (int channel = 0; channel < 2; channel++) {
            ck_assert_msg(decoded.sample[0].range_tenth_mm[channel] == cases[i].tenth_mm[channel] &&
                              decoded.sample[0].quality[channel] == cases[i].quality[channel],
                          "%s: %d quality %d", body, decoded.sample[0].range_tenth_mm[channel],
                          decoded.sample[0].quality[channel]);
        }
        decoded_free(&decoded);
    }
}
END_TEST

START_TEST(wrong_lines_are_counted_by_reason)
{
    static const struct {
        const char *body;
        enum reject_reason reason;
    } cases[] = {
        {"7,140000,412.5", REJECT_FIELD_COUNT},
        {"7,140000,412.5,356.1,1", REJECT_FIELD_COUNT},
        {"7,140000,1,2,3,4,5,6,7,8,9", REJECT_FIELD_COUNT},
        {"7,140000,4x,356.1", REJECT_BAD_NUMBER},
        {"7,140000,412.5ww,356.1", REJECT_BAD_NUMBER},
        {"7,140000,412..5,356.1", REJECT_BAD_NUMBER},
        {"7,,412.5,356.1", REJECT_BAD_NUMBER},
        {"7,-5,412.5,356.1", REJECT_BAD_NUMBER},
        {"7,9999999999999999999,412.5,356.1", REJECT_BAD_NUMBER},
        {"7,140000", REJECT_BAD_NUMBER},
        {",140000,412.5,356.1", REJECT_NOT_A_LINE},
        {"7", REJECT_BAD_NUMBER},
        {"7,140000,..,356.1", REJECT_BAD_NUMBER},
        {"7,140000,412.5 ,356.1", REJECT_BAD_NUMBER},
        {"7,140000,412.5wx,356.1", REJECT_BAD_NUMBER},
        {"7,140000,99999999999,356.1", REJECT_OUT_OF_RANGE},
        {"WIXDR,D,0.4,M,A", REJECT_NOT_A_LINE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char stream[300] = "";
        append(stream, heading);
        append(stream, bench_line_of(cases[i].body));
        struct decoded decoded = decode_text(stream);
        ck_assert_msg(decoded.count == 0 && decoded.counts.rejected[cases[i].reason] == 1, "%s",
                      cases[i].body);
        ck_assert_uint_eq(decoded_rejected(&decoded), 1);
        decoded_free(&decoded);
    }
    char stream[400] = "";
    append(stream, heading);
    append(stream, "$1,2\nnonsense\n# a comment\n\n$\n");
    struct decoded decoded = decode_text(stream);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_CHECKSUM], 2);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_NOT_A_LINE], 1);
    ck_assert_uint_eq(decoded.counts.skipped, 2);
    ck_assert_uint_eq(decoded.counts.lines, 5); /* an empty one is none */
    decoded_free(&decoded);
}
END_TEST

START_TEST(what_a_cut_line_left_before_a_line_is_passed_over)
{
    char stream[400] = "";
    append(stream, heading);
    append(stream, "$10,2000");
    append(stream, bench_line_of("11,220000,412.5,356.1"));
    struct decoded decoded = decode_text(stream);
    ck_assert_uint_eq(decoded.count, 1);
    ck_assert_uint_eq(decoded.sample[0].sequence, 11);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_heading_comes_again_and_may_change_unit_and_names)
{
    char stream[1000] = "";
    append(stream, "# holdline-rig 1 id=b rate=99.5 unit=cm channels=a\n");
    append(stream, bench_line_of("1,10000,41.25"));
    append(stream, "# holdline-rig 1 id=b rate=99.5 unit=m channels=a,b,c later=words\n");
    append(stream, bench_line_of("2,20000,0.41255,,1w"));
    struct decoded decoded = decode_text(stream);
    ck_assert_uint_eq(decoded.count, 2);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 4125);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[0], 4126);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[2], 10000);
    ck_assert_double_eq(decoded.info.rate_hz, 99.5);
    ck_assert_int_eq(decoded.info.channel_count, 3);
    decoded_free(&decoded);
}
END_TEST

/* Blanks of any kind between and behind, keys of later firmware, and ranges below 0. */
START_TEST(blanks_do_not_matter)
{
    char stream[1000] = "";
    append(stream, "# holdline-rig 1 \tid=b  rate=50 later unit=mm\tchannels=a,b \t\n");
    append(stream, bench_line_of("1,10000,412.5,-200000"));
    append(stream, "  \n");
    struct decoded decoded = decode_text(stream);
    ck_assert_uint_eq(decoded.count, 1);
    check_channels(&decoded, "a b");
    ck_assert_int_eq(decoded.sample[0].quality[1], READING_OUT_OF_RANGE);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_wrong_heading_changes_nothing)
{
    static const struct {
        const char *line;
        enum reject_reason reason;
    } cases[] = {
        {"# holdline-rig 2 channels=a,b,c\n", REJECT_NOT_A_LINE},
        {"# holdline-rig 1 id=x unit=furlong channels=a,b,c\n", REJECT_NOT_A_LINE},
        {"# holdline-rig 1x channels=a,b,c\n", REJECT_NOT_A_LINE},
        {"# holdline-rig 1 rate=fast channels=a,b,c\n", REJECT_BAD_NUMBER},
        {"# holdline-rig 1 rate=-50 channels=a,b,c\n", REJECT_BAD_NUMBER},
        {"# holdline-rig 1 rate=99999999 channels=a,b,c\n", REJECT_BAD_NUMBER},
        {"# holdline-rig 1 rate=50x channels=a,b,c\n", REJECT_BAD_NUMBER},
        {"# holdline-rig 1 channels=a,b,c,d,e,f,g,h,i\n", REJECT_FIELD_COUNT},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char stream[1000] = "";
        append(stream, heading);
        append(stream, cases[i].line);
        append(stream, bench_line_of("1,10000,412.5,356.1"));
        struct decoded decoded = decode_text(stream);
        ck_assert_msg(decoded.counts.rejected[cases[i].reason] == 1, "%s", cases[i].line);
        ck_assert_uint_eq(decoded.count, 1);
        ck_assert_int_eq(decoded.info.channel_count, 2);
        ck_assert_str_eq(decoded.info.id, "bench-a");
        decoded_free(&decoded);
    }
}
END_TEST

START_TEST(lines_before_the_heading_are_old_and_without_one_they_count)
{
    char with[3000] = "";
    char without[3000] = "";
    for (int i = 0; i < 20; i++) {
        char body[64];
        snprintf(body, sizeof body, "%d,%d,412.5,356.1", i, i * 20000);
        append(with, bench_line_of(body));
    }
    strcpy(without, with);
    append(with, heading);
    append(with, bench_line_of("0,10000,400.0,300.0"));
    struct decoded decoded = decode_text(with);
    ck_assert_uint_eq(decoded.count, 1);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_STALE], 20);
    decoded_free(&decoded);
    decoded = decode_text(without);
    ck_assert_uint_eq(decoded.count, 20);
    check_channels(&decoded, "ch1 ch2");
    decoded_free(&decoded);
}
END_TEST

START_TEST(channel_names_become_keys)
{
    struct decoded decoded =
        decode_text("# holdline-rig 1 id=\x1b[2J channels=head-1,7up,caf\xC3\xA9,,a.b\n");
    check_channels(&decoded, "head-1 up caf ch4 a.b");
    ck_assert_str_eq(decoded.info.id, "\\x1B[2J");
    decoded_free(&decoded);
}
END_TEST

START_TEST(the_examples_of_the_document_are_right)
{
    FILE *file = fopen(source_path("docs/wire-formats.md"), "r");
    ck_assert_ptr_nonnull(file);
    char line[300];
    char stream[2000] = "";
    int xdr = 0, bench = 0;
    while (fgets(line, sizeof line, file) != NULL) {
        if (strncmp(line, "    # holdline-rig 1 ", 21) == 0) {
            stream[0] = '\0';
            append(stream, line + 4);
        } else if (strncmp(line, "    $1", 6) == 0) {
            append(stream, line + 4);
            struct decoded decoded = decode_text(stream);
            ck_assert_msg(decoded.count == 1, "%s", stream);
            ck_assert_int_eq(decoded.sample[0].range_tenth_mm[1], 3561);
            ck_assert_str_eq(decoded.info.channel_name[1], "chest");
            decoded_free(&decoded);
            bench++;
        } else if (strncmp(line, "    $WIXDR", 10) == 0) {
            line[strcspn(line, "\n")] = '\0';
            ck_assert_msg(dialect_checksum_is_right(line + 4, strlen(line + 4)), "%s", line);
            xdr++;
        }
    }
    fclose(file);
    ck_assert_int_eq(xdr, 2);
    ck_assert_int_ge(bench, 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bench line");
    TCase *one = tcase_create("bench line");
    tcase_add_test(one, a_line_gives_a_sample);
    tcase_add_test(one, the_checksum_is_that_of_the_standard);
    tcase_add_test(one, missing_and_doubtful_readings_are_marked);
    tcase_add_test(one, wrong_lines_are_counted_by_reason);
    tcase_add_test(one, what_a_cut_line_left_before_a_line_is_passed_over);
    tcase_add_test(one, a_heading_comes_again_and_may_change_unit_and_names);
    tcase_add_test(one, a_wrong_heading_changes_nothing);
    tcase_add_test(one, blanks_do_not_matter);
    tcase_add_test(one, lines_before_the_heading_are_old_and_without_one_they_count);
    tcase_add_test(one, channel_names_become_keys);
    tcase_add_test(one, the_examples_of_the_document_are_right);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
