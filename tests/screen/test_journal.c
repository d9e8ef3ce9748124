/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

/* The journal's page, as it stands on a terminal: all that has happened, found by typing. */

#define UP "\033OA"
#define DOWN "\033OB"
#define HOME "\033OH"
#define END "\033OF"
#define PAGE_UP "\033[5~"
#define ESCAPE "\033"
#define ENTER "\r"
#define ERASE "\177"

static struct stage *open_journal(int rows, int columns)
{
    return open_with_key(rows, columns, MADE_LIVE, "j");
}

/* The row that is chosen begins like this. */
static void assert_chosen(struct stage *stage, const char *time_and_what)
{
    char words[128];
    snprintf(words, sizeof words, "\u25B6 %s", time_and_what);
    assert_shows(stage, words);
}

START_TEST(all_of_it_in_order)
{
    static const char *const in_order[] = {
        "  0:00:00  rider      R-07  winter group",
        "  0:00:00  sensors    head, chest of rig bench-a",
        "  0:00:12  setup 1    as it came",
        "  0:01:35  check      rider passed: the head follows the nod",
        "  0:02:10  plate      head 412.4, chest 398.0 mm away, setup 1 build 1",
        "  0:02:40  target     head 884 \u00B12, chest 771 \u00B12 mm",
        "  0:03:50  band       head +10 \u221220, chest +8 none mm",
        "  0:04:20  hold 1     free 60 s, setup 1: head 898 \u00B12 (62% in band)",
        "  0:04:48  mark       drank, in hold 1",
        "  0:05:40  hold 2     free 60 s",
        "  0:07:10  hold 3     guided 60 s",
        "  0:08:30  rating     setup 1: effort 4, neck 2, sees ahead yes",
        "  0:09:20  setup 2    pads down: pad rise 60 to 40",
        "  0:11:40  hold 4     free 60 s, setup 2: head 892 \u00B12; LEFT OUT: looked up twice",
        "  0:13:10  hold 5     free 60 s",
        "saddle nose -5 was too far", /* as it was typed */
        "  0:15:40  setup 3    spacers out, pads down: spacers 30 to 10",
        "\u25B6 1:02:05  hold 6     free 60 s, setup 3: head 875 \u00B13",
    };
    struct stage *stage = open_journal(40, 120);
    int before = 0, row;
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "JOURNAL  18 events, the newest last");
    for (size_t i = 0; i < sizeof in_order / sizeof in_order[0]; i++) {
        assert_shows(stage, in_order[i]);
        ck_assert(terminal_find(stage_terminal(stage), in_order[i], &row, NULL));
        ck_assert_int_gt(row, before);
        before = row;
    }
    assert_shows(stage, "type to search   arrows move   Esc back");
    ck_assert(stage_keys(stage, ESCAPE));
    assert_shows(stage, "HOLDLINE");
    ck_assert_int_eq(stage_requests(stage), 0);
    stage_close(stage);
}
END_TEST

START_TEST(every_event_can_be_reached_at_every_size)
{
    static const char *const times[] = {"0:15:40", "0:14:40", "0:13:10", "0:11:40", "0:09:20",
                                        "0:08:30", "0:07:10", "0:05:40", "0:04:48", "0:04:20",
                                        "0:03:50", "0:02:40", "0:02:10", "0:01:35", "0:00:12"};
    for (size_t z = 0; z < SCREEN_SIZES; z++) {
        struct stage *stage = open_journal(screen_sizes[z].rows, screen_sizes[z].columns);
        if (stage == NULL) {
            return;
        }
        assert_chosen(stage, "1:02:05  hold 6");
        for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
            ck_assert(stage_keys(stage, UP));
            assert_chosen(stage, times[i]);
        }
        assert_shows(stage, "as it came"); /* all of the chosen one, below its name too */
        ck_assert(stage_keys(stage, HOME));
        assert_chosen(stage, "0:00:00  rider");
        ck_assert(stage_keys(stage, UP));
        assert_chosen(stage, "0:00:00  rider");
        ck_assert(stage_keys(stage, END));
        assert_chosen(stage, "1:02:05  hold 6");
        assert_shows(stage, "early"); /* to its end */
        ck_assert(stage_keys(stage, PAGE_UP));
        ck_assert(!terminal_shows(stage_terminal(stage), "\u25B6 1:02:05"));
        stage_close(stage);
    }
}
END_TEST

START_TEST(what_is_typed_is_found)
{
    for (size_t z = 0; z < SCREEN_SIZES; z++) {
        struct stage *stage = open_journal(screen_sizes[z].rows, screen_sizes[z].columns);
        if (stage == NULL) {
            return;
        }
        /* from the newest back; large and small letters are the same */
        ck_assert(stage_keys(stage, "S"));
        ck_assert(stage_keys(stage, "etup 1"));
        assert_shows(stage, "Setup 1");
        assert_shows(stage, "6 of 6");
        assert_chosen(stage, "0:08:30  rating");
        ck_assert(stage_keys(stage, UP));
        assert_shows(stage, "5 of 6");
        assert_chosen(stage, "0:07:10  hold 3");
        ck_assert(stage_keys(stage, DOWN));
        ck_assert(stage_keys(stage, DOWN)); /* there is none after the last */
        assert_chosen(stage, "0:08:30  rating");
        ck_assert(stage_keys(stage, HOME));
        assert_shows(stage, "1 of 6");
        assert_chosen(stage, "0:00:12  setup 1");
        /* what is not there */
        ck_assert(stage_keys(stage, "7"));
        assert_shows(stage, "no match");
        ck_assert(stage_keys(stage, ERASE));
        assert_shows(stage, "1 of 6");
        /* letters of any script, those that are wide and those that are not */
        ck_assert(stage_keys(stage, "\025\u6E2C"));
        assert_shows(stage, "1 of 1");
        assert_chosen(stage, "0:14:40  note");
        ck_assert(stage_keys(stage, ERASE));
        ck_assert(stage_keys(stage, "\u00C9"));
        assert_shows(stage, "1 of 1"); /* t\u00E9 in the same note */
        /* Esc shows all of it again, then goes back */
        ck_assert(stage_keys(stage, ESCAPE));
        assert_shows(stage, "18 events");
        assert_chosen(stage, "0:14:40  note");
        ck_assert(stage_keys(stage, ESCAPE));
        assert_shows(stage, "R-07");
        ck_assert_int_eq(stage_requests(stage), 0);
        stage_close(stage);
    }
}
END_TEST

START_TEST(letters_command_nothing_while_they_are_looked_for)
{
    struct stage *stage = open_journal(24, 80);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "fgqbxk?")); /* keys elsewhere */
    assert_shows(stage, "fgqbxk?");
    ck_assert_int_eq(stage_requests(stage), 0);
    ck_assert(stage_keys(stage, "\003"));
    assert_shows(stage, "End the session and leave?");
    ck_assert(stage_keys(stage, "n"));
    assert_shows(stage, "fgqbxk?");
    ck_assert(stage_keys(stage, "\025"));
    ck_assert(stage_keys(stage, "?"));
    assert_shows(stage, "KEYS THAT WORK HERE");
    stage_close(stage);
}
END_TEST

START_TEST(a_hold_is_left_out_from_it)
{
    struct stage *stage = open_journal(24, 80);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "drank"));
    assert_chosen(stage, "0:04:48  mark");
    assert_shows(stage, "Enter: leave it out");
    ck_assert(stage_keys(stage, ENTER));
    assert_shows(stage, "LEAVE A HOLD OUT");
    ck_assert(stage_keys(stage, "drank in it" ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: reject 1 \"drank in it\"");
    ck_assert(terminal_wait_text(stage_terminal(stage), "JOURNAL", 20.0)); /* back where it was */
    assert_chosen(stage, "0:04:48  mark");
    /* one that is out is taken in again, also when others were typed in the form before */
    ck_assert(stage_keys(stage, "\025"));
    ck_assert(stage_keys(stage, "left out" ENTER));
    assert_shows(stage, "hold number 4");
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 1), "command: restore 4");
    /* where no hold is meant, Enter does nothing */
    ck_assert(stage_keys(stage, "\025as it came" ENTER));
    assert_chosen(stage, "0:00:12  setup 1");
    ck_assert_int_eq(stage_requests(stage), 2);
    stage_close(stage);
}
END_TEST

START_TEST(space_turns_pages_and_goes_back)
{
    struct stage *stage = open_journal(12, 40);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, HOME));
    for (int i = 0; i < 18 && terminal_shows(stage_terminal(stage), "JOURNAL"); i++) {
        ck_assert(stage_keys(stage, " "));
    }
    assert_shows(stage, "R-07");
    stage_close(stage);
}
END_TEST

START_TEST(it_grows_and_shrinks_while_it_is_open)
{
    struct stage *stage = open_journal(24, 80);
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    made_snapshot(view)->event_count = 3;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "3 events");
    assert_chosen(stage, "0:00:12  setup 1");
    view = stage_lock(stage);
    made_snapshot(view)->event_count = 0;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "nothing has happened yet");
    ck_assert(stage_keys(stage, UP DOWN HOME END ENTER));
    ck_assert_int_eq(stage_requests(stage), 0);
    stage_close(stage);
}
END_TEST

START_TEST(plain_letters_and_no_colours)
{
    struct terminal_settings settings = {
        .rows = 24, .columns = 80, .term = "vt100", .locale = "C", .no_color = true};
    struct stage *stage = open_on_terminal(&settings, MADE_LIVE, "j");
    static char all[64 * 1024];
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "setup 1"));
    assert_shows(stage, "> 0:08:30  rating"); /* chosen, and others that have it, by signs */
    assert_shows(stage, "* 0:07:10  hold 3");
    terminal_text(stage_terminal(stage), all, sizeof all);
    for (const char *next = all; *next != '\0'; next++) {
        ck_assert_msg((unsigned char)*next < 0x80, "%s", all);
    }
    stage_close(stage);
}
END_TEST

START_TEST(not_during_a_hold)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = open_on_terminal(&settings, MADE_HOLD_FREE, "j");
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "j: not while a hold is running"); /* its letters are marks then */
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("journal");
    TCase *tcase = tcase_create("journal");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, all_of_it_in_order);
    tcase_add_test(tcase, every_event_can_be_reached_at_every_size);
    tcase_add_test(tcase, what_is_typed_is_found);
    tcase_add_test(tcase, letters_command_nothing_while_they_are_looked_for);
    tcase_add_test(tcase, a_hold_is_left_out_from_it);
    tcase_add_test(tcase, space_turns_pages_and_goes_back);
    tcase_add_test(tcase, it_grows_and_shrinks_while_it_is_open);
    tcase_add_test(tcase, plain_letters_and_no_colours);
    tcase_add_test(tcase, not_during_a_hold);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
