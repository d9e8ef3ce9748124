/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "screen/keys.h"
#include "support/key_script.h"
#include "support/program.h"
#include "support/test_main.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>

/* Every screen's way as it is written down in tests/screen/keys (support/key_script.h). */

#define SCRIPTS_MAX 100

static struct dirent **files;
static int file_count;

static int is_script(const struct dirent *file)
{
    return strstr(file->d_name, ".txt") != NULL;
}

START_TEST(a_screen_does_what_its_script_says)
{
    static char problem[64 * 1024];
    char screen[256];
    text_copy(screen, sizeof screen, files[_i]->d_name);
    *strstr(screen, ".txt") = '\0';
    bool done = key_script_play(screen, NULL, NULL, problem, sizeof problem);
    ck_assert_msg(done || problem[0] == '\0', "%s", problem);
}
END_TEST

/* Is a key pressed there, as a word of a step? */
static bool presses(const char *script, const char *name)
{
    size_t length = strlen(name);
    for (const char *line = strstr(script, "\npress "); line != NULL;
         line = strstr(line + 1, "\npress ")) {
        const char *end = line + 1 + strcspn(line + 1, "\n");
        for (const char *at = line + strlen("\npress"); at < end;
             at += 1 + strcspn(at + 1, " \n")) {
            if (strncmp(at + 1, name, length) == 0 && strchr(" \n", at[1 + length]) != NULL) {
                return true;
            }
        }
    }
    return false;
}

START_TEST(every_key_is_in_a_script)
{
    bool pressed[100] = {false};
    ck_assert_int_lt(key_count, 100);
    for (int f = 0; f < file_count; f++) {
        char *script = program_read_file(source_path(KEY_SCRIPTS), files[f]->d_name, NULL);
        for (int k = 0; k < key_count; k++) {
            pressed[k] = pressed[k] || presses(script, key_table[k].name);
        }
        free(script);
    }
    for (int k = 0; k < key_count; k++) {
        ck_assert_msg(pressed[k], "no script in %s presses %s", KEY_SCRIPTS, key_table[k].name);
    }
}
END_TEST

START_TEST(a_script_that_is_not_so_fails)
{
    char problem[8192];
    ck_assert(!key_script_play("no such screen", NULL, NULL, problem, sizeof problem));
    ck_assert_ptr_nonnull(strstr(problem, "no such screen.txt"));
    bool shown = key_script_play("rider", "no such picture", stdout, problem, sizeof problem);
    ck_assert(!shown);
    ck_assert(problem[0] == '\0' || strstr(problem, "there is no such picture") != NULL);
}
END_TEST

int main(void)
{
    file_count = scandir(source_path(KEY_SCRIPTS), &files, is_script, alphasort);
    Suite *suite = suite_create("scripts of keys");
    TCase *tcase = tcase_create("scripts of keys");
    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, a_screen_does_what_its_script_says, 0, file_count);
    tcase_add_test(tcase, every_key_is_in_a_script);
    tcase_add_test(tcase, a_script_that_is_not_so_fails);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
