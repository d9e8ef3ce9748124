/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the gauge's page says while no reading comes. */
#include "rig/wire_look.h"
#include "say/wire.h"
#include "support/test_main.h"

#include <string.h>

static const char *said(const struct decoder_counts *counts, const char *bytes)
{
    static char text[800];
    struct wire_finding finding;
    memset(&finding, 0, sizeof finding);
    struct decoder_options options;
    memset(&options, 0, sizeof options);
    wire_look(bytes, strlen(bytes), &options, &finding);
    say_wire_live(text, sizeof text, &finding, 0, true, bytes, strlen(bytes), counts);
    return text;
}

START_TEST(what_came_is_counted_where_it_was_read)
{
    const char *bytes = "The club trains on Tuesdays.\nBring a towel.\nAnd two bottles.\n";
    struct decoder_counts counts = {.bytes = 61, .lines = 3};
    counts.rejected[REJECT_NOT_A_LINE] = 3;
    const char *text = said(&counts, bytes);
    ck_assert_msg(strstr(text,
                         " No readings in 61 bytes, 3 lines: 3 not a line of this dialect. It "
                         "sends The club trains on Tuesdays.\\nBri") != NULL,
                  "%s", text);
    /* while speeds are tried, nothing goes to the decoder: no 'in 0 bytes' */
    struct decoder_counts none = {0};
    text = said(&none, bytes);
    ck_assert_ptr_null(strstr(text, "No readings"));
    ck_assert_msg(strstr(text, ". It sends The club") != NULL, "%s", text);
}
END_TEST

/* A name of signs that can't be shown is told whole, each by its number. */
START_TEST(a_name_that_is_long_when_it_is_told)
{
    struct wire_note note = {.kind = WIRE_LEFT_OUT_COUNTER, .column = 1};
    const struct rig_info info = {.channel_count = 0};
    char text[400], expected[400] = "'";
    memset(note.name, 1, sizeof note.name - 1);
    for (size_t i = 0; i < sizeof note.name - 1; i++) {
        strcat(expected, "\\x01");
    }
    say_wire_note(text, sizeof text, &note, &info);
    ck_assert_str_eq(text, strcat(expected, "' counts the lines: left out"));
}
END_TEST

/* What was made of the lines: of which column or sensor, with which value, in words. */
START_TEST(each_note_names_its_column_and_value)
{
    static const struct rig_info info = {.channel_count = 2, .channel_name = {"head", "chest"}};
    static const struct {
        struct wire_note note;
        const char *words;
    } cases[] = {
        {{.kind = WIRE_KEYED, .value_milli = 3000},
         "one sensor a line: told apart by label, 3 of them"},
        {{.kind = WIRE_LEFT_OUT_COUNTER, .column = 2}, "column 2 counts the lines: left out"},
        {{.kind = WIRE_LEFT_OUT_STILL, .column = 4, .name = "temp", .value_milli = 21500},
         "'temp' is always 21.5: left out"},
        {{.kind = WIRE_LEFT_OUT_EMPTY, .column = 3, .name = "chest"},
         "'chest' is empty where the stream begins: left out (--columns, if it is a sensor)"},
        {{.kind = WIRE_CODE, .channel = 1, .value_milli = 8190000, .count = 7},
         "chest: 8190 means that nothing came back (came 7 times)"},
        {{.kind = WIRE_NEGATIVE, .channel = 2},
         "a channel: numbers below 0 mean that nothing came back"},
        {{.kind = WIRE_LEFT_OUT_NAMED, .column = 3, .name = "temp"},
         "'temp' is called something else than a range: left out"},
        {{.kind = WIRE_LEFT_OUT_SHORT, .column = 3, .value_milli = 12000},
         "column 3 is about 12 and hardly moves, nearer than any rider: left out"},
        {{.kind = WIRE_LEFT_OUT_NO_TIME, .column = 1, .name = "time"},
         "'time' is called a time and does not go on, as the time of an echo: left out"},
        {{.kind = WIRE_LEFT_OUT_SAME, .column = 3},
         "column 3 is another column's range in another unit: left out"},
        {{.kind = WIRE_LEFT_OUT_DISTANCE, .column = 3},
         "column 3 only rises, as the way that was ridden: left out"},
        {{.kind = WIRE_STATUS, .column = 4, .name = "ok", .value_milli = 1000},
         "'ok' is taken for a status: readings where it is not 1 are doubtful"},
        {{.kind = WIRE_STATUS_WORDS, .column = 4},
         "column 4 is taken for a status: readings where it is not ok are doubtful"},
        {{.kind = WIRE_UNIT_UNSAID}, "nothing says the unit: taken as mm (--unit)"},
        {{.kind = WIRE_UNIT_DOUBTFUL, .column = 3, .name = "chest", .value_milli = 24010},
         "'chest' is about 24.01, and nothing says the unit: in mm no rider is there (--unit)"},
        {{.kind = WIRE_UNNAMED},
         "the columns have no names: each is taken for a sensor (--columns)"},
        {{.kind = WIRE_LIKE_A_RIDE, .column = 2},
         "column 2 only rises, as the way that was ridden: the others move like the log of a ride, "
         "power and cadence, not like ranges"},
        {{.kind = WIRE_COMMA}, "commas between figures are decimal points"},
        {{.kind = WIRE_HEXADECIMAL}, "the numbers are hexadecimal"},
        {{.kind = WIRE_SENTENCE}, "sentences with a checksum, not of the standard: their numbers"},
        {{.kind = WIRE_NEGATIVE, .channel = -1},
         "a channel: numbers below 0 mean that nothing came back"},
        {{.kind = 255}, ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[400];
        say_wire_note(text, sizeof text, &cases[i].note, &info);
        ck_assert_str_eq(text, cases[i].words);
    }
}
END_TEST

/* Of several notes that one which casts the most doubt. */
START_TEST(what_limits_trust_is_said_briefly)
{
    static const struct {
        int count, kind[3];
        const char *brief;
        bool finding;
    } rows[] = {
        {0, {0}, "", false},
        {2, {WIRE_COMMA, WIRE_LEFT_OUT_COUNTER}, "", false},
        {2, {WIRE_COMMA, WIRE_UNIT_UNSAID}, "unit not said", false},
        {3, {WIRE_UNNAMED, WIRE_UNIT_UNSAID, WIRE_UNIT_DOUBTFUL}, "which unit?", true},
        {2, {WIRE_UNIT_UNSAID, WIRE_LEFT_OUT_EMPTY}, "a column left out", true},
        {1, {WIRE_UNNAMED}, "columns without names", false},
        {2, {WIRE_LIKE_A_RIDE, WIRE_UNNAMED}, "a ride's log?", true},
        {1, {255}, "", false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct rig_info info = {.note_count = rows[i].count};
        char text[80];
        bool any = false;
        for (int n = 0; n < rows[i].count; n++) {
            info.note[n].kind = (uint8_t)rows[i].kind[n];
            any = any || say_wire_note_is_finding(&info.note[n]);
        }
        ck_assert_int_eq(say_wire_brief(text, sizeof text, &info), rows[i].finding);
        ck_assert_int_eq(any, rows[i].finding);
        ck_assert_str_eq(text, rows[i].brief);
    }
}
END_TEST

/* docs/rigs.schema.json: programs are told these words. */
START_TEST(each_cause_has_a_word_for_programs)
{
    static const struct {
        enum wire_cause cause;
        const char *word;
    } causes[] = {
        {WIRE_READS, "reads"},
        {WIRE_NO_BYTES, "no_bytes"},
        {WIRE_TOO_FEW, "too_few"},
        {WIRE_NO_TEXT, "no_text"},
        {WIRE_NO_LINE_ENDS, "no_line_ends"},
        {WIRE_UNMARKED_HEXADECIMAL, "hexadecimal"},
        {WIRE_BYTES_IN_FIGURES, "bytes_in_figures"},
        {WIRE_FEET, "feet"},
        {WIRE_UNIT, "unit"},
        {WIRE_COLUMNS, "columns"},
        {WIRE_WORDS, "words"},
        {WIRE_MARKUP, "markup"},
        {WIRE_CHECKSUMS, "checksums"},
        {WIRE_TWO_BYTES, "two_bytes"},
    };
    ck_assert_uint_eq(sizeof causes / sizeof causes[0], WIRE_CAUSES);
    for (size_t i = 0; i < WIRE_CAUSES; i++) {
        ck_assert_str_eq(word_of(&wire_cause_words, (int)causes[i].cause), causes[i].word);
    }
}
END_TEST

/* Every cause has a sentence of its own, without a stop unless it asks; the speed is in it
 * where it is known and tells something. */
START_TEST(each_cause_has_a_sentence_of_its_own)
{
    char said[WIRE_CAUSES + 2][300];
    struct wire_finding finding;
    int count = 0;
    memset(&finding, 0, sizeof finding);
    strcpy(finding.problem.sentence, "which of 12 columns are ranges is not clear");
    for (int cause = 0; cause < WIRE_CAUSES; cause++) {
        finding.cause = (enum wire_cause)cause;
        say_wire_cause(said[count], sizeof said[count], &finding, 0, false);
        count++;
    }
    finding.cause = WIRE_READS;
    finding.stands_still = true;
    say_wire_cause(said[count], sizeof said[count], &finding, 0, false);
    count++;
    finding.cause = WIRE_NO_TEXT;
    say_wire_cause(said[count], sizeof said[count], &finding, 0, true);
    count++;
    for (int a = 0; a < count; a++) {
        ck_assert_msg(said[a][0] != '\0' && said[a][strlen(said[a]) - 1] != '.', "%d", a);
        for (int b = 0; b < a; b++) {
            ck_assert_str_ne(said[a], said[b]);
        }
    }
    ck_assert_str_eq(said[WIRE_COLUMNS], finding.problem.sentence);
    say_wire_cause(said[0], sizeof said[0], &finding, 9600, false);
    ck_assert_ptr_nonnull(strstr(said[0], " at 9600 baud "));
    ck_assert_str_eq(said[WIRE_NO_BYTES], "not a byte comes: is the board running, and printing?");
    finding.cause = WIRE_CAUSES;
    say_wire_cause(said[0], sizeof said[0], &finding, 0, false);
    ck_assert_str_eq(said[0], "");
}
END_TEST

/* What comes of a proposal, a sensor without a reading among it, and the key that takes it. */
START_TEST(a_proposal_is_offered_with_what_comes_of_it)
{
    struct wire_finding finding;
    struct decoder_counts counts = {.bytes = 40, .lines = 4};
    char text[800];
    memset(&finding, 0, sizeof finding);
    finding.cause = WIRE_UNIT;
    finding.has_proposal = true;
    strcpy(finding.proposal.unit, "cm");
    finding.info = (struct rig_info){.channel_count = 2,
                                     .channel_name = {"head", "ch\x1B"
                                                              "est"}};
    finding.has_last[0] = true;
    finding.last_mm[0] = 412.5;
    strcpy(finding.info.channel_name[2], "hips"); /* behind the last */
    finding.has_last[2] = true;
    say_wire_preview(text, sizeof text, &finding);
    ck_assert_str_eq(text, "head 412.5 mm, ch\\x1Best no reading");
    say_wire_live(text, sizeof text, &finding, 0, false, "", 0, &counts);
    ck_assert_ptr_nonnull(strstr(text, "another unit? With "));
    ck_assert_ptr_nonnull(
        strstr(text, "--unit cm: head 412.5 mm, ch\\x1Best no reading. y reads it"));
    finding.has_proposal = false;
    say_wire_options(text, sizeof text, &finding);
    ck_assert_str_eq(text, "");
}
END_TEST

/* What can't be printed stands in figures, and what no longer fits is left out whole. */
START_TEST(bytes_are_shown_as_they_came)
{
    char text[16];
    say_wire_bytes(text, sizeof text, "a\t\r\n\\", 5);
    ck_assert_str_eq(text, "a\\t\\r\\n\\x5C");
    say_wire_bytes(text, sizeof text, "\x7F\x80~ ", 4);
    ck_assert_str_eq(text, "\\x7F\\x80~ ");
    say_wire_bytes(text, sizeof text, "\x01\x02\x03\x04", 4);
    ck_assert_str_eq(text, "\\x01\\x02\\x03"); /* 12 of 15 */
    say_wire_bytes(text, sizeof text, "0123456789ABCDEF", 16);
    ck_assert_str_eq(text, "0123456789AB"); /* the next might need four */
    say_wire_bytes(text, sizeof text, "0123456789A\xFF", 12);
    ck_assert_str_eq(text, "0123456789A\\xFF");
}
END_TEST

START_TEST(lines_without_readings_are_counted_apart)
{
    struct {
        struct decoder_counts counts;
        uint64_t behind; /* of something else */
    } all = {{.bytes = 61, .lines = 9, .skipped = 4}, 77};
    char text[300];
    say_wire_counts(text, sizeof text, &all.counts);
    ck_assert_str_eq(text, "61 bytes, 9 lines: 4 without readings");
    all.counts.rejected[REJECT_NOT_A_LINE] = 3;
    say_wire_counts(text, sizeof text, &all.counts);
    ck_assert_str_eq(text, "61 bytes, 9 lines: 3 not a line of this dialect, 4 without readings");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("say wire");
    TCase *tests = tcase_create("say wire");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, what_came_is_counted_where_it_was_read);
    tcase_add_test(tests, what_limits_trust_is_said_briefly);
    tcase_add_test(tests, each_cause_has_a_word_for_programs);
    tcase_add_test(tests, a_name_that_is_long_when_it_is_told);
    tcase_add_test(tests, each_note_names_its_column_and_value);
    tcase_add_test(tests, each_cause_has_a_sentence_of_its_own);
    tcase_add_test(tests, a_proposal_is_offered_with_what_comes_of_it);
    tcase_add_test(tests, bytes_are_shown_as_they_came);
    tcase_add_test(tests, lines_without_readings_are_counted_apart);
    return test_main(suite);
}
