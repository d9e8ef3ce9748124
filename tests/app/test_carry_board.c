/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A target of an earlier session and the board on the pads: heights told from the one are never
 * held against heights over the bottom bracket. */

#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void must(struct program_result result)
{
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    program_free(&result);
}

static void run(const char *folder, const char *script)
{
    program_write_file(folder, "script.txt", script);
    must(program_run(folder, NULL,
                     (const char *const[]){"run", "script.txt", "virtual:steady?speed=max&seed=11",
                                           "--store", "s.db", NULL}));
}

/* The head's target is over the bottom bracket, and so are the heights of the day after, whose
 * board has no height of its own: the head, which stays where it is, is in a band of 20 mm. */
START_TEST(a_board_on_the_pads_leaves_heights_beside_a_carried_target)
{
    const char *folder = program_folder();
    run(folder,
        "session 2026-01-10T18:00:00Z seed=7\n"
        "bike \"b\" stack=545 reach=410 head_angle=73 spacers=20 stem_length=100 "
        "stem_angle=-6 pad_rise=60\n"
        "sensor head carrier=base_bar x=110 y=40\nsensor chest carrier=base_bar x=-60 y=40\n"
        "target\nband head=+20/-20\nend\n");
    run(folder, "session 2026-02-10T18:00:00Z seed=8\ncarry last\nplate 5s rest=pads\n"
                "hold 30s guided\nend\n");
    must(program_run(folder, NULL,
                     (const char *const[]){"export", "2", "two.json", "--store", "s.db", NULL}));
    char *json = program_read_file(folder, "two.json", NULL);
    char *hold = strstr(json, "\"in_band_share\": ");
    ck_assert_ptr_nonnull(hold);
    ck_assert_double_gt(strtod(strchr(hold, ':') + 1, NULL), 0.9);
    free(json);
    program_folder_remove(folder);
}
END_TEST

/* A target in heights told from the board is none over the bottom bracket. */
START_TEST(a_target_told_from_the_board_stays_with_the_board)
{
    static const char sensor[] = "bike \"b\"\nsensor head carrier=base_bar\n"
                                 "sensor chest carrier=base_bar\n";
    static const char *const later[] = {"tape head=640\n", "plate 5s rest=pads\n"};
    const char *folder = program_folder();
    char script[512];
    snprintf(script, sizeof script,
             "session 2026-01-10T18:00:00Z seed=7\n%splate 5s rest=pads\n"
             "target head=-40 known_to=2mm sure=yes\nend\n",
             sensor);
    run(folder, script);
    for (int with_board = 0; with_board < 2; with_board++) {
        snprintf(script, sizeof script,
                 "session 2026-02-1%dT18:00:00Z seed=8\n%s%scarry 1 target\nend\n", with_board,
                 sensor, later[with_board]);
        run(folder, script);
        char id[2] = {(char)('2' + with_board), '\0'};
        must(program_run(
            folder, NULL,
            (const char *const[]){"export", id, "s.json", "--replace", "--store", "s.db", NULL}));
        char *json = program_read_file(folder, "s.json", NULL);
        ck_assert_int_eq(strstr(json, "take the target anew") == NULL, with_board);
        ck_assert_int_eq(strstr(json, "\"height_mm\": -40") != NULL, with_board);
        free(json);
    }
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("carried to the board");
    TCase *tests = tcase_create("board");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_board_on_the_pads_leaves_heights_beside_a_carried_target);
    tcase_add_test(tests, a_target_told_from_the_board_stays_with_the_board);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
