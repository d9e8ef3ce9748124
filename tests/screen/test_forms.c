#include "base/text.h"
#include "base/words.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

/* Forms: what they are filled in with, what is told at a field, which command lines they make. */

#define DOWN "\t"
#define ENTER "\r"
#define ESC "\033"
#define ERASE "\177"

static struct stage *open_form(enum made_view kind, const char *key)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, kind);
    if (stage != NULL) {
        ck_assert(stage_drawn(stage));
        ck_assert(stage_keys(stage, key));
    }
    return stage;
}

static void assert_shows(struct stage *stage, const char *words)
{
    if (!terminal_shows(stage_terminal(stage), words)) {
        static char all[64 * 1024];
        terminal_text(stage_terminal(stage), all, sizeof all);
        ck_abort_msg("'%s' is not on the screen:\n%s", words, all);
    }
}

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

START_TEST(a_wrong_value_is_told_at_once)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    ck_assert(stage_keys(stage, DOWN "1600"));
    assert_shows(stage, "spacers: 0 to 150 mm"); /* the whole sentence in the hint's line */
    int row, column;
    struct terminal_cell cell;
    ck_assert(terminal_find(terminal, "1600", &row, &column));
    terminal_cell(terminal, row, column, &cell);
    ck_assert_int_eq(cell.background, 227); /* a warning at the field itself */
    /* Enter does not take it, and nothing is lost */
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_int_eq(stage_requests(stage), 0);
    assert_shows(stage, "1600");
    assert_shows(stage, "! spacers: 0 to 150 mm");
    /* mended: it is taken */
    ck_assert(stage_keys(stage, "15" ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: setup 4 spacers=15");
    stage_close(stage);
}
END_TEST

START_TEST(likely_slips_are_asked_about_at_the_field)
{
    static const struct {
        const char *tabs, *typed, *asked;
    } slips[] = {
        {DOWN, "-10", "spacers: 0 to 150 mm: it can't be negative"},
        {DOWN DOWN, "4", "stem length: 20 to 200 mm: in mm, not inches?"},
        {DOWN DOWN, "9,5", "stem length: 20 to 200 mm: in mm, not cm?"},
        {DOWN DOWN, "900", "stem length: 20 to 200 mm"},
        {DOWN DOWN DOWN, "95", "stem angle: -45 to 45 deg: a stem printed 73 or 107 is -17 or 17"},
    };
    for (size_t i = 0; i < sizeof slips / sizeof slips[0]; i++) {
        struct stage *stage = open_form(MADE_LIVE, "n");
        if (stage == NULL) {
            return;
        }
        ck_assert(stage_keys(stage, slips[i].tabs));
        ck_assert(stage_keys(stage, slips[i].typed));
        assert_shows(stage, slips[i].asked);
        ck_assert(stage_keys(stage, ENTER));
        ck_assert_int_eq(stage_requests(stage), 0);
        stage_close(stage);
    }
}
END_TEST

START_TEST(not_a_number_is_told)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, DOWN "12mm5" DOWN));
    ck_assert(stage_keys(stage, ENTER));
    assert_shows(stage, "! spacers: a number, 0 to 150 mm");
    ck_assert_int_eq(stage_requests(stage), 0);
    stage_close(stage);
}
END_TEST

START_TEST(the_cursor_is_where_it_was_left)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    int row, column, row_now, column_now;
    bool visible;
    ck_assert(stage_keys(stage, DOWN DOWN "12\033OD"));
    terminal_cursor(stage_terminal(stage), &row, &column, &visible);
    ck_assert(stage_keys(stage, ESC));
    ck_assert(terminal_wait_text(stage_terminal(stage), "HOLDLINE", 2.0));
    ck_assert(stage_keys(stage, "n"));
    terminal_cursor(stage_terminal(stage), &row_now, &column_now, &visible);
    ck_assert(visible);
    ck_assert_int_eq(row_now, row);
    ck_assert_int_eq(column_now, column);
    ck_assert(stage_keys(stage, "3" ENTER)); /* 1 3 2: goes on where it was */
    ck_assert_str_eq(stage_request(stage, 0), "command: setup 4 stem_length=132");
    stage_close(stage);
}
END_TEST

START_TEST(letters_that_mean_no_choice_are_told)
{
    struct stage *stage = open_form(MADE_LIVE, "3");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, DOWN "b"));
    assert_shows(stage, "'b' begins several: type on");
    assert_shows(stage, "base bar");
    ck_assert(stage_keys(stage, "z"));
    assert_shows(stage, "'bz' is none of them");
    assert_shows(stage, "\u2190 base bar");
    stage_close(stage);
}
END_TEST

START_TEST(a_long_problem_is_not_cut)
{
    struct stage *stage = open_form(MADE_LIVE, "9");
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, ".txt");
    assert_shows(stage, ".csv");
    assert_shows(stage, ".json");
    assert_shows(stage, ".html");
    assert_shows(stage, ".pdf");
    assert_shows(stage, ".svg");
    stage_answer(stage, false,
                 "the file can't be written: there is no folder of that name here; make it first, "
                 "or type a name without a folder and it is put where the program was started");
    ck_assert(stage_keys(stage, ENTER));
    assert_shows(stage, "! the file can't be written");
    assert_shows(stage,
                 "first, or type a name without a folder and it is put where the program was");
    assert_shows(stage, "started");
    stage_close(stage);
}
END_TEST

START_TEST(what_was_is_shown_beside)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, DOWN "15"));
    assert_shows(stage, "was 10");
    ck_assert(!terminal_shows(stage_terminal(stage), "new"));
    ck_assert(stage_keys(stage, DOWN DOWN DOWN "45")); /* the stem clamp's height was not known */
    assert_shows(stage, "45       mm new");
    stage_close(stage);
}
END_TEST

START_TEST(what_moves_is_said_while_it_is_typed)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    ck_assert(!terminal_shows(stage_terminal(stage), "moves:"));
    /* spacers 10 to 0 along a steerer of 73 degrees: 10 sin 73 = 9.6 down, 10 cos 73 = 2.9 forward;
     * spacers are good for 0.5 mm (bike/shift.h), better than a plate */
    ck_assert(stage_keys(stage, DOWN "0"));
    assert_shows(stage, "moves, mm: bars, pads, head, chest down 10, forward 3.");
    assert_shows(stage, "head \u00B10.5, chest \u00B10.5");
    assert_shows(stage, "Good without");
    /* pads by 5 as well, chest on them: 9.6 + 5 down; 0.5 mm each, in quadrature 0.7 */
    struct view *view = stage_lock(stage);
    view->channel[1].mount.carrier = CARRIER_PAD_BRACKET;
    stage_unlock(stage);
    ck_assert(stage_keys(stage, DOWN DOWN DOWN DOWN DOWN "35"));
    assert_shows(stage, "bars, head down 10, forward 3; pads, chest down 15, forward 3.");
    assert_shows(stage, "chest \u00B10.7");
    /* another stem's label: a degree of each of 100 mm, 2.5, with the spacers' 0.5 (and the
     * riser's)
     */
    ck_assert(stage_keys(stage, "\033[Z\033[Z\033[Z-17"));
    assert_shows(stage, "head \u00B12.5, chest \u00B12.6");
    assert_shows(stage, "Read the plate before a bolt is");
    assert_shows(stage, "touched, and after: head, chest");
    view = stage_lock(stage);
    view->channel[0].plate_mm = view->channel[1].plate_mm = 412.0;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "Read the plate after: head, chest");
    /* nothing follows from a value that is refused */
    ck_assert(stage_keys(stage, "999"));
    ck_assert(!terminal_shows(stage_terminal(stage), "moves,"));
    ck_assert(stage_keys(stage, "\025-6"));
    /* a sensor on a stand stays where it is */
    view = stage_lock(stage);
    view->channel[0].mount.carrier = CARRIER_STAND;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "moves, mm: bars down 10, forward 3; pads, chest down 15, forward 3.");
    /* a bar that rolls turns the beam with it: -2 degrees. Where the pads then are needs what was
     * not said of them */
    view = stage_lock(stage);
    view->channel[0].mount.carrier = CARRIER_BASE_BAR;
    view->setup[view->setup_count - 1].bike.value[BIKE_PAD_FORE_AFT] = NAN;
    stage_unlock(stage);
    ck_assert(stage_keys(stage, DOWN DOWN "-2"));
    assert_shows(stage, "Not known: how far the pad bracket moved needs pad fore-aft");
    assert_shows(stage, "Beam turns, aim again: head, chest");
    stage_close(stage);
}
END_TEST

START_TEST(going_back_moves_too)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    /* from setup 3, spacers 10 and pads 40, to setup 1, 30 and 60: 20 sin 73 = 19.1 and 20 more */
    ck_assert(stage_keys(stage, "\033OA"
                                "1"));
    assert_shows(stage, "moves, mm: bars, head, chest up 19, back 6; pads up 39, back 6.");
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

START_TEST(limits_are_entered_and_taken_back)
{
    struct stage *stage = open_form(MADE_LIVE, "8");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, ESC));
    struct view *view = stage_lock(stage);
    view->limits.most[BIKE_SPACERS] = 30.0;
    view->limits.least[BIKE_PAD_RISE] = 15.0;
    view->limits.most[BIKE_PAD_RISE] = 65.0;
    stage_unlock(stage);
    ck_assert(stage_keys(stage, "8"));
    assert_shows(stage, "LIMITS FROM THE MAKERS' PAPERS");
    assert_shows(stage, "pad rise 15..65");
    ck_assert(stage_keys(stage, ENTER));
    assert_shows(stage, "! nothing was changed");
    /* slips: a limit in inches, the wrong way round, words */
    static const char *const slips[] = {"400", "30..5", "..", "thirty", "-5", "30in"};
    ck_assert(stage_keys(stage, DOWN));
    for (size_t i = 0; i < sizeof slips / sizeof slips[0]; i++) {
        ck_assert(stage_keys(stage, "\025"));
        ck_assert(stage_keys(stage, slips[i]));
        assert_shows(stage, "spacers: at most 30, between 5..30, at least 5..; all 0 to 150 mm");
        ck_assert(stage_keys(stage, ENTER));
        ck_assert_int_eq(stage_requests(stage), 0);
    }
    ck_assert(stage_keys(stage, "\025" ENTER)); /* emptied */
    ck_assert_str_eq(stage_request(stage, 0), "command: limits spacers=none");
    stage_close(stage);
}
END_TEST

START_TEST(a_limit_passed_is_told_at_the_field)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    view->limits.most[BIKE_SPACERS] = 30.0;
    view->limits.least[BIKE_PAD_RISE] = 15.0;
    view->limits.most[BIKE_LIMIT_COLUMN] = 65.0;
    stage_unlock(stage);
    ck_assert(stage_keys(stage, DOWN "20"));
    ck_assert(!terminal_shows(stage_terminal(stage), "limit"));
    ck_assert(stage_keys(stage, "\02530.5"));
    assert_shows(stage, "30.5     ! max 30");
    assert_shows(stage, "! spacers 30.5 mm: over the limit entered, 30 mm; cap, spacers and stem");
    assert_shows(stage, "together 70.5 mm: over the limit entered, 65 mm");
    assert_shows(stage, "moves, mm: bars, pads, head, chest up 20, back 6.");
    /* told, not refused: the bike may be like that */
    ck_assert(stage_keys(stage, "\02510" DOWN DOWN DOWN DOWN DOWN "10"));
    assert_shows(stage, "10       ! min 15");
    ck_assert(!terminal_shows(stage_terminal(stage), "over"));
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: setup 4 pad_rise=10");
    stage_close(stage);
}
END_TEST

START_TEST(a_problem_of_the_session_is_shown_in_the_form)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    stage_answer(stage, false, "a hold is in progress: stop it before the bike is changed");
    ck_assert(stage_keys(stage, "bars down" DOWN "5" ENTER));
    ck_assert_int_eq(stage_requests(stage), 1);
    assert_shows(stage, "! a hold is in progress");
    assert_shows(stage, "NEXT SETUP"); /* open, with what was typed */
    assert_shows(stage, "bars down");
    stage_answer(stage, true, "setup 4, build 1");
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 1), "command: setup 4 \"bars down\" spacers=5");
    ck_assert(terminal_wait_text(stage_terminal(stage), "setup 4, build 1", 2.0));
    assert_shows(stage, "HOLDLINE");
    stage_close(stage);
}
END_TEST

START_TEST(escape_keeps_what_was_typed)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "stem 20 lower" DOWN "5"));
    ck_assert(stage_keys(stage, ESC));
    ck_assert(terminal_wait_text(stage_terminal(stage), "HOLDLINE", 2.0));
    ck_assert_int_eq(stage_requests(stage), 0);
    ck_assert(stage_keys(stage, "n"));
    assert_shows(stage, "stem 20 lower");
    assert_shows(stage, "was 10");
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: setup 4 \"stem 20 lower\" spacers=5");
    /* taken: the next time it begins anew */
    ck_assert(stage_keys(stage, "n"));
    ck_assert(!terminal_shows(stage_terminal(stage), "stem 20 lower"));
    stage_close(stage);
}
END_TEST

START_TEST(a_crash_of_the_view_under_a_form_is_none)
{
    /* the view goes on while a form is open, a channel goes away: nothing breaks */
    struct stage *stage = open_form(MADE_LIVE, "w");
    if (stage == NULL) {
        return;
    }
    for (int i = 0; i < 20; i++) {
        stage_step(stage, 0.1);
    }
    assert_shows(stage, "THE BAND");
    ck_assert(stage_keys(stage, "15"));
    for (int i = 0; i < 20; i++) {
        stage_step(stage, 0.1);
    }
    assert_shows(stage, "head, above 15");
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
    ck_assert(terminal_wait_text(stage_terminal(stage), "HOLDLINE", 2.0));
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
    ck_assert(terminal_wait_text(stage_terminal(stage), "HOLDLINE", 2.0));
    stage_close(stage);
}
END_TEST

START_TEST(refusals_of_the_forms)
{
    static const struct {
        const char *form, *keys, *words;
    } refusals[] = {
        {"n",
         "\033OA"
         "2" DOWN DOWN "new" ENTER,
         "setup 2 is there already"},
        {"n", "\033OA" DOWN "7" ENTER, "there is no setup of that number"},
        {"n", DOWN ERASE ERASE ENTER, "spacers was 10: type what it is now"},
        {"1", ERASE ERASE ERASE ERASE ENTER, "code: must be filled in"},
        {"o", ENTER, "note: must be filled in"},
        {"u", ENTER, "reason: say why"},
        {"r", ENTER, "nothing was asked yet"},
        {"r", "11" ENTER, "effort: 0 to 10"},
        {"r", "4.5" ENTER, "effort: a whole number, 0 to 10"},
        {"5", ENTER, "nothing was changed"},
        {"m", ENTER, "type the height of at least one sensor"},
        {"w", "1" ENTER, "2 to 300 mm, or none"},
        {"n", DOWN "5cm" ENTER, "spacers: type it in mm, 0 to 150 mm"},
        {"2", DOWN "100" DOWN, "! 300-800"}, /* beside the field, not cut */
        {"2", DOWN "1in" DOWN, "! in mm"},
        {"2", DOWN "x" DOWN, "! number"},
        {"r", "11" DOWN, "! 0"},
        {"6", ENTER, "nothing was changed"},
        {"7", "\033OC\033OC" ENTER, "block's thickness: measure it"}, /* a step */
        {"7", DOWN DOWN "25" ENTER, "block's thickness: for a step or a beam"},
        {"7", "cal" DOWN DOWN DOWN "200" ENTER, "two or more from the sensor to the plate"},
        {"7", "cal" DOWN DOWN DOWN "near far" ENTER, "known distances: in mm"},
        {"7", "beam" DOWN "\033OD" ENTER, "sensor: say which"},
        {"7", DOWN DOWN DOWN DOWN "0" ENTER, "1 to 36000 s"},
    };
    for (size_t r = 0; r < sizeof refusals / sizeof refusals[0]; r++) {
        struct stage *stage = open_form(MADE_LIVE, refusals[r].form);
        if (stage == NULL) {
            return;
        }
        ck_assert(stage_keys(stage, refusals[r].keys));
        ck_assert_msg(stage_requests(stage) == 0, "%s", stage_request(stage, 0));
        assert_shows(stage, refusals[r].words);
        stage_close(stage);
    }
}
END_TEST

START_TEST(editing)
{
    struct stage *stage = open_form(MADE_LIVE, "o");
    if (stage == NULL) {
        return;
    }
    /* left, insert, erase before and under, home, end; characters of several bytes as one */
    ck_assert(stage_keys(stage, "abd"));
    ck_assert(stage_keys(stage, "\033OD"
                                "c")); /* abcd */
    ck_assert(stage_keys(stage, "\033OH"
                                "\u00E9")); /* éabcd */
    ck_assert(stage_keys(stage, "\033OF"
                                "\u65E5" ERASE)); /* the wide one goes whole */
    ck_assert(stage_keys(stage, "\033OH"
                                "\033[3~")); /* abcd */
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: note abcd");
    stage_close(stage);
}
END_TEST

START_TEST(long_text_scrolls_and_is_cut_at_its_place)
{
    struct stage *stage = open_form(MADE_LIVE, "o");
    if (stage == NULL) {
        return;
    }
    char typed[400];
    memset(typed, 'x', sizeof typed);
    typed[sizeof typed - 1] = '\0';
    ck_assert(stage_keys(stage, typed));
    int row, column;
    bool visible;
    terminal_cursor(stage_terminal(stage), &row, &column, &visible);
    ck_assert(visible);
    ck_assert_int_lt(column, 80);
    ck_assert(stage_keys(stage, ENTER));
    /* as long as a note may be: 255 letters */
    ck_assert_uint_eq(strlen(stage_request(stage, 0)), strlen("command: note ") + 255);
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
    static const struct {
        int rows, columns;
    } sizes[] = {{12, 40}, {24, 80}, {40, 120}, {60, 200}};
    for (size_t s = 0; s < 4; s++) {
        for (size_t k = 0; k < sizeof keys / sizeof keys[0]; k++) {
            struct terminal_settings settings = {.rows = sizes[s].rows,
                                                 .columns = sizes[s].columns};
            struct stage *stage = stage_open(&settings, MADE_MANY);
            if (stage == NULL) {
                return;
            }
            ck_assert(stage_drawn(stage));
            ck_assert(stage_keys(stage, keys[k]));
            assert_shows(stage, "Esc back");
            /* every field can be reached, and the cursor stands in it */
            for (int i = 0; i < 24; i++) {
                int row, column;
                bool visible;
                ck_assert(stage_keys(stage, DOWN));
                terminal_cursor(stage_terminal(stage), &row, &column, &visible);
                ck_assert(visible);
                ck_assert_int_ge(row, 2);
                ck_assert_int_lt(row, sizes[s].rows - 3);
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
    tcase_add_test(tcase, a_wrong_value_is_told_at_once);
    tcase_add_test(tcase, likely_slips_are_asked_about_at_the_field);
    tcase_add_test(tcase, not_a_number_is_told);
    tcase_add_test(tcase, the_cursor_is_where_it_was_left);
    tcase_add_test(tcase, letters_that_mean_no_choice_are_told);
    tcase_add_test(tcase, a_long_problem_is_not_cut);
    tcase_add_test(tcase, what_was_is_shown_beside);
    tcase_add_test(tcase, what_moves_is_said_while_it_is_typed);
    tcase_add_test(tcase, going_back_moves_too);
    tcase_add_test(tcase, an_earlier_session_is_looked_at_and_taken);
    tcase_add_test(tcase, limits_are_entered_and_taken_back);
    tcase_add_test(tcase, a_limit_passed_is_told_at_the_field);
    tcase_add_test(tcase, a_problem_of_the_session_is_shown_in_the_form);
    tcase_add_test(tcase, escape_keeps_what_was_typed);
    tcase_add_test(tcase, a_crash_of_the_view_under_a_form_is_none);
    tcase_add_test(tcase, several_lines_go_one_by_one);
    tcase_add_test(tcase, sensors_one_after_the_other);
    tcase_add_test(tcase, refusals_of_the_forms);
    tcase_add_test(tcase, editing);
    tcase_add_test(tcase, long_text_scrolls_and_is_cut_at_its_place);
    tcase_add_test(tcase, next_step_opens_the_form_it_needs);
    tcase_add_test(tcase, forms_fit_everywhere);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
