/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "base/words.h"
#include "screen/forms.h"
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <string.h>

/* Forms: what they are filled in with, which command lines they make. */

struct made {
    enum made_view kind;
    const char *form, *keys, *request;
};
static const struct made made[] = {
    /* checks of the sensors: the one that is due stands there */
    {MADE_LIVE, "7", ENTER, "command: check rider 20s"},
    {MADE_CHECKED, "7", ENTER, "command: calibrate head 200 400 600 5s pause=key"},
    {MADE_CHECKED, "7", DOWN DOWN DOWN "150 300; 450 600" ENTER,
     "command: calibrate head 150 300 450 600 5s pause=key"},
    /* the block that was there last */
    {MADE_CHECKED, "7", "step" ENTER, "command: check step chest block=25 10s pause=key"},
    {MADE_CHECKED, "7", "step" DOWN "head" DOWN "50" ENTER,
     "command: check step head block=50 10s pause=key"},
    {MADE_CHECKED, "7", "beam" ENTER, "command: check beam chest 5s"},
    {MADE_CHECKED, "7", "still" DOWN DOWN DOWN DOWN "600" ENTER, "command: check still 600s"},
    {MADE_CHECKED, "7", "still" DOWN "chest" ENTER, "command: check still chest 60s"},
    {MADE_CHECKED, "7", "plate" ENTER, "command: plate 5s"},
    /* the next setup: only what changed is typed; the cursor begins at 'what for' */
    {MADE_LIVE, "n", "stem down" DOWN "5" ENTER, "command: setup 4 \"stem down\" spacers=5"},
    {MADE_LIVE, "n", DOWN "5" DOWN "120" ENTER, "command: setup 4 spacers=5 stem_length=120"},
    {MADE_LIVE, "n", DOWN DOWN DOWN "-17" ENTER, "command: setup 4 stem_angle=-17"},
    {MADE_LIVE, "n", DOWN DOWN DOWN "\u221217,5" ENTER, "command: setup 4 stem_angle=-17.5"},
    /* back to an earlier one: its number alone */
    {MADE_LIVE, "n",
     "\033OA"
     "1" ENTER,
     "command: setup 1"},
    /* from an earlier one: its values are filled in, and said where they come from */
    {MADE_LIVE, "n", "\033OA" DOWN "1" DOWN "as it came, bars down" DOWN "25" ENTER,
     "command: setup 4 \"as it came, bars down\" spacers=25 from=1"},
    {MADE_FIRST, "n", DOWN DOWN "20" DOWN "110" ENTER,
     "command: setup 1 \"as it came\" spacers=20 stem_length=110"},
    {MADE_LIVE, "1", "R-08" DOWN "Anna \"A\" B" DOWN "left wrist" ENTER,
     "command: rider R-08 \"Anna \\\"A\\\" B\" watch_for=\"left wrist\""},
    {MADE_LIVE, "1", "\u00C9-9" ENTER, "command: rider \u00C9-9 \"winter group\""},
    {MADE_FIRST, "2", "club bike" DOWN "545" DOWN "410" DOWN "73" ENTER,
     "command: bike \"club bike\" stack=545 reach=410 head_angle=73 spacers=30 stem_length=100 "
     "stem_angle=-6 "
     "pad_rise=60"},
    {MADE_LIVE, "3", DOWN DOWN "115" ENTER,
     "command: sensor head carrier=base_bar x=115 y=40 tilt=0 look=up mark=\"chin strap\" "
     "role=body"},
    {MADE_FIRST, "3", DOWN "\033OC" DOWN "10" DOWN "900" ENTER,
     "command: sensor head carrier=stand x=10 y=900 role=body"},
    /* a word of a choice's words chooses it; 'a' alone would be of several words */
    {MADE_LIVE, "3", DOWN "bra" ENTER,
     "command: sensor head carrier=pad_bracket x=120 y=40 tilt=0 look=up mark=\"chin strap\" "
     "role=body"},
    {MADE_LIVE, "3", DOWN "sta" ENTER,
     "command: sensor head carrier=stand x=120 y=40 tilt=0 look=up mark=\"chin strap\" role=body"},
    {MADE_LIVE, "3", DOWN "b" ENTER, /* base bar, pad bracket, bike frame: as it was */
     "command: sensor head carrier=base_bar x=120 y=40 tilt=0 look=up mark=\"chin strap\" "
     "role=body"},
    {MADE_LIVE, "3", DOWN "xpad" ENTER, /* no such word: nothing is guessed from its end */
     "command: sensor head carrier=base_bar x=120 y=40 tilt=0 look=up mark=\"chin strap\" "
     "role=body"},
    {MADE_LIVE, "3", DOWN "x" ERASE "pad" ENTER,
     "command: sensor head carrier=pad_bracket x=120 y=40 tilt=0 look=up mark=\"chin strap\" "
     "role=body"},
    /* the field's own unit after a number */
    {MADE_LIVE, "n", DOWN "5mm" DOWN "120 MM" DOWN "-17deg" ENTER,
     "command: setup 4 spacers=5 stem_length=120 stem_angle=-17"},
    {MADE_LIVE, "n", DOWN DOWN DOWN "-17\u00B0" ENTER, "command: setup 4 stem_angle=-17"},
    /* Ctrl-U empties; Delete deletes forward */
    {MADE_LIVE, "o", "abc\025xy" ENTER, "command: note xy"},
    {MADE_LIVE, "o", "abc\033OH\033[3~" ENTER, "command: note bc"},
    /* down the left column, then the right one: after pad tilt the extensions */
    {MADE_LIVE, "n", DOWN DOWN DOWN DOWN DOWN DOWN DOWN DOWN DOWN "10" DOWN "300" ENTER,
     "command: setup 4 pad_tilt=10 extension_length=300"},
    /* an arrow goes down on the screen: from the right column's end to the fields below or anew */
    {MADE_LIVE, "5",
     "\033OB\033OB"
     "550" ENTER,
     "command: correct 3 stack=550"},
    {MADE_LIVE, "w", "12" DOWN "none" DOWN "9" DOWN "15" ENTER,
     "command: band head=+12/none chest=+9/-15"},
    {MADE_LIVE, "w", ENTER, "command: band head=+10/-20 chest=+8/none"},
    {MADE_LIVE, "r", "4" DOWN "2" ENTER, "command: rating effort=4 neck=2"},
    {MADE_LIVE, "r",
     "6"
     "\033OA"
     "n"
     "\033OA"
     "40"
     "\033OA"
     "y"
     "\033OA"
     "n"
     "\033OA"
     "s" ENTER,
     "command: rating effort=6 sees_ahead=strained numb_hands=no numb_saddle=yes could_stay=40 "
     "would_race=no"},
    {MADE_LIVE, "p", ENTER, "command: plate 5s"},
    {MADE_LIVE, "p", "20" DOWN "930" ENTER, "command: plate 20s height=930"},
    {MADE_LIVE, "p", DOWN DOWN "412.5" DOWN "370" ENTER, "command: plate head=412.5 chest=370"},
    {MADE_LIVE, "p", DOWN "930" DOWN "412.5" DOWN DOWN "1" ENTER,
     "command: plate head=412.5 height=930 setup=1 build=1"},
    {MADE_LIVE, "m", "632" ENTER, "command: tape head=632"},
    {MADE_LIVE, "o", "saddle nose slides" ENTER, "command: note \"saddle nose slides\""},
    {MADE_LIVE, "o", "\u65E5\u672C e\u0301" ENTER, "command: note \"\u65E5\u672C e\u0301\""},
    {MADE_LIVE, "u", DOWN "drank" ENTER, "command: reject 6 drank"},
    {MADE_LIVE, "u", "5" DOWN "looked up twice" ENTER, "command: reject 5 \"looked up twice\""},
    {MADE_LIVE, "u", "4" ENTER, "command: restore 4"}, /* hold 4 is left out already */
    {MADE_LIVE, "4", "880" ENTER, "command: target head=880 chest=771"},
    {MADE_LIVE, "5", DOWN DOWN DOWN DOWN DOWN DOWN DOWN "12" ENTER,
     "command: correct 3 spacers=12"},
    /* limits: at most, between, at least */
    {MADE_LIVE, "8", "85" DOWN "30" DOWN "90.." DOWN "\u221217..6deg" ENTER,
     "command: limits column=85 spacers=30 stem_length=90.. stem_angle=-17..6"},
    {MADE_LIVE, "8", DOWN " 2,5 .. 30 mm" ENTER, "command: limits spacers=2.5..30"},
    {MADE_LIVE, "9", "out.csv" ENTER, "export: out.csv"},
    {MADE_LIVE, "9", ENTER, "export: R-07.txt"},
};

START_TEST(a_form_makes_its_command)
{
    struct stage *stage = open_form(made[_i].kind, made[_i].form);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, made[_i].keys));
    if (stage_requests(stage) != 1) {
        assert_shows(stage, "one request");
    }
    ck_assert_str_eq(stage_request(stage, 0), made[_i].request);
    /* what was made can be read again, word by word */
    struct words words;
    struct problem problem = {.kind = PROBLEM_NONE};
    ck_assert(words_split(strchr(stage_request(stage, 0), ' ') + 1, &words, &problem));
    stage_close(stage);
}
END_TEST

START_TEST(fields_are_filled_in)
{
    static const struct {
        const char *form;
        const char *words[6];
    } forms[] = {
        {"n",
         {"NEXT SETUP", "setup number 4", "from setup 3", "spacers 10", "stem length 100",
          "pad rise 40"}},
        {"1", {"WHO RIDES", "R-07", "winter group", NULL, NULL, NULL}},
        {"2", {"THE BIKE", "training bike", "stack 545", "reach 410", "head angle 73", NULL}},
        {"3", {"THE SENSORS", "head", "base bar", "120", "chin strap", "the body"}},
        {"w",
         {"THE BAND", "head, above 10", "head, below 20", "chest, above 8", "chest, below none",
          NULL}},
        {"u",
         {"LEAVE A HOLD OUT", "hold number 6", "hold 4, setup 2, free: left out", NULL, NULL,
          NULL}},
        {"4", {"head, height 884", "chest, height 771", NULL, NULL, NULL, NULL}},
        {"6", {"what matters 10", "compared against setup 1", NULL, NULL, NULL, NULL}},
    };
    for (size_t f = 0; f < sizeof forms / sizeof forms[0]; f++) {
        struct stage *stage = open_form(MADE_LIVE, forms[f].form);
        if (stage == NULL) {
            return;
        }
        for (int w = 0; w < 6 && forms[f].words[w] != NULL; w++) {
            assert_shows(stage, forms[f].words[w]);
        }
        stage_close(stage);
    }
}
END_TEST

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
    view->earlier.count = 2;
    view->earlier.session[0] = (struct view_earlier_session){
        .id = 12, .date = "2026-01-10", .rider_code = "R-02", .setups = 3, .holds = 9};
    view->earlier.session[1] = (struct view_earlier_session){
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
    text_copy(view->earlier.looked_at, sizeof view->earlier.looked_at, "carry 7 on=2");
    text_copy(view->earlier.told, sizeof view->earlier.told,
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

START_TEST(several_lines_go_one_by_one)
{
    struct stage *stage = open_form(MADE_LIVE, "6");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "8" DOWN DOWN "2" DOWN "18" DOWN "75" ENTER));
    stage_keys(stage, "");
    ck_assert_int_eq(stage_requests(stage), 4);
    ck_assert_str_eq(stage_request(stage, 0), "command: matters head=8");
    ck_assert_str_eq(stage_request(stage, 1), "command: baseline 2");
    ck_assert_str_eq(stage_request(stage, 2), "command: slope 18");
    ck_assert_str_eq(stage_request(stage, 3), "command: minutes 75");
    ck_assert(terminal_wait_text(stage_terminal(stage), "HOLDLINE", 20.0));
    stage_close(stage);
}
END_TEST

START_TEST(sensors_one_after_the_other)
{
    struct stage *stage = open_form(MADE_LIVE, "3");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, DOWN DOWN "115" ENTER));
    assert_shows(stage, "chest strap"); /* the next sensor */
    ck_assert(stage_keys(stage, DOWN DOWN DOWN "38" ENTER));
    ck_assert_int_eq(stage_requests(stage), 2);
    ck_assert_str_eq(stage_request(stage, 1), "command: sensor chest carrier=base_bar x=120 y=38 "
                                              "tilt=0 look=up mark=\"chest strap\" role=body");
    ck_assert(terminal_wait_text(stage_terminal(stage), "HOLDLINE", 20.0));
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
    tcase_add_loop_test(tcase, a_form_makes_its_command, 0, (int)(sizeof made / sizeof made[0]));
    tcase_add_test(tcase, fields_are_filled_in);
    tcase_add_test(tcase, the_band_begins_with_what_is_proposed);
    tcase_add_test(tcase, an_earlier_session_is_looked_at_and_taken);
    tcase_add_test(tcase, several_lines_go_one_by_one);
    tcase_add_test(tcase, sensors_one_after_the_other);
    tcase_add_test(tcase, next_step_opens_the_form_it_needs);
    tcase_add_test(tcase, forms_fit_everywhere);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
