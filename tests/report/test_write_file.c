/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/report.h"
#include "support/test_main.h"

#include <dirent.h>
#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[64], path[128];
static struct problem problem;

static void begin(void)
{
    snprintf(folder, sizeof folder, "/tmp/holdline-write-XXXXXX");
    ck_assert(mkdtemp(folder) != NULL);
    snprintf(path, sizeof path, "%s/visit.txt", folder);
    problem = (struct problem){PROBLEM_NONE, ""};
}

static int files_in_folder(bool remove_them)
{
    DIR *directory = opendir(folder);
    int count = 0;
    ck_assert(directory != NULL);
    for (struct dirent *entry = readdir(directory); entry != NULL; entry = readdir(directory)) {
        char name[512];
        if (entry->d_name[0] == '.') {
            continue;
        }
        count++;
        snprintf(name, sizeof name, "%s/%s", folder, entry->d_name);
        if (remove_them && unlink(name) != 0) {
            rmdir(name);
        }
    }
    closedir(directory);
    return count;
}

static void end(void)
{
    chmod(folder, 0700);
    files_in_folder(true);
    rmdir(folder);
}

static bool write_file(const char *name, bool replace, report_body *body, void *context,
                       struct problem *why)
{
    const struct report_file file = {.path = name, .replace = replace};
    return report_write_file(&file, body, context, why);
}

static bool write_words(FILE *stream, void *context, struct problem *body_problem)
{
    (void)body_problem;
    fputs(context, stream);
    return true;
}

static bool fail_half_way(FILE *stream, void *context, struct problem *body_problem)
{
    (void)context;
    fputs("half a file", stream);
    return problem_set(body_problem, "something was missing");
}

static void check_content(const char *expected)
{
    char text[64] = "";
    FILE *stream = fopen(path, "r");
    ck_assert(stream != NULL);
    size_t length = fread(text, 1, sizeof text - 1, stream);
    text[length] = '\0';
    fclose(stream);
    ck_assert_str_eq(text, expected);
}

START_TEST(a_new_file_is_written_whole)
{
    struct stat status;
    mode_t mask = umask(022);
    ck_assert(write_file(path, false, write_words, "one\n", &problem));
    umask(mask);
    check_content("one\n");
    ck_assert_int_eq(files_in_folder(false), 1);
    ck_assert_int_eq(stat(path, &status), 0);
    ck_assert_int_eq(status.st_mode & 0777, 0600); /* whatever the umask */
}
END_TEST

START_TEST(an_existing_file_is_left_alone)
{
    char expected[256];
    ck_assert(write_file(path, false, write_words, "one\n", &problem));
    ck_assert(!write_file(path, false, write_words, "two\n", &problem));
    snprintf(expected, sizeof expected, "%s is there already: name another file, or say --replace",
             path);
    ck_assert_str_eq(problem.sentence, expected);
    ck_assert_int_eq(problem.kind, PROBLEM_THERE);
    check_content("one\n");
    ck_assert_int_eq(files_in_folder(false), 1);
}
END_TEST

static bool three_times(void *context)
{
    int *asked = context;
    return ++*asked <= 3;
}

static bool write_much(FILE *stream, void *context, struct problem *body_problem)
{
    char line[1000];
    int *lines = context;
    memset(line, 'x', sizeof line);
    while (*lines < 5000 && fwrite(line, 1, sizeof line, stream) == sizeof line) {
        ++*lines;
    }
    return !ferror(stream) || problem_set(body_problem, "the words could not be written");
}

/* Before each write it is asked whether to go on: then nothing more goes to the disk, and neither
 * the new name nor the temporary file is left; a file that was there stays. */
START_TEST(a_stopped_file_leaves_nothing)
{
    char expected[256];
    int asked = 0, lines = 0;
    struct report_file file = {
        .path = path, .replace = true, .go_on = three_times, .go_on_context = &asked};
    ck_assert(!report_write_file(&file, write_much, &lines, &problem));
    snprintf(expected, sizeof expected, "%s: stopped", path);
    ck_assert_str_eq(problem.sentence, expected);
    ck_assert_int_lt(lines, 5000); /* the rest was not even made */
    ck_assert_int_ge(asked, 4);
    ck_assert_int_eq(files_in_folder(false), 0);
    ck_assert(write_file(path, false, write_words, "one\n", &problem));
    asked = 3; /* before the first byte */
    ck_assert(!report_write_file(&file, write_words, "two\n", &problem));
    asked = 2; /* after the last: it is whole, and not wanted */
    ck_assert(!report_write_file(&file, write_words, "two\n", &problem));
    check_content("one\n");
    ck_assert_int_eq(files_in_folder(false), 1);
}
END_TEST

START_TEST(it_is_replaced_when_asked)
{
    ck_assert(write_file(path, false, write_words, "one\n", &problem));
    ck_assert(write_file(path, true, write_words, "two\n", &problem));
    check_content("two\n");
    ck_assert_int_eq(files_in_folder(false), 1);
}
END_TEST

START_TEST(a_report_that_fails_leaves_nothing)
{
    ck_assert(!write_file(path, false, fail_half_way, NULL, &problem));
    ck_assert_str_eq(problem.sentence, "something was missing");
    ck_assert_int_eq(files_in_folder(false), 0);
    ck_assert(write_file(path, false, write_words, "one\n", &problem));
    ck_assert(!write_file(path, true, fail_half_way, NULL, &problem));
    check_content("one\n");
    ck_assert_int_eq(files_in_folder(false), 1);
}
END_TEST

static bool come_meanwhile(FILE *stream, void *context, struct problem *body_problem)
{
    FILE *other = fopen(path, "w");
    (void)context;
    (void)body_problem;
    fputs("other\n", other);
    fclose(other);
    fputs("mine\n", stream);
    return true;
}

START_TEST(a_file_that_came_meanwhile_is_not_lost)
{
    ck_assert(!write_file(path, false, come_meanwhile, NULL, &problem));
    check_content("other\n");
    ck_assert_int_eq(files_in_folder(false), 1);
}
END_TEST

START_TEST(a_folder_that_is_not_there_is_told)
{
    char expected[256];
    snprintf(path, sizeof path, "%s/none/visit.txt", folder);
    ck_assert(!write_file(path, false, write_words, "one\n", &problem));
    snprintf(expected, sizeof expected, "%s can't be written: its folder is not there", path);
    ck_assert_str_eq(problem.sentence, expected);
    ck_assert_int_eq(problem.kind, PROBLEM_FAILED);
}
END_TEST

START_TEST(a_folder_is_no_file_to_replace)
{
    ck_assert_int_eq(mkdir(path, 0700), 0);
    ck_assert(!write_file(path, true, write_words, "one\n", &problem));
    ck_assert(strstr(problem.sentence, "is no file that could be replaced") != NULL);
}
END_TEST

/* SQLite's own first 16 bytes (its file format, 1.3); a byte less is none. */
START_TEST(a_store_is_not_written_over)
{
    static const char heading[] = "SQLite format 3\0 and what was measured";
    for (size_t length = 16; length >= 15; length--) {
        FILE *file = fopen(path, "w");
        ck_assert_uint_eq(fwrite(heading, 1, length, file), length);
        fclose(file);
        ck_assert_int_eq(write_file(path, true, write_words, "one\n", &problem), length == 15);
        ck_assert(length == 15 || strstr(problem.sentence, "is a store, or another") != NULL);
        ck_assert_int_eq(files_in_folder(false), 1);
    }
    check_content("one\n");
}
END_TEST

START_TEST(a_full_disk_is_told_and_leaves_nothing)
{
    /* a limit on the size of files stands in for a disk that is full */
    static char much[1 << 16];
    struct rlimit limit = {4096, 4096};
    memset(much, 'x', sizeof much - 1);
    signal(SIGXFSZ, SIG_IGN);
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
    ck_assert(!write_file(path, false, write_words, much, &problem));
    ck_assert(strstr(problem.sentence, strerror(EFBIG)) != NULL);
    ck_assert_int_eq(files_in_folder(false), 0);
}
END_TEST

START_TEST(a_left_over_is_stepped_over)
{
    char part[160];
    snprintf(part, sizeof part, "%s.part0", path);
    ck_assert_int_eq(symlink("/dev/null", part), 0);
    ck_assert(write_file(path, false, write_words, "one\n", &problem));
    check_content("one\n");
    ck_assert_int_eq(files_in_folder(false), 2);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("write file");
    TCase *tests = tcase_create("write file");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_new_file_is_written_whole);
    tcase_add_test(tests, an_existing_file_is_left_alone);
    tcase_add_test(tests, it_is_replaced_when_asked);
    tcase_add_test(tests, a_stopped_file_leaves_nothing);
    tcase_add_test(tests, a_report_that_fails_leaves_nothing);
    tcase_add_test(tests, a_file_that_came_meanwhile_is_not_lost);
    tcase_add_test(tests, a_folder_that_is_not_there_is_told);
    tcase_add_test(tests, a_folder_is_no_file_to_replace);
    tcase_add_test(tests, a_store_is_not_written_over);
    tcase_add_test(tests, a_full_disk_is_told_and_leaves_nothing);
    tcase_add_test(tests, a_left_over_is_stepped_over);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
