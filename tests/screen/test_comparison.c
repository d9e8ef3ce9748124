/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "screen/comparison.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

/* The page of the comparison: every setup can be seen, with its verdict in full. */

static void assert_shows(struct stage *stage, const char *words)
{
    static char all[64 * 1024];
    bool shown = terminal_wait_text(stage_terminal(stage), words, 20.0);
    terminal_text(stage_terminal(stage), all, sizeof all);
    ck_assert_msg(shown, "'%s' is not on the screen:\n%s", words, all);
}

/* Steps down until it shows. */
static bool shows_further_down(struct stage *stage, const char *words)
{
    for (int i = 0; i < 200; i++) {
        if (terminal_shows(stage_terminal(stage), words)) {
            return true;
        }
        if (!stage_keys(stage, "\033OB")) {
            return false;
        }
    }
    return false;
}

START_TEST(verdicts_stand_in_full)
{
    struct terminal_settings settings = {.rows = 50, .columns = 100};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, "c"));
    assert_shows(stage, "COMPARISON  all setups against setup 1");
    assert_shows(stage, "1 as it came");
    assert_shows(stage, "898 \u00B14    compared against");
    /* made_view: head of setup 2 lower by 12 (6 to 18), chest cannot tell, two more holds */
    assert_shows(stage, "\u25BC lower by 12 mm (6 to 18)");
    assert_shows(stage,
                 "? cannot tell yet: \u22124 mm (\u221211 to +3); 2 more holds of each would "
                 "settle it");
    assert_shows(stage, "875 \u00B16*");
    assert_shows(stage, "* one hold only: its interval is borrowed");
    assert_shows(stage, "it moved by +0.6 mm a hold as time went on");
    assert_shows(stage, "hold 3  setup 1  guided  head 900 \u00B12, 74% in band");
    assert_shows(stage, "left out"); /* hold 4 */
    assert_shows(stage, "head (upright) against chest (across)");
    ck_assert(stage_keys(stage, "\033"));
    ck_assert(terminal_wait_text(stage_terminal(stage), "HOLDLINE", 20.0));
    ck_assert_int_eq(stage_requests(stage), 0);
    stage_close(stage);
}
END_TEST

/* Paging shows the picture whole on some page. */
START_TEST(paging_does_not_skip_the_picture)
{
    static const int rows[] = {24, 30, 40};
    for (int i = 0; i < 3; i++) {
        struct terminal_settings settings = {.rows = rows[i], .columns = 80};
        struct stage *stage = stage_open(&settings, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        bool shown = false;
        ck_assert(stage_drawn(stage));
        ck_assert(stage_keys(stage, "c"));
        for (int page = 0; page < 8 && !shown; page++) {
            shown = terminal_shows(stage_terminal(stage), "785 mm"); /* its axis, at the foot */
            ck_assert(stage_keys(stage, "\033[6~"));
        }
        ck_assert_msg(shown, "at %d rows", rows[i]);
        stage_close(stage);
    }
}
END_TEST

START_TEST(a_number_that_is_not_in_the_middle_of_its_interval_has_its_reason)
{
    struct terminal_settings settings = {.rows = 50, .columns = 100};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    made_snapshot(view)->analysis.free_heights[1].difference[1].high = 40.0;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, "c"));
    assert_shows(stage, "\u22124 mm (\u221211 to +40)");
    assert_shows(stage, "setup 2: a part of the difference may have come with time");
    stage_close(stage);
}
END_TEST

START_TEST(trouble_with_the_store_is_told_there_too)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    text_copy(view->store_trouble, sizeof view->store_trouble, "s.db: there is no space left");
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, "c"));
    assert_shows(stage, "COMPARISON");
    assert_shows(stage, "! s.db: there is no space left");
    ck_assert(stage_keys(stage, "\033j"));
    assert_shows(stage, "JOURNAL");
    assert_shows(stage, "! s.db: there is no space left");
    stage_close(stage);
}
END_TEST

START_TEST(what_follows_from_all_of_it)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, "c"));
    ck_assert(shows_further_down(stage, "everything at once: there is no single score"));
    ck_assert(shows_further_down(stage, "Setups 2 and 3: no other setup is shown to beat them."));
    ck_assert(shows_further_down(stage, "Setup 1: setup 2 is shown to be as good in all of it"));
    ck_assert(shows_further_down(
        stage, "spacers, mm (tried 10 to 30): head +0.55 \u00B10.38, chest +0.40 \u00B10.41"));
    ck_assert(shows_further_down(stage, "A suggestion, no more: from setup 3"));
    stage_close(stage);
}
END_TEST

START_TEST(every_setup_can_be_seen)
{
    static const struct {
        int rows, columns;
    } sizes[] = {{12, 40}, {24, 80}, {60, 200}};
    for (int z = 0; z < 3; z++) {
        struct terminal_settings settings = {.rows = sizes[z].rows, .columns = sizes[z].columns};
        struct stage *stage = stage_open(&settings, MADE_MANY);
        if (stage == NULL) {
            return;
        }
        ck_assert(stage_drawn(stage));
        ck_assert(stage_keys(stage, "c"));
        for (int s = 1; s <= 12; s++) {
            char words[32];
            snprintf(words, sizeof words, s == 3 ? ">%2d s" : " %2d %s", s,
                     s == 1   ? "as it"
                     : s == 2 ? "pads"
                              : "stem");
            ck_assert_msg(shows_further_down(stage, words), "setup %d can't be seen at %dx%d", s,
                          sizes[z].columns, sizes[z].rows);
        }
        ck_assert(shows_further_down(stage, "not comparable"));
        ck_assert(shows_further_down(stage, "not tied")); /* the reason, to its end */
        ck_assert(shows_further_down(stage, "hold 1 "));
        stage_close(stage);
    }
}
END_TEST

START_TEST(a_reason_stands_whole)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    struct analysis *analysis = &made_snapshot(view)->analysis;
    struct setup_difference *difference = &analysis->free_heights[0].difference[1];
    difference->verdict = VERDICT_NOT_COMPARABLE;
    difference->reason = REASON_NOT_TIED;
    /* one with holds is shown before one that has none */
    analysis->free_holds[2] = 0;
    analysis->free_heights[0].setup[2].holds = analysis->free_heights[1].setup[2].holds = 0;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, "c"));
    assert_shows(stage,
                 "\u00D7 not comparable: height not tied: read the plate, the tape, or enter the");
    assert_shows(stage, "parts of its builds");
    assert_shows(stage, "no free hold yet");
    stage_close(stage);
}
END_TEST

START_TEST(setups_without_holds_leave_the_table_first)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    struct snapshot *snapshot = made_snapshot(view);
    struct session_record *record = &snapshot->record;
    for (int s = 3; s < 5; s++) {
        record->setup[s] = record->setup[2];
        record->setup[s].number = s + 1;
        record->build[s] = (struct build_record){.setup = s, .ordinal = 1};
        snprintf(record->setup[s].intent, sizeof record->setup[s].intent, "trial %d", s + 1);
        snapshot->analysis.free_holds[s] = s == 4 ? 1 : 0;
        for (int c = 0; c < 2; c++) {
            struct comparison *heights = &snapshot->analysis.free_heights[c];
            heights->setup[s] = heights->setup[2];
            heights->setup[s].holds = snapshot->analysis.free_holds[s];
            heights->setup_count = 5;
        }
    }
    record->setup_count = record->build_count = 5;
    snapshot->build = 4;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "more: c)");
    assert_shows(stage, "1 as it came");
    assert_shows(stage, "5 trial 5");
    assert_shows(stage, "3 spacers out"); /* the latest of the rest that has holds */
    ck_assert(!terminal_shows(stage_terminal(stage), "4 trial 4"));
    stage_close(stage);
}
END_TEST

START_TEST(space_opens_it_at_the_end)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    view->next = VIEW_NEXT_WAIT;
    view->next_command[0] = '\0';
    snprintf(view->next_step, sizeof view->next_step,
             "compare, decide, export; or change the next part");
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "SPACE \u25B6 compare, decide, export; or change the next part");
    ck_assert(stage_keys(stage, " "));
    assert_shows(stage, "COMPARISON");
    /* a foot switch alone goes through it and back */
    for (int i = 0; i < 20 && terminal_shows(stage_terminal(stage), "COMPARISON"); i++) {
        ck_assert(stage_keys(stage, " "));
    }
    assert_shows(stage, "HOLDLINE");
    /* another key does there what it does elsewhere */
    ck_assert(stage_keys(stage, "c"));
    assert_shows(stage, "COMPARISON");
    ck_assert(stage_keys(stage, "f"));
    assert_shows(stage, "A FREE HOLD");
    ck_assert(stage_keys(stage, "\r"));
    ck_assert_int_eq(stage_requests(stage), 1);
    ck_assert_str_eq(stage_request(stage, 0), "command: hold 60s free");
    assert_shows(stage, "HOLDLINE");
    stage_close(stage);
}
END_TEST

START_TEST(what_the_rider_goes_home_with_is_chosen_there)
{
    struct terminal_settings settings = {.rows = 40, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, "c"));
    assert_shows(stage, "h: what the rider goes home with");
    ck_assert(stage_keys(stage, "h"));
    assert_shows(stage, "WHAT THE RIDER GOES HOME WITH");
    assert_shows(stage, "2 pads down 20"); /* what there is to choose from */
    ck_assert(stage_keys(stage, "2\r"));
    stage_keys(stage, "");
    ck_assert_int_eq(stage_requests(stage), 1);
    ck_assert_str_eq(stage_request(stage, 0), "command: choose 2");
    struct view *view = stage_lock(stage);
    made_snapshot(view)->record.settings.chosen_setup = 2;
    view->serial++;
    stage_unlock(stage);
    ck_assert(terminal_wait_text(stage_terminal(stage), "goes home with setup 2", 20.0));
    assert_shows(stage, "COMPARISON");
    assert_shows(stage, "chosen: the rider goes home with it");
    /* and taken back; an empty field is no choice */
    ck_assert(stage_keys(stage, "h"));
    ck_assert(stage_keys(stage, "\025\r")); /* Ctrl-U */
    ck_assert_int_eq(stage_requests(stage), 1);
    ck_assert(stage_keys(stage, "0\r"));
    ck_assert_str_eq(stage_request(stage, 1), "command: choose 0");
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("comparison");
    TCase *tcase = tcase_create("comparison");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, verdicts_stand_in_full);
    tcase_add_test(tcase, paging_does_not_skip_the_picture);
    tcase_add_test(tcase, a_number_that_is_not_in_the_middle_of_its_interval_has_its_reason);
    tcase_add_test(tcase, trouble_with_the_store_is_told_there_too);
    tcase_add_test(tcase, what_follows_from_all_of_it);
    tcase_add_test(tcase, every_setup_can_be_seen);
    tcase_add_test(tcase, a_reason_stands_whole);
    tcase_add_test(tcase, setups_without_holds_leave_the_table_first);
    tcase_add_test(tcase, space_opens_it_at_the_end);
    tcase_add_test(tcase, what_the_rider_goes_home_with_is_chosen_there);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
