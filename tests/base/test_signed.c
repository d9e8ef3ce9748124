/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A number with its sign is written by say_signed (base/numbers.h), which knows no zero below
 * nought: a format of printf would write '-0', and '+0' for the same. */
#include "support/test_main.h"

#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

/* '%+.1f', '%+5.*f': a conversion of a number with its sign. */
static bool has_signed_format(const char *line)
{
    for (const char *at = strstr(line, "%+"); at != NULL; at = strstr(at + 1, "%+")) {
        size_t width = strspn(at + 2, "0123456789.*");
        if (at[2 + width] == 'f' || at[2 + width] == 'g' || at[2 + width] == 'e') {
            return true;
        }
    }
    return false;
}

static int look_in(const char *top)
{
    int files = 0;
    DIR *folder = opendir(source_path(top));
    for (struct dirent *entry; folder != NULL && (entry = readdir(folder)) != NULL;) {
        char path[300], line[2048];
        const char *ending = strrchr(entry->d_name, '.');
        int length = snprintf(path, sizeof path, "%s/%s", top, entry->d_name);
        ck_assert_int_lt(length, (int)sizeof path);
        if (ending == NULL) {
            files += look_in(path); /* a file without a dot is no folder: nothing is read */
        } else if (strcmp(ending, ".c") == 0 && strcmp(path, "src/say/check.c") != 0) {
            /* a check's sentence is stored, and a replay is compared with it: it stays as it is */
            FILE *stream = fopen(source_path(path), "r");
            ck_assert_ptr_nonnull(stream);
            for (int row = 1; fgets(line, sizeof line, stream) != NULL; row++) {
                ck_assert_msg(!has_signed_format(line), "%s:%d: say_signed", path, row);
            }
            fclose(stream);
            files++;
        }
    }
    if (folder != NULL) {
        closedir(folder);
    }
    return files;
}

START_TEST(numbers_with_a_sign_are_written_in_one_place)
{
    ck_assert(has_signed_format("a \"%s %+.0f mm\""));
    ck_assert(has_signed_format("\"%+d %+5.*f\""));
    ck_assert(!has_signed_format("\"%+d, 50%+ of them, %.0f\""));
    ck_assert_int_gt(look_in("src"), 300);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("signed");
    TCase *tests = tcase_create("signed");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, numbers_with_a_sign_are_written_in_one_place);
    return test_main(suite);
}
