/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A still test: how the sensors' readings went while nothing moved, and how far averaging helps. */
#include "base/text.h"
#include "measure/still_test.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "say/say.h"

#include <math.h>
#include <stdlib.h>

#define LEFT 62.0
#define RIGHT (SVG_WIDTH - 14.0)
#define COURSE_TOP 66.0
#define COURSE_BOTTOM 186.0
#define ALLAN_TOP 244.0
#define ALLAN_BOTTOM 394.0
#define ROW 17.0
#define SECONDS_MAX 7200

static const char grid[] = "stroke=\"#dddddd\" stroke-width=\"1\"";

/* What one channel showed. */
struct still_channel {
    bool shown;
    struct still_test test;
    double *second_mm; /* mean of each second about the whole mean; NAN without readings */
};
struct still_picture {
    int number; /* of the check in the session */
    int seconds;
    const struct placing_record *placing;
    struct still_channel channel[CHANNELS_MAX];
};

static void picture_free(struct still_picture *picture)
{
    for (int channel = 0; picture != NULL && channel < CHANNELS_MAX; channel++) {
        free(picture->channel[channel].second_mm);
    }
    free(picture);
}

/* ---- what is shown --------------------------------------------------------------------------- */

static bool second_means(const struct still_input *input, int seconds,
                         struct still_channel *channel)
{
    int *counts = calloc((size_t)seconds, sizeof *counts);
    channel->second_mm = calloc((size_t)seconds, sizeof *channel->second_mm);
    if (counts == NULL || channel->second_mm == NULL) {
        free(counts);
        return false;
    }
    for (size_t i = 0; i < input->count; i++) {
        int second = (int)(input->time_s[i] - input->time_s[0]);
        if (input->valid[i] && second < seconds) {
            channel->second_mm[second] += input->range_mm[i] - channel->test.mean_mm;
            counts[second]++;
        }
    }
    for (int second = 0; second < seconds; second++) {
        channel->second_mm[second] =
            counts[second] > 0 ? channel->second_mm[second] / counts[second] : (double)NAN;
    }
    free(counts);
    return true;
}

static bool collect_channel(const struct sample *samples, size_t count, int index, int seconds,
                            struct still_channel *channel)
{
    double *time_s = malloc(count * sizeof *time_s), *range_mm = malloc(count * sizeof *range_mm);
    uint8_t *valid = malloc(count);
    bool done = time_s != NULL && range_mm != NULL && valid != NULL;
    for (size_t i = 0; done && i < count; i++) {
        time_s[i] = (double)samples[i].time_us / 1e6;
        range_mm[i] = samples[i].range_tenth_mm[index] / 10.0;
        valid[i] = samples[i].quality[index] == READING_GOOD;
    }
    if (done) {
        struct still_input input = {time_s, range_mm, valid, count};
        channel->shown = still_test(&input, &channel->test) == MEASURE_OK;
        done = !channel->shown || second_means(&input, seconds, channel);
    }
    free(time_s);
    free(range_mm);
    free(valid);
    return done;
}

/* NULL where the check is no still test, or nothing of it can be shown. */
static struct still_picture *collect(const struct report_input *input, sample_source *source,
                                     void *context, int check)
{
    const struct session_record *record = input->record;
    const struct check_record *recorded = &record->check[check];
    const struct sample *samples = NULL;
    size_t count = 0;
    bool any = false;
    if (recorded->kind != CHECK_STILL || recorded->capture < 0) {
        return NULL;
    }
    const struct capture_record *capture = &record->capture[recorded->capture];
    struct still_picture *picture = calloc(1, sizeof *picture);
    if (picture == NULL || capture->last_sample < capture->first_sample ||
        !source(context, capture->first_sample, capture->last_sample, &samples, &count) ||
        count < 2) {
        picture_free(picture);
        return NULL;
    }
    double length_s = (double)(samples[count - 1].time_us - samples[0].time_us) / 1e6;
    picture->number = check + 1;
    picture->seconds = (int)fmin(SECONDS_MAX, length_s) + 1;
    picture->placing = &record->placing[recorded->placing];
    for (int channel = 0; channel < picture->placing->channel_count; channel++) {
        bool asked = recorded->channel < 0 || recorded->channel == channel;
        if (asked && picture->placing->channel[channel].role != ROLE_AUXILIARY &&
            !collect_channel(samples, count, channel, picture->seconds,
                             &picture->channel[channel])) {
            any = false;
            break;
        }
        any = any || picture->channel[channel].shown;
    }
    if (!any) {
        picture_free(picture);
        return NULL;
    }
    return picture;
}

/* ---- drawing --------------------------------------------------------------------------------- */

static void look_of(int channel, char *look, size_t size)
{
    snprintf(look, size, "fill=\"none\" stroke=\"%s\" stroke-width=\"1.5\" stroke-dasharray=\"%s\"",
             svg_setup_colour(channel), svg_setup_dashes(channel));
}

static void draw_course(FILE *stream, const struct still_picture *picture)
{
    double most = 0.5;
    char look[160];
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        for (int i = 0; picture->channel[channel].shown && i < picture->seconds; i++) {
            double value = fabs(picture->channel[channel].second_mm[i]);
            most = isfinite(value) ? fmax(most, value) : most;
        }
    }
    struct svg_scale up = plot_scale_up(-most, most, COURSE_BOTTOM, COURSE_TOP, 18);
    struct svg_scale across = plot_scale_across(0, picture->seconds, LEFT, RIGHT, 60);
    across.low = 0;
    across.high = picture->seconds;
    plot_ticks_up(stream, &up, LEFT, RIGHT, -INFINITY);
    plot_ticks_across(stream, &across, NAN, NAN, COURSE_BOTTOM + 15);
    svg_text(stream, LEFT, COURSE_TOP - 6, plot_small,
             "Means of each second about the test's mean, mm");
    svg_text(stream, (LEFT + RIGHT) / 2, COURSE_BOTTOM + 30, plot_tick, "time, s");
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        bool pen_down = false;
        if (!picture->channel[channel].shown) {
            continue;
        }
        look_of(channel, look, sizeof look);
        svg_path_begin(stream, look);
        for (int i = 0; i < picture->seconds; i++) {
            double value = picture->channel[channel].second_mm[i];
            svg_path_point(stream, svg_scale_at(&across, i + 0.5),
                           isfinite(value) ? svg_scale_at(&up, value) : (double)NAN, &pen_down);
        }
        svg_path_end(stream);
    }
}

/* Powers of ten with 2 and 5 between, where they lie within. */
static void draw_decades(FILE *stream, const struct svg_scale *scale, bool across)
{
    static const double steps[] = {1, 2, 5};
    for (int decade = (int)floor(scale->low); decade <= scale->high; decade++) {
        double power = pow(10, decade);
        for (int i = 0; i < 3; i++) {
            double value = steps[i] * power, at = svg_scale_at(scale, log10(value));
            char text[64];
            if (log10(value) < scale->low || log10(value) > scale->high) {
                continue;
            }
            text_from_double_shortest(text, sizeof text, round(value * 1e6) / 1e6);
            if (across) {
                svg_line(stream, at, ALLAN_TOP, at, ALLAN_BOTTOM, grid);
                svg_text(stream, at, ALLAN_BOTTOM + 15, plot_tick, text);
            } else {
                svg_line(stream, LEFT, at, RIGHT, at, grid);
                svg_text(stream, LEFT - 6, at + 4, plot_side_tick, text);
            }
        }
    }
}

/* Logarithms of what the curves reach. */
static bool allan_reach(const struct still_picture *picture, struct svg_scale *across,
                        struct svg_scale *up)
{
    double low_x = INFINITY, high_x = -INFINITY, low_y = INFINITY, high_y = -INFINITY;
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        const struct allan_curve *curve = &picture->channel[channel].test.allan;
        bool there = picture->channel[channel].shown && picture->channel[channel].test.has_allan;
        for (size_t i = 0; there && i < curve->count; i++) {
            if (curve->point[i].deviation > 0) {
                low_x = fmin(low_x, log10(curve->point[i].averaging_s));
                high_x = fmax(high_x, log10(curve->point[i].averaging_s));
                low_y = fmin(low_y, log10(curve->point[i].deviation));
                high_y = fmax(high_y, log10(curve->point[i].deviation));
            }
        }
    }
    if (!(low_x <= high_x)) {
        return false;
    }
    *across = svg_scale_make(low_x, high_x, LEFT, RIGHT, 60);
    *up = svg_scale_make(low_y, fmax(high_y, low_y + 0.5), ALLAN_BOTTOM, ALLAN_TOP, 26);
    return true;
}

static void draw_allan(FILE *stream, const struct still_picture *picture)
{
    struct svg_scale across, up;
    char look[160];
    svg_text(stream, LEFT, ALLAN_TOP - 6, plot_small,
             "Allan deviation, mm: what is left after averaging so long; dot: the least");
    if (!allan_reach(picture, &across, &up)) {
        svg_text(stream, (LEFT + RIGHT) / 2, ALLAN_TOP + 40, plot_tick,
                 "not worked out: too many readings are missing, or all are the same");
        return;
    }
    draw_decades(stream, &across, true);
    draw_decades(stream, &up, false);
    svg_text(stream, (LEFT + RIGHT) / 2, ALLAN_BOTTOM + 30, plot_tick, "averaged over, s");
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        const struct allan_curve *curve = &picture->channel[channel].test.allan;
        bool pen_down = false;
        if (!picture->channel[channel].shown || !picture->channel[channel].test.has_allan) {
            continue;
        }
        look_of(channel, look, sizeof look);
        svg_path_begin(stream, look);
        for (size_t i = 0; i < curve->count; i++) {
            double deviation = curve->point[i].deviation;
            svg_path_point(stream, svg_scale_at(&across, log10(curve->point[i].averaging_s)),
                           deviation > 0 ? svg_scale_at(&up, log10(deviation)) : (double)NAN,
                           &pen_down);
        }
        svg_path_end(stream);
        const struct allan_point *best = &curve->point[curve->best];
        if (best->deviation > 0) {
            snprintf(look, sizeof look, "fill=\"%s\"", svg_setup_colour(channel));
            svg_circle(stream, svg_scale_at(&across, log10(best->averaging_s)),
                       svg_scale_at(&up, log10(best->deviation)), 4, look);
        }
    }
}

static int legend_rows(const struct still_picture *picture)
{
    int rows = 0;
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        rows += picture->channel[channel].shown ? 1 : 0;
    }
    return rows;
}

static void draw_legend(FILE *stream, const struct still_picture *picture)
{
    double y = ALLAN_BOTTOM + 52;
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        const struct still_channel *shown = &picture->channel[channel];
        char text[2 * SAY_SIZE], fitted[SAY_SIZE], noise[64], least[64], over[64], look[160];
        if (!shown->shown) {
            continue;
        }
        look_of(channel, look, sizeof look);
        svg_line(stream, LEFT, y - 4, LEFT + 26, y - 4, look);
        say_number(noise, sizeof noise, shown->test.white_mm, 2);
        say_number(least, sizeof least, shown->test.best_mm, 2);
        say_number(over, sizeof over, shown->test.best_s, 1);
        if (shown->test.has_allan) {
            snprintf(text, sizeof text, "%s: noise %s mm a reading; %s mm left after %s s",
                     picture->placing->channel[channel].name, noise, least, over);
        } else {
            snprintf(text, sizeof text, "%s: noise %s mm a reading",
                     picture->placing->channel[channel].name, noise);
        }
        text_fit(fitted, sizeof fitted, text, 62, false);
        svg_text(stream, LEFT + 32, y, plot_words, fitted);
        y += ROW;
    }
}

static void draw(FILE *stream, const struct still_picture *picture, bool alone)
{
    char title[SAY_SIZE];
    snprintf(title, sizeof title, "Check %d: the sensors at rest, and how far averaging helps",
             picture->number);
    svg_begin(stream, SVG_WIDTH, ALLAN_BOTTOM + 48 + ROW * legend_rows(picture), alone, title);
    svg_text(stream, 14, 22, plot_title, title);
    svg_text(stream, 14, 40, plot_small, "Nothing moved: what is seen here is the sensors' own.");
    draw_course(stream, picture);
    draw_allan(stream, picture);
    draw_legend(stream, picture);
    svg_end(stream);
}

bool plot_still(FILE *stream, const struct report_input *input, sample_source *source,
                void *context, int check, bool alone)
{
    struct still_picture *picture = collect(input, source, context, check);
    if (picture == NULL) {
        return false;
    }
    draw(stream, picture, alone);
    picture_free(picture);
    return true;
}

bool report_still_svg(FILE *stream, const struct report_input *input, sample_source *source,
                      void *context, struct problem *problem)
{
    for (int check = input->record->check_count - 1; check >= 0; check--) {
        if (plot_still(stream, input, source, context, check, true)) {
            return plot_written(stream, problem);
        }
    }
    return problem_set(problem, "no picture of the sensors at rest: it takes a still test "
                                "('check still') in the session");
}
