/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* No function of the program is so long that it is not seen at once, and no file so long that one
 * is lost in it. Lines squeezed together don't help: clang-format sets them. */
#include "support/test_main.h"

#include <dirent.h>
#include <stdio.h>
#include <string.h>

enum { FUNCTION_MOST = 59, FILE_MOST = 499 };

struct lengths {
    int functions, files, longest_function, longest_file;
    char function[300], file[300]; /* where those are */
};

/* A function begins with a brace at the line's beginning, and ends with one. */
static void look_at(FILE *stream, const char *path, struct lengths *lengths)
{
    char text[2048];
    int line = 0, begins = 0;
    while (fgets(text, sizeof text, stream) != NULL) {
        line++;
        begins = text[0] == '{' ? line : begins;
        if (text[0] != '}' || begins == 0) {
            continue;
        }
        lengths->functions++;
        if (line - begins + 1 > lengths->longest_function) {
            lengths->longest_function = line - begins + 1;
            snprintf(lengths->function, sizeof lengths->function, "%s:%d", path, begins);
        }
        begins = 0;
    }
    lengths->files++;
    if (line > lengths->longest_file) {
        lengths->longest_file = line;
        snprintf(lengths->file, sizeof lengths->file, "%s", path);
    }
}

static void look_in(const char *top, struct lengths *lengths)
{
    DIR *folder = opendir(source_path(top));
    for (struct dirent *entry; folder != NULL && (entry = readdir(folder)) != NULL;) {
        char path[300];
        const char *ending = strrchr(entry->d_name, '.');
        int length = snprintf(path, sizeof path, "%s/%s", top, entry->d_name);
        ck_assert_int_lt(length, (int)sizeof path);
        if (ending == NULL) {
            look_in(path, lengths); /* a file without a dot is no folder: nothing is read */
        } else if (strcmp(ending, ".c") == 0 || strcmp(ending, ".h") == 0) {
            FILE *stream = fopen(source_path(path), "r");
            ck_assert_ptr_nonnull(stream);
            look_at(stream, path, lengths);
            fclose(stream);
        }
    }
    if (folder != NULL) {
        closedir(folder);
    }
}

START_TEST(functions_and_files_are_short)
{
    struct lengths lengths = {.functions = 0};
    look_in("include", &lengths);
    look_in("src", &lengths);
    ck_assert_int_gt(lengths.files, 300);
    ck_assert_int_gt(lengths.functions, 3000);
    ck_assert_msg(lengths.longest_function <= FUNCTION_MOST, "%s: %d lines, %d at most",
                  lengths.function, lengths.longest_function, FUNCTION_MOST);
    ck_assert_msg(lengths.longest_file <= FILE_MOST, "%s: %d lines, %d at most", lengths.file,
                  lengths.longest_file, FILE_MOST);
}
END_TEST

START_TEST(a_length_is_from_brace_to_brace)
{
    char text[] =
        "int a(void)\n{\n    return 1;\n}\n\nstruct b {\n    int c;\n};\n\nint d(void)\n{\n}\n";
    struct lengths lengths = {.functions = 0};
    FILE *stream = fmemopen(text, strlen(text), "r");
    ck_assert_ptr_nonnull(stream);
    look_at(stream, "made.c", &lengths);
    fclose(stream);
    ck_assert_int_eq(lengths.functions, 2);
    ck_assert_int_eq(lengths.longest_function, 3);
    ck_assert_str_eq(lengths.function, "made.c:2");
    ck_assert_int_eq(lengths.longest_file, 12);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("lengths");
    TCase *tests = tcase_create("lengths");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, functions_and_files_are_short);
    tcase_add_test(tests, a_length_is_from_brace_to_brace);
    return test_main(suite);
}
