/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/rider.h"

#include "base/numbers.h"
#include "base/text.h"
#include "rider_parts.h"
#include "say/ride.h"
#include "screen/digits.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The rider's screen, read from two metres with the head down: the parts of the body on upright
 * scales, one thing that is asked, the time. In free holds stands the time only, since a rider who
 * sees a gauge follows it. Here is what stands in each state, and where. */

#define SCALES_MAX 3
#define LEAST_TIME_ROWS 4

/* The time, as large as the room allows. */
static void draw_time(struct canvas *canvas, const char *time, const struct room *room)
{
    big_text(canvas, time, room, STYLE_STRONG, BIG_CENTRED);
}

static void time_text(char *text, size_t size, const struct view *view)
{
    switch (view->phase) {
    case VIEW_SETTLING:
        snprintf(text, size, "%.0f", ceil(fmax(0.0, view->countdown_s)));
        break;
    case VIEW_TARGET: /* upwards, until it is known how long it takes */
        say_minutes(text, size,
                    view->length_proposed ? ceil(fmax(0.0, view->planned_s - view->elapsed_s))
                                          : view->elapsed_s);
        break;
    case VIEW_HOLD:
    case VIEW_PLATE:
        if (view->ride.on && view->ride.open) {
            say_minutes(text, size, floor(view->elapsed_s)); /* so long it lasts */
            break;
        }
        say_minutes(text, size, ceil(fmax(0.0, view->planned_s - view->elapsed_s)));
        break;
    case VIEW_CHECK:
        text[0] = '\0';
        if (!view->check.waits_for_go) {
            say_minutes(text, size, ceil(fmax(0.0, view->check.left_s)));
        }
        break;
    case VIEW_WAITING:
    case VIEW_LIVE:
    case VIEW_ENDED:
        text[0] = '\0';
        break;
    }
}

/* ---- with a cue -------------------------------------------------------------------------------
 */

/* Channels that have a scale, in order: those that can be asked for, as many as there is room for,
 * the one that is asked among them. */
static int scaled_channels(const struct view *view, int most, int index[SCALES_MAX])
{
    int body[CHANNELS_MAX], count = page_body_channels(view, body), used = 0;
    bool has_asked = false;
    for (int i = 0; i < count && used < most; i++) {
        const struct view_channel *channel = &view->channel[body[i]];
        if (gauge_has_target(channel) && channel->has_band) {
            index[used++] = body[i];
            has_asked = has_asked || body[i] == view->asked_channel;
        }
    }
    if (!has_asked && used > 0) {
        index[used - 1] = view->asked_channel;
    }
    return used;
}

/* The scales at the left; gives the columns they take. */
static int draw_scales(struct canvas *canvas, const struct view *view, int rows)
{
    int columns = canvas->columns, wide = (columns / 11) | 1, gap = columns >= 60 ? 2 : 1, at = 1;
    int index[SCALES_MAX];
    int most = columns >= 60 ? SCALES_MAX : 2;
    int count = scaled_channels(view, most, index);
    for (int i = 0; i < count; i++) {
        struct room room = {0, at, rows, wide};
        rider_scale(canvas, &view->channel[index[i]],
                    snapshot_channel(view->snapshot, index[i])->name, &room);
        at += wide + gap;
    }
    return at;
}

static void draw_cue(struct canvas *canvas, const struct view *view, const char *time, int rows)
{
    bool out = view->asked_cue == CUE_HIGH || view->asked_cue == CUE_LOW;
    int left = draw_scales(canvas, view, rows), columns = canvas->columns - left;
    int share = canvas->columns >= 60 ? rows * 3 / 10 : rows / 5; /* narrow is stacked */
    int time_rows = time[0] == '\0' ? 0 : share > LEAST_TIME_ROWS ? share : LEAST_TIME_ROWS;
    struct room field = {0, left, rows - time_rows - (time_rows > 0 && rows >= 20 ? 1 : 0),
                         columns};
    struct room below = {rows - time_rows, left, time_rows, columns};
    char name[CHANNEL_NAME_SIZE];
    text_copy(name, sizeof name, wording_over_asked(view->asked_cue));
    if (out) {
        big_text_capitals(name, sizeof name,
                          snapshot_channel(view->snapshot, view->asked_channel)->name);
    }
    rider_field(canvas, name, view->asked_cue, &field);
    if (time_rows > 0) {
        draw_time(canvas, time, &below);
    }
}

/* ---- without one ------------------------------------------------------------------------------
 */

/* What is asked where no channel can be out; "" = the time says it all. */
static const char *plain_words(const struct view *view)
{
    switch (view->phase) {
    case VIEW_CHECK: /* the others ask the fitter */
        return wording_rider(RIDER_WAIT);
    case VIEW_TARGET:
        return wording_rider(RIDER_STAY);
    case VIEW_PLATE:
    case VIEW_WAITING:
        return wording_rider(RIDER_WAIT);
    case VIEW_LIVE:
        return view->alone ? view->next_step : wording_rider(RIDER_EASY);
    case VIEW_ENDED:
        return wording_rider(RIDER_END);
    case VIEW_SETTLING:
        return wording_rider(view->sit_up ? RIDER_SIT_UP : RIDER_DOWN);
    case VIEW_HOLD:
        break;
    }
    return "";
}

static void draw_plain(struct canvas *canvas, const struct view *view, const char *time, int rows)
{
    bool tells = view->phase == VIEW_CHECK && view->check.kind == CHECK_RIDER;
    const char *words = tells ? view->check.ask : plain_words(view);
    int word_rows = words[0] == '\0'  ? 0
                    : time[0] == '\0' ? rows - 2
                    : tells           ? rows - 3 - LEAST_TIME_ROWS
                                      : (rows - 3) / 2;
    struct room above = {1, 1, word_rows, canvas->columns - 2};
    struct room below = {1 + word_rows + (word_rows > 0 ? 1 : 0), 0, 0, canvas->columns};
    below.rows = rows - 1 - below.row;
    if (word_rows > 0) {
        big_text(canvas, words, &above, STYLE_STRONG, BIG_CENTRED);
    }
    if (time[0] != '\0') {
        draw_time(canvas, time, &below);
    }
}

/* ---- a ride -----------------------------------------------------------------------------------
 */

/* A minute that is over: how much of it was in the band, and where. */
static void draw_minute(struct canvas *canvas, const struct view *view, int row,
                        const struct view_ride_minute *minute)
{
    char share[SAY_SIZE], off[SAY_SIZE], line[256] = "";
    int body[CHANNELS_MAX], count = page_body_channels(view, body);
    size_t used = 0;
    say_percent(share, sizeof share, minute->in_band_share);
    text_append(line, sizeof line, &used, "min %3d %6s in", minute->minute,
                isnan(minute->in_band_share) ? "-" : share);
    for (int i = 0; i < count; i++) {
        if (!isnan(minute->off_mm[body[i]])) {
            say_signed(off, sizeof off, minute->off_mm[body[i]], 0);
            text_append(line, sizeof line, &used, "  %s %s",
                        snapshot_channel(view->snapshot, body[i])->name, off);
        }
    }
    if (minute->up_s >= 1.0) {
        text_append(line, sizeof line, &used, "  up %.0f s", minute->up_s);
    }
    if (minute->sounds > 0) {
        text_append(line, sizeof line, &used, "  told %d", minute->sounds);
    }
    canvas_text(canvas, row, 1, canvas->columns - 2, STYLE_PLAIN, line);
}

/* The time, what is proposed, and the last minutes in the terminal's own letters, the newest at the
 * top. */
static void draw_ride(struct canvas *canvas, const struct view *view, const char *time, int rows)
{
    int most = rows / 3, lines = view->ride.count < most ? view->ride.count : most;
    const char *words = view->ride.rest     ? wording_rider(RIDER_REST)
                        : view->ride.sat_up ? wording_rider(RIDER_UP)
                                            : "";
    int large = rows - lines - 1, word_rows = words[0] != '\0' ? large / 2 : 0;
    if (word_rows > 0) {
        struct room above = {1, 1, word_rows - 1, canvas->columns - 2};
        big_text(canvas, words, &above, STYLE_STRONG, BIG_CENTRED);
    }
    struct room room = {word_rows + 1, 0, large - word_rows - 1, canvas->columns};
    draw_time(canvas, time, &room);
    for (int i = 0; i < lines; i++) {
        draw_minute(canvas, view, rows - lines + i, &view->ride.minute[i]);
    }
}

/* The ride that is just over, alone at home; false: there is none. */
static bool ride_just_over(const struct view *view, struct ride_summary *ride)
{
    const struct session_record *record = &view->snapshot->record;
    int last = record->hold_count - 1;
    return view->alone && (view->phase == VIEW_LIVE || view->phase == VIEW_ENDED) && last >= 0 &&
           ride_summary_of(record, &view->snapshot->analysis, last, ride);
}

/* Its quarters, in the terminal's own letters at the bottom; gives the rows that are left. */
static int draw_ride_over(struct canvas *canvas, const struct ride_summary *ride, int rows)
{
    char text[SAY_SIZE], line[2 * SAY_SIZE];
    int at = rows - ride->channel_count - 1;
    say_ride_whole(text, sizeof text, ride);
    snprintf(line, sizeof line, "ridden %s", text);
    canvas_text(canvas, at, 1, canvas->columns - 2, STYLE_PLAIN, line);
    for (int c = 0; c < ride->channel_count; c++) {
        const struct ride_part *channel = &ride->channel[c];
        size_t used = 0;
        text_append(line, sizeof line, &used, "%-6s", channel->name);
        for (int q = 0; q < RIDE_QUARTERS; q++) {
            say_ride_quarter(text, sizeof text, &channel->quarter[q]);
            text_append(line, sizeof line, &used, " %10s", text);
        }
        say_ride_kept(text, sizeof text, channel);
        text_append(line, sizeof line, &used, "  kept %s", text);
        canvas_text(canvas, at + 1 + c, 1, canvas->columns - 2, STYLE_PLAIN, line);
    }
    return at - 1;
}

void rider_draw(struct canvas *canvas, struct page_state *state, const struct view *view)
{
    char time[24] = "";
    bool can_ask = (view->phase == VIEW_LIVE && !view->alone) ||
                   ((view->phase == VIEW_HOLD || view->phase == VIEW_SETTLING) && view->guided);
    int asked = view->asked_channel;
    bool has_cue = asked >= 0 && asked < view->channel_count && view->channel[asked].has_band;
    bool tells = (view->ride.on || (view->alone && view->phase == VIEW_LIVE)) &&
                 state->message[0] != '\0' &&
                 !view->guess_due; /* how a piece went is guessed first */
    int foot = state->message_is_problem || state->asks_to_end || tells ? 1 : 0;
    int rows = canvas->rows - foot;
    time_text(time, sizeof time, view);
    if (can_ask && has_cue) {
        draw_cue(canvas, view, time, rows);
    } else if (view->ride.on) {
        draw_ride(canvas, view, time, rows);
    } else {
        struct ride_summary ride;
        bool over = ride_just_over(view, &ride) && rows > 4 * (ride.channel_count + 1);
        draw_plain(canvas, view, time, over ? draw_ride_over(canvas, &ride, rows) : rows);
    }
    if (foot > 0) { /* for the fitter, in the terminal's own letters */
        page_message(canvas, state, view, canvas->rows - 1);
    }
}
