/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers in another dress than decimal ones with a point: how a line is written anew, and of which
 * lines it is told that they have the dress. */
#include "rig/decoding.h"
#include "rig/plain_dress.h"

/* wanted NULL: the line has not the dress. */
static const struct {
    unsigned dress;
    const char *line, *wanted;
} lines[] = {
    {DRESS_HEXADECIMAL, "d:0x019C mm", "d:412 mm"},
    {DRESS_HEXADECIMAL, "019C 0x", "019C 0x"},
    {DRESS_HEXADECIMAL, "a0x19C,0x19Cg,0X19C", "a0x19C,0x19Cg,412"},
    {DRESS_HEXADECIMAL, "0x19C5g", "0x19C5g"},
    {DRESS_HEXADECIMAL, "0x0123456789abcdef0", "0x0123456789abcdef0"}, /* 17 figures */
    {DRESS_ALL_HEXADECIMAL, "019C,head,10", "412,head,16"},
    {DRESS_ALL_HEXADECIMAL, "1 F_", "1 15_"},
    {DRESS_COMMA, "412,5 mm, 296,5,", "412.5 mm, 296.5,"},
    {DRESS_COMMA, ",5 a,5 5,a", ",5 a,5 5,a"},
    {DRESS_LETTERS, "A412C296.5 mm", "A 412 C 296.5 mm"},
    {DRESS_FEET, "head 1' 4.25\"", "head 16.25"},
    {DRESS_FEET, "1'", "12.00"},
    {DRESS_FEET, "1' x", "12.00x"},
    {DRESS_FEET, "1'4''", "16.00"},
    {DRESS_FEET, "1'4 2'", "16.00 24.00"},
    {DRESS_FEET, "1.5' 4\"", "1.5' 4\""},   /* a foot is told with inches, or it is none */
    {DRESS_FEET, "1001' 4\"", "1001' 4\""}, /* no range */
    {DRESS_FEET, "1' 13\"", "1' 13\""},     /* no inches */
    {DRESS_FEET, "412", "412"},
    {DRESS_UNCHECKED, "$HEAD,412", "HEAD,412"},
    {DRESS_UNCHECKED, "$HEAD", NULL},
    {DRESS_UNCHECKED, "$HEAD*", NULL},
    {DRESS_UNCHECKED, "$412", NULL},
    {DRESS_UNCHECKED, "$GPXDR,412", NULL}, /* a talker of the standard's */
    {DRESS_UNCHECKED, "!HEAD,412", NULL},
    {DRESS_UNCHECKED, "$HEAD,412*00", NULL},
};

START_TEST(lines_written_anew)
{
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        char scratch[64];
        struct span line = {lines[i].line, strlen(lines[i].line)};
        bool has_it = plain_dress(&line, lines[i].dress, scratch, sizeof scratch);
        ck_assert_msg(has_it == (lines[i].wanted != NULL), "%s", lines[i].line);
        ck_assert_msg(!has_it || span_is(line, lines[i].wanted), "%s: %.*s", lines[i].line,
                      (int)line.length, line.text);
    }
    char scratch[4];
    struct span line = {"412,5", 5};
    ck_assert(!plain_dress(&line, DRESS_COMMA, scratch, sizeof scratch)); /* no room */
}
END_TEST

/* Talkers of the standard have five letters; a maker's own sentence begins with P. */
START_TEST(sentences_of_a_board)
{
    static const struct {
        const char *body, *wanted;
    } sentences[] = {
        {"HEAD,412", "HEAD,412"}, {"PHEAD,412", "PHEAD,412"}, {"GPXDR,412", NULL}, {"412", NULL}};
    for (size_t i = 0; i < sizeof sentences / sizeof sentences[0]; i++) {
        const char *text = bench_line_of(sentences[i].body);
        struct span line = {text, strlen(text) - 1};
        bool has_it = plain_dress(&line, DRESS_SENTENCE, NULL, 0);
        ck_assert_msg(has_it == (sentences[i].wanted != NULL), "%s", text);
        ck_assert(!has_it || span_is(line, sentences[i].wanted));
    }
}
END_TEST

static void hold(struct held_lines *held, const char *const *texts, int count)
{
    memset(held, 0, sizeof *held);
    for (int i = 0; i < count; i++) {
        size_t length = strlen(texts[i]);
        memcpy(held->bytes + held->used, texts[i], length);
        held->line[i].start = held->used;
        held->line[i].length = length;
        held->used += length;
        held->count++;
    }
}

#define ROW 5
static const struct {
    unsigned dress;
    const char *lines[ROW];
} streams[] = {
    {DRESS_COMMA, {"412,5 mm", "412,6 mm", "412,7 mm", "412,5 mm", "413,1 mm"}},
    {DRESS_COMMA, {"412,5", "412,6", "412,7", "412,5", "413,1"}},
    {DRESS_NONE, {"412,5", "412,6", "412,5", "412,6", "412,5"}}, /* two codes, or tenths? */
    {DRESS_COMMA, {"412,05", "412,16", "412,07", "412,08", "413,19"}},
    {DRESS_NONE,
     {"412,15", "412,16", "412,27", "412,18", "413,19"}}, /* two ranges, or hundredths? */
    {DRESS_NONE, {"412,150", "412,161", "412,272", "412,183", "413,194"}},
    {DRESS_COMMA, {"1,412 m", "1,413 m", "1,415 m", "1,412 m", "1,413 m"}},
    {DRESS_NONE, {"1,412 m", "2,296 m", "1,413 m", "2,297 m", "1,412 m"}}, /* sensors in turn */
    {DRESS_NONE, {"1,4123 m", "1,4135 m", "1,4131 m", "1,4126 m", "1,4129 m"}}, /* four figures */
    {DRESS_NONE, {"412 mm", "412,6 mm", "412 mm", "413,1 mm", "412,9 mm"}},     /* and none */
    {DRESS_NONE, {"12345,5 mm", "412,6; 2", "412,5 mm", "413,1 mm", "412,9 mm"}},
    {DRESS_LETTERS, {"A412", "A413", "A411.5", "A413", "A412"}},
    {DRESS_LETTERS, {"A412 C296", "A413|C297", "A411,C295", "A413;C296", "A412 C297"}},
    {DRESS_LETTERS, {"A412.25 C296.5", "A413.5 C297", "A411 C295.5", "A413 C296", "A412 C297"}},
    {DRESS_NONE, {"A412 C", "A413 C", "A411 C", "A413 C", "A412 C"}},
    {DRESS_NONE, {"A412.x", "A413.x", "A411.x", "A413.x", "A412.x"}},
    {DRESS_NONE, {"A412", "413", "A411", "413", "A412"}}, /* numbers among them */
    {DRESS_NONE, {"A4", "A4", "A4", "A4", "A4"}},
    {DRESS_NONE, {"A4123456", "A4123456", "A4123456", "A4123456", "A4123456"}},
    {DRESS_NONE, {"Chestly412", "Chestly412", "Chestly412", "Chestly412", "Chestly412"}},
    {DRESS_LETTERS, {"A412", "A413", "A411", "B", "A413"}}, /* a word without figures is no line */
    {DRESS_HEXADECIMAL, {"0x19c", "0x19d", "0x19e", "0x19f", "0x19d"}},
    {DRESS_UNCHECKED, {"$R,412", "$R,413", "$R,412", "$R,411", "$R,412"}},
};

START_TEST(which_dress_lines_have)
{
    static const struct decoder_options nothing_said;
    for (size_t i = 0; i < sizeof streams / sizeof streams[0]; i++) {
        struct held_lines held;
        hold(&held, streams[i].lines, ROW);
        unsigned dress = plain_dress_of(&held, &nothing_said);
        ck_assert_msg(dress == streams[i].dress, "%s ...: %u", streams[i].lines[0], dress);
    }
}
END_TEST

START_TEST(hexadecimal_figures_that_nothing_marks)
{
    static const struct {
        bool are;
        const char *lines[ROW];
    } held_rows[] = {
        {true, {"019C", "019D", "01A0", "", "019F"}},
        {true, {"019C 01A0", "019D,01A1", "01A0;01A2", "01A0:01A0", "019F\t01A2"}},
        {true,
         {"1b0c", "1b2c", "00b1", "1b", "c0b1 10b1"}}, /* a 'b' behind a 0 that is not first */
        {false, {"0b0001", "0b0011", "0b0101", "0b0001", "0b0001"}},
        {false, {"1 0b0001", "1 0b0011", "1 0b0101", "1 0b0001", "1 0b0001"}},
        {false, {"A412", "A413", "A411", "B", "A413"}}, /* a letter first may be a name */
        {false, {"019C", "x\x01", "01A0", "", "019F"}}, /* too few */
        {false, {"bad", "bed", "cafe", "fade", "face"}},
        {false, {"412", "413", "414", "415", "416"}},
    };
    for (size_t i = 0; i < sizeof held_rows / sizeof held_rows[0]; i++) {
        struct held_lines held;
        hold(&held, held_rows[i].lines, ROW);
        ck_assert_msg(plain_are_hexadecimal(&held) == held_rows[i].are, "%s",
                      held_rows[i].lines[0]);
    }
}
END_TEST

START_TEST(feet_in_a_line)
{
    static const struct {
        const char *line;
        bool has_feet;
    } feet[] = {{"1' 4.2\"", true}, {"head: 1'", true}, {"412", false},
                {"", false},        {"1' 13\"", false}, {"it's 4", false}};
    for (size_t i = 0; i < sizeof feet / sizeof feet[0]; i++) {
        struct span line = {feet[i].line, strlen(feet[i].line)};
        ck_assert_msg(plain_has_feet(line) == feet[i].has_feet, "%s", feet[i].line);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain dress");
    TCase *tests = tcase_create("plain dress");
    tcase_add_test(tests, lines_written_anew);
    tcase_add_test(tests, sentences_of_a_board);
    tcase_add_test(tests, which_dress_lines_have);
    tcase_add_test(tests, hexadecimal_figures_that_nothing_marks);
    tcase_add_test(tests, feet_in_a_line);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
