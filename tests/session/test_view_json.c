/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What watchers of a live session read. */
#include "base/json_read.h"
#include "base/text.h"
#include "session/view_json.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A view of a setup of its own. */
static struct view *a_view(int setup, int ordinal)
{
    struct view *view = calloc(1, sizeof *view);
    struct snapshot *snapshot = calloc(1, sizeof *snapshot);
    ck_assert(view != NULL && snapshot != NULL);
    snapshot_begin(snapshot);
    view->snapshot = snapshot;
    snapshot->build = 0;
    snapshot->record.build[0] = (struct build_record){.setup = 0, .ordinal = ordinal};
    snapshot->record.setup[0].number = setup;
    return view;
}

static struct snapshot *of(struct view *view)
{
    return (struct snapshot *)view->snapshot;
}

static void name_sensor(struct view *view, int channel, const char *name)
{
    struct channel_record *sensor = &of(view)->record.placing[0].channel[channel];
    of(view)->placing = 0;
    snprintf(sensor->name, sizeof sensor->name, "%s", name);
}

static void forget(struct view *view)
{
    free(of(view));
    free(view);
}

START_TEST(a_view_comes_back_from_its_json)
{
    struct view *view = a_view(3, 2), *back = a_view(9, 9);
    char *line = NULL;
    size_t length = 0;
    view->phase = VIEW_HOLD;
    view->session_s = 61.25;
    struct session_record *record = &of(view)->record;
    snprintf(record->rider.code, sizeof record->rider.code, "R-07 \"x\"");
    snprintf(record->setup[0].intent, sizeof record->setup[0].intent, "pads down");
    view->hold_number = 5;
    view->guided = true;
    view->sit_up = true;
    view->alone = view->guess_due = true;
    view->ride = (struct view_ride){
        .on = true, .open = true, .rest = true, .up_times = 2, .up_s = 31.5, .count = 2};
    view->ride.minute[0] = (struct view_ride_minute){.minute = 2, .in_band_share = NAN};
    view->ride.minute[1] =
        (struct view_ride_minute){.minute = 1, .in_band_share = 0.875, .up_s = 31.5, .sounds = 3};
    view->elapsed_s = 12.5;
    view->planned_s = 60.0;
    view->health.silent = true;
    view->channel_count = 2;
    view->asked_channel = 1;
    for (int c = 0; c < 2; c++) {
        struct view_channel *channel = &view->channel[c];
        name_sensor(view, c, c == 0 ? "head" : "chest");
        channel->cue = c == 0 ? CUE_IN : CUE_HIGH;
        channel->shown_mm = 884.2 + c;
        channel->slow_mm = 884.0;
        channel->quick_mm = NAN;
        channel->has_target = channel->has_band = true;
        channel->target_mm = 880.0;
        channel->band_above_mm = 10.0;
        channel->band_below_mm = c == 0 ? 20.0 : INFINITY;
        channel->in_band_share = 0.934;
        channel->creep_mm_per_min = NAN;
    }
    FILE *stream = open_memstream(&line, &length);
    view_json_write(view, stream);
    fclose(stream);
    ck_assert_ptr_nonnull(strchr(line, '\n'));
    ck_assert_ptr_eq(strchr(line, '\n'), line + length - 1);
    struct problem problem = {0};
    ck_assert_msg(view_json_read(line, length, back, of(back), &problem), "%s", problem.sentence);
    ck_assert_int_eq(back->phase, VIEW_HOLD);
    ck_assert_str_eq(back->snapshot->record.rider.code, "R-07 \"x\"");
    ck_assert_int_eq(snapshot_setup_number(back->snapshot), 3);
    ck_assert_int_eq(snapshot_build_ordinal(back->snapshot), 2);
    ck_assert_str_eq(snapshot_setup(back->snapshot)->intent, "pads down");
    ck_assert(back->guided && back->alone && back->guess_due && back->sit_up);
    ck_assert(back->ride.on && back->ride.open && back->ride.rest && !back->ride.sat_up);
    ck_assert_int_eq(back->ride.up_times, 2);
    ck_assert_double_eq_tol(back->ride.up_s, 31.5, 1e-9);
    ck_assert_int_eq(back->ride.count, 2);
    ck_assert(isnan(back->ride.minute[0].in_band_share));
    ck_assert_int_eq(back->ride.minute[1].minute, 1);
    ck_assert_double_eq_tol(back->ride.minute[1].in_band_share, 0.875, 1e-9);
    ck_assert_int_eq(back->ride.minute[1].sounds, 3);
    ck_assert_double_eq_tol(back->elapsed_s, 12.5, 1e-9);
    ck_assert(back->health.silent && !back->health.link_down);
    ck_assert_int_eq(back->channel_count, 2);
    ck_assert_int_eq(back->asked_cue, CUE_HIGH);
    ck_assert_str_eq(snapshot_channel(back->snapshot, 1)->name, "chest");
    ck_assert_double_eq_tol(back->channel[1].shown_mm, 885.2, 1e-9);
    ck_assert(isnan(back->channel[0].quick_mm));
    ck_assert(isinf(back->channel[1].band_below_mm));
    ck_assert_double_eq_tol(back->channel[0].band_below_mm, 20.0, 1e-9);
    char status[128];
    view_status_line(back, status, sizeof status);
    ck_assert_str_eq(status, "3 hold 12/60s head +4 chest +5^");
    view_forget_live(back); /* the link went down: no number, and no cue, is of now */
    ck_assert_int_eq(back->asked_cue, CUE_NO_READING);
    for (int c = 0; c < 2; c++) {
        const struct view_channel *channel = &back->channel[c];
        ck_assert_int_eq(channel->cue, CUE_NO_READING);
        ck_assert_int_eq(channel->seen, CUE_NO_READING);
        ck_assert(isnan(channel->shown_mm) && isnan(channel->slow_mm) && isnan(channel->quick_mm));
        ck_assert_double_eq_tol(channel->target_mm, 880.0, 1e-9);
        ck_assert_double_eq_tol(channel->in_band_share, 0.934, 1e-9); /* of the hold so far */
        ck_assert(isnan(back->check.range_mm[c]) && isnan(back->check.sent_mm[c]));
    }
    free(line);
    forget(view);
    forget(back);
}
END_TEST

START_TEST(every_phase_comes_back)
{
    static const char *const words[] = {"waiting", "live",  "settling", "hold",
                                        "target",  "plate", "check",    "ended"};
    struct view *view = a_view(1, 1), *back = a_view(1, 1);
    for (int phase = VIEW_WAITING; phase <= VIEW_ENDED; phase++) {
        char *line = NULL;
        size_t length = 0;
        struct problem problem = {0};
        view->phase = (enum view_phase)phase;
        FILE *stream = open_memstream(&line, &length);
        view_json_write(view, stream);
        fclose(stream);
        ck_assert_msg(view_json_read(line, length, back, of(back), &problem), "phase %d: %s", phase,
                      problem.sentence);
        ck_assert_int_eq(back->phase, phase);
        char member[40];
        snprintf(member, sizeof member, "\"phase\":\"%s\"", words[phase]);
        ck_assert_msg(strstr(line, member) != NULL, "%s: %s", member, line);
        free(line);
    }
    forget(view);
    forget(back);
}
END_TEST

START_TEST(the_line_has_40_cells_at_most)
{
    static const char *const names[] = {"head", "breastbone", "\u80F8\u90E8\u4E2D\u592E",
                                        "te\u0302te"};
    struct view *view = a_view(99, 1);
    int longest = 0;
    view->elapsed_s = view->planned_s = view->countdown_s = 7200.0;
    view->channel_count = 2;
    for (int phase = 0; phase <= VIEW_ENDED; phase++) {
        for (size_t n = 0; n < sizeof names / sizeof names[0]; n++) {
            char text[256];
            view->phase = (enum view_phase)phase;
            for (int c = 0; c < 2; c++) {
                struct view_channel *channel = &view->channel[c];
                name_sensor(view, c, names[n]);
                channel->has_target = true;
                channel->shown_mm = 2000.0;
                channel->target_mm = 3000.0;
                channel->cue = CUE_LOW;
            }
            view_status_line(view, text, sizeof text);
            longest = text_width(text) > longest ? text_width(text) : longest;
            ck_assert_msg(text_width(text) <= 40, "%d cells: %s", text_width(text), text);
            ck_assert_msg(strstr(text, "99 ") == text, "%s", text);
            for (const char *at = text; *at != '\0';) { /* no character is cut in two */
                uint32_t character = 0;
                at += text_decode(at, strlen(at), &character);
                ck_assert_msg(character != 0xFFFD, "%s", text);
            }
        }
    }
    ck_assert_int_eq(longest, 40);
    view->phase = VIEW_HOLD;
    of(view)->record.setup[0].number = 3;
    view->elapsed_s = 12.0;
    view->planned_s = 60.0;
    view->channel_count = 1;
    name_sensor(view, 0, "head");
    view->channel[0].shown_mm = 888.0;
    view->channel[0].target_mm = 880.0;
    view->channel[0].cue = CUE_HIGH;
    char text[256];
    view_status_line(view, text, sizeof text);
    ck_assert_str_eq(text, "3 hold 12/60s head +8^");
    view->channel[0].cue = CUE_IN;
    view->channel[0].shown_mm = 879.6; /* no zero below nought */
    view_status_line(view, text, sizeof text);
    ck_assert_str_eq(text, "3 hold 12/60s head 0");
    view->channel[0].shown_mm = -0.4;
    view->channel[0].has_target = false;
    view_status_line(view, text, sizeof text);
    ck_assert_str_eq(text, "3 hold 12/60s head 0");
    view->channel[0].shown_mm = 888.0;
    view->channel[0].has_target = true;
    view->channel[0].cue = CUE_HIGH;
    name_sensor(view, 0, "chest");
    view_status_line(view, text, sizeof text);
    ck_assert_str_eq(text, "3 hold 12/60s chest +8^"); /* five cells are whole */
    name_sensor(view, 0, "breast");
    view_status_line(view, text, sizeof text);
    ck_assert_str_eq(text, "3 hold 12/60s brea. +8^");
    forget(view);
}
END_TEST

START_TEST(rubbish_is_no_view)
{
    struct view *view = a_view(1, 1);
    static const char *const lines[] = {
        "{}", "[]", "{\"format\":\"holdline-view\",\"format_version\":2,\"phase\":\"live\"}",
        "{\"format\":\"holdline-view\",\"format_version\":1,\"phase\":\"flying\"}", "x"};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        ck_assert(!view_json_read(lines[i], strlen(lines[i]), view, of(view), NULL));
    }
    static const char bare[] = "{\"format\":\"holdline-view\",\"format_version\":1,\"phase\":"
                               "\"live\",\"worst_channel\":7}";
    ck_assert(view_json_read(bare, strlen(bare), view, of(view), NULL));
    ck_assert_int_eq(view->channel_count, 0);
    ck_assert_ptr_null(snapshot_setup(view->snapshot));
    ck_assert_int_eq(view->asked_channel, -1);
    forget(view);
}
END_TEST

/* The latest twelve minutes of a ride, however many somebody writes. */
START_TEST(more_minutes_of_a_ride_than_are_kept)
{
    char line[8192];
    size_t used = 0;
    struct view *view = a_view(1, 1);
    used += (size_t)snprintf(line, sizeof line,
                             "{\"format\":\"holdline-view\",\"format_version\":1,"
                             "\"phase\":\"hold\",\"ride\":{\"on\":true,\"minutes\":[");
    for (int i = 0; i < 2 * VIEW_RIDE_MINUTES; i++) {
        used += (size_t)snprintf(line + used, sizeof line - used, "%s{\"minute\":%d}",
                                 i > 0 ? "," : "", 90 - i);
    }
    used += (size_t)snprintf(line + used, sizeof line - used, "]}}");
    ck_assert(view_json_read(line, used, view, of(view), NULL));
    ck_assert(view->ride.on);
    ck_assert_int_eq(view->ride.count, 12);
    ck_assert_int_eq(view->ride.minute[0].minute, 90);
    ck_assert_int_eq(view->ride.minute[11].minute, 79);
    forget(view);
}
END_TEST

START_TEST(every_cue_comes_back)
{
    static const char *const words[] = {
        [CUE_NO_READING] = "no reading", [CUE_IN] = "in", [CUE_HIGH] = "high", [CUE_LOW] = "low"};
    struct view *view = a_view(1, 1), *back = a_view(1, 1);
    view->channel_count = 1;
    name_sensor(view, 0, "head");
    for (int cue = CUE_NO_READING; cue <= CUE_LOW; cue++) {
        char *line = NULL, member[40];
        size_t length = 0;
        view->channel[0].cue = (enum cue_state)cue;
        FILE *stream = open_memstream(&line, &length);
        view_json_write(view, stream);
        fclose(stream);
        ck_assert(view_json_read(line, length, back, of(back), NULL));
        ck_assert_int_eq(back->channel[0].cue, cue);
        snprintf(member, sizeof member, "\"cue\":\"%s\"", words[cue]);
        ck_assert_msg(strstr(line, member) != NULL, "%s: %s", member, line);
        free(line);
    }
    forget(view);
    forget(back);
}
END_TEST

/* docs/watch.schema.json: what programs read, each by its own word. */
START_TEST(each_phase_and_cue_has_its_word)
{
    static const struct {
        enum view_phase phase;
        const char *word;
    } phases[] = {
        {VIEW_WAITING, "\"phase\":\"waiting\""},   {VIEW_LIVE, "\"phase\":\"live\""},
        {VIEW_SETTLING, "\"phase\":\"settling\""}, {VIEW_HOLD, "\"phase\":\"hold\""},
        {VIEW_TARGET, "\"phase\":\"target\""},     {VIEW_PLATE, "\"phase\":\"plate\""},
        {VIEW_CHECK, "\"phase\":\"check\""},       {VIEW_ENDED, "\"phase\":\"ended\""},
    };
    static const struct {
        enum cue_state cue;
        const char *word;
    } cues[] = {
        {CUE_NO_READING, "\"cue\":\"no reading\""},
        {CUE_IN, "\"cue\":\"in\""},
        {CUE_HIGH, "\"cue\":\"high\""},
        {CUE_LOW, "\"cue\":\"low\""},
    };
    struct view *view = a_view(1, 1);
    view->channel_count = 1;
    name_sensor(view, 0, "head");
    for (size_t i = 0; i < sizeof phases / sizeof phases[0]; i++) {
        char *line = NULL;
        size_t length = 0;
        FILE *stream = open_memstream(&line, &length);
        view->phase = phases[i].phase;
        view->channel[0].cue = cues[i % 4].cue;
        view_json_write(view, stream);
        fclose(stream);
        ck_assert_msg(strstr(line, phases[i].word) != NULL, "%s", line);
        ck_assert_msg(strstr(line, cues[i % 4].word) != NULL, "%s", line);
        free(line);
    }
    forget(view);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("view_json");
    TCase *tests = tcase_create("view_json");
    tcase_add_test(tests, a_view_comes_back_from_its_json);
    tcase_add_test(tests, every_phase_comes_back);
    tcase_add_test(tests, the_line_has_40_cells_at_most);
    tcase_add_test(tests, rubbish_is_no_view);
    tcase_add_test(tests, more_minutes_of_a_ride_than_are_kept);
    tcase_add_test(tests, every_cue_comes_back);
    tcase_add_test(tests, each_phase_and_cue_has_its_word);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
