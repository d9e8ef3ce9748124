/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* One odd line behind thirty regular ones: a reading, none, a line that is passed over, or one that
 * is counted as rejected; and the lines behind it are read as before. */
#include "decoding.h"

enum { REGULAR = 30 };

enum outcome { GOOD, MISSING, DOUBTFUL, SKIPPED, REJECTED };

struct odd {
    const char *line;
    enum outcome outcome;
    int tenths; /* of a good one */
};

/* format: a line of a time and a range, in millimetres with a tenth. */
static void check_line(const char *heading, const char *before, const char *between,
                       const char *behind, const struct odd *odd)
{
    static char text[4000];
    size_t used = (size_t)snprintf(text, sizeof text, "%s", heading);
    for (int i = 0; i < REGULAR + 5; i++) {
        if (i == REGULAR) {
            used += (size_t)snprintf(text + used, sizeof text - used, "%s\n", odd->line);
            continue;
        }
        used += (size_t)snprintf(text + used, sizeof text - used, "%s%d%s%d.%d%s\n", before, 20 * i,
                                 between, 412 + (i * 7) % 11, (i * 3) % 10, behind);
    }
    struct decoder_options options = {.dialect = "plain", .unit = "mm"};
    struct decoded decoded = decode_with(text, &options);
    ck_assert_msg(decoded.fine, "%s: %s", odd->line, decoded.problem.sentence);
    uint64_t rejected = 0;
    for (int r = 0; r < REJECT_REASONS; r++) {
        rejected += decoded.counts.rejected[r];
    }
    bool read = odd->outcome <= DOUBTFUL;
    ck_assert_msg(decoded.count == (size_t)(REGULAR + 4 + read), "%s: %zu samples, %d rejected",
                  odd->line, decoded.count, (int)rejected);
    ck_assert_msg(rejected == (odd->outcome == REJECTED), "%s: %d rejected", odd->line,
                  (int)rejected);
    const struct raw_sample *raw = &decoded.sample[REGULAR];
    if (read) {
        enum outcome found = raw->quality[0] == READING_GOOD      ? GOOD
                             : raw->quality[0] == READING_MISSING ? MISSING
                                                                  : DOUBTFUL;
        ck_assert_msg(found == odd->outcome, "%s: quality %d", odd->line, raw->quality[0]);
        ck_assert_msg(found != GOOD || raw->range_tenth_mm[0] == odd->tenths, "%s: %d", odd->line,
                      raw->range_tenth_mm[0]);
    }
    ck_assert_int_eq(decoded.sample[decoded.count - 1].quality[0], READING_GOOD);
    free(decoded.sample);
}

static const struct odd of_table[] = {
    {"600,413.5", GOOD, 4135},    {"600, 413.5 ", GOOD, 4135},
    {"600,nan", MISSING, 0},      {"600,NaN", MISSING, 0},
    {"600,inf", MISSING, 0},      {"600,null", MISSING, 0},
    {"600,", MISSING, 0},         {"600,0", MISSING, 0},
    {"600,-3", MISSING, 0},       {"600,abc", REJECTED, 0},
    {"600,1e12", REJECTED, 0},    {"600", REJECTED, 0},
    {"600,413.5,9", REJECTED, 0}, {"", SKIPPED, 0},
    {"# a note", SKIPPED, 0},     {"% a note", SKIPPED, 0},
    {"// a note", SKIPPED, 0},    {"; a note", SKIPPED, 0},
};

START_TEST(behind_a_table_with_commas)
{
    check_line("time_ms,head\n", "", ",", "", &of_table[_i]);
}
END_TEST

static const struct odd of_words[] = {
    {"t=600 head=413.5mm", GOOD, 4135}, {"t=600 head=413.5", GOOD, 4135},
    {"t=600 head=nan", MISSING, 0},     {"", SKIPPED, 0},
    {"# a note", SKIPPED, 0},           {"// a note", SKIPPED, 0},
};

START_TEST(behind_words_with_numbers)
{
    check_line("", "t=", " head=", "mm", &of_words[_i]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("odd_lines");
    TCase *tests = tcase_create("odd_lines");
    suite_add_tcase(suite, tests);
    tcase_add_loop_test(tests, behind_a_table_with_commas, 0, sizeof of_table / sizeof of_table[0]);
    tcase_add_loop_test(tests, behind_words_with_numbers, 0, sizeof of_words / sizeof of_words[0]);
    return test_main(suite);
}
