/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fuzz_targets.h"
#include "support/test_main.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* The inputs kept for the fuzz targets, those that once made something fail among them, given to
 * the targets again: make fuzz goes on from them. */

#define INPUT_MOST 65536
#define PATH_SIZE 512

/* In a process of its own, so that a failure names its input. */
static void replay(const struct fuzz_target *target, const char *path)
{
    static uint8_t bytes[INPUT_MOST];
    FILE *file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s", path);
    size_t length = fread(bytes, 1, sizeof bytes, file);
    fclose(file);
    ck_assert_msg(length < sizeof bytes, "%s is too long", path);
    fflush(NULL);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        /* Of the very length, so that reading behind its end is seen by the sanitizers. */
        uint8_t *own = malloc(length > 0 ? length : 1);
        if (own == NULL) {
            _exit(2);
        }
        memcpy(own, bytes, length);
        target->run(own, length);
        free(own);
        _exit(0);
    }
    int status = -1;
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert_msg(WIFEXITED(status) && WEXITSTATUS(status) == 0, "%s", path);
}

START_TEST(inputs_that_are_kept_do_no_harm)
{
    const struct fuzz_target *target = &fuzz_targets[_i];
    char relative[PATH_SIZE];
    char folder[PATH_SIZE];
    snprintf(relative, sizeof relative, "tests/fuzz/corpus/%s", target->name);
    snprintf(folder, sizeof folder, "%s", source_path(relative));
    DIR *inputs = opendir(folder);
    ck_assert_msg(inputs != NULL, "%s", folder);
    int count = 0;
    const struct dirent *entry;
    while ((entry = readdir(inputs)) != NULL) {
        char path[2 * PATH_SIZE];
        if (entry->d_name[0] == '.') {
            continue;
        }
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        replay(target, path);
        count++;
    }
    closedir(inputs);
    ck_assert_int_ge(count, 7);
}
END_TEST

/* What comes out of a stream does not hang on how it is cut, whatever it is: every beginning and
 * every end of the inputs' first bytes. */
START_TEST(halves_of_inputs_do_no_harm)
{
    static const char line[] =
        "# holdline-rig 1 id=a rate=50 unit=mm "
        "channels=head,chest\n$1042,20840000,412.5,356.1*?\?\n"
        "$WIXDR,D,0.4125,M,HEAD,D,0.3561,M,CHEST*?\?\n"
        "[{\"bn\":\"urn:a:\",\"bt\":1768068000.02,\"bu\":\"mm\",\"n\":\"head\",\"v\":412.5}]\n"
        "?head=2 cm 1 ms 5\ntime,head (mm)\n20,412.5\n5x+1 +20000 +20013\n- - +7\n";
    const struct fuzz_target *target = &fuzz_targets[_i];
    for (size_t at = 0; at < sizeof line; at++) {
        target->run((const uint8_t *)line, at);
        target->run((const uint8_t *)line + at, sizeof line - 1 - at);
    }
}
END_TEST

START_TEST(targets_have_names)
{
    for (size_t i = 0; i < fuzz_target_count; i++) {
        ck_assert_ptr_eq(fuzz_target_find(fuzz_targets[i].name), &fuzz_targets[i]);
    }
    ck_assert_ptr_null(fuzz_target_find("nothing"));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fuzz corpus");
    TCase *one = tcase_create("fuzz corpus");
    tcase_set_timeout(one, 60);
    tcase_add_loop_test(one, inputs_that_are_kept_do_no_harm, 0, (int)fuzz_target_count);
    tcase_add_loop_test(one, halves_of_inputs_do_no_harm, 0, (int)fuzz_target_count);
    tcase_add_test(one, targets_have_names);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
