/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Tests over time: how much of each was in the band, how long it was kept, how it felt, what was
 * practised, one axis of days under all of it. */
#include "base/clock.h"
#include "base/text.h"
#include "measure/rules.h"
#include "report/learning.h"
#include "report/plot_axes.h"
#include "say/learning.h"
#include "say/say.h"

#include <math.h>
#include <string.h>

#define LEFT 62.0
#define RIGHT (SVG_WIDTH - 20.0)
#define SHARE_TOP 62.0
#define SHARE_BOTTOM 242.0
#define KEPT_TOP 276.0
#define KEPT_BOTTOM 346.0
#define FELT_TOP 380.0
#define FELT_BOTTOM 450.0
#define HEIGHT 506.0
#define APART 7.0 /* channels beside each other */

static const char *const looks[] = {
    "stroke=\"#0072b2\" stroke-width=\"1.6\"",
    "stroke=\"#d55e00\" stroke-width=\"1.6\"",
};
static const char *const fills[] = {"fill=\"#0072b2\" stroke=\"#ffffff\"",
                                    "fill=\"#d55e00\" stroke=\"#ffffff\""};
static const char *const hollow[] = {"fill=\"#ffffff\" stroke=\"#0072b2\" stroke-width=\"1.6\"",
                                     "fill=\"#ffffff\" stroke=\"#d55e00\" stroke-width=\"1.6\""};
#define CHANNELS_DRAWN 2

struct picture {
    FILE *stream;
    const struct learning *learning;
    struct svg_scale days, share, kept, felt;
};

static double day_of(const struct picture *picture, int64_t at_ms)
{
    return (double)(at_ms - picture->learning->day[0].at_ms) / (double)CLOCK_DAY_MS;
}

static double x_of(const struct picture *picture, int64_t at_ms, int channel)
{
    int drawn = picture->learning->channel_count < CHANNELS_DRAWN ? picture->learning->channel_count
                                                                  : CHANNELS_DRAWN;
    return svg_scale_at(&picture->days, day_of(picture, at_ms)) +
           APART * (channel - (drawn - 1) / 2.0);
}

static void draw_share(const struct picture *picture, const struct learning_test *test, int c)
{
    double low, high, x = x_of(picture, test->at_ms, c);
    double y = svg_scale_at(&picture->share, 100.0 * test->result[c].share);
    practice_share_interval(&test->result[c], &low, &high);
    if (test->left_out == TEST_COUNTS) {
        svg_line(picture->stream, x, svg_scale_at(&picture->share, 100.0 * low), x,
                 svg_scale_at(&picture->share, 100.0 * high), looks[c]);
        svg_circle(picture->stream, x, y, 4.5, fills[c]);
    } else {
        svg_circle(picture->stream, x, y, 4.0, hollow[c]);
    }
}

/* An arrow upwards: at least so long. */
static void draw_kept(const struct picture *picture, const struct learning_test *test, int c)
{
    double x = x_of(picture, test->at_ms, c);
    double y = svg_scale_at(&picture->kept, test->result[c].kept_s / 60.0);
    bool counts = test->left_out == TEST_COUNTS;
    if (test->result[c].at_least) {
        svg_line(picture->stream, x, y, x, y - 13, looks[c]);
        svg_line(picture->stream, x, y - 13, x - 3, y - 8, looks[c]);
        svg_line(picture->stream, x, y - 13, x + 3, y - 8, looks[c]);
    }
    svg_circle(picture->stream, x, y, 3.5, counts ? fills[c] : hollow[c]);
}

static double worst(const double values[RATING_ITEMS])
{
    double most = NAN;
    for (int item = 0; item < RATING_ITEMS; item++) {
        if (rating_fields[item].discomfort && !isnan(values[item]) && !(most >= values[item])) {
            most = values[item];
        }
    }
    return most;
}

static void draw_felt(const struct picture *picture)
{
    const struct learning *learning = picture->learning;
    for (int d = 0; d < learning->day_count; d++) {
        const struct learning_day *day = &learning->day[d];
        double x = svg_scale_at(&picture->days, day_of(picture, day->at_ms));
        double end = worst(day->discomfort), morning = worst(day->morning);
        if (isfinite(end)) {
            double y = svg_scale_at(&picture->felt, end);
            svg_rectangle(picture->stream, x - 3.5, y, 7, FELT_BOTTOM - y, "fill=\"#999999\"");
        }
        if (isfinite(morning)) {
            double y = svg_scale_at(&picture->felt, morning);
            svg_line(picture->stream, x - 7, y, x + 7, y, "stroke=\"#000000\" stroke-width=\"2\"");
        }
        if (day->sign) {
            svg_text(picture->stream, x, FELT_TOP + 10,
                     (struct svg_type){12, SVG_MIDDLE, true, "#b00020"}, "!");
        }
    }
}

/* Where practice began, and where what was kept is tested. */
static void draw_phases(const struct picture *picture)
{
    const struct learning *learning = picture->learning;
    enum learning_phase before = PHASES;
    for (int t = 0; t < learning->test_count; t++) {
        const struct learning_test *test = &learning->test[t];
        if (test->phase == before) {
            continue;
        }
        double x = svg_scale_at(&picture->days, day_of(picture, test->at_ms)) - 12;
        if (before != PHASES) {
            svg_line(picture->stream, x, SHARE_TOP - 8, x, FELT_BOTTOM,
                     "stroke=\"#9a9a9a\" stroke-width=\"1\" stroke-dasharray=\"4 3\"");
        }
        svg_text(picture->stream, before != PHASES ? x + 4 : x, SHARE_TOP - 2,
                 (struct svg_type){11.5, SVG_START, true, PLOT_GREY}, say_phases[test->phase]);
        before = test->phase;
    }
}

/* The days, no nearer to each other than they can be read; a tick for each session. */
static void draw_days(const struct picture *picture)
{
    const struct learning *learning = picture->learning;
    double last = -INFINITY;
    for (int d = 0; d < learning->day_count; d++) {
        double x = svg_scale_at(&picture->days, day_of(picture, learning->day[d].at_ms));
        char day[SAY_SIZE];
        svg_line(picture->stream, x, FELT_BOTTOM, x, FELT_BOTTOM + 4, PLOT_LINE_GREY);
        if (learning->day[d].test < 0) {
            svg_text(picture->stream, x, SHARE_BOTTOM - 4, plot_tick, "no test");
        }
        if (x - last < 48) {
            continue;
        }
        last = x;
        say_day(day, sizeof day, learning->day[d].at_ms);
        char *year = strrchr(day, ' '), *month;
        if (year != NULL) {
            *year = '\0';
        }
        month = strchr(day, ' ');
        if (month != NULL && strlen(month) > 4) {
            month[4] = '\0';
        }
        svg_text(picture->stream, x, FELT_BOTTOM + 17, plot_tick, day);
    }
}

static void draw_legend(const struct picture *picture)
{
    double x = LEFT;
    for (int c = 0; c < picture->learning->channel_count && c < CHANNELS_DRAWN; c++) {
        svg_circle(picture->stream, x, HEIGHT - 17, 4.5, fills[c]);
        svg_text(picture->stream, x + 9, HEIGHT - 13, plot_small, picture->learning->channel[c]);
        x += 90;
    }
    svg_circle(picture->stream, x, HEIGHT - 17, 4,
               "fill=\"#ffffff\" stroke=\"#595959\" stroke-width=\"1.6\"");
    svg_text(picture->stream, x + 9, HEIGHT - 13, plot_small, "left out");
    svg_text(picture->stream, x + 90, HEIGHT - 13, plot_small,
             "lines: known to that, 95 times in 100; arrows: at least so long");
}

static void set_scales(struct picture *picture)
{
    const struct learning *learning = picture->learning;
    double last = 1.0, longest_min = 1.0;
    for (int t = 0; t < learning->test_count; t++) {
        last = fmax(last, day_of(picture, learning->test[t].at_ms));
        for (int c = 0; c < learning->channel_count; c++) {
            if (learning->test[t].has[c]) {
                longest_min = fmax(longest_min, learning->test[t].result[c].kept_s / 60.0);
            }
        }
    }
    last = fmax(last, day_of(picture, learning->day[learning->day_count - 1].at_ms));
    picture->days = svg_scale_make(0, last, LEFT + 24, RIGHT - 20, 60);
    picture->days.low = 0;
    picture->days.high = last;
    picture->share = (struct svg_scale){0, 100, SHARE_BOTTOM, SHARE_TOP + 8, 20};
    picture->kept = plot_scale_up(0, longest_min * 1.25, KEPT_BOTTOM, KEPT_TOP, 22);
    picture->felt = (struct svg_scale){0, 10, FELT_BOTTOM, FELT_TOP, 5};
}

void plot_learning(FILE *stream, const struct learning_report *report, bool alone)
{
    const struct learning *learning = report->learning;
    struct picture picture = {.stream = stream, .learning = learning};
    char title[SAY_SIZE];
    size_t used = 0;
    title[0] = '\0';
    text_append(title, sizeof title, &used, "%s: tests without a gauge", learning->rider_code);
    svg_begin(stream, SVG_WIDTH, HEIGHT, alone, title);
    svg_text(stream, 12, 22, plot_title, title);
    if (learning->day_count == 0) {
        svg_text(stream, 12, 60, plot_words, "There is no practice yet.");
        svg_end(stream);
        return;
    }
    set_scales(&picture);
    svg_text(stream, LEFT, SHARE_TOP - 18, plot_small, "in the band, % of the time");
    plot_ticks_up(stream, &picture.share, LEFT, RIGHT, -INFINITY);
    svg_text(stream, LEFT, KEPT_TOP - 8, plot_small, "kept, min");
    plot_ticks_up(stream, &picture.kept, LEFT, RIGHT, 0);
    svg_text(stream, LEFT, FELT_TOP - 8, plot_small,
             report->health ? "discomfort at the end, the worst region, 0 to 10 (line: next "
                              "morning; !: numb or a sign to stop)"
                            : "discomfort: not in this file");
    if (report->health) {
        plot_ticks_up(stream, &picture.felt, LEFT, RIGHT, 0);
        draw_felt(&picture);
    }
    svg_line(stream, LEFT, FELT_BOTTOM, RIGHT, FELT_BOTTOM, PLOT_LINE_GREY);
    draw_phases(&picture);
    for (int t = 0; t < learning->test_count; t++) {
        for (int c = 0; c < learning->channel_count && c < CHANNELS_DRAWN; c++) {
            if (learning->test[t].has[c]) {
                draw_share(&picture, &learning->test[t], c);
                draw_kept(&picture, &learning->test[t], c);
            }
        }
    }
    draw_days(&picture);
    draw_legend(&picture);
    svg_end(stream);
}

bool report_learning_svg(FILE *stream, const struct learning_report *report,
                         struct problem *problem)
{
    plot_learning(stream, report, true);
    return plot_written(stream, problem);
}
