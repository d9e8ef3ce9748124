/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Bytes of which no readings come: what is found to be wrong with them, and what is proposed. */
#include "base/text.h"
#include "rig/speed_search.h"
#include "rig/wire_look.h"
#include "support/test_main.h"

#define TEN(line) line line line line line line line line line line

static const struct {
    const char *what, *bytes;
    enum wire_cause cause;
    const char *unit, *columns, *line_end; /* proposed; NULL: nothing is */
    struct decoder_options said;
} looks[] = {
    {"lines without an end, and nothing that could be one",
     TEN("head412mmchest296mm"),
     WIRE_NO_LINE_ENDS,
     NULL,
     NULL,
     NULL,
     {.unit = ""}},
    {"lines without an end, and a blank that could be one but is none",
     TEN("head nothing is here"),
     WIRE_NO_LINE_ENDS,
     NULL,
     NULL,
     NULL,
     {.unit = ""}},
    {"lines with another end",
     TEN("412;413;414;415;"),
     WIRE_NO_LINE_ENDS,
     "",
     "",
     ";",
     {.unit = ""}},
    {"numbers in metres", TEN("0.412\n0.413\n"), WIRE_UNIT, "m", "", "", {.unit = ""}},
    {"named columns in centimetres",
     TEN("41.2 52.3\n42.3 53.4\n"),
     WIRE_UNIT,
     "cm",
     "head=1,chest=2",
     "",
     {.columns = "head=1,chest=2"}},
    {"named columns, of which one is in mm",
     TEN("412 52.3\n423 53.4\n"),
     WIRE_READS,
     NULL,
     NULL,
     NULL,
     {.columns = "head=1,chest=2"}},
    {"numbers in metres beside others",
     TEN("0.412 9999.25\n0.415 9999.29\n0.417 9999.21\n0.419 9999.26\n"),
     WIRE_UNIT,
     "m",
     "1",
     "",
     {.unit = ""}},
    {"numbers that are no ranges in any unit",
     TEN("0.001\n0.002\n"),
     WIRE_COLUMNS,
     NULL,
     NULL,
     NULL,
     {.unit = ""}},
    {"columns that are not there",
     TEN("412,296\n413,297\n"),
     WIRE_COLUMNS,
     NULL,
     NULL,
     NULL,
     {.columns = "9"}},
    {"another unit, with columns that were said",
     TEN("412,296\n413,297\n"),
     WIRE_COLUMNS,
     NULL,
     NULL,
     NULL,
     {.columns = "9", .unit = "m"}},
    {"feet", TEN("1' 4.2\"\n1' 4.3\"\n"), WIRE_FEET, "ft-in", "", "", {.unit = ""}},
    {"hexadecimal numbers in centimetres",
     TEN("2A\n2B\n2C\n2D\n"),
     WIRE_UNMARKED_HEXADECIMAL,
     "cm",
     "",
     "",
     {.unit = ""}},
    {"hexadecimal numbers that are no ranges",
     TEN("1FFFFFFFA\n1FFFFFFFB\n"),
     WIRE_UNMARKED_HEXADECIMAL,
     NULL,
     NULL,
     NULL,
     {.unit = ""}},
    {"one channel that never reads",
     TEN("41.2,0\n52.9,-1\n"),
     WIRE_UNIT,
     "cm",
     "1",
     "",
     {.unit = ""}},
    {"two columns that are never there at once",
     TEN("0.412,x\nx,0.512\n0.413,x\nx,0.513\n"),
     WIRE_COLUMNS,
     NULL,
     NULL,
     NULL,
     {.unit = ""}},
    {"feet, of which another unit was said",
     TEN("1' 4.2\"\n1' 4.3\"\n"),
     WIRE_COLUMNS,
     NULL,
     NULL,
     NULL,
     {.columns = "9", .unit = "cm"}},
    {"a page", TEN("<div>now</div>\n"), WIRE_MARKUP, NULL, NULL, NULL, {.unit = ""}},
    {"a page of tags that end themselves",
     TEN("<hr/>\nand more words\n"),
     WIRE_MARKUP,
     NULL,
     NULL,
     NULL,
     {.unit = ""}},
    {"sentences with wrong checksums",
     "$GPHDT,274.07,T*03\n" TEN("$GPHDT,274.07,T*00\n"),
     WIRE_CHECKSUMS,
     NULL,
     NULL,
     NULL,
     {.unit = ""}},
    {"words", TEN("now and then\nmore words\n"), WIRE_WORDS, NULL, NULL, NULL, {.unit = ""}},
    {"a few words",
     "now and then and more words than are a few\n",
     WIRE_TOO_FEW,
     NULL,
     NULL,
     NULL,
     {.unit = ""}},
    {"nothing but ends of lines",
     TEN("\n\r\n\r\n\r\n\r\n\r"),
     WIRE_TOO_FEW,
     NULL,
     NULL,
     NULL,
     {.unit = ""}},
};

START_TEST(what_is_found)
{
    struct wire_finding finding;
    wire_look(looks[_i].bytes, strlen(looks[_i].bytes), &looks[_i].said, &finding);
    ck_assert_msg(finding.cause == looks[_i].cause, "%s: cause %d", looks[_i].what, finding.cause);
    ck_assert_msg(finding.has_proposal == (looks[_i].unit != NULL), "%s: proposal", looks[_i].what);
    if (looks[_i].unit != NULL) {
        ck_assert_msg(text_equal(finding.proposal.unit, looks[_i].unit) &&
                          text_equal(finding.proposal.columns, looks[_i].columns) &&
                          text_equal(finding.proposal.line_end, looks[_i].line_end),
                      "%s: unit '%s', columns '%s', line end '%s'", looks[_i].what,
                      finding.proposal.unit, finding.proposal.columns, finding.proposal.line_end);
    }
}
END_TEST

/* Pairs of figures of which something is none: figures on their own, letters, other marks. */
START_TEST(what_is_no_frame_written_out)
{
    static const struct {
        const char *line;
        enum wire_cause cause;
    } lines[] = {
        {"59, 5A,A0\t01,B1,,C3", WIRE_BYTES_IN_FIGURES},
        {"59 5A A0 01 B1 C3 4", WIRE_UNMARKED_HEXADECIMAL},
        {"59 5A A01 01 B1 C3", WIRE_UNMARKED_HEXADECIMAL},
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        char bytes[600];
        size_t used = 0;
        struct wire_finding finding;
        for (int line = 0; line < 20; line++) {
            text_append(bytes, sizeof bytes, &used, "%s\n", lines[i].line);
        }
        wire_look(bytes, used, NULL, &finding);
        ck_assert_msg(finding.cause == lines[i].cause, "%s: %d", lines[i].line, finding.cause);
    }
    struct wire_finding finding;
    char bytes[600];
    size_t used = 0;
    for (int line = 0; line < 20; line++) {
        text_append(bytes, sizeof bytes, &used, "59 5A A0 01 B1 C3 D4@\n");
    }
    for (size_t i = 0; i < used; i++) {
        bytes[i] = bytes[i] == '@' ? '\0' : bytes[i];
    }
    wire_look(bytes, used, NULL, &finding);
    ck_assert_int_ne(finding.cause, WIRE_BYTES_IN_FIGURES);
}
END_TEST

START_TEST(speeds_that_may_be_looked_for)
{
    struct link link = {.speed_is_open = true};
    struct decoder_options options = {.unit = "mm"}, frames = {.layout = "slip,head=u16:mm"};
    ck_assert(speed_search_wanted(&link, NULL) && speed_search_wanted(&link, &options));
    ck_assert(!speed_search_wanted(&link, &frames)); /* frames are strange bytes anyhow */
    link.speed_is_open = false;
    ck_assert(!speed_search_wanted(&link, NULL));
}
END_TEST

/* Lines too long to be held, and more than can be. */
START_TEST(lines_that_are_not_held)
{
    static char bytes[70 * 620];
    struct wire_finding finding;
    for (int words = 0; words < 2; words++) {
        size_t used = 0;
        for (int line = 0; line < 60; line++) {
            size_t length = line % 3 == 0 ? 600 : 450;
            for (size_t i = 0; i < length; i++) {
                bytes[used++] = words == 1 && i % 5 == 4 ? ' ' : 'x';
            }
            bytes[used++] = '\n';
        }
        wire_look(bytes, used, NULL, &finding);
        ck_assert_int_eq(finding.cause, WIRE_WORDS);
        ck_assert(!finding.has_proposal);
    }
}
END_TEST

/* What stands in texts of boards: accents, Greek and Cyrillic letters, degrees, dashes; and what in
 * none. By code point. */
START_TEST(strange_characters)
{
    static const struct {
        const char *bytes;
        size_t strange;
    } texts[] = {
        {"412 mm\r\n\t\x1b[0m", 0},
        {"\xC2\xB0\xC2\xB5\xC3\xA9\xC9\x8F\xCE\xBC\xD0\x96\xE2\x80\x93",
         0}, /* U+B0 B5 E9 24F 3BC 416 2013 */
        {"\x01\x7F", 2},
        {"\xC2\xA0", 1},     /* U+A0 */
        {"\xC9\x90", 1},     /* U+250 */
        {"\xCD\xAF", 1},     /* U+36F */
        {"\xD4\xB0", 1},     /* U+530 */
        {"\xE2\x80\x8F", 1}, /* U+200F */
        {"\xFF\xFE", 2},
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        size_t strange = speed_search_strange(texts[i].bytes, strlen(texts[i].bytes));
        ck_assert_msg(strange == texts[i].strange, "row %zu: %zu", i, strange);
    }
}
END_TEST

/* Slow text is text: its speed is kept however long nothing more comes. */
START_TEST(silence_after_text)
{
    struct speed_search search;
    speed_search_start(&search, 115200);
    ck_assert_double_eq(speed_search_take(&search, "412 mm 413", 10, 1000), 0);
    ck_assert_double_eq(speed_search_quiet(&search, 60000000), 0);
    speed_search_start(&search, 115200);
    ck_assert_double_eq(speed_search_take(&search, "412", 3, 1000), 0);
    ck_assert_double_gt(speed_search_quiet(&search, 60000000), 0); /* too little to tell */
}
END_TEST

/* After the last speed the first comes again, and that none fitted is known. */
START_TEST(all_speeds_in_turn)
{
    struct speed_search search;
    speed_search_start(&search, 0);
    double first = speed_search_next(&search, 0), baud = 0;
    int count = 1;
    while (!search.none_fits && count < 100) {
        baud = speed_search_next(&search, 0);
        count++;
    }
    ck_assert_int_eq(count, 23); /* 22 speeds, and the first again */
    ck_assert_double_eq(baud, first);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wire search");
    TCase *tests = tcase_create("wire search");
    tcase_add_loop_test(tests, what_is_found, 0, sizeof looks / sizeof looks[0]);
    tcase_add_test(tests, what_is_no_frame_written_out);
    tcase_add_test(tests, speeds_that_may_be_looked_for);
    tcase_add_test(tests, lines_that_are_not_held);
    tcase_add_test(tests, strange_characters);
    tcase_add_test(tests, silence_after_text);
    tcase_add_test(tests, all_speeds_in_turn);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
