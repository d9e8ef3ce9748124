/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* The fitter's mark on sheets: a file that somebody else may have made. */
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char *folder;

static void in_folder(int status, const char *const *arguments, const char *wanted)
{
    struct program_result result = program_run(folder, NULL, arguments);
    ck_assert_msg(result.status == status, "%d: %s", result.status, result.errors);
    ck_assert_msg(wanted == NULL || strstr(result.errors, wanted) != NULL, "%s", result.errors);
    program_free(&result);
}

static bool is_there(const char *name)
{
    char path[400];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return access(path, F_OK) == 0;
}

static void begin(void)
{
    char store[300];
    folder = program_folder();
    snprintf(store, sizeof store, "%s/test.db", folder);
    const char *const run[] = {"run", "names-only.session", "--store", store, NULL};
    struct program_result result = program_run(source_path("sessions"), NULL, run);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
}

static void end(void)
{
    unsetenv("HOLDLINE_MARK");
    program_folder_remove(folder);
}

static void export_with(const char *mark, const char *file, int status, const char *wanted)
{
    const char *const arguments[] = {"export", "last", file, "--store", "test.db", NULL};
    setenv("HOLDLINE_MARK", mark, 1);
    in_folder(status, arguments, wanted);
}

/* A picture's bytes go in as data: what is in them runs nowhere, and ends no element. */
START_TEST(a_mark_is_data_on_the_sheet)
{
    size_t length = 0;
    program_write_file(folder, "mark.svg",
                       "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">"
                       "<script>alert(1)</script><rect width=\"9\" height=\"9\"/></svg>");
    export_with("mark.svg", "a.html", 0, NULL);
    char *page = program_read_file(folder, "a.html", &length);
    /* RFC 4648 of '<svg xmlns="' */
    ck_assert_ptr_nonnull(strstr(page, "href=\"data:image/svg+xml;base64,PHN2ZyB4bWxucz0i"));
    ck_assert_ptr_null(strstr(page, "alert(1)"));
    ck_assert_ptr_null(strstr(page, "<script"));
    free(page);
    export_with("mark.svg", "a.pdf", 0, NULL);
    export_with("", "b.html", 0, NULL);
    page = program_read_file(folder, "b.html", &length);
    ck_assert_ptr_null(strstr(page, "data:image"));
    free(page);
}
END_TEST

START_TEST(what_is_no_picture_is_told_and_nothing_is_written)
{
    program_write_file(folder, "mark.txt", "a studio");
    export_with("mark.txt", "a.pdf", 1, "mark.txt is no PNG or SVG of 256 kB at most");
    ck_assert(!is_there("a.pdf"));
    for (size_t over = 0; over < 2; over++) { /* as large as it may be, and larger */
        char *large = malloc(262144 + over + 1);
        ck_assert_ptr_nonnull(large);
        memset(large, ' ', 262144 + over);
        large[262144 + over] = '\0';
        memcpy(large, "<svg ", 5);
        program_write_file(folder, "mark.svg", large);
        free(large);
        export_with("mark.svg", over == 0 ? "large.html" : "a.html", over == 0 ? 0 : 1,
                    over == 0 ? NULL : "is no PNG or SVG of 256 kB at most");
    }
    ck_assert(!is_there("a.html"));
    export_with("nowhere.svg", "a.html", 1, "nowhere.svg can't be read: No such file");
    ck_assert(!is_there("a.html"));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fitter's mark");
    TCase *tests = tcase_create("mark");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_mark_is_data_on_the_sheet);
    tcase_add_test(tests, what_is_no_picture_is_told_and_nothing_is_written);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
