/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "screen/forms.h"
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

/* Forms beside their scripts of keys (tests/screen/keys): in other views, at every size. */

START_TEST(the_band_begins_with_what_is_proposed)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    view->channel[0].has_band = view->channel[1].has_band = false;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, "w"));
    assert_shows(stage, "head: proposed from the target's capture; suggested +10 / \u221220");
    assert_shows(stage, "+6 / \u221212     3.1 cues/min, in band 81%  tight: for practised riders");
    assert_shows(stage, "+10 / \u221220    0.9 cues/min, in band 94%  usual (suggested)");
    assert_shows(stage, "+25 / none   0.0 cues/min");
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: band head=+10/-20 chest=+10/-20");
    stage_close(stage);
}
END_TEST

START_TEST(an_earlier_session_is_looked_at_and_taken)
{
    struct stage *stage = open_form(MADE_FIRST, "0");
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "the store has no earlier session with a bike");
    ck_assert(stage_keys(stage, ENTER));
    assert_shows(stage, "! session: must be filled in");
    ck_assert(stage_keys(stage, ESC));
    struct view *view = stage_lock(stage);
    made_of(view)->earlier.count = 2;
    made_of(view)->earlier.session[0] = (struct view_carry_session){
        .id = 12, .date = "2026-01-10", .rider_code = "R-02", .setups = 3, .holds = 9};
    made_of(view)->earlier.session[1] = (struct view_carry_session){
        .id = 7, .date = "2025-12-13", .rider_code = "R-02", .setups = 1, .holds = 1};
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "(key 1; as before: 0)");
    ck_assert(stage_keys(stage, "0"));
    assert_shows(stage, "\u25B8 12  2026-01-10");
    assert_shows(stage, "  7  2025-12-13  R-02  , 1 setup, 1 hold");
    ck_assert(stage_keys(stage, "7" DOWN "2" ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: carry 7 on=2 look");
    assert_shows(stage, "AN EARLIER SESSION"); /* it stays, with what would come */
    view = stage_lock(stage);
    text_copy(made_of(view)->earlier.looked_at, sizeof made_of(view)->earlier.looked_at,
              "carry 7 on=2");
    text_copy(made_of(view)->earlier.sentences, sizeof made_of(view)->earlier.sentences,
              "target carried over: head 884.0 \u00B15.9 mm\nits band: head=+12/-20\n");
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "target carried over: head 884.0 \u00B15.9 mm");
    assert_shows(stage, "its band: head=+12/-20");
    /* another word in the form, another look */
    ck_assert(stage_keys(stage, DOWN "target"));
    ck_assert(!terminal_shows(stage_terminal(stage), "its band"));
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 1), "command: carry 7 on=2 target look");
    ck_assert(stage_keys(stage, "all" ENTER));
    ck_assert_str_eq(stage_request(stage, 2), "command: carry 7 on=2");
    assert_shows(stage, "HOLDLINE");
    stage_close(stage);
}
END_TEST

START_TEST(next_step_opens_the_form_it_needs)
{
    static const struct {
        enum view_next next;
        const char *words;
    } steps[] = {{VIEW_NEXT_SETUP, "NEXT SETUP"}, {VIEW_NEXT_RATING, "RATING OF THIS SETUP"}};
    for (int s = 0; s < 2; s++) {
        struct terminal_settings settings = {.rows = 24, .columns = 80};
        struct stage *stage = stage_open(&settings, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        struct view *view = stage_lock(stage);
        view->next = steps[s].next;
        view->next_command[0] = '\0';
        stage_unlock(stage);
        ck_assert(stage_drawn(stage));
        ck_assert(stage_keys(stage, " "));
        assert_shows(stage, steps[s].words);
        ck_assert_int_eq(stage_requests(stage), 0);
        stage_close(stage);
    }
}
END_TEST

/* The sheet is about the setup chosen: that it lacks a rating is told where it is chosen, and where
 * another one is rated. */
START_TEST(a_chosen_setup_without_a_rating_is_told)
{
    struct stage *stage = open_form(MADE_LIVE, "h");
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "the rider's sheet is about this setup");
    ck_assert(stage_keys(stage, "1"));
    assert_shows(stage, "nobody asked yet how far it lets see ahead");
    ck_assert(stage_keys(stage, DOWN "chin low"));
    assert_shows(stage, "nobody asked yet how far it lets see ahead");
    ck_assert(stage_keys(stage, DOWN ERASE "0"));
    assert_shows(stage, "the rider's sheet is about this setup");
    ck_assert(stage_keys(stage, ESC));
    struct view *view = stage_lock(stage);
    struct snapshot *snapshot = made_snapshot(view);
    snapshot->record.settings.chosen_setup = 1;
    ck_assert_int_ne(snapshot_setup_index(snapshot), 0);
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, "r"));
    assert_shows(stage, "of the setup on the bike; the one chosen lacks its rating yet");
    ck_assert(stage_keys(stage, ESC));
    view = stage_lock(stage);
    struct session_record *record = &made_snapshot(view)->record;
    struct rating_record *rating = &record->rating[record->rating_count++];
    rating_clear(rating);
    rating->setup = 0;
    rating->value[RATING_SEES_AHEAD] = SEES_YES;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, "r"));
    assert_shows(stage, "0 nothing at all to 10 unbearable");
    stage_close(stage);
}
END_TEST

/* Where a large terminal has the room: a field a row, a blank one between, and what it takes beside
 * it. On a smaller one in two columns, as ever. */
START_TEST(a_large_terminal_has_a_field_a_row)
{
    static const struct {
        int rows, columns, apart; /* a field from the one before */
        bool beside;
    } sizes[] = {{60, 200, 2, true}, {40, 200, 1, false}, {60, 100, 1, false}};
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        struct stage *stage = open_with_key(sizes[i].rows, sizes[i].columns, MADE_LIVE, "r");
        if (stage == NULL) {
            return;
        }
        char row_text[1024];
        int row, column, next, last;
        struct terminal *terminal = stage_terminal(stage);
        ck_assert(terminal_find(terminal, "shoulder blades", &row, &column));
        ck_assert(terminal_find(terminal, "lower back", &next, &column));
        ck_assert(terminal_find(terminal, "would you race it?", &last, &column));
        ck_assert_int_eq(next - row, sizes[i].apart);
        terminal_row(terminal, row, row_text, sizeof row_text);
        ck_assert_msg((strstr(row_text, "0 to 10") != NULL) == sizes[i].beside, "%s", row_text);
        terminal_row(terminal, last, row_text, sizeof row_text);
        ck_assert_msg((strstr(row_text, "(not asked), yes, no") != NULL) == sizes[i].beside, "%s",
                      row_text);
        int focus, focus_next;
        bool visible;
        terminal_cursor(terminal, &focus, &column, &visible);
        ck_assert(stage_keys(stage, "\033OB7")); /* down */
        terminal_cursor(terminal, &focus_next, &column, &visible);
        ck_assert_int_eq(focus_next - focus, sizes[i].apart);
        ck_assert(stage_keys(stage, ENTER));
        ck_assert_str_eq(stage_request(stage, 0), "command: rating neck=7");
        stage_close(stage);
    }
}
END_TEST

START_TEST(forms_fit_everywhere)
{
    static const char *const keys[] = {"n", "1", "2", "3", "w", "r", "p", "m", "o",
                                       "u", "4", "5", "6", "7", "9", "8", "0"};
    for (size_t s = 0; s < SCREEN_SIZES; s++) {
        for (size_t k = 0; k < sizeof keys / sizeof keys[0]; k++) {
            struct stage *stage =
                open_with_key(screen_sizes[s].rows, screen_sizes[s].columns, MADE_MANY, keys[k]);
            if (stage == NULL) {
                return;
            }
            assert_shows(stage, "Esc back");
            /* every field can be reached, and the cursor stands in it */
            for (int i = 0; i < 24; i++) {
                int row, column;
                bool visible;
                ck_assert(stage_keys(stage, DOWN));
                terminal_cursor(stage_terminal(stage), &row, &column, &visible);
                ck_assert(visible);
                ck_assert_int_ge(row, 2);
                ck_assert_int_lt(row, screen_sizes[s].rows - 3);
            }
            stage_close(stage);
        }
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("forms");
    TCase *tcase = tcase_create("forms");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, the_band_begins_with_what_is_proposed);
    tcase_add_test(tcase, an_earlier_session_is_looked_at_and_taken);
    tcase_add_test(tcase, next_step_opens_the_form_it_needs);
    tcase_add_test(tcase, a_chosen_setup_without_a_rating_is_told);
    tcase_add_test(tcase, a_large_terminal_has_a_field_a_row);
    tcase_add_test(tcase, forms_fit_everywhere);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
