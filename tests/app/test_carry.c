/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* An earlier session carried over into a new one: its bike, setups, sensors and target. */

#include "app/carry.h"
#include "base/text.h"
#include "store/store.h"
#include "support/json_reader.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RIG "virtual:steady?speed=max&seed=11"

/* The chest's sensor was never said to be at a height. */
static const char first_session[] =
    "session 2026-01-10T18:00:00Z seed=7\n"
    "rider R-02 \"winter group\" watch_for=\"left \\\"knee\\\"\"\n"
    "bike \"training bike\" stack=545 reach=410 head_angle=73 spacers=20 stem_length=100 "
    "stem_angle=-6 pad_rise=60 pad_fore_aft=-20\n"
    "sensor head carrier=base_bar x=110 y=40.5 tilt=2 mark=\"chin strap\" gain=1.01 offset=-3\n"
    "sensor chest carrier=base_bar x=-60 mark=\"chest strap\"\n"
    "matters head=3 chest=4\nslope 18\nlimits spacers=25 pad_rise=5..65 column=20..\n"
    "torque stem_clamp=5.5 pads=4\n"
    "setup 1 \"as it came\"\n"
    "target\nband head=+12/-20 chest=+10/none\n"
    "hold 30s free\n"
    "setup 2 \"spacers \\\"out\\\"\" spacers=0.5\n"
    "hold 30s free\nend\n";

static void must(struct program_result result)
{
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    program_free(&result);
}

static void run(const char *folder, const char *script, const char *rig)
{
    program_write_file(folder, "script.txt", script);
    must(program_run(folder, NULL,
                     (const char *const[]){"run", "script.txt", rig, "--store", "s.db", NULL}));
}

static struct session_record *load(const char *folder, int64_t id)
{
    char path[400];
    struct problem problem = {0};
    struct session_record *record = malloc(sizeof *record);
    snprintf(path, sizeof path, "%s/s.db", folder);
    struct store *store = store_open(path, STORE_READ, &problem);
    ck_assert_msg(store != NULL && store_load(store, id, record, &problem), "%s", problem.sentence);
    store_close(store);
    return record;
}

static const char *note_with(const struct session_record *record, const char *part)
{
    for (int i = 0; i < record->note_count; i++) {
        if (strstr(record->note[i].text, part) != NULL) {
            return record->note[i].text;
        }
    }
    return NULL;
}

START_TEST(a_new_session_begins_where_the_earlier_one_ended)
{
    const char *folder = program_folder();
    run(folder, first_session, RIG);
    run(folder,
        "session 2026-02-10T18:00:00Z seed=8\ncarry last\nhold 30s free\nsetup 1\nhold 30s "
        "guided\nend\n",
        "virtual:steady?speed=max&seed=12");
    struct session_record *then = load(folder, 1), *now = load(folder, 2);
    ck_assert_str_eq(now->rider.code, "R-02");
    ck_assert_str_eq(now->rider.name, "winter group");
    ck_assert_str_eq(now->rider.watch_for, "left \"knee\"");
    ck_assert_str_eq(now->bike.name, "training bike");
    ck_assert(bike_values_equal(&now->bike.frame, &then->bike.frame));
    ck_assert_int_eq(now->setup_count, then->setup_count);
    for (int s = 0; s < then->setup_count; s++) {
        ck_assert_int_eq(now->setup[s].number, then->setup[s].number);
        ck_assert_str_eq(now->setup[s].intent, then->setup[s].intent);
        ck_assert(bike_values_equal(&now->setup[s].bike, &then->setup[s].bike));
    }
    /* the setup that was built last is on the bike */
    ck_assert_int_eq(now->setup[now->build[0].setup].number, 2);
    ck_assert_int_eq(now->settings.baseline_setup, 2);
    ck_assert(now->settings.trunk_slope_deg == 18.0 && now->settings.matters_mm[1] == 4.0);
    ck_assert_int_eq(bike_limits_entered(&now->limits), 4);
    ck_assert_mem_eq(&now->limits, &then->limits, sizeof now->limits);
    ck_assert_int_eq(bike_torques_entered(&now->torques), 2);
    ck_assert_mem_eq(&now->torques, &then->torques, sizeof now->torques);
    for (int c = 0; c < 2; c++) {
        const struct channel_record *a = &then->placing[0].channel[c],
                                    *b = &now->placing[0].channel[c];
        ck_assert_str_eq(a->name, b->name);
        ck_assert_str_eq(a->mark, b->mark);
        ck_assert(a->mount.carrier == b->mount.carrier && a->mount.x_mm == b->mount.x_mm);
        ck_assert(a->mount.tilt_deg == b->mount.tilt_deg && a->gain == b->gain);
        ck_assert(a->offset_mm == b->offset_mm && a->mount.direction == b->mount.direction);
    }
    ck_assert(now->placing[0].channel[0].mount.y_mm == 40.5);
    ck_assert(isnan(now->placing[0].channel[1].mount.y_mm));
    /* the head's target with a band; the chest's sensor was at no known height */
    ck_assert_int_eq(now->target_count, 1);
    ck_assert(isfinite(now->target[0].entered_mm[0]) && isnan(now->target[0].entered_mm[1]));
    ck_assert(now->band_count == 1 && now->band[0].limited[0] && !now->band[0].limited[1]);
    ck_assert(now->band[0].cue[0].band_above_mm == 12.0);
    ck_assert(now->band[0].cue[0].band_below_mm == 20.0);
    const char *note = note_with(now, "chest");
    ck_assert_msg(note != NULL && strstr(note, "not tied") != NULL && strstr(note, "tape") != NULL,
                  "%s", note != NULL ? note : "no note on the chest");
    ck_assert_ptr_nonnull(note_with(now, "measure it again"));
    free(then);
    free(now);
    program_folder_remove(folder);
}
END_TEST

/* The target's own half-width (a), the sensor's place on the bars by tape in each session (2 mm
 * each, TIE: MOUNT_U_MM), the spacers that were taken out in between (0.5 mm):
 * sqrt(a^2 + (1.96^2)(2^2 + 2^2 + 0.5^2)), rounded up to a tenth. With 'tape' in both sessions the
 * same 2 mm stand for a tape reading; the parts' doubt of 0.5 mm comes once: from the build that
 * was not read. */
START_TEST(a_carried_target_is_as_good_as_both_placings)
{
    const char *folder = program_folder();
    run(folder, first_session, RIG);
    run(folder, "session 2026-02-10T18:00:00Z seed=8\ncarry last on=1\nend\n", RIG);
    run(folder, "session 2026-03-10T18:00:00Z seed=9\ncarry 1 on=2\nend\n", RIG);
    must(program_run(folder, NULL,
                     (const char *const[]){"export", "1", "one.json", "--store", "s.db", NULL}));
    char *json = program_read_file(folder, "one.json", NULL);
    char *targets = strstr(json, "\"targets\"");
    ck_assert_ptr_nonnull(targets);
    double height = strtod(strstr(targets, "\"height_mm\": ") + 13, NULL);
    double own = strtod(strstr(targets, "\"half_width_mm\": ") + 17, NULL);
    ck_assert(own > 0.1 && own < 5.0);
    const double parts[] = {0.0, 0.5};
    for (int i = 0; i < 2; i++) {
        struct session_record *now = load(folder, 2 + i);
        double u = sqrt(2.0 * 2.0 + 2.0 * 2.0 + parts[i] * parts[i]);
        double expected = sqrt(own * own + 1.96 * 1.96 * u * u);
        double given = now->target[0].entered_half_width_mm[0];
        ck_assert_msg(given >= expected - 1e-9 && given <= expected + 0.1001, "%g for %g", given,
                      expected);
        ck_assert(fabs(now->target[0].entered_mm[0] - height) <= 0.0501);
        free(now);
    }
    free(json);
    program_folder_remove(folder);
}
END_TEST

START_TEST(a_target_can_be_carried_once_its_sensor_is_known)
{
    const char *folder = program_folder();
    run(folder,
        "session 2026-01-10T18:00:00Z seed=7\n"
        "bike \"b\" stack=545 reach=410 head_angle=73 spacers=20 stem_length=100 stem_angle=-6\n"
        "sensor head carrier=base_bar x=110\nsensor chest carrier=stand x=0 y=300\n"
        "tape head=640\ntarget head=900\nend\n",
        RIG);
    run(folder,
        "session 2026-02-10T18:00:00Z seed=8\ncarry last\nwait 1s\ntape head=642\ncarry 1 "
        "target\nend\n",
        RIG);
    struct session_record *now = load(folder, 2);
    ck_assert_int_eq(now->target_count, 1); /* the first time it was left out, and said so */
    const char *note = note_with(now, "head target");
    ck_assert_msg(note != NULL && strstr(note, "tape head=") != NULL, "%s",
                  note != NULL ? note : "no note");
    /* two tape readings of 2 mm: 1.96 sqrt(8) = 5.54 */
    ck_assert_msg(fabs(now->target[0].entered_half_width_mm[0] - 5.6) < 1e-9, "%g",
                  now->target[0].entered_half_width_mm[0]);
    free(now);
    program_folder_remove(folder);
}
END_TEST

START_TEST(a_carried_session_is_replayed_without_the_earlier_one)
{
    const char *folder = program_folder();
    run(folder, first_session, RIG);
    run(folder, "session 2026-02-10T18:00:00Z seed=8\ncarry last\nhold 30s guided\nend\n", RIG);
    must(program_run(folder, NULL,
                     (const char *const[]){"export", "2", "a.json", "--store", "s.db", NULL}));
    char *whole = program_read_file(folder, "a.json", NULL);
    must(program_run(
        folder, NULL,
        (const char *const[]){"replay", "2", "--export", "b.json", "--store", "s.db", NULL}));
    char *again = program_read_file(folder, "b.json", NULL);
    ck_assert_str_eq(whole, again);
    ck_assert_ptr_null(strstr(whole, "\"carry"));
    free(whole);
    free(again);
    program_folder_remove(folder);
}
END_TEST

/* Two holds on each setup, so that their heights have intervals. */
static const char two_holds_each[] =
    "session 2026-01-10T18:00:00Z seed=7\n"
    "rider R-02 \"winter group\"\n"
    "bike \"training bike\" stack=545 reach=410 head_angle=73 spacers=20 stem_length=100 "
    "stem_angle=-6 pad_rise=60 pad_fore_aft=-20\n"
    "sensor head carrier=base_bar x=110 y=40.5 tilt=2\n"
    "sensor chest carrier=base_bar x=-60\n"
    "setup 1 \"as it came\"\n"
    "target\nband head=+12/-20 chest=+10/none\n"
    "hold 30s free\nhold 30s free\n"
    "limits spacers=25\n"
    "torque stem_clamp=5.5\n"
    "setup 2 \"spacers out\" spacers=0.5\n"
    "hold 30s free\nhold 30s free\nend\n";

/* What is known of a setup's mean to 95 %, with the sensor's place by tape in both sessions (2 mm
 * each, bike/tie.h) and doubts of the parts in between. */
static int here_mm(const struct json_value *json, int setup, double parts_variance)
{
    char path[80];
    snprintf(path, sizeof path, "comparison/free_heights/0/setups/%d/half_width", setup);
    double half = json_number_at(json, path);
    return (int)ceil(sqrt(half * half + 1.96 * 1.96 * (2.0 * 2.0 + 2.0 * 2.0 + parts_variance)));
}

static int mean_mm(const struct json_value *json, int setup)
{
    char path[80];
    snprintf(path, sizeof path, "comparison/free_heights/0/setups/%d/mean", setup);
    return (int)lround(json_number_at(json, path));
}

START_TEST(a_look_says_what_would_come_and_takes_nothing)
{
    const char *folder = program_folder();
    char error[160], wanted[200];
    run(folder, two_holds_each, RIG);
    must(program_run(folder, NULL,
                     (const char *const[]){"export", "1", "one.json", "--store", "s.db", NULL}));
    char *text = program_read_file(folder, "one.json", NULL);
    struct json_value *json = json_read(text, error);
    ck_assert_ptr_nonnull(json);
    program_write_file(folder, "look.txt",
                       "session 2026-02-10T18:00:00Z seed=8\ncarry last look\nend\n");
    struct program_result result = program_run(
        folder, NULL, (const char *const[]){"run", "look.txt", RIG, "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    const char *told = result.output;
    ck_assert_ptr_nonnull(strstr(told, "R-02, training bike; on the bike now: setup 2, spacers"));
    ck_assert_ptr_nonnull(strstr(told, "sensors: head (base bar), chest (base bar)"));
    /* setup 1's build was the first; from there to setup 2, which is on the bike now: the spacers'
     * 0.5 mm. Setup 2 then: the same from its own first build, with the 0.3 mm of putting together
     */
    snprintf(wanted, sizeof wanted, "setup 1, as it came: head %d \u00B1%d mm, chest not tied\n",
             mean_mm(json, 0), here_mm(json, 0, 0.5 * 0.5));
    ck_assert_msg(strstr(told, wanted) != NULL, "no '%s' in: %s", wanted, told);
    snprintf(wanted, sizeof wanted, "setup 2, spacers out: head %d \u00B1%d mm, chest not tied\n",
             mean_mm(json, 1), here_mm(json, 1, 0.5 * 0.5 + 0.5 * 0.5 + 0.3 * 0.3));
    ck_assert_msg(strstr(told, wanted) != NULL, "no '%s' in: %s", wanted, told);
    double own = ceil(json_number_at(json, "targets/0/channels/0/half_width_mm") * 10.0) / 10.0;
    snprintf(wanted, sizeof wanted, " mm, \u00B1%.1f then (of 2026-01-10)\n", own);
    ck_assert_msg(strstr(told, wanted) != NULL, "no '%s' in: %s", wanted, told);
    ck_assert_ptr_nonnull(strstr(told, "the chest target of 2026-01-10: not tied"));
    ck_assert_ptr_nonnull(strstr(told, "its band: head=+12/-20\n"));
    ck_assert_ptr_nonnull(strstr(told, "limits from the makers' papers: 1\n"));
    ck_assert_ptr_nonnull(strstr(told, "torques of bolts: 1\n"));
    struct session_record *now = load(folder, 2);
    ck_assert(!now->has_rider && !now->has_bike && now->setup_count == 0 && now->note_count == 0);
    free(now);
    json_free(json);
    free(text);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

#define WAIT_S 20.0

static void must_show(struct terminal *terminal, const char *text)
{
    if (!terminal_wait_text(terminal, text, WAIT_S)) {
        static char all[16 * 1024];
        terminal_text(terminal, all, sizeof all);
        ck_abort_msg("'%s' is not on the screen:\n%s", text, all);
    }
}

static void must_not_show(struct terminal *terminal, const char *text)
{
    ck_assert_msg(terminal_wait_gone(terminal, text, WAIT_S), "'%s' is on the screen", text);
}

/* A new live session beside an earlier one in the store; NULL: skipped. */
static struct terminal *live_beside_an_earlier(const char *folder)
{
    char store[512];
    run(folder, two_holds_each, RIG);
    snprintf(store, sizeof store, "%s/s.db", folder);
    const char *const arguments[] = {
        program_path(), "live", "virtual:steady?seed=5", "--store", store, "--new", NULL};
    const struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct terminal *terminal = terminal_start(&settings, arguments);
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return NULL;
    }
    must_show(terminal, "HEAD");
    return terminal;
}

/* By keys: the form begins with the latest earlier session, Enter looks, Enter takes. */
START_TEST(the_live_session_takes_an_earlier_one_over_by_keys)
{
    const char *folder = program_folder();
    struct terminal *terminal = live_beside_an_earlier(folder);
    if (terminal == NULL) {
        return;
    }
    must_show(terminal, "(key 1; as before: 0)");
    terminal_send(terminal, "0");
    must_show(terminal, "1  2026-01-10  R-02  training bike, 2 setups, 4 holds");
    terminal_send(terminal, "\r");
    must_show(terminal, "target carried over: head");
    must_show(terminal, "on the bike now: setup 2, spacers out");
    /* with setup 1 on the bike: another look */
    terminal_send(terminal, "\t1");
    must_show(terminal, "1  2026-01-10  R-02");
    terminal_send(terminal, "\r");
    must_show(terminal, "on the bike now: setup 1, as it came");
    terminal_send(terminal, "\r");
    must_show(terminal, "SETUP 1  as it came");
    must_show(terminal, "how many minutes are booked?");
    must_show(terminal, "2 spacers out      0     no free hold yet"); /* not on the bike */
    /* once more: the target alone, since there is a bike by now; all of it is refused at the form
     */
    terminal_send(terminal, "0");
    must_show(terminal, "target only");
    terminal_send(terminal, "\t\tall\r");
    must_show(terminal, "this session has a bike and setups of its own already");
    terminal_send(terminal, "\033");
    must_show(terminal, "HEAD");
    /* another rider's sessions are not offered */
    terminal_send(terminal, "1R-09\r");
    must_show(terminal, "Enter again takes it"); /* the target is R-02's */
    terminal_send(terminal, "\r");
    must_show(terminal, "HEAD");
    terminal_send(terminal, "0");
    must_show(terminal, "no earlier session with a bike of R-09");
    terminal_send(terminal, "\033");
    must_show(terminal, "HEAD");
    terminal_send(terminal, "qy");
    int status = 0;
    ck_assert(terminal_wait_end(terminal, &status, WAIT_S) && status == 0);
    terminal_end(terminal);
    struct session_record *now = load(folder, 2);
    ck_assert_int_eq(now->setup_count, 2);
    ck_assert_int_eq(now->build_count, 1);
    ck_assert_int_eq(now->setup[now->build[0].setup].number, 1);
    ck_assert(now->target_count == 1 && now->band_count == 1);
    ck_assert_int_eq(bike_limits_entered(&now->limits), 1);
    free(now);
    program_folder_remove(folder);
}
END_TEST

/* A rider's code alone tells that there is an earlier session, on the screen and on the form that
 * comes next; of one who was never here nothing is said. */
START_TEST(a_rider_who_was_here_before_is_known_again)
{
    const char *folder = program_folder();
    struct terminal *terminal = live_beside_an_earlier(folder);
    if (terminal == NULL) {
        return;
    }
    terminal_send(terminal, "1R-09\r");
    must_show(terminal, "how many minutes are booked?");
    must_show(terminal, "R-09");
    must_show(terminal, "no setup entered yet");
    must_not_show(terminal, "was here");
    terminal_send(terminal, "1r2\r");
    must_show(terminal, "r2 is new, R-02 was here on 10 January 2026: the same rider? then key 1");
    terminal_send(terminal, "1R-02\r");
    must_show(terminal, "R-02 was here on 10 January 2026: key 0 shows what can be taken over");
    terminal_send(terminal, " ");
    must_show(terminal, "MINUTES BOOKED");
    must_show(terminal, "R-02 was here on 10 January 2026");
    terminal_send(terminal, "60\r");
    must_show(terminal, "the bike's measures");
    terminal_send(terminal, "0");
    must_show(terminal, "1  2026-01-10  R-02");
    terminal_send(terminal, "\r");
    must_show(terminal, "on the bike now: setup 2");
    terminal_send(terminal, "\r");
    must_show(terminal, "SETUP 2  spacers out");
    must_not_show(terminal, "was here");
    terminal_send(terminal, "qy");
    int status = 0;
    ck_assert(terminal_wait_end(terminal, &status, WAIT_S) && status == 0);
    terminal_end(terminal);
    program_folder_remove(folder);
}
END_TEST

START_TEST(what_cannot_be_carried_is_said)
{
    static const struct {
        const char *line, *part;
    } cases[] = {
        {"carry", "carry: say which session"},
        {"carry 99", "99"},
        {"carry last on=7", "no setup 7"},
        {"carry last on=x", "on=x"},
        {"carry last everything", "everything"},
        {"rider R-02 \"a\"\nbike \"b\" stack=545\ncarry last",
         "bike and setups of its own already"},
        {"carry last target", "bike and the sensors first"},
        {"carry last target look", "bike and the sensors first"},
        {"rider R-02 \"a\"\nbike \"b\" stack=545\ncarry last look", "bike and setups of its own"},
        {"rider R-03 \"b\"\ncarry 1", "that session is of R-02, this one of R-03"},
        {"rider R-02 \"a\"\nend\ncarry 1", "the session has ended"},
    };
    const char *folder = program_folder();
    run(folder, first_session, RIG);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char script[400];
        snprintf(script, sizeof script, "session 2026-02-10T18:00:00Z seed=8\n%s\n", cases[i].line);
        program_write_file(folder, "s.txt", script);
        struct program_result result = program_run(
            folder, NULL, (const char *const[]){"run", "s.txt", "--store", "s.db", NULL});
        ck_assert_msg(result.status == 1 && strstr(result.errors, cases[i].part) != NULL,
                      "'%s' gives %d: %s", cases[i].line, result.status, result.errors);
        program_free(&result);
    }
    struct program_result live = program_run(
        folder, NULL, (const char *const[]){"live", RIG, "--store", "s.db", "--carry", "99", NULL});
    ck_assert_msg(live.status == 1 && strstr(live.errors, "99") != NULL, "%s", live.errors);
    program_free(&live);
    live =
        program_run(folder, NULL,
                    (const char *const[]){"live", RIG, "--store", "s.db", "--on-bike", "2", NULL});
    ck_assert_msg(live.status == 2 && strstr(live.errors, "--carry") != NULL, "%s", live.errors);
    program_free(&live);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("carry");
    TCase *tests = tcase_create("carry");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, a_new_session_begins_where_the_earlier_one_ended);
    tcase_add_test(tests, a_carried_target_is_as_good_as_both_placings);
    tcase_add_test(tests, a_target_can_be_carried_once_its_sensor_is_known);
    tcase_add_test(tests, a_carried_session_is_replayed_without_the_earlier_one);
    tcase_add_test(tests, a_look_says_what_would_come_and_takes_nothing);
    tcase_add_test(tests, the_live_session_takes_an_earlier_one_over_by_keys);
    tcase_add_test(tests, a_rider_who_was_here_before_is_known_again);
    tcase_add_test(tests, what_cannot_be_carried_is_said);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
