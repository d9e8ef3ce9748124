/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A rider's visits in the order of time: how high each setup was, with what its height is known to.
 */
#include "base/language.h"
#include "base/text.h"
#include "report/plot_axes.h"
#include "report/visits.h"
#include "say/say.h"
#include "say/visits.h"

#include <math.h>

#define LEFT 62.0
#define RIGHT (SVG_WIDTH - 20.0)
#define TOP 58.0
#define BOTTOM 262.0
#define HEIGHT 312.0
#define NEAR 64.0   /* visits stand at least so far apart, as far as there is room */
#define SPREAD 22.0 /* setups of one visit */
#define ROOM 56.0   /* of all its setups */
#define ROOM_ALONE 480.0

struct course {
    const struct across *across;
    const char *bike;
    int channel;
    int visits, visit[ACROSS_SESSIONS_MAX]; /* those on this bike */
    double x[ACROSS_SESSIONS_MAX];          /* by session */
    struct svg_scale up;
    int heights; /* that are drawn */
};

static void place_visits(struct course *course)
{
    const struct across *across = course->across;
    double from = LEFT + 34, to = RIGHT - 60;
    int last = course->visits - 1;
    int64_t first_ms = across->session[course->visit[0]].record->started_ms;
    double whole = (double)(across->session[course->visit[last]].record->started_ms - first_ms);
    if (last == 0) { /* alone: in the middle */
        course->x[course->visit[0]] = (from + to) / 2;
        return;
    }
    double apart = fmin(NEAR, (to - from) / fmax(1, last)), taken = 0;
    for (int i = 0; i <= last; i++) {
        double share =
            whole > 0
                ? (double)(across->session[course->visit[i]].record->started_ms - first_ms) / whole
                : 0;
        double x = from + share * (to - from);
        double latest = to - apart * (last - i); /* room for those behind it */
        x = fmin(x, latest);
        x = i > 0 ? fmax(x, taken + apart) : x;
        course->x[course->visit[i]] = taken = x;
    }
}

static void set_scale(struct course *course)
{
    double low = INFINITY, high = -INFINITY;
    for (int i = 0; i < course->visits; i++) {
        for (int setup = 0; setup < course->across->setup_count; setup++) {
            struct visit_height height =
                visit_height(course->across, course->visit[i], setup, course->channel);
            double half = isfinite(height.half_width_mm) ? height.half_width_mm : 0;
            if (height.tied) {
                low = fmin(low, height.mean_mm - half);
                high = fmax(high, height.mean_mm + half);
                course->heights++;
            }
        }
    }
    bool any = course->heights > 0;
    course->up = plot_scale_up(any ? low : 0, any ? high : 1, BOTTOM - 6, TOP, 34);
}

/* Where a setup stands among those of its visit. */
static double place_of(const struct course *course, int session, int setup)
{
    int count = 0, place = 0;
    for (int i = 0; i < course->across->setup_count; i++) {
        if (course->across->setup[i].number_in[session] > 0) {
            place = i == setup ? count : place;
            count++;
        }
    }
    bool alone = course->visits == 1;
    double spread =
        fmin(alone ? 4 * SPREAD : SPREAD, (alone ? ROOM_ALONE : ROOM) / fmax(1, count - 1));
    return course->x[session] + spread * (place - (count - 1) / 2.0);
}

static void draw_setup(FILE *stream, const struct course *course, int session, int setup)
{
    struct visit_height height = visit_height(course->across, session, setup, course->channel);
    bool chosen = visit_chosen(course->across, session) == setup;
    double x = place_of(course, session, setup);
    char letter[8];
    say_setup_letter(letter, sizeof letter, setup);
    if (height.measured && !height.tied) {
        svg_text(stream, x, BOTTOM - 4, plot_tick, letter);
        return;
    }
    if (!height.tied) {
        return;
    }
    double y = svg_scale_at(&course->up, height.mean_mm);
    const char *look = chosen ? "stroke=\"#0072b2\" stroke-width=\"3.5\""
                              : "stroke=\"#333333\" stroke-width=\"1.5\"";
    if (isfinite(height.half_width_mm)) {
        double high = svg_scale_at(&course->up, height.mean_mm + height.half_width_mm);
        double low = svg_scale_at(&course->up, height.mean_mm - height.half_width_mm);
        svg_line(stream, x, low, x, high, look);
        svg_line(stream, x - 4, low, x + 4, low, look);
        svg_line(stream, x - 4, high, x + 4, high, look);
    }
    svg_circle(stream, x, y, chosen ? 5.5 : 4,
               chosen ? "fill=\"#0072b2\" stroke=\"#ffffff\""
                      : "fill=\"#333333\" stroke=\"#ffffff\"");
    svg_text(stream, x + 6, y - 5, (struct svg_type){12, SVG_START, chosen, NULL}, letter);
}

/* The same setup from visit to visit. */
static void draw_threads(FILE *stream, const struct course *course)
{
    for (int setup = 0; setup < course->across->setup_count; setup++) {
        bool pen_down = false;
        svg_path_begin(stream, "fill=\"none\" stroke=\"#9a9a9a\" stroke-width=\"1\" "
                               "stroke-dasharray=\"3 3\"");
        for (int i = 0; i < course->visits; i++) {
            int session = course->visit[i];
            struct visit_height height =
                visit_height(course->across, session, setup, course->channel);
            if (height.tied) {
                svg_path_point(stream, place_of(course, session, setup),
                               svg_scale_at(&course->up, height.mean_mm), &pen_down);
            }
        }
        svg_path_end(stream);
    }
}

static void draw_days(FILE *stream, const struct course *course)
{
    for (int i = 0; i < course->visits; i++) {
        int session = course->visit[i];
        char day[32], year[8];
        say_day_briefly(day, sizeof day, year, sizeof year,
                        course->across->session[session].record->started_ms);
        double x = course->x[session];
        svg_line(stream, x, BOTTOM, x, BOTTOM + 4, PLOT_LINE_GREY);
        svg_text(stream, x, BOTTOM + 16, plot_tick, day);
        svg_text(stream, x, BOTTOM + 30, plot_tick, year);
        if (!isfinite(course->across->channel[course->channel].u_session_mm[session])) {
            svg_text(stream, x, BOTTOM - 18, plot_tick, T_("not tied"));
        }
    }
}

bool plot_visits(FILE *stream, const struct across *across, const char *bike, int channel)
{
    struct course course = {.across = across, .bike = bike, .channel = channel};
    char title[SAY_SIZE];
    for (int s = 0; s < across->session_count; s++) {
        if (text_equal(across->session[s].record->bike.name, bike)) {
            course.visit[course.visits++] = s;
        }
    }
    if (course.visits == 0) {
        return false;
    }
    set_scale(&course);
    if (course.heights < 2) { /* one alone is in the table */
        return false;
    }
    place_visits(&course);
    const char *name = say_sensor(across->channel[channel].name);
    if (bike[0] != '\0') {
        snprintf(title, sizeof title, T_("%s: %s on each visit, mm above the bottom bracket"), bike,
                 name);
    } else {
        snprintf(title, sizeof title, T_("%s on each visit, mm above the bottom bracket"), name);
    }
    svg_begin(stream, SVG_WIDTH, HEIGHT, false, title);
    svg_text(stream, 12, 20, plot_title, title);
    plot_caption(stream, 12, 39,
                 course.visits > 1
                     ? T_("Lines: the true height lies there, 95 times in 100. Dotted: the same "
                          "setup again. "
                          "Blue: as chosen on that visit.")
                     : T_("Lines: the true height lies there, 95 times in 100. Blue: as chosen."));
    plot_ticks_up(stream, &course.up, LEFT, RIGHT, -INFINITY);
    svg_line(stream, LEFT, BOTTOM, RIGHT, BOTTOM, PLOT_LINE_GREY);
    draw_days(stream, &course);
    draw_threads(stream, &course);
    for (int i = 0; i < course.visits; i++) {
        for (int setup = 0; setup < across->setup_count; setup++) {
            draw_setup(stream, &course, course.visit[i], setup);
        }
    }
    svg_end(stream);
    return true;
}
