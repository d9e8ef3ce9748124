/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/sensors.h"

#include "base/numbers.h"
#include "base/text.h"
#include "rig/auxiliary.h"
#include "say/say.h"
#include "say/wire.h"
#include "screen/scroll.h"
#include "screen/wording.h"
#include "sensors_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The page of the sensors: the check that is going on, each sensor, the wire and the clock, and the
 * list of checks (sensors_checks.c). It scrolls by lines; the last two rows are the next step and
 * the message. */

#define WIDE_COLUMNS 60 /* from here on a row holds all numbers of a sensor */

/* ---- each sensor ---- */

struct number_column {
    const char *heading;
    int columns;
};
enum number { NUMBER_RANGE, NUMBER_SENT, NUMBER_HEIGHT, NUMBER_GOOD, NUMBER_NOISE, NUMBER_STEP };
static const struct number_column wide[] = {{"range mm", 9}, {"as sent", 9}, {"height", 8},
                                            {"good", 6},     {"noise", 7},   {"step", 6}};
#define NUMBERS ((int)(sizeof wide / sizeof wide[0]))
#define NAME_COLUMNS 10
#define STATE_COLUMN (2 + NAME_COLUMNS + 9 + 9 + 8 + 6 + 7 + 6)

static void number_text(char *text, size_t size, const struct view *view, int channel,
                        enum number number)
{
    bool heard = channel < view->health.channel_count;
    const struct channel_health *health = &view->health.channel[channel];
    double value = number == NUMBER_RANGE  ? view->check.range_mm[channel]
                   : number == NUMBER_SENT ? view->check.sent_mm[channel]
                   : number == NUMBER_HEIGHT
                       ? (snapshot_tied(view->snapshot, channel) ? view->channel[channel].shown_mm
                                                                 : (double)NAN)
                   : !heard                 ? (double)NAN
                   : number == NUMBER_GOOD  ? 100.0 * health->recent_valid_share
                   : number == NUMBER_NOISE ? health->noise_mm
                   : health->quantum_mm > 0 ? health->quantum_mm
                                            : (double)NAN;
    if (!isfinite(value)) {
        text_copy(text, size, "\u2013");
    } else if (number == NUMBER_HEIGHT) {
        wording_whole(text, size, value);
    } else if (number == NUMBER_GOOD) {
        snprintf(text, size, "%.0f%%", floor(value));
    } else {
        text_from_double(text, size, value, 1);
    }
}

/* What is wrong in a word, else how it is. */
static enum style state_text(char *text, size_t size, const struct view *view, int channel)
{
    if (channel >= view->health.channel_count) {
        text_copy(text, size, "not heard");
        return STYLE_WARNING;
    }
    const struct channel_health *health = &view->health.channel[channel];
    enum health_trouble trouble = health_trouble(health);
    if (view->health.link_down) {
        text_copy(text, size, "link down");
        return STYLE_WARNING;
    }
    if (view->health.silent) {
        text_copy(text, size, "not heard");
        return STYLE_WARNING;
    }
    text_copy(text, size, health_trouble_word(trouble));
    return trouble == HEALTH_WELL ? STYLE_PLAIN : STYLE_WARNING;
}

/* How far it has moved since the step before, while a check asks for movements. */
static void change_text(char *text, size_t size, const struct view *view, int channel)
{
    char change[24];
    double mm = view->check.range_mm[channel] - view->check.former_mm[channel];
    text_copy(text, size, "");
    if (isfinite(mm)) {
        wording_tenth(change, sizeof change, mm);
        snprintf(text, size, "%s mm since the step before", change);
    }
}

static void put_numbers(struct scroll *scroll, const struct view *view, int channel)
{
    struct canvas *canvas = scroll->canvas;
    char text[WORDING_SIZE], field[WORDING_SIZE + 2], change[WORDING_SIZE];
    int row = scroll_row(scroll), at = 2 + NAME_COLUMNS;
    enum style style = state_text(text, sizeof text, view, channel);
    snprintf(field, sizeof field, style == STYLE_WARNING ? " %s " : "%s", text);
    change_text(change, sizeof change, view, channel);
    canvas_text(canvas, row, 2, NAME_COLUMNS - 1, STYLE_STRONG,
                snapshot_channel(view->snapshot, channel)->name);
    if (canvas->columns < WIDE_COLUMNS) {
        number_text(text, sizeof text, view, channel, NUMBER_RANGE);
        canvas_right(canvas, row, at + 8, 8, STYLE_STRONG, text);
        canvas_text(canvas, row, at + 10, canvas->columns - at - 10, style, field);
        scroll->line++;
        if (change[0] != '\0') {
            scroll_wrapped(scroll, 4, STYLE_STRONG, change);
        }
        return;
    }
    for (int n = 0; n < NUMBERS; n++) {
        number_text(text, sizeof text, view, channel, (enum number)n);
        at += wide[n].columns;
        canvas_right(canvas, row, at, wide[n].columns,
                     n == NUMBER_RANGE ? STYLE_STRONG : STYLE_PLAIN, text);
    }
    at = STATE_COLUMN + 2;
    at += canvas_text(canvas, row, at, canvas->columns - at - 1, style, field) + 2;
    if (change[0] != '\0' && canvas->columns - at > canvas_width(canvas, change)) {
        canvas_text(canvas, row, at, canvas->columns - at - 1, STYLE_STRONG, change);
        change[0] = '\0';
    }
    scroll->line++;
    if (change[0] != '\0') {
        scroll_wrapped(scroll, 4, STYLE_STRONG, change);
    }
}

/* Where it is fixed, what it looks at, how its height is known, its calibration. */
static void place_text(char *text, size_t size, const struct view *view, int c)
{
    const struct channel_record *channel = snapshot_channel(view->snapshot, c);
    char tie[SAY_SIZE];
    say_tie_of_sensor(tie, sizeof tie, snapshot_tie(view->snapshot, c));
    size_t used = 0;
    char number[24];
    text[0] = '\0';
    text_append(text, size, &used, "%s",
                channel->role == ROLE_REFERENCE ? "sees a fixed plate"
                : channel->mark[0] != '\0'      ? channel->mark
                                                : "body");
    if (!channel->mounted) {
        text_append(text, size, &used, " \u00B7 where it is fixed was not said (3)");
    } else {
        text_append(text, size, &used, " \u00B7 %s", carrier_words[channel->mount.carrier]);
        if (isfinite(channel->mount.x_mm) && isfinite(channel->mount.y_mm)) {
            char above[24];
            say_whole(number, sizeof number, channel->mount.x_mm);
            say_whole(above, sizeof above, channel->mount.y_mm);
            text_append(text, size, &used, ", %s forward, %s above", number, above);
        }
        if (fabs(channel->mount.tilt_deg) > 0.0) {
            text_append(text, size, &used, ", leans %.0f\u00B0", channel->mount.tilt_deg);
        }
        text_append(text, size, &used, ", looks %s \u00B7 %s", look_word(channel->mount.direction),
                    tie);
    }
    if (fabs(channel->gain - 1.0) > 0.0 || fabs(channel->offset_mm) > 0.0) {
        wording_tenth(number, sizeof number, channel->offset_mm);
        text_append(text, size, &used, " \u00B7 calibrated: %.4f \u00D7 range %s", channel->gain,
                    number);
    }
}

static void put_earlier_trouble(struct scroll *scroll, const struct channel_health *health)
{
    const struct {
        enum health_trouble trouble;
        bool now;
        double seconds;
    } earlier[] = {
        {HEALTH_BLOCKED, health->blocked, health->blocked_s},
        {HEALTH_STUCK, health->stuck, health->stuck_s},
        {HEALTH_TWO_LEVELS, health->two_levels, health->two_levels_s},
    };
    char text[WORDING_SIZE * 2] = "";
    size_t used = 0;
    for (size_t i = 0; i < sizeof earlier / sizeof earlier[0]; i++) {
        if (!earlier[i].now && earlier[i].seconds > 0.0) {
            text_append(text, sizeof text, &used, "%s%s for %.0f s",
                        used > 0 ? ", " : "earlier: ", health_trouble_word(earlier[i].trouble),
                        earlier[i].seconds);
        }
    }
    scroll_wrapped(scroll, 4, STYLE_FAINT, text);
}

/* Power, cadence, heart rate: their number, and that nothing is cued on them. */
static void put_auxiliary(struct scroll *scroll, const struct view *view, int channel)
{
    char text[WORDING_SIZE * 2], number[24];
    int kind = auxiliary_of(snapshot_channel(view->snapshot, channel)->name);
    int row = scroll_row(scroll), at = 2 + NAME_COLUMNS + wide[0].columns;
    wording_whole(number, sizeof number, view->check.range_mm[channel]);
    canvas_text(scroll->canvas, row, 2, NAME_COLUMNS - 1, STYLE_STRONG,
                snapshot_channel(view->snapshot, channel)->name);
    canvas_right(scroll->canvas, row, at, wide[0].columns, STYLE_STRONG, number);
    snprintf(text, sizeof text, "%s%s", kind >= 0 ? auxiliary_kinds[kind].unit : "",
             scroll->canvas->columns >= WIDE_COLUMNS ? "   averaged over each hold, never cued on"
                                                     : "");
    canvas_text(scroll->canvas, row, at + 1, scroll->canvas->columns - at - 2, STYLE_PLAIN, text);
    scroll->line++;
}

static void put_sensor(struct scroll *scroll, const struct view *view, int channel)
{
    char text[TEXT_SIZE * 2], shown[TEXT_SIZE * 2];
    if (!sensors_is_range(snapshot_channel(view->snapshot, channel))) {
        put_auxiliary(scroll, view, channel);
        return;
    }
    put_numbers(scroll, view, channel);
    if (channel < view->health.channel_count) {
        enum health_trouble trouble = health_trouble(&view->health.channel[channel]);
        if (trouble != HEALTH_WELL && !health_is_mute(&view->health)) {
            text_copy(text, sizeof text, health_trouble_sentence(trouble));
            size_t used = strlen(text);
            if (trouble == HEALTH_TWO_LEVELS) {
                text_append(text, sizeof text, &used, " (they are %.0f mm apart)",
                            view->health.channel[channel].levels_apart_mm);
            }
            scroll_wrapped(scroll, 4, STYLE_STRONG, text);
        }
        put_earlier_trouble(scroll, &view->health.channel[channel]);
    }
    place_text(text, sizeof text, view, channel);
    say_typeset(shown, sizeof shown, text);
    scroll_wrapped(scroll, 4, STYLE_FAINT, shown);
}

static void put_sensors(struct scroll *scroll, const struct view *view)
{
    int row = scroll_row(scroll), at = 2 + NAME_COLUMNS;
    if (view->channel_count == 0) {
        scroll_wrapped(scroll, 1, STYLE_PLAIN,
                       "no sensor is heard yet: is the rig's cable in, and its board running?");
        return;
    }
    canvas_text(scroll->canvas, row, 2, NAME_COLUMNS, STYLE_FAINT, "sensor");
    for (int n = 0; n < (scroll->canvas->columns < WIDE_COLUMNS ? 1 : NUMBERS); n++) {
        at += wide[n].columns;
        canvas_right(scroll->canvas, row, at, wide[n].columns, STYLE_FAINT, wide[n].heading);
    }
    scroll->line++;
    for (int c = 0; c < view->channel_count; c++) {
        put_sensor(scroll, view, c);
    }
}

/* ---- the wire and the clock ---- */

static void put_wire(struct scroll *scroll, const struct view *view)
{
    const struct rig_health *health = &view->health;
    char text[TEXT_SIZE * 2] = "";
    size_t used = 0;
    text_append(text, sizeof text, &used, "wire   %.1f/s", health->rate_hz);
    if (health->announced_rate_hz > 0.0) {
        text_append(text, sizeof text, &used, " of %.1f/s", health->announced_rate_hz);
    }
    text_append(text, sizeof text, &used,
                " \u00B7 %llu lost \u00B7 %llu rejected \u00B7 longest gap %.0f ms",
                (unsigned long long)health->lost, (unsigned long long)health->rejected,
                health->worst_gap_ms);
    if (health->bytes_per_s > 0.0) {
        text_append(text, sizeof text, &used, " \u00B7 %.1f kB/s", health->bytes_per_s / 1000.0);
    }
    if (health->times_down > 0) {
        text_append(text, sizeof text, &used, " \u00B7 was down %llu time%s",
                    (unsigned long long)health->times_down, health->times_down == 1 ? "" : "s");
    }
    scroll_wrapped(scroll, 2, health->rate_differs ? STYLE_WARNING : STYLE_PLAIN, text);
}

static void put_clock(struct scroll *scroll, const struct view *view)
{
    const struct rig_health *health = &view->health;
    char text[TEXT_SIZE * 2] = "", number[40];
    size_t used = 0;
    if (health->clock_known) {
        text_from_double(number, sizeof number, fmax(health->clock_error_ms, 0.01), 2);
        text_append(text, sizeof text, &used, "clock  right to %s ms", number);
    } else {
        text_append(text, sizeof text, &used, "clock  not known yet");
    }
    double ppm = health->clock_rate_ppm;
    if (health->clock_known && !health->clock_rate_known) {
        text_append(text, sizeof text, &used, " \u00B7 by arrivals");
    } else if (health->clock_known && fabs(ppm) < 0.5) {
        text_append(text, sizeof text, &used, " \u00B7 the rig's runs true");
    } else if (health->clock_known) {
        text_append(text, sizeof text, &used, " \u00B7 the rig's is %.0f ppm %s", fabs(ppm),
                    ppm < 0 ? "slow" : "fast");
    }
    text_append(text, sizeof text, &used, " \u00B7 jitter %.1f ms", health->arrival_jitter_ms);
    if (health->clock_restarts > 0) {
        text_append(text, sizeof text, &used, " \u00B7 jumped or began anew %llux",
                    (unsigned long long)health->clock_restarts);
    }
    scroll_wrapped(scroll, 2, STYLE_PLAIN, text);
}

/* What the lines are taken for without being told, and what was left out of them. */
static void put_stream(struct scroll *scroll, const struct rig_info *stream)
{
    for (int i = 0; i < stream->note_count; i++) {
        char text[TEXT_SIZE * 2], note[TEXT_SIZE * 2 - 8];
        say_wire_note(note, sizeof note, &stream->note[i], stream);
        snprintf(text, sizeof text, "lines  %s", note);
        scroll_wrapped(scroll, 2,
                       say_wire_note_is_finding(&stream->note[i]) ? STYLE_WARNING : STYLE_PLAIN,
                       text);
    }
}

/* ---- the page ---- */

static void draw_title(struct canvas *canvas, int at, const struct view *view)
{
    char text[TEXT_SIZE * 2] = "";
    size_t used = 0;
    if (snapshot_rig(view->snapshot)[0] != '\0') {
        text_append(text, sizeof text, &used, "%s", snapshot_rig(view->snapshot));
    }
    if (view->dialect[0] != '\0') {
        text_append(text, sizeof text, &used, "%s%s", used > 0 ? " \u00B7 " : "",
                    strcmp(view->dialect, "bench") == 0   ? "bench lines"
                    : strcmp(view->dialect, "xdr") == 0   ? "XDR sentences"
                    : strcmp(view->dialect, "senml") == 0 ? "SenML packs"
                    : strcmp(view->dialect, "plain") == 0 ? "plain numbers"
                                                          : view->dialect);
    }
    if (view->link_name[0] != '\0') {
        text_append(text, sizeof text, &used, "%s%s", used > 0 ? " \u00B7 " : "", view->link_name);
    }
    if (health_is_mute(&view->health)) {
        at += canvas_text(canvas, 0, at, canvas->columns - at - 1, STYLE_WARNING,
                          wording_mute(&view->health)) +
              2;
    }
    canvas_text(canvas, 0, at, canvas->columns - at - 1, STYLE_PLAIN, text);
}

int sensors_draw(struct page_frame *frame, struct page_state *state, const struct view *view)
{
    struct canvas *canvas = frame->canvas;
    struct scroll scroll = {
        .canvas = canvas, .top = 1, .bottom = canvas->rows - 2, .first = frame->first};
    draw_title(canvas, frame->title_end + 2, view);
    sensors_put_running(&scroll, view);
    sensors_put_latest(&scroll, view);
    put_sensors(&scroll, view);
    put_wire(&scroll, view);
    put_clock(&scroll, view);
    put_stream(&scroll, &view->stream);
    scroll.line++;
    sensors_put_checks(&scroll, view);
    sensors_put_traces(&scroll, &state->plot, view);
    sensors_draw_next(canvas, state, view, scroll_has_more(&scroll));
    page_message(canvas, state, view, canvas->rows - 1);
    return scroll.line;
}
