/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fuzz_doors.h"
#include "support/test_main.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* The inputs kept for the doors above the wire, given to them again, whole and cut; 'make fuzz'
 * goes on from them. A failure aborts with the door's own line; Check's message names the input. */

#define INPUT_MOST 65536
#define PATH_SIZE 512

static void give(const struct fuzz_target *door, const uint8_t *bytes, size_t length)
{
    uint8_t *own = malloc(length > 0 ? length : 1); /* of the very length */
    ck_assert_ptr_nonnull(own);
    memcpy(own, bytes, length);
    door->run(own, length);
    free(own);
}

static void replay(const struct fuzz_target *door, const char *path)
{
    static uint8_t bytes[INPUT_MOST];
    FILE *file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s", path);
    size_t length = fread(bytes, 1, sizeof bytes, file);
    fclose(file);
    ck_assert_msg(length < sizeof bytes, "%s is too long", path);
    printf("%s\n", path);
    fflush(stdout);
    give(door, bytes, length);
    give(door, bytes, length / 2);
    give(door, bytes + length / 3, length - length / 3);
}

START_TEST(inputs_that_are_kept_do_no_harm)
{
    const struct fuzz_target *door = &fuzz_doors[_i];
    char relative[PATH_SIZE], folder[PATH_SIZE];
    snprintf(relative, sizeof relative, "tests/fuzz/corpus/%s", door->name);
    snprintf(folder, sizeof folder, "%s", source_path(relative));
    DIR *inputs = opendir(folder);
    ck_assert_msg(inputs != NULL, "%s", folder);
    int count = 0;
    for (const struct dirent *entry = readdir(inputs); entry != NULL; entry = readdir(inputs)) {
        char path[2 * PATH_SIZE];
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (entry->d_name[0] != '.') {
            replay(door, path);
            count++;
        }
    }
    closedir(inputs);
    ck_assert_int_ge(count, 3);
    ck_assert_ptr_eq(fuzz_door_find(door->name), door);
}
END_TEST

/* 'make fuzz' goes by the folders: none is left over. */
START_TEST(each_folder_of_inputs_has_its_target)
{
    char folder[PATH_SIZE];
    size_t count = 0;
    snprintf(folder, sizeof folder, "%s", source_path("tests/fuzz/corpus"));
    DIR *folders = opendir(folder);
    ck_assert_msg(folders != NULL, "%s", folder);
    for (const struct dirent *entry = readdir(folders); entry != NULL; entry = readdir(folders)) {
        if (entry->d_name[0] != '.') {
            ck_assert_msg(fuzz_target_find(entry->d_name) != NULL ||
                              fuzz_door_find(entry->d_name) != NULL,
                          "nothing is given what lies in %s", entry->d_name);
            count++;
        }
    }
    closedir(folders);
    ck_assert_uint_eq(count, fuzz_target_count + fuzz_door_count);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fuzz doors");
    TCase *tests = tcase_create("fuzz doors");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, inputs_that_are_kept_do_no_harm, 0, (int)fuzz_door_count);
    tcase_add_test(tests, each_folder_of_inputs_has_its_target);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
