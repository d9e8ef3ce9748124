/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* What is kept of boards: a file beside the store. */
#include "app/boards.h"
#include "base/text.h"
#include "support/cable.h"
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MOST 200

static const char *folder;

static void begin(void)
{
    char store[300];
    folder = program_folder();
    snprintf(store, sizeof store, "%s/holdline.db", folder);
    setenv("HOLDLINE_STORE", store, 1);
}

static void end(void)
{
    unsetenv("HOLDLINE_STORE");
    program_folder_remove(folder);
}

static void write_boards(int count)
{
    char path[300];
    snprintf(path, sizeof path, "%s/boards", folder);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    for (int i = 1; i <= count; i++) {
        fprintf(file, "usb:0001:%04x:S\t9600\t\n", (unsigned)i);
    }
    fclose(file);
}

static int lines_of(const char *text)
{
    int count = 0;
    for (; *text != '\0'; text++) {
        count += *text == '\n' ? 1 : 0;
    }
    return count;
}

/* The one seen last is never the one that is forgotten. */
START_TEST(the_oldest_of_too_many_goes)
{
    struct cable cable;
    struct board kept = {.baud = 19200.0}, read;
    size_t length;
    if (!cable_plug(&cable)) {
        return;
    }
    write_boards(MOST + 3);
    ck_assert(boards_keep(cable.path, &kept, NULL));
    char *text = program_read_file(folder, "boards", &length);
    ck_assert_int_eq(lines_of(text), MOST);
    ck_assert_ptr_null(strstr(text, "usb:0001:0004:")); /* 203 - 199 of them */
    ck_assert_ptr_eq(strstr(text, "usb:0001:0005:"), text);
    ck_assert_ptr_nonnull(strstr(text, "usb:0001:00cb:"));
    free(text);
    ck_assert(boards_recall(cable.path, &read));
    ck_assert_double_eq(read.baud, 19200.0);
    cable_pull(&cable);
}
END_TEST

/* One that is there already takes its own place, and no other goes for it. */
START_TEST(a_board_seen_again_pushes_none_out)
{
    struct cable cable;
    struct board kept = {.baud = 19200.0}, read;
    size_t length;
    if (!cable_plug(&cable)) {
        return;
    }
    write_boards(MOST - 1);
    ck_assert(boards_keep(cable.path, &kept, NULL));
    kept.baud = 57600.0;
    ck_assert(boards_keep(cable.path, &kept, NULL));
    char *text = program_read_file(folder, "boards", &length);
    ck_assert_int_eq(lines_of(text), MOST);
    ck_assert_ptr_eq(strstr(text, "usb:0001:0001:"), text);
    free(text);
    ck_assert(boards_recall(cable.path, &read));
    ck_assert_double_eq(read.baud, 57600.0);
    cable_pull(&cable);
}
END_TEST

START_TEST(a_board_is_forgotten_by_the_command)
{
    struct cable cable;
    struct board kept = {.baud = 19200.0}, read;
    if (!cable_plug(&cable)) {
        return;
    }
    write_boards(2);
    ck_assert(boards_keep(cable.path, &kept, NULL));
    const char *const forget[] = {"rigs", "--forget", cable.path, NULL};
    struct program_result result = program_run(NULL, NULL, forget);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    ck_assert(!boards_recall(cable.path, &read));
    size_t length;
    char *text = program_read_file(folder, "boards", &length);
    ck_assert_int_eq(lines_of(text), 2);
    free(text);
    result = program_run(NULL, NULL, forget); /* nothing is left to be forgotten */
    ck_assert_int_eq(result.status, 1);
    program_free(&result);
    result = program_run(NULL, NULL, (const char *const[]){"rigs", "--forget", NULL});
    ck_assert_int_eq(result.status, 2);
    program_free(&result);
    const char *const both[] = {"rigs", "--keep", "--forget", cable.path, NULL};
    result = program_run(NULL, NULL, both);
    ck_assert_int_eq(result.status, 2);
    program_free(&result);
    cable_pull(&cable);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("boards");
    TCase *kept = tcase_create("kept");
    tcase_add_checked_fixture(kept, begin, end);
    tcase_add_test(kept, the_oldest_of_too_many_goes);
    tcase_add_test(kept, a_board_seen_again_pushes_none_out);
    tcase_add_test(kept, a_board_is_forgotten_by_the_command);
    suite_add_tcase(suite, kept);
    return test_main(suite);
}
