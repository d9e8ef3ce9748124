/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "visit_fixture.h"

#include "base/text.h"
#include "support/csv_reader.h"
#include "support/json_reader.h"
#include "support/markup.h"
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* list, show, compare and export as they are used: what is told, which files come. */

START_TEST(json_of_show_and_of_export_are_the_same)
{
    size_t length = 0;
    must(RUN("export", "last", "visit.json", "--store", "s.db"));
    char *exported = program_read_file(folder, "visit.json", &length);
    struct program_result shown = RUN("show", "R-09", "--json", "--store", "s.db");
    ck_assert_str_eq(shown.output, exported);
    free(exported);
    program_free(&shown);
}
END_TEST

START_TEST(text_shows_what_must_not_be_overlooked)
{
    static const char *const parts[] = {
        "=1+1, \"winter\" group; Zo\xC3\xAB",
        "Watch for: -left knee",
        "Setup 2 FAILED: the rider cannot see ahead.",
        "Setup 2: numbness (hands).",
        "REJECTED: @slid, back",
        "Setup 2 was built once",
        "computed: 19 mm down",
        "+fan moved",
        "Cautions",
    };
    struct program_result result = RUN("show", "1", "--store", "s.db");
    ck_assert_int_eq(result.status, 0);
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        ck_assert_msg(strstr(result.output, parts[i]) != NULL, "'%s' is not shown", parts[i]);
    }
    program_free(&result);
}
END_TEST

START_TEST(comparing_the_other_way_round_turns_the_sign)
{
    struct json_value *one = json_of(RUN("compare", "last", "--json", "--store", "s.db"));
    struct json_value *two =
        json_of(RUN("compare", "last", "--against", "2", "--json", "--store", "s.db"));
    double forth = json_number_at(one, "comparison/free_heights/0/setups/1/difference/value");
    double back = json_number_at(two, "comparison/free_heights/0/setups/0/difference/value");
    ck_assert(isfinite(forth));
    ck_assert_double_eq_tol(forth, -back, 1e-9);
    ck_assert_double_eq(json_number_at(two, "comparison/baseline_setup"), 2);
    json_free(one);
    json_free(two);
    struct program_result text = RUN("compare", "last", "--against", "2", "--store", "s.db");
    ck_assert(strstr(text.output, "against setup 2") != NULL);
    program_free(&text);
}
END_TEST

START_TEST(sessions_are_listed)
{
    char other[sizeof script];
    memcpy(other, script, sizeof other);
    strstr(other, "seed=7")[5] = '8';
    program_write_file(folder, "other.txt", other);
    must(RUN("run", "other.txt", "virtual:winter?speed=max&seed=12", "--store", "s.db"));
    struct json_value *all = json_of(RUN("list", "--json", "--store", "s.db"));
    ck_assert_uint_eq(json_at(all, "sessions")->count, 2);
    ck_assert_double_eq(json_number_at(all, "sessions/0/session"), 2); /* newest first */
    check_text(json_text_at(all, "sessions/0/rider_code"), "R-09", "the rider's code");
    ck_assert_double_eq(json_number_at(all, "sessions/0/holds"), 8);
    ck_assert_double_eq(json_number_at(all, "sessions/0/setups"), 2);
    json_free(all);
    struct json_value *none = json_of(RUN("list", "--rider", "R-01", "--json", "--store", "s.db"));
    ck_assert_uint_eq(json_at(none, "sessions")->count, 0);
    json_free(none);
    struct program_result text = RUN("list", "--store", "s.db");
    ck_assert(strstr(text.output, "2026-01-10 18:00 UTC  R-09") != NULL);
    program_free(&text);
    text = RUN("show", "1", "2", "--store", "s.db"); /* one after the other */
    ck_assert_int_eq(text.status, 0);
    const char *first = strstr(text.output, "2026-01-10 18:00 UTC, ");
    ck_assert(first != NULL && strstr(first + 1, "2026-01-10 18:00 UTC, ") != NULL);
    program_free(&text);
    text = RUN("show", "1", "2", "--json", "--store", "s.db");
    ck_assert_int_eq(text.status, 2);
    ck_assert(strstr(text.errors, "--json tells of one session") != NULL);
    program_free(&text);
    text = RUN("list", "--rider", "R-01", "--store", "s.db");
    ck_assert_int_eq(text.status, 0);
    ck_assert_str_eq(text.output, "");
    ck_assert(strstr(text.errors, "no session of rider R-01") != NULL);
    program_free(&text);
}
END_TEST

/* Of what is there of a person in a file it is said that it is; the sheet tells only what there is
 * room for. */
static void carries_what_is_said(const char *name, const struct program_result *result)
{
    static const struct {
        const char *is_there, *said;
    } each[] = {
        {"R-09", "code"},       {"winter", "name"},         {"left knee", "watch for"},
        {"fan moved", "notes"}, {"slid, back", "left out"}, {"umb", "ratings"},
    };
    ck_assert_msg(result->status == 0, "%s: %s", name, result->errors);
    bool is_pdf = strstr(name, ".pdf") != NULL, is_sheet = strstr(name, "-sheet");
    if (is_pdf) {
        char line[400];
        snprintf(line, sizeof line, "cd '%s' && pdftotext -layout %s text", folder, name);
        ck_assert_int_eq(system(line), 0);
    }
    char *text = program_read_file(folder, is_pdf ? "text" : name, NULL);
    for (size_t k = 0; k < sizeof each / sizeof each[0]; k++) {
        bool is_there = strstr(text, each[k].is_there) != NULL;
        bool said = strstr(result->errors, each[k].said) != NULL;
        /* the ratings of a record over visits are those of what was chosen */
        bool in_part = is_sheet || (name[0] == 'r' && text_equal(each[k].said, "ratings"));
        ck_assert_msg(in_part ? said || !is_there : said == is_there, "%s: '%s' is%s there: %s",
                      name, each[k].is_there, is_there ? "" : " not", result->errors);
    }
    free(text);
}

/* What stands in a file of a person is what was said of it. */
START_TEST(what_an_export_carries_is_said)
{
    static const char *const names[] = {
        "a.txt",        "a.json",         "a.html", "a-sheet.html", "a.csv",       "a-setups.csv",
        "a-steps.csv",  "a-readings.csv", "a.svg",  "a-cloud.svg",  "a-holds.svg", "a-bike.svg",
        "a-setups.svg", "a-tradeoff.svg", "a.pdf",  "a-sheet.pdf",
    };
    static const char *const records[] = {"r.html", "r.pdf", "r.csv", "r.json"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        struct program_result result = RUN("export", "last", names[i], "--store", "s.db");
        carries_what_is_said(names[i], &result);
        program_free(&result);
    }
    for (size_t i = 0; i < sizeof records / sizeof records[0]; i++) {
        struct program_result result =
            RUN("export", "--rider", "R-09", records[i], "--store", "s.db");
        carries_what_is_said(records[i], &result);
        program_free(&result);
    }
}
END_TEST

static const struct {
    const char *arguments[8];
    int status;
    const char *part;
} wrong_uses[] = {
    {{"show", NULL}, 2, "show: say one session"},
    {{"show", "last", "--replace", NULL}, 2, "show: takes no --replace"},
    {{"compare", "last", "--against", "x", NULL}, 2, "--against wants a setup's number, not 'x'"},
    {{"compare", "last", "--against", "9", "--store", "s.db", NULL}, 1, "there is no setup 9"},
    {{"export", "last", NULL}, 2, "export: say one session and one file"},
    {{"export", "last", "x.xyz", "--store", "s.db", NULL}, 2, ".json"},
    {{"export", "last", "x.pdf", "--paper", "a5", NULL}, 2, "--paper wants a4 or letter, not 'a5'"},
    {{"show", "last", "--paper", "a4", NULL}, 2, "show: takes no --paper"},
    {{"export", "last", "x.pdf", "--language", "xx", NULL}, 2, "'xx'; languages: en, de"},
    {{"export", "last", "x.csv", "--language", "de", "--store", "s.db", NULL},
     2,
     "a .csv has none, a .pdf or .html does"},
    {{"show", "last", "--language", "de", NULL}, 2, "show: takes no --language"},
    {{"export", "last", "none/x.csv", "--store", "s.db", NULL}, 1, "none/x.csv can't be written: "},
    {{"export", "last", "x.csv", "--json", NULL}, 2, "export: takes no --json"},
    {{"export", "last", "x.html", "--chosen", "9", "--store", "s.db", NULL},
     1,
     "there is no setup 9"},
    {{"export", "last", "x.html", "--chosen", "low", NULL}, 2, "--chosen wants a setup's number"},
    {{"show", "last", "--chosen", "2", NULL}, 2, "show: takes no --chosen"},
    {{"list", "last", NULL}, 2, "list: 'last' is not understood"},
    {{"list", "--nothing", NULL}, 2, "--nothing"},
    {{"show", "R-77", "--store", "s.db", NULL}, 1, "R-77"},
    {{"show", "last", "--store", "missing.db", NULL}, 1, "missing.db"},
    {{"list", "--store", "session.txt", NULL}, 1, "session.txt"},
};

START_TEST(wrong_use_is_told)
{
    struct program_result result = run(wrong_uses[_i].arguments);
    ck_assert_msg(result.status == wrong_uses[_i].status, "exit status %d: %s", result.status,
                  result.errors);
    ck_assert_msg(strstr(result.errors, wrong_uses[_i].part) != NULL, "%s", result.errors);
    ck_assert_msg(strstr(result.errors, "carries") == NULL, "%s", result.errors); /* no file */
    ck_assert_str_eq(result.output, "");
    program_free(&result);
}
END_TEST

START_TEST(a_file_is_replaced_when_told)
{
    program_write_file(folder, "mine.csv", "old");
    must(RUN("export", "last", "mine.csv", "--replace", "--store", "s.db"));
    char *text = program_read_file(folder, "mine.csv", NULL);
    ck_assert(strncmp(text, "session,started,", 16) == 0);
    free(text);
}
END_TEST

START_TEST(pages_and_pictures_are_well_formed)
{
    static const char *const names[] = {"v.html",      "v.svg",       "v-cloud.svg",
                                        "v-holds.svg", "v-bands.svg", "v-tradeoff.svg",
                                        "v-bike.svg",  "v-setups.svg"};
    char error[160];
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        must(RUN("export", "last", names[i], "--chosen", "2", "--store", "s.db"));
        char *text = program_read_file(folder, names[i], NULL);
        ck_assert_msg(markup_check(text, error), "%s: %s", names[i], error);
        ck_assert(strstr(text, "setup 2") != NULL || strstr(text, "spacers out") != NULL ||
                  strstr(text, "as chosen") != NULL || strstr(text, "as it was set") != NULL);
        free(text);
    }
}
END_TEST

START_TEST(the_choice_of_the_session_is_kept_and_used)
{
    program_write_file(folder, "chosen.txt",
                       "session 2026-01-11T18:00:00Z seed=8\n"
                       "rider R-10\nbike \"b\" stack=545 reach=410 head_angle=73 spacers=20\n"
                       "setup 1\nhold 20s free\nsetup 2 \"low\" spacers=0\nhold 20s free\n"
                       "choose 2\nend\n");
    must(RUN("run", "chosen.txt", "virtual:winter?speed=max&seed=3", "--store", "t.db"));
    must(RUN("export", "last", "t.html", "--store", "t.db"));
    char *text = program_read_file(folder, "t.html", NULL);
    ck_assert(strstr(text, "Ride setup 2: low.") != NULL);
    ck_assert(strstr(text, "take 20 mm") != NULL || strstr(text, "20 to 0") != NULL);
    free(text);
    struct json_value *value = json_of(RUN("show", "last", "--json", "--store", "t.db"));
    ck_assert_double_eq(json_number_at(value, "settings/chosen_setup"), 2);
    json_free(value);
    must(RUN("export", "last", "t-setups.csv", "--store", "t.db"));
    text = program_read_file(folder, "t-setups.csv", NULL);
    struct csv_file file;
    ck_assert(csv_read(text, strlen(text), &file));
    for (size_t row = 1; row < file.rows; row++) {
        ck_assert_str_eq(csv_under(&file, row, "chosen"),
                         strcmp(csv_under(&file, row, "setup"), "2") == 0 ? "yes" : "no");
    }
    csv_free(&file);
    free(text);
}
END_TEST

static void check_title(const char *file, const char *title)
{
    char *text = program_read_file(folder, file, NULL);
    ck_assert_msg(strstr(text, title) != NULL, "%s: no '%s'", file, title);
    free(text);
}

/* Said by the environment, too; the option wins; what programs read has no language. */
START_TEST(a_sheet_in_the_riders_language)
{
    must(RUN("export", "last", "l1-sheet.html", "--language", "de", "--store", "s.db"));
    check_title("l1-sheet.html", "Ihre Haltungsmessung");
    ck_assert_int_eq(setenv("HOLDLINE_LANGUAGE", "de", 1), 0);
    must(RUN("export", "last", "l2-sheet.html", "--store", "s.db"));
    check_title("l2-sheet.html", "Ihre Haltungsmessung");
    must(RUN("export", "last", "l3-sheet.html", "--language", "en", "--store", "s.db"));
    check_title("l3-sheet.html", "Your posture session");
    must(RUN("export", "last", "l4.csv", "--store", "s.db"));
    check_title("l4.csv", "hold");
    ck_assert_int_eq(setenv("HOLDLINE_LANGUAGE", "xx", 1), 0);
    must(RUN("export", "last", "l5.csv", "--store", "s.db"));
    struct program_result refused = RUN("export", "last", "l6.pdf", "--store", "s.db");
    ck_assert_msg(refused.status == 2 && strstr(refused.errors, "HOLDLINE_LANGUAGE: ") != NULL,
                  "%d: %s", refused.status, refused.errors);
    program_free(&refused);
    ck_assert_int_eq(unsetenv("HOLDLINE_LANGUAGE"), 0);
}
END_TEST

/* As two programs, so that no address can show. */
/* What is written is what the same name in small letters gives. */
START_TEST(a_name_in_capitals_is_of_the_same_kind)
{
    static const char *const names[][2] = {{"a.html", "B.HTML"},
                                           {"a-sheet.html", "B-Sheet.Html"},
                                           {"a.json", "B.JSON"},
                                           {"a-setups.csv", "B-SETUPS.CSV"}};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        size_t length[2];
        must(RUN("export", "last", names[i][0], "--store", "s.db"));
        must(RUN("export", "last", names[i][1], "--store", "s.db"));
        char *small = program_read_file(folder, names[i][0], &length[0]);
        char *capital = program_read_file(folder, names[i][1], &length[1]);
        ck_assert_uint_eq(length[0], length[1]);
        ck_assert_msg(memcmp(small, capital, length[0]) == 0, "%s", names[i][1]);
        free(small);
        free(capital);
    }
    struct program_result out = RUN("export", "last", "-", "--kind", "JSON", "--store", "s.db");
    ck_assert_msg(out.status == 0 && out.output[0] == '{', "%s", out.errors);
    program_free(&out);
}
END_TEST

START_TEST(a_pdf_is_the_same_each_time)
{
    size_t length[2] = {0, 0};
    must(RUN("export", "last", "a.pdf", "--chosen", "2", "--store", "s.db"));
    must(RUN("export", "last", "b.pdf", "--chosen", "2", "--store", "s.db"));
    must(RUN("export", "last", "c.pdf", "--paper", "letter", "--store", "s.db"));
    char *first = program_read_file(folder, "a.pdf", &length[0]);
    char *second = program_read_file(folder, "b.pdf", &length[1]);
    ck_assert_uint_eq(length[0], length[1]);
    ck_assert_mem_eq(first, second, length[0]);
    ck_assert(strncmp(first, "%PDF-", 5) == 0);
    free(first);
    free(second);
}
END_TEST

/* The sheet alone is the rider's: the fitter's report and the fitter's own words are not in it. */
START_TEST(the_riders_sheet_alone)
{
    must(RUN("export", "last", "rider-sheet.html", "--chosen", "2", "--store", "s.db"));
    must(RUN("export", "last", "both.html", "--chosen", "2", "--store", "s.db"));
    must(RUN("export", "last", "rider-sheet.pdf", "--chosen", "2", "--store", "s.db"));
    must(RUN("export", "last", "both.pdf", "--chosen", "2", "--store", "s.db"));
    char *sheet = program_read_file(folder, "rider-sheet.html", NULL);
    char *both = program_read_file(folder, "both.html", NULL);
    ck_assert_ptr_nonnull(strstr(sheet, "Your posture session"));
    ck_assert_ptr_nonnull(strstr(both, "Your posture session"));
    ck_assert_ptr_null(strstr(sheet, "fitter&#39;s report"));
    ck_assert_ptr_nonnull(strstr(both, "fitter&#39;s report"));
    size_t length[2] = {0, 0};
    free(program_read_file(folder, "rider-sheet.pdf", &length[0]));
    free(program_read_file(folder, "both.pdf", &length[1]));
    ck_assert_uint_lt(length[0] + 1000, length[1]);
    free(sheet);
    free(both);
}
END_TEST

START_TEST(an_export_leaves_the_store_as_it_was)
{
    size_t before_length = 0, after_length = 0;
    char *before = program_read_file(folder, "s.db", &before_length);
    must(RUN("export", "last", "all-readings.csv", "--store", "s.db"));
    must(RUN("show", "last", "--store", "s.db"));
    char *after = program_read_file(folder, "s.db", &after_length);
    ck_assert_uint_eq(before_length, after_length);
    ck_assert_mem_eq(before, after, before_length);
    free(before);
    free(after);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("commands of exports");
    TCase *tests = tcase_create("commands");
    tcase_set_timeout(tests, 120);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, json_of_show_and_of_export_are_the_same);
    tcase_add_test(tests, what_an_export_carries_is_said);
    tcase_add_test(tests, text_shows_what_must_not_be_overlooked);
    tcase_add_test(tests, comparing_the_other_way_round_turns_the_sign);
    tcase_add_test(tests, sessions_are_listed);
    tcase_add_loop_test(tests, wrong_use_is_told, 0,
                        (int)(sizeof wrong_uses / sizeof wrong_uses[0]));
    tcase_add_test(tests, a_file_is_replaced_when_told);
    tcase_add_test(tests, pages_and_pictures_are_well_formed);
    tcase_add_test(tests, the_choice_of_the_session_is_kept_and_used);
    tcase_add_test(tests, a_sheet_in_the_riders_language);
    tcase_add_test(tests, a_name_in_capitals_is_of_the_same_kind);
    tcase_add_test(tests, a_pdf_is_the_same_each_time);
    tcase_add_test(tests, the_riders_sheet_alone);
    tcase_add_test(tests, an_export_leaves_the_store_as_it_was);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
