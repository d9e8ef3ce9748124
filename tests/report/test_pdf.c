/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The PDF, looked at with poppler's own tools: pages, sizes, text that is text, dates. */
#include "example_report.h"

#include "report/paper_files.h"
#include "support/test_main.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define OUTPUT_SIZE 2000000

static struct sample made[3000];
static char path[64];

static bool made_samples(void *context, int64_t first, int64_t last, const struct sample **samples,
                         size_t *count)
{
    (void)context;
    *count = (size_t)(last - first + 1);
    ck_assert_uint_le(*count, sizeof made / sizeof made[0]);
    for (size_t i = 0; i < *count; i++) {
        memset(&made[i], 0, sizeof made[i]);
        made[i].number = first + (int64_t)i;
        made[i].time_us = (made[i].number - 1) * 20000;
        made[i].range_tenth_mm[0] = (int32_t)(2660 + made[i].number % 50);
        made[i].range_tenth_mm[1] = (int32_t)(1530 + made[i].number % 70);
    }
    *samples = made;
    return true;
}

static void begin_file(void)
{
    begin_chosen();
    snprintf(path, sizeof path, "/tmp/holdline-pdf-XXXXXX");
    int file = mkstemp(path);
    ck_assert_int_ge(file, 0);
    close(file);
}

static void end_file(void)
{
    unlink(path);
    end();
}

static void write_pdf(enum page_size size)
{
    struct problem problem = {PROBLEM_NONE, ""};
    FILE *stream = fopen(path, "wb");
    ck_assert_ptr_nonnull(stream);
    input.page_size = size;
    ck_assert_msg(report_pdf(stream, &input, made_samples, NULL, &problem), "%s", problem.sentence);
    ck_assert_int_eq(fclose(stream), 0);
}

/* What a tool prints of the file; the caller frees it. */
static char *told(const char *tool, const char *options)
{
    char command[256];
    char *text = calloc(1, OUTPUT_SIZE);
    ck_assert_ptr_nonnull(text);
    snprintf(command, sizeof command, "%s %s %s %s 2>&1", tool, options, path,
             strcmp(tool, "pdftotext") == 0 ? "-" : "");
    FILE *stream = popen(command, "r");
    ck_assert_ptr_nonnull(stream);
    size_t length = fread(text, 1, OUTPUT_SIZE - 1, stream);
    ck_assert_uint_lt(length, OUTPUT_SIZE - 1);
    ck_assert_msg(pclose(stream) == 0, "%s: %s", command, text);
    return text;
}

static void check_told(const char *tool, const char *options, const char *part)
{
    char *text = told(tool, options);
    ck_assert_msg(strstr(text, part) != NULL, "'%s' is not in:\n%.3000s", part, text);
    free(text);
}

static int count_of(const char *text, const char *part)
{
    int count = 0;
    for (const char *at = strstr(text, part); at != NULL; at = strstr(at + 1, part)) {
        count++;
    }
    return count;
}

/* Pages that end with this part's name. pdftotext puts a form feed behind each page. */
static int pages_of(const char *part)
{
    char *text = told("pdftotext", "-layout");
    int count = 0;
    for (char *page = strtok(text, "\f"); page != NULL; page = strtok(NULL, "\f")) {
        char *end = page + strlen(page);
        while (end > page && strchr(" \n", end[-1]) != NULL) {
            *--end = '\0';
        }
        const char *above = strrchr(page, '\n');
        count += strncmp(above != NULL ? above + 1 : page, part, strlen(part)) == 0 ? 1 : 0;
    }
    free(text);
    return count;
}

START_TEST(sheet_and_report_are_text)
{
    static const char *const parts[] = {
        "Your posture session",
        "The fitter's report",
        "Setup 2, spacers out, pads",
        "Against setup 1: what each setup changed",
        "REJECTED: slid back on the saddle",
        /* in pictures */
        "head: lower on setup 2",
        "higher, mm",
        "Where head and chest were together",
        "What a lower head costs",
        "hold 5: setup 2, free, rejected",
        "no medical advice",
    };
    write_pdf(PAGE_A4);
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        check_told("pdftotext", "", parts[i]);
    }
}
END_TEST

START_TEST(nothing_has_become_a_picture_of_itself)
{
    write_pdf(PAGE_A4);
    /* pdfimages lists pictures of dots below two lines of heading */
    char *text = told("pdfimages", "-list");
    ck_assert_int_eq(count_of(text, "\n"), 2);
    free(text);
    text = told("pdffonts", "");
    ck_assert_msg(strstr(text, "Type 3") == NULL, "%s", text);
    free(text);
}
END_TEST

/* What it is to those who have it read aloud: poppler reads the structure back, in reading order.
 */
START_TEST(everything_says_what_it_is)
{
    static const char *const parts[] = {
        "  H1 (block)\n    \"Your posture session\"\n  P (block)\n",
        "  Table (block)\n    TR\n      TH\n        \"from the bottom bracket, mm\"\n",
        "    TR\n      TD\n        \"bar clamp",
        "no difference that matters",
        "  L (block)\n    LI (block)\n      Lbl (block)\n        \"\u2013\"\n      LBody",
        "  Figure\n    \"",
        "  H1 (block)\n    \"The fitter's report\"\n",
    };
    write_pdf(PAGE_A4);
    check_told("pdfinfo", "", "Tagged:          yes");
    char *text = told("pdfinfo", "-struct-text");
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        ck_assert_msg(strstr(text, parts[i]) != NULL, "'%s' is not in:\n%.3000s", parts[i], text);
    }
    ck_assert_int_eq(count_of(text, "Document\n"), 1);
    /* titles stand in the list of contents as well */
    ck_assert_int_gt(count_of(text, "H2 (block)"), 10);
    /* no item stands outside a list */
    ck_assert_int_eq(count_of(text, "\n    LI (block)"), count_of(text, "LI (block)"));
    free(text);
}
END_TEST

/* So many rows of two narrow columns. */
static bool narrow_and_long(struct paper *paper, const void *what, struct problem *problem)
{
    static const struct table_column columns[] = {{"left", TABLE_LEFT, false},
                                                  {"right", TABLE_RIGHT, false}};
    struct table *table = table_create(columns, 2);
    paper_part_begin(paper, "report", "Halves");
    for (int row = 1; row <= *(const int *)what; row++) {
        table_cell_format(table, "row%d", row);
        table_cell_format(table, "%d", 100 + row);
    }
    bool done = paper_table(paper, table, problem);
    paper_part_end(paper);
    table_destroy(table);
    return done;
}

static void write_narrow(int rows)
{
    struct problem problem = {PROBLEM_NONE, ""};
    const struct paper_file file = {.title = "halves", .write = narrow_and_long, .what = &rows};
    FILE *stream = fopen(path, "wb");
    ck_assert_ptr_nonnull(stream);
    ck_assert_msg(paper_file_pdf(stream, &file, &problem), "%s", problem.sentence);
    ck_assert_int_eq(fclose(stream), 0);
}

/* From ten rows on. Read aloud it is one table, in the order of its rows. */
START_TEST(a_narrow_long_table_stands_in_two_halves)
{
    static const int rows[] = {9, 10, 20};
    for (int i = 0; i < 3; i++) {
        char other[32];
        write_narrow(rows[i]);
        char *text = told("pdftotext", "-layout"), *row = strstr(text, "row1 ");
        ck_assert_ptr_nonnull(row);
        row[strcspn(row, "\n")] = '\0';
        snprintf(other, sizeof other, "row%d ", rows[i] / 2 + 1);
        ck_assert_msg((strstr(row, other) != NULL) == (rows[i] > 9), "%d: '%s'", rows[i], row);
        free(text);
    }
    char *text = told("pdfinfo", "-struct-text");
    ck_assert_int_eq(count_of(text, "Table (block)"), 1);
    ck_assert(strstr(text, "row10\"") < strstr(text, "row11\""));
    free(text);
}
END_TEST

START_TEST(pages_have_the_size_that_was_asked_for)
{
    write_pdf(PAGE_A4);
    check_told("pdfinfo", "", "595.28 x 841.89 pts (A4)"); /* 210 mm by 297 mm */
    write_pdf(PAGE_LETTER);
    check_told("pdfinfo", "", "612 x 792 pts (letter)"); /* 8.5 inches by 11 */
}
END_TEST

START_TEST(the_date_is_the_sessions)
{
    record->started_ms = INT64_C(1768068000123); /* date -u -d @1768068000 */
    write_pdf(PAGE_A4);
    check_told("pdfinfo", "-isodates", "CreationDate:    2026-01-10T18:00:00Z");
    check_told("pdfinfo", "-isodates", "ModDate:         2026-01-10T18:00:00Z");
}
END_TEST

START_TEST(the_same_records_give_the_same_bytes)
{
    char *text[2] = {NULL, NULL};
    size_t length[2] = {0, 0};
    for (int i = 0; i < 2; i++) {
        FILE *stream = open_memstream(&text[i], &length[i]);
        ck_assert(report_pdf(stream, &input, made_samples, NULL, NULL));
        ck_assert_int_eq(fclose(stream), 0);
    }
    ck_assert_uint_eq(length[0], length[1]);
    ck_assert(memcmp(text[0], text[1], length[0]) == 0);
    free(text[0]);
    free(text[1]);
}
END_TEST

START_TEST(every_page_is_numbered)
{
    char last[64];
    write_pdf(PAGE_LETTER);
    char *text = told("pdfinfo", "");
    int pages = 0;
    ck_assert(sscanf(strstr(text, "Pages:"), "Pages: %d", &pages) == 1);
    free(text);
    ck_assert_int_gt(pages, 3);
    snprintf(last, sizeof last, "\n%d/%d\n", pages, pages);
    check_told("pdftotext", "", last);
    ck_assert_int_eq(pages_of("Your posture session") + pages_of("The fitter's report"), pages);
}
END_TEST

START_TEST(the_sheet_takes_two_pages_at_most)
{
    write_pdf(PAGE_LETTER);
    int pages = pages_of("Your posture session");
    ck_assert_msg(pages == 1 || pages == 2, "%d pages", pages);
    /* every part known, everything changed, many setups */
    for (int setup = 3; setup < 16; setup++) {
        record->setup[setup] = record->setup[1];
        record->setup[setup].number = setup + 1;
        snprintf(record->setup[setup].intent, TEXT_SIZE,
                 "a long intent that says what was meant with setup %d and then says it again",
                 setup + 1);
    }
    record->setup_count = 16;
    for (int key = 0; key < BIKE_KEYS; key++) {
        const struct bike_field *field = &bike_fields[key];
        record->setup[0].bike.value[key] = field->minimum;
        record->setup[1].bike.value[key] = (field->minimum + field->maximum) / 2;
    }
    memset(record->rider.watch_for, 'w', 200);
    for (enum page_size size = PAGE_A4; size <= PAGE_LETTER; size++) {
        write_pdf(size);
        pages = pages_of("Your posture session");
        ck_assert_msg(pages == 1 || pages == 2, "%d pages", pages);
    }
}
END_TEST

/* Many holds and setups go on to further pages; they are not shrunk until nobody can read them. */
START_TEST(a_long_session_can_be_read)
{
    const int holds = 50, setups = 18;
    for (int hold = record->hold_count; hold < holds; hold++) {
        record->hold[hold] = record->hold[1];
        record->hold[hold].number = hold + 1;
        analysis->hold[hold] = analysis->hold[1];
    }
    for (int setup = record->setup_count; setup < setups; setup++) {
        record->setup[setup] = record->setup[1];
        record->setup[setup].number = setup + 1;
        for (int channel = 0; channel < analysis->channel_count; channel++) {
            struct comparison *comparison = &analysis->free_heights[channel];
            comparison->setup[setup] = comparison->setup[1];
            comparison->difference[setup] = comparison->difference[1];
        }
    }
    record->hold_count = holds;
    record->setup_count = setups;
    write_pdf(PAGE_LETTER);
    char *text = told("pdftotext", "-bbox");
    int words = 0, courses = 0;
    for (const char *at = text; (at = strstr(at, "<word ")) != NULL; at++, words++) {
        double left, top, right, bottom;
        char word[64] = "";
        int taken = sscanf(at, "<word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\">%63[^<]",
                           &left, &top, &right, &bottom, word);
        ck_assert_int_eq(taken, 5);
        ck_assert_msg(left >= 0 && right <= 612 && top >= 0 && bottom <= 792,
                      "'%s' stands off the page", word);
        ck_assert_msg(bottom - top >= 5, "'%s' is %.1f points high", word, bottom - top);
        courses += strcmp(word, "hold") == 0 ? 1 : 0;
    }
    free(text);
    ck_assert_int_gt(words, 1000);
    ck_assert_int_ge(courses, 2 * holds);
    check_told("pdftotext", "", "hold 50: setup ");
}
END_TEST

START_TEST(names_in_any_script_are_found_again)
{
    static const char *const names[] = {
        "Zo\xC3\xAB \xC3\x98stergaard",                     /* Latin */
        "\xCE\x95\xCE\xBB\xCE\xAD\xCE\xBD\xCE\xB7",         /* Greek */
        "\xD0\x9E\xD0\xBB\xD0\xB5\xD0\xBD\xD0\xB0",         /* Cyrillic */
        "\xE5\xB1\xB1\xE7\x94\xB0",                         /* Han */
        "\xE3\x81\x95\xE3\x81\x8F\xE3\x82\x89",             /* Kana */
        "\xEA\xB9\x80\xEB\xAF\xBC",                         /* Hangul */
        "\xE0\xB8\xA1\xE0\xB8\xB2\xE0\xB8\xA5\xE0\xB8\xB5", /* Thai */
        "\xE0\xA4\xA8\xE0\xA5\x80\xE0\xA4\xB2\xE0\xA4\xBE", /* Devanagari */
        "\xE1\x83\x9C\xE1\x83\x98\xE1\x83\x9C\xE1\x83\x9D", /* Georgian */
        "\xD4\xB1\xD5\xB6\xD5\xB6\xD5\xA1",                 /* Armenian */
    };
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        snprintf(record->rider.name, sizeof record->rider.name, "%s", names[i]);
        write_pdf(PAGE_A4);
        check_told("pdftotext", "-l 1", names[i]);
    }
}
END_TEST

/* Those that are written from the right come out in the order of reading too. */
START_TEST(names_from_the_right_are_drawn)
{
    static const char *const letters[] = {"\xD7\xA9", "\xD9\x84"}; /* Hebrew, Arabic */
    static const char *const names[] = {"\xD7\xA9\xD7\x99\xD7\xA8\xD7\x94",
                                        "\xD9\x84\xD9\x8A\xD9\x84\xD9\x89"};
    for (int i = 0; i < 2; i++) {
        snprintf(record->rider.name, sizeof record->rider.name, "%s", names[i]);
        write_pdf(PAGE_A4);
        check_told("pdftotext", "-l 1", letters[i]);
    }
}
END_TEST

START_TEST(hostile_names_are_only_names)
{
    snprintf(record->rider.name, sizeof record->rider.name, "<b>&amp; %%s \"%%n\" \\(");
    snprintf(record->setup[1].intent, TEXT_SIZE, "</text></svg> & <i>");
    write_pdf(PAGE_A4);
    check_told("pdftotext", "-l 1", "<b>&amp; %s \"%n\" \\(");
    check_told("pdftotext", "", "</text></svg> & <i>");
}
END_TEST

START_TEST(a_full_disk_is_told)
{
    struct problem problem = {PROBLEM_NONE, ""};
    FILE *stream = fopen("/dev/full", "wb");
    ck_assert_ptr_nonnull(stream);
    setvbuf(stream, NULL, _IONBF, 0);
    ck_assert(!report_pdf(stream, &input, made_samples, NULL, &problem));
    fclose(stream);
    ck_assert_msg(strstr(problem.sentence, "could not be written") != NULL, "%s", problem.sentence);
}
END_TEST

static bool no_samples(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    (void)context, (void)first, (void)last, (void)samples, (void)count;
    return false;
}

START_TEST(missing_samples_are_told)
{
    struct problem problem = {PROBLEM_NONE, ""};
    FILE *stream = fopen(path, "wb");
    ck_assert(!report_pdf(stream, &input, no_samples, NULL, &problem));
    fclose(stream);
    ck_assert(problem.sentence[0] != '\0');
}
END_TEST

START_TEST(an_empty_session_is_no_trouble)
{
    memset(record, 0, sizeof *record);
    memset(analysis, 0, sizeof *analysis);
    record->settings.baseline_setup = 1;
    input.chosen_setup = 0;
    write_pdf(PAGE_A4);
    check_told("pdftotext", "", "Rider not named");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pdf");
    TCase *tests = tcase_create("pdf");
    tcase_add_checked_fixture(tests, begin_file, end_file);
    tcase_set_timeout(tests, 60);
    if (system("pdftotext -v >/dev/null 2>&1") == 0) {
        tcase_add_test(tests, sheet_and_report_are_text);
        tcase_add_test(tests, nothing_has_become_a_picture_of_itself);
        tcase_add_test(tests, everything_says_what_it_is);
        tcase_add_test(tests, a_narrow_long_table_stands_in_two_halves);
        tcase_add_test(tests, pages_have_the_size_that_was_asked_for);
        tcase_add_test(tests, the_date_is_the_sessions);
        tcase_add_test(tests, every_page_is_numbered);
        tcase_add_test(tests, the_sheet_takes_two_pages_at_most);
        tcase_add_test(tests, a_long_session_can_be_read);
        tcase_add_test(tests, names_in_any_script_are_found_again);
        tcase_add_test(tests, names_from_the_right_are_drawn);
        tcase_add_test(tests, hostile_names_are_only_names);
        tcase_add_test(tests, an_empty_session_is_no_trouble);
    } else {
        printf("skipped: thirteen tests of the PDF's text, pdftotext is not there\n");
    }
    tcase_add_test(tests, the_same_records_give_the_same_bytes);
    tcase_add_test(tests, a_full_disk_is_told);
    tcase_add_test(tests, missing_samples_are_told);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
