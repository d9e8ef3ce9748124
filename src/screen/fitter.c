#include "screen/pages.h"

#include "base/text.h"
#include "screen/digits.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The fitter's screen. From the top: who and how long; the setup; a panel for each channel of the
 * body; what is being recorded; the setups so far; the sensors; the next step and the keys; the
 * message. */

#define SIDE_COLUMNS 17       /* cue, digits and the hold's numbers at the right of a panel */
#define SIDE_COLUMNS_LARGE 25 /* with digits twice as large */
#define PANEL_ROWS_MOST 30
#define WIDE_COLUMNS 150 /* from here on the tables stand beside the panels */

int page_body_channels(const struct view *view, int index[CHANNELS_MAX])
{
    int count = 0;
    for (int c = 0; c < view->channel_count && c < CHANNELS_MAX; c++) {
        if (view->channel[c].role == ROLE_BODY) {
            index[count++] = c;
        }
    }
    return count;
}

/* ---- head lines ---- */

static void draw_head(struct canvas *canvas, const struct view *view)
{
    char text[TEXT_SIZE * 2], clock[24], right[WORDING_SIZE];
    int columns = canvas->columns;
    wording_hours(clock, sizeof clock, view->session_s);
    if (columns < 60 && isfinite(view->minutes_left)) {
        snprintf(right, sizeof right, "%.0f min left", floor(fmax(0.0, view->minutes_left)));
    } else if (isfinite(view->minutes_left) && view->minutes_left >= 1.0) {
        snprintf(right, sizeof right, "%s \u00B7 %.0f min left", clock, floor(view->minutes_left));
    } else if (isfinite(view->minutes_left)) {
        snprintf(right, sizeof right, "%s \u00B7 time is up", clock);
    } else {
        snprintf(right, sizeof right, "%s", clock);
    }
    int end = canvas_right(canvas, 0, columns - 1, columns / 2, STYLE_PLAIN, right);
    size_t used = 0;
    text[0] = '\0';
    text_append(text, sizeof text, &used, "%s%s%s", view->rider_code,
                view->rider_code[0] != '\0' && view->rider[0] != '\0' ? " " : "", view->rider);
    if (view->bike[0] != '\0') {
        text_append(text, sizeof text, &used, "%s%s", used > 0 ? " \u00B7 " : "", view->bike);
    }
    if (used == 0) {
        text_append(text, sizeof text, &used, "no rider entered yet (key 1)");
    }
    int at = canvas_text(canvas, 0, 1, end - 2, STYLE_STRONG, columns >= 60 ? "HOLDLINE  " : "");
    canvas_text(canvas, 0, 1 + at, end - 3 - at, STYLE_PLAIN, text);
}

static void draw_setup(struct canvas *canvas, const struct view *view)
{
    char right[TEXT_SIZE], shift[24];
    size_t used = 0;
    int index[CHANNELS_MAX], channels = page_body_channels(view, index);
    right[0] = '\0';
    if (isfinite(view->bars_shift_mm)) {
        wording_signed(shift, sizeof shift, view->bars_shift_mm);
        text_append(right, sizeof right, &used, "bars %s mm", shift);
    }
    /* one word for all sensors where they agree */
    bool same = channels > 0;
    for (int i = 1; i < channels; i++) {
        same =
            same && strcmp(view->channel[index[i]].tie_text, view->channel[index[0]].tie_text) == 0;
    }
    for (int i = 0; i < (same ? 1 : channels) && canvas->columns >= 60; i++) {
        const struct view_channel *channel = &view->channel[index[i]];
        if (channel->tie_text[0] != '\0') {
            text_append(right, sizeof right, &used, "%s%s %s", used > 0 ? "  " : "",
                        same ? (channels > 1 ? "sensors" : "sensor") : channel->name,
                        channel->tie_text);
        }
    }
    for (char *minus = strstr(right, " -"); minus != NULL; minus = strstr(minus + 1, " -")) {
        memmove(minus + 4, minus + 2, strlen(minus + 2) + 1);
        memcpy(minus + 1, "\u2212", 3);
    }
    int end = canvas->columns - 1;
    if (used > 0) {
        end = canvas_right(canvas, 1, canvas->columns - 1, canvas->columns * 3 / 5, STYLE_PLAIN,
                           right) -
              2;
    }
    if (view->setup_number <= 0) {
        canvas_text(canvas, 1, 1, end - 1, STYLE_STRONG, "no setup entered yet (key n)");
        return;
    }
    char name[WORDING_SIZE];
    if (view->build_ordinal > 1) {
        snprintf(name, sizeof name, "SETUP %d (build %d)  ", view->setup_number,
                 view->build_ordinal);
    } else {
        snprintf(name, sizeof name, "SETUP %d  ", view->setup_number);
    }
    int at = 1 + canvas_text(canvas, 1, 1, end - 1, STYLE_STRONG, name);
    at += canvas_text(canvas, 1, at, end - at, STYLE_PLAIN, view->intent);
    if (view->changes[0] != '\0' && end - at > 16) {
        canvas_print(canvas, 1, at, end - at, STYLE_FAINT, "%s%s",
                     view->intent[0] != '\0' ? "  " : "", view->changes);
    }
}

/* ---- a channel's panel ---- */

static bool capturing(const struct view *view)
{
    return view->phase == VIEW_HOLD || view->phase == VIEW_TARGET;
}

/* The channel's state as a field: cue where there is a band, else what is missing for one. */
static void draw_cue_field(struct canvas *canvas, const struct view_channel *channel, int row,
                           int column, int columns)
{
    if (!isfinite(channel->slow_mm)) {
        canvas_fill(canvas, row, column, 1, columns, STYLE_NO_READING, ' ');
        canvas_text(canvas, row, column + 1, columns - 1, STYLE_NO_READING,
                    wording_cue(CUE_NO_READING));
    } else if (!channel->has_target) {
        canvas_text(canvas, row, column + 1, columns - 1, STYLE_FAINT, "no target yet");
    } else if (!channel->has_band) {
        canvas_text(canvas, row, column + 1, columns - 1, STYLE_FAINT, "no band yet");
    } else {
        enum style style = gauge_field_style(channel->cue);
        canvas_fill(canvas, row, column, 1, columns, style, ' ');
        canvas_text(canvas, row, column + 1, columns - 1, style, wording_cue(channel->cue));
    }
}

static void digits_text(char *text, size_t size, double mm)
{
    if (!isfinite(mm)) {
        text_copy(text, size, "--");
        return;
    }
    snprintf(text, size, "%+.0f", round(mm));
    if (strcmp(text, "+0") == 0 || strcmp(text, "-0") == 0) {
        text_copy(text, size, "0");
    }
}

/* What is known of the hold in progress, or of the channel at rest: up to three lines. */
static int side_lines(char line[4][WORDING_SIZE], const struct view *view,
                      const struct view_channel *channel)
{
    char number[24], half[24];
    int count = 0;
    if (capturing(view)) {
        double mean = channel->has_target && view->phase == VIEW_HOLD
                          ? channel->mean_mm - channel->target_mm
                          : channel->mean_mm;
        if (channel->has_target && view->phase == VIEW_HOLD) {
            wording_signed(number, sizeof number, mean);
        } else {
            wording_whole(number, sizeof number, mean);
        }
        if (isfinite(channel->mean_half_width_mm)) {
            wording_whole(half, sizeof half, ceil(channel->mean_half_width_mm));
            snprintf(line[count++], WORDING_SIZE, "mean %s \u00B1%s", number, half);
        } else {
            snprintf(line[count++], WORDING_SIZE, "mean %s", number);
        }
        if (isfinite(channel->in_band_share)) {
            snprintf(line[count++], WORDING_SIZE, "in %.0f%%  \u25B2%d \u25BC%d",
                     100.0 * channel->in_band_share, channel->came_up, channel->went_low);
        }
        if (isfinite(channel->creep_mm_per_min)) {
            wording_tenth(number, sizeof number, channel->creep_mm_per_min);
            snprintf(line[count++], WORDING_SIZE, "creep %s/min", number);
        }
    } else {
        wording_whole(number, sizeof number, channel->shown_mm);
        if (channel->has_target && isfinite(channel->shown_mm)) {
            snprintf(line[count++], WORDING_SIZE, "%s mm %s", number,
                     channel->tied ? "high" : "(range)");
        }
    }
    return count;
}

static void draw_side(struct canvas *canvas, const struct view *view,
                      const struct view_channel *channel, int row, int column, int rows,
                      int columns)
{
    char line[4][WORDING_SIZE], digits[24];
    int lines = side_lines(line, view, channel);
    double shown = channel->has_target ? channel->shown_mm - channel->target_mm : channel->shown_mm;
    draw_cue_field(canvas, channel, row, column, columns);
    digits_text(digits, sizeof digits, shown);
    if (!channel->has_target && digits[0] == '+') {
        memmove(digits, digits + 1, strlen(digits));
    }
    int high, wide, at = row + 1, room = rows - 1;
    int scale = columns >= SIDE_COLUMNS_LARGE && room >= 11 ? 2 : 1;
    digits_size(DIGITS_SMALL, digits, scale, &high, &wide);
    if (canvas->letters != LETTERS_ASCII && room >= high && wide <= columns - 3) {
        int spare = room - high - lines;
        at += spare >= 2 ? 1 : 0;
        digits_draw(canvas, DIGITS_SMALL, digits, scale, at, column + 1, STYLE_STRONG);
        canvas_text(canvas, at + high - 1, column + 2 + wide, columns - wide - 2, STYLE_FAINT,
                    "mm");
        at += high + (spare >= 1 ? 1 : 0);
    } else if (room >= 1) {
        char plain[WORDING_SIZE];
        if (channel->has_target) {
            wording_signed(plain, sizeof plain, shown);
        } else {
            wording_whole(plain, sizeof plain, shown);
        }
        canvas_print(canvas, at++, column + 1, columns - 1, STYLE_STRONG, "%s mm", plain);
    }
    for (int i = 0; i < lines && at < row + rows; i++) {
        canvas_text(canvas, at++, column + 1, columns - 1, STYLE_PLAIN, line[i]);
    }
}

static void upper_name(char *text, size_t size, const char *name)
{
    size_t i = 0;
    for (; name[i] != '\0' && i + 1 < size; i++) {
        text[i] = name[i] >= 'a' && name[i] <= 'z' ? (char)(name[i] - 'a' + 'A') : name[i];
    }
    text[i] = '\0';
}

static void draw_title(struct canvas *canvas, const struct view_channel *channel, int row,
                       int column, int columns)
{
    char name[CHANNEL_NAME_SIZE], text[TEXT_SIZE], number[24], half[24];
    size_t used = 0;
    upper_name(name, sizeof name, channel->name);
    int at = column + canvas_text(canvas, row, column, columns, STYLE_STRONG, name);
    text[0] = '\0';
    if (channel->mark[0] != '\0') {
        text_append(text, sizeof text, &used, "  %s", channel->mark);
    }
    if (channel->has_target) {
        wording_whole(number, sizeof number, channel->target_mm);
        text_append(text, sizeof text, &used, "%starget %s",
                    channel->mark[0] != '\0' ? " \u00B7 " : "", number);
        if (isfinite(channel->target_half_width_mm)) {
            wording_whole(half, sizeof half, ceil(channel->target_half_width_mm));
            text_append(text, sizeof text, &used, " \u00B1%s", half);
        }
        text_append(text, sizeof text, &used, " mm");
    }
    if (channel->has_target && channel->has_band) {
        text_append(text, sizeof text, &used, ", band");
        if (isfinite(channel->band_above_mm)) {
            text_append(text, sizeof text, &used, " +%.0f", channel->band_above_mm);
        } else {
            text_append(text, sizeof text, &used, " none above");
        }
        if (isfinite(channel->band_below_mm)) {
            text_append(text, sizeof text, &used, " \u2212%.0f", channel->band_below_mm);
        } else {
            text_append(text, sizeof text, &used, ", none below");
        }
    }
    if (!channel->tied) {
        text_append(text, sizeof text, &used, "%s%s", used > 0 ? " \u00B7 " : "  ",
                    channel->tie_text[0] != '\0' ? channel->tie_text : "height not tied");
    }
    canvas_text(canvas, row, at, column + columns - at, STYLE_PLAIN, text);
}

static void draw_panel(struct canvas *canvas, struct page_state *state, const struct view *view,
                       int c, int row, int column, int rows, int columns)
{
    const struct view_channel *channel = &view->channel[c];
    gauge_fit_axis(&state->axis[c], view, channel);
    int side = columns >= 110 && rows >= 12 ? SIDE_COLUMNS_LARGE : SIDE_COLUMNS;
    int main_columns = columns - side - 1;
    draw_title(canvas, channel, row, column, main_columns);
    struct gauge_place place = {
        .row = row + 1, .column = column, .rows = rows - 1, .columns = main_columns, .marks = true};
    gauge_draw(canvas, &state->plot, &state->axis[c], view, channel, &place);
    draw_side(canvas, view, channel, row, column + columns - side, rows, side);
}

/* Two rows (one, if it must be) for a channel where there is no room for a panel. */
static void draw_small_panel(struct canvas *canvas, const struct view *view, int c, int row,
                             int rows)
{
    const struct view_channel *channel = &view->channel[c];
    char name[CHANNEL_NAME_SIZE], number[24], line[4][WORDING_SIZE];
    int columns = canvas->columns;
    upper_name(name, sizeof name, channel->name);
    canvas_text(canvas, row, 1, 8, STYLE_STRONG, name);
    draw_cue_field(canvas, channel, row, 10, 14);
    double shown = channel->has_target ? channel->shown_mm - channel->target_mm : channel->shown_mm;
    if (channel->has_target) {
        wording_signed(number, sizeof number, shown);
    } else {
        wording_whole(number, sizeof number, shown);
    }
    int at = 25 + canvas_print(canvas, row, 25, columns - 26, STYLE_STRONG, "%s mm", number);
    int lines = side_lines(line, view, channel);
    for (int i = 0; i < lines && capturing(view); i++) {
        if (at + 2 + canvas_width(canvas, line[i]) < columns) {
            at += 2 + canvas_text(canvas, row, at + 2, columns - at - 3, STYLE_PLAIN, line[i]);
        }
    }
    if (rows > 1) {
        double reach = 30.0;
        if (channel->has_band) {
            reach = fmax(
                reach, 2.0 * fmax(isfinite(channel->band_above_mm) ? channel->band_above_mm : 0.0,
                                  isfinite(channel->band_below_mm) ? channel->band_below_mm : 0.0));
        }
        gauge_draw_lying(canvas, channel, reach, row + 1, 1, rows - 1, columns - 2, true);
    }
}

/* ---- what is being recorded ---- */

static void draw_progress_bar(struct canvas *canvas, int row, int column, int columns, double share)
{
    int eighths = (int)(fmax(0.0, fmin(1.0, share)) * columns * 8);
    for (int c = 0; c < columns; c++) {
        int here = eighths - c * 8;
        uint32_t code = ' ';
        if (here >= 8) {
            code = canvas->letters == LETTERS_ASCII ? '#' : 0x2588;
        } else if (here > 0 && canvas->letters == LETTERS_FULL) {
            code = 0x2590 - (uint32_t)here; /* left blocks: 0x258F is one eighth */
        } else if (canvas->letters == LETTERS_ASCII) {
            code = '.';
        }
        canvas_put(canvas, row, column + c, STYLE_PANEL_NEXT, code);
    }
}

static void draw_recording(struct canvas *canvas, const struct view *view, int row, int column,
                           int columns)
{
    char field[WORDING_SIZE], clock[24], whole[24], tail[WORDING_SIZE];
    const char *kind = view->phase == VIEW_TARGET  ? "TARGET"
                       : view->phase == VIEW_PLATE ? "PLATE"
                                                   : "HOLD";
    int end = column + columns;
    switch (view->phase) {
    case VIEW_WAITING:
        canvas_text(canvas, row, column, columns, STYLE_FAINT,
                    "waiting for readings from the sensors");
        return;
    case VIEW_ENDED:
        canvas_text(canvas, row, column, columns, STYLE_FAINT, "the session has ended");
        return;
    case VIEW_LIVE:
        canvas_text(canvas, row, column, columns, STYLE_FAINT,
                    "live: everything is recorded, no hold is running");
        return;
    case VIEW_SETTLING:
        if (view->hold_number > 0) {
            snprintf(field, sizeof field, " HOLD %d, %s ", view->hold_number,
                     view->guided ? "guided" : "free");
        } else {
            snprintf(field, sizeof field, " GET READY ");
        }
        column += canvas_text(canvas, row, column, columns, STYLE_WARNING, field);
        canvas_print(canvas, row, column + 2, end - column - 2, STYLE_STRONG, "starts in %.0f s",
                     ceil(fmax(0.0, view->countdown_s)));
        return;
    case VIEW_HOLD:
    case VIEW_TARGET:
    case VIEW_PLATE:
        break;
    }
    if (view->phase == VIEW_HOLD) {
        snprintf(field, sizeof field, " HOLD %d, %s ", view->hold_number,
                 view->guided ? "guided" : "free");
    } else {
        snprintf(field, sizeof field, " %s ", kind);
    }
    column += canvas_text(canvas, row, column, columns, STYLE_RECORDING, field) + 1;
    wording_minutes(clock, sizeof clock, view->elapsed_s);
    wording_minutes(whole, sizeof whole, view->planned_s);
    snprintf(tail, sizeof tail, " %s of %s  %s", clock, whole,
             view->steady ? "steady" : "not steady");
    if (view->phase == VIEW_TARGET && isfinite(view->target_until_mm)) {
        double half = 0.0;
        int index[CHANNELS_MAX], count = page_body_channels(view, index);
        for (int i = 0; i < count; i++) {
            half = fmax(half, view->channel[index[i]].mean_half_width_mm);
        }
        if (half > 0.0) {
            snprintf(tail, sizeof tail, " %s of %s  known to \u00B1%.0f, wanted \u00B1%.0f mm",
                     clock, whole, ceil(half), view->target_until_mm);
        } else {
            snprintf(tail, sizeof tail, " %s of %s  until known to \u00B1%.0f mm", clock, whole,
                     view->target_until_mm);
        }
    }
    int width = canvas_width(canvas, tail), bar = end - column - width;
    if (bar < 6) {
        snprintf(tail, sizeof tail, " %s of %s", clock, whole);
        width = canvas_width(canvas, tail);
        bar = end - column - width;
    }
    if (bar >= 4) {
        draw_progress_bar(canvas, row, column, bar,
                          view->planned_s > 0.0 ? view->elapsed_s / view->planned_s : 0.0);
        column += bar;
    }
    canvas_text(canvas, row, column, end - column, STYLE_STRONG, tail);
}

/* ---- sensors and store ---- */

static const char *channel_trouble(const struct channel_health *health)
{
    return health->blocked                      ? "blocked"
           : health->stuck                      ? "stuck"
           : health->recent_valid_share <= 0.01 ? "no reading"
           : health->recent_valid_share < 0.9   ? "gaps"
                                                : NULL;
}

static void draw_health(struct canvas *canvas, const struct view *view, int row, int column,
                        int columns)
{
    const struct rig_health *health = &view->health;
    char text[WORDING_SIZE * 2];
    int end = column + columns, at = column;
    if (view->store_text[0] != '\0') {
        bool well = view->store_open && strstr(view->store_text, "all stored") != NULL;
        int begin = canvas_right(canvas, row, end, columns / (well ? 3 : 2),
                                 well ? STYLE_PLAIN : STYLE_WARNING, view->store_text);
        end = begin - 2;
    }
    if (!view->has_rig && health->samples == 0) {
        canvas_text(canvas, row, at, end - at, STYLE_WARNING, " no sensors yet ");
        return;
    }
    at += canvas_text(canvas, row, at, end - at, STYLE_FAINT, "sensors ");
    if (health->link_down) {
        canvas_text(canvas, row, at, end - at, STYLE_WARNING, " LINK DOWN: is the cable in? ");
        return;
    }
    for (int c = 0; c < view->channel_count && c < health->channel_count; c++) {
        const char *trouble = channel_trouble(&health->channel[c]);
        if (trouble != NULL) {
            snprintf(text, sizeof text, " %s %s ", view->channel[c].name, trouble);
            at += canvas_text(canvas, row, at, end - at, STYLE_WARNING, text);
        } else {
            snprintf(text, sizeof text, "%s ok", view->channel[c].name);
            at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, text);
        }
        if (canvas->columns >= 110 && trouble == NULL) {
            snprintf(text, sizeof text, " (noise %.1f mm)", health->channel[c].noise_mm);
            at += canvas_text(canvas, row, at, end - at, STYLE_FAINT, text);
        }
        at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, trouble != NULL ? " " : "  ");
    }
    snprintf(text, sizeof text, "%llu lost", (unsigned long long)health->lost);
    at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, text);
    if (health->rate_differs) {
        snprintf(text, sizeof text, " %.1f/s, not %.1f ", health->rate_hz,
                 health->announced_rate_hz);
    } else {
        snprintf(text, sizeof text, "%.1f/s", health->rate_hz);
    }
    at += 2 + canvas_text(canvas, row, at + 2, end - at - 2,
                          health->rate_differs ? STYLE_WARNING : STYLE_PLAIN, text);
    if (health->rejected > 0) {
        snprintf(text, sizeof text, "  %llu rejected", (unsigned long long)health->rejected);
        at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, text);
    }
    if (health->times_down > 0) {
        snprintf(text, sizeof text, "  link was down %llux",
                 (unsigned long long)health->times_down);
        canvas_text(canvas, row, at, end - at, STYLE_PLAIN, text);
    }
}

/* ---- the lines at the bottom ---- */

void page_next(struct canvas *canvas, const struct view *view, int row)
{
    char field[sizeof view->next_step + WORDING_SIZE];
    enum key_place place = key_place_of(view);
    int columns = canvas->columns, at = 1;
    bool waits = place == AT_HOLD || place == AT_SETTLING || place == AT_PLATE ||
                 view->next == VIEW_NEXT_WAIT;
    int hints = canvas->columns >= 60 ? 30 : 14; /* at least this much is for the keys */
    if (view->next_step[0] != '\0' && !waits) {
        snprintf(field, sizeof field, " SPACE \u25B6 %s ", view->next_step);
        at += canvas_text(canvas, row, at, columns - at - hints, STYLE_NEXT, field) + 2;
    } else if (view->next_step[0] != '\0') {
        at += canvas_text(canvas, row, at, columns - at - hints, STYLE_PLAIN, view->next_step) + 2;
    }
    /* '? keys' and 'q end' always stay */
    int end = columns - 1;
    const char *always = "? keys  q end";
    int begin = canvas_right(canvas, row, end, end - at, STYLE_PLAIN, always);
    for (int i = 0; i < key_count; i++) {
        const struct key_entry *entry = &key_table[i];
        if (entry->hint == NULL || !(entry->places & (unsigned)place) ||
            entry->action == ACT_HELP || entry->action == ACT_QUIT) {
            continue;
        }
        int width = canvas_width(canvas, entry->name) + 1 + canvas_width(canvas, entry->hint) + 2;
        if (at + width > begin) {
            continue;
        }
        at += canvas_text(canvas, row, at, begin - at, STYLE_STRONG, entry->name);
        at += 1 + canvas_text(canvas, row, at + 1, begin - at - 1, STYLE_PLAIN, entry->hint) + 2;
    }
}

void page_message(struct canvas *canvas, const struct page_state *state, int row)
{
    char text[sizeof state->message + 8];
    int columns = canvas->columns;
    if (state->asks_to_end) {
        canvas_fill(canvas, row, 0, 1, columns, STYLE_WARNING, ' ');
        canvas_text(canvas, row, 1, columns - 2, STYLE_WARNING,
                    columns >= 70 ? "End the session and leave?  y: end it   any other key: go on"
                                  : "End the session?  y: end  else: go on");
        return;
    }
    if (state->message[0] == '\0') {
        return;
    }
    if (state->message_is_problem) {
        snprintf(text, sizeof text, " ! %s ", state->message);
        canvas_text(canvas, row, 0, columns, STYLE_WARNING, text);
    } else {
        canvas_text(canvas, row, 1, columns - 2, STYLE_PLAIN, state->message);
    }
}

/* ---- layout ---- */

static void draw_small(struct canvas *canvas, struct page_state *state, const struct view *view,
                       const int *index, int channels)
{
    int rows = canvas->rows, columns = canvas->columns, row = 2;
    int room = rows - 6; /* head 2, recording, health, next, message */
    int each = channels > 0 && room - 2 >= 2 * channels ? 2 : 1;
    int shown = channels * each <= room ? channels : room / each;
    for (int i = 0; i < shown; i++) {
        draw_small_panel(canvas, view, index[i], row, each);
        row += each;
    }
    draw_recording(canvas, view, row++, 1, columns - 2);
    table_draw(canvas, view, row, 1, rows - 3 - row, columns - 2, true);
    draw_health(canvas, view, rows - 3, 1, columns - 2);
    page_next(canvas, view, rows - 2);
    page_message(canvas, state, rows - 1);
}

/* The tables beside the panels of a wide terminal: setups, differences, latest holds. */
static void draw_beside(struct canvas *canvas, const struct view *view, const int *index,
                        int channels, int column)
{
    int width = canvas->columns - column - 1, row = 2, end = canvas->rows - 5;
    int table = 1 + (view->setup_count > 0 ? view->setup_count : 1);
    int most = (end - row) / 3 > 4 ? (end - row) / 3 : 4;
    row +=
        table_draw(canvas, view, row, column, table < most ? table : most, width, channels > 4) + 1;
    for (int i = 0; i < channels && i < 4; i++) {
        int room = (end - row) / (channels - i) - (i == channels - 1 ? 0 : 1);
        int used = table_draw_differences(canvas, view, index[i], row, column,
                                          room < table ? room : table, width);
        row += used > 0 ? used + 1 : 0;
    }
    table_draw_holds(canvas, view, row, column, end - row, width);
}

void fitter_draw(struct canvas *canvas, struct page_state *state, const struct view *view)
{
    int index[CHANNELS_MAX], channels = page_body_channels(view, index);
    int rows = canvas->rows, columns = canvas->columns;
    bool wide = columns >= WIDE_COLUMNS;
    draw_head(canvas, view);
    draw_setup(canvas, view);
    /* the rows between the setup's line and the recording's */
    int table_wanted = 1 + (view->setup_count > 0 ? view->setup_count : 1);
    int table_rows = wide ? 0 : table_wanted;
    int room = rows - 2 - 1 - 3; /* head, recording, health, next, message */
    int least = 5 * (channels > 0 ? channels : 1);
    if (columns < 66 || room - 2 < least) {
        draw_small(canvas, state, view, index, channels);
        return;
    }
    if (!wide) {
        int panel = channels > 2 ? (rows >= 36 ? 7 : 5) : rows >= 36 ? 9 : 7;
        int most = room - panel * (channels > 0 ? channels : 1);
        most = most < 2 ? 2 : most;
        table_rows = table_wanted < 4 ? 4 : table_wanted;
        table_rows = table_rows > most ? most : table_rows;
        if (rows >= 36 && view->hold_shown_count > 0 && table_rows + 6 <= most) {
            table_rows += 6; /* a blank row and the latest holds */
        }
    }
    bool airy = rows >= 30;
    int spare = room - table_rows - (airy ? 2 : 0);
    int each = channels > 0 ? spare / channels : spare;
    each = each > PANEL_ROWS_MOST ? PANEL_ROWS_MOST : each;
    int panel_columns = (wide ? columns * 3 / 5 : columns) - 1;
    int row = 2;
    if (channels == 0) {
        canvas_text(canvas, row + 1, 1, columns - 2, STYLE_PLAIN,
                    "No sensor is heard yet. Plug them in; the gauge begins by itself.");
    }
    for (int i = 0; i < channels; i++) {
        int more = i < spare - each * channels && each < PANEL_ROWS_MOST ? 1 : 0;
        draw_panel(canvas, state, view, index[i], row, 1, each + more, panel_columns);
        row += each + more;
    }
    if (wide) {
        draw_beside(canvas, view, index, channels, panel_columns + 3);
    }
    row += airy && row < rows - 4 - table_rows - 1 ? 1 : 0;
    if (channels == 0) {
        row = rows - 4 - table_rows - (airy ? 1 : 0);
    }
    draw_recording(canvas, view, row++, 1, columns - 2);
    row += airy && !wide ? 1 : 0;
    if (!wide) {
        int used = table_draw(canvas, view, row, 1, rows - 3 - row, columns - 2, true);
        if (rows - 3 - (row + used + 1) >= 4) {
            table_draw_holds(canvas, view, row + used + 1, 1, rows - 3 - (row + used + 1),
                             columns - 2);
        }
    }
    draw_health(canvas, view, rows - 3, 1, columns - 2);
    page_next(canvas, view, rows - 2);
    page_message(canvas, state, rows - 1);
}
