/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "run_legs.h"

#include "base/text.h"
#include "measure/residual_force.h"
#include "measure/ride_cut.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TIMES_MOST (2 * LEGS_MAX)

void run_legs_free(struct run_legs *legs)
{
    free(legs);
}

/* ---- where the borders are --------------------------------------------------------------------
 */

/* Copies up to one of the ends; where it stands then. */
static const char *take_part(const char *at, const char *ends, char *part, size_t size)
{
    size_t length = strcspn(at, ends);
    size_t kept = length < size ? length : size - 1;
    memcpy(part, at, kept);
    part[kept] = '\0';
    return at + length;
}

/* '35', '1:35', '1:02:35' in seconds. */
static bool read_time(const char *text, double *time_s)
{
    double sum = 0.0;
    for (const char *at = text;; at++) {
        char part[24];
        double value;
        at = take_part(at, ":", part, sizeof part);
        if (!text_to_double(part, &value) || value < 0.0) {
            return false;
        }
        sum = 60.0 * sum + value;
        if (*at == '\0') {
            *time_s = sum;
            return true;
        }
    }
}

/* '35..128,140..233' */
static bool read_times(const char *text, double *time_s, size_t *count, struct problem *problem)
{
    *count = 0;
    for (const char *at = text; *at != '\0'; at += *at == ',' ? 1 : 0) {
        char range[64], begin[32];
        at = take_part(at, ",", range, sizeof range);
        const char *dots = strstr(range, "..");
        if (dots == NULL || *count + 2 > TIMES_MOST) {
            return problem_set(problem, "times: begin and end of each, such as 35..128,2:20..3:53");
        }
        snprintf(begin, sizeof begin, "%.*s", (int)(dots - range), range);
        if (!read_time(begin, &time_s[*count]) || !read_time(dots + 2, &time_s[*count + 1])) {
            return problem_set(problem, "times: '%s' is no begin and end, such as 2:20..3:53",
                               range);
        }
        *count += 2;
    }
    return *count > 0 || problem_set(problem, "times: say them, such as 35..128,2:20..3:53");
}

/* '47.123,8.456,90': latitude, longitude, direction of travel over it. */
static bool read_line(const struct words *words, const char *key, struct ride_line *line,
                      struct problem *problem)
{
    double *to[] = {&line->latitude_deg, &line->longitude_deg, &line->heading_deg};
    const char *at = words_value(words, key);
    for (int i = 0; at != NULL && i < 3; i++) {
        char part[32];
        at = take_part(at, ",", part, sizeof part);
        if (!text_to_double(part, to[i]) || (i < 2 && *at != ',') || (i == 2 && *at != '\0')) {
            at = NULL;
            break;
        }
        at += *at == ',' ? 1 : 0;
    }
    return at != NULL || problem_set(problem,
                                     "%s: latitude, longitude and the direction of "
                                     "travel over it, such as 47.1234,8.4567,90",
                                     key);
}

static bool has_laps(const struct ride *ride)
{
    int32_t first = RIDE_LAP_NONE;
    for (size_t i = 0; ride->lap != NULL && i < ride->count; i++) {
        if (first == RIDE_LAP_NONE) {
            first = ride->lap[i];
        } else if (ride->lap[i] != RIDE_LAP_NONE && ride->lap[i] != first) {
            return true;
        }
    }
    return false;
}

static bool find_borders(const struct ride *ride, const struct words *words,
                         const struct drag_settings *settings, double *time_s,
                         struct ride_course *course, struct problem *problem)
{
    const char *times = words_value(words, "times");
    course->out_and_back = settings->course == COURSE_OUT_AND_BACK;
    if (times != NULL) {
        course->borders = RIDE_BORDERS_TIMES;
        course->time_s = time_s;
        return read_times(times, time_s, &course->time_count, problem);
    }
    if (words_value(words, "line") != NULL) {
        course->borders = RIDE_BORDERS_LINE;
        return read_line(words, "line", &course->line[0], problem) &&
               (!course->out_and_back || read_line(words, "other_line", &course->line[1], problem));
    }
    if (has_laps(ride)) {
        course->borders = RIDE_BORDERS_LAPS;
        return true;
    }
    course->borders = RIDE_BORDERS_LENGTH;
    course->length_m = settings->course_length_m;
    return (settings->course == COURSE_LAPS && settings->course_length_m > 0.0) ||
           problem_set(problem,
                       "nothing says where a lap or a way begins: lap marks in the file, "
                       "times=35..128,2:20..3:53, a line=..., or the length of the course");
}

static bool read_laps(const struct words *words, int *from, int *to, struct problem *problem)
{
    const char *text = words_value(words, "laps");
    return run_laps_range(text, from, to) ||
           problem_set(problem, "laps: '%s' is no lap and no range, such as 2..5", text);
}

/* ---- one leg ----------------------------------------------------------------------------------
 */

static void take_pieces(const struct drag_samples *samples, double length_m, struct run_leg *leg)
{
    struct drag_leg pieces[LEG_PIECES_MAX];
    leg->piece_m = DRAG_PIECE_M * fmax(1.0, ceil(length_m / (DRAG_PIECE_M * LEG_PIECES_MAX)));
    size_t count =
        drag_pieces(samples, 0, samples->count - 1, leg->piece_m, pieces, LEG_PIECES_MAX);
    for (size_t i = 0; i < count; i++) {
        if (fabs(pieces[i].length_m - leg->piece_m) < 1e-6 * leg->piece_m) { /* whole ones */
            leg->piece[leg->piece_count++] = (struct leg_piece){
                pieces[i].work_j, pieces[i].speed_m_per_s, pieces[i].out_m_per_s};
        }
    }
}

static void work_leg(const struct ride *ride, const struct ride_leg *from, struct run_leg *leg)
{
    struct ride_piece piece = {0};
    if (from->left_out != RIDE_KEPT) {
        text_copy(leg->left_out, sizeof leg->left_out, ride_left_out_text(from->left_out));
    }
    if (!ride_piece_take(ride, from, &piece) || piece.count < 2) {
        if (leg->left_out[0] == '\0') {
            text_copy(leg->left_out, sizeof leg->left_out, "too few samples");
        }
        ride_piece_free(&piece);
        return;
    }
    struct drag_samples samples = {piece.time_s, piece.speed_m_s, piece.power_w, piece.count};
    enum measure_status status = drag_leg_make(&samples, 0, piece.count - 1, from->begin_speed_m_s,
                                               from->end_speed_m_s, 0.0, &leg->sums);
    if (status != MEASURE_OK && leg->left_out[0] == '\0') {
        text_copy(leg->left_out, sizeof leg->left_out, measure_status_sentence(status));
    }
    if (status == MEASURE_OK) {
        take_pieces(&samples, leg->sums.length_m, leg);
    } else {
        leg->sums = (struct drag_leg){0};
    }
    ride_piece_free(&piece);
}

/* ---- ways and pairs ---------------------------------------------------------------------------
 */

static bool turned(const struct ride_leg *a, const struct ride_leg *b)
{
    return cos((a->heading_deg - b->heading_deg) * acos(-1.0) / 180.0) < 0.0;
}

/* The first of the legs chosen is the way out; a later one is where its heading, or failing that
 * its turn, says so. Neighbours of other ways make pairs, also where one is left out: it can be
 * taken in again by hand. */
static void find_ways(const struct ride_cut *cut, const size_t chosen[LEGS_MAX],
                      struct run_legs *legs)
{
    bool free_one = false;
    int pairs = 0;
    for (int i = 0; i < legs->count; i++) {
        const struct ride_leg *first = &cut->leg[chosen[0]], *leg = &cut->leg[chosen[i]];
        bool headed = leg->has_heading && first->has_heading;
        bool back = headed ? turned(first, leg) : i % 2 == 1;
        legs->leg[i].way = back ? "back" : "out";
        bool neighbours = i > 0 && chosen[i] == chosen[i - 1] + 1;
        bool other = i > 0 && !text_equal(legs->leg[i - 1].way, legs->leg[i].way);
        if (neighbours && other && free_one) {
            legs->leg[i].pair = legs->leg[i - 1].pair = ++pairs;
            free_one = false;
        } else {
            free_one = true;
        }
    }
}

static double mean_heart(const struct ride *ride, const struct ride_leg *leg, double *sum,
                         double *count)
{
    for (size_t i = leg->first; ride->heart_per_min != NULL && i <= leg->last; i++) {
        if (isfinite(ride->heart_per_min[i])) {
            *sum += ride->heart_per_min[i];
            *count += 1.0;
        }
    }
    return *count > 0.0 ? *sum / *count : (double)NAN;
}

static struct run_legs *take_legs(const struct ride *ride, const struct ride_cut *cut, int from,
                                  int to, bool laps, struct problem *problem)
{
    size_t chosen[LEGS_MAX] = {0};
    double work_j = 0.0, time_s = 0.0, heart = 0.0, beats = 0.0;
    int kept = 0;
    struct run_legs *legs = calloc(1, sizeof *legs);
    if (legs == NULL) {
        problem_set(problem, "no memory for a ride's laps");
        return NULL;
    }
    legs->power_w = legs->heart_per_min = NAN;
    legs->beside = cut->beside;
    for (size_t i = 0; i < cut->count; i++) {
        const struct ride_leg *leg = &cut->leg[i];
        if (leg->lap < from || leg->lap > to) {
            continue;
        }
        if (legs->count == LEGS_MAX) {
            problem_set(problem, "more than %d laps or ways: say which, such as laps=2..7",
                        LEGS_MAX);
            run_legs_free(legs);
            return NULL;
        }
        struct run_leg *made = &legs->leg[legs->count];
        chosen[legs->count++] = i;
        made->way = "lap";
        work_leg(ride, leg, made);
        if (made->left_out[0] == '\0') {
            kept++;
            work_j += made->sums.work_j;
            time_s += made->sums.duration_s;
            legs->heart_per_min = mean_heart(ride, leg, &heart, &beats);
        }
    }
    if (!laps) {
        find_ways(cut, chosen, legs);
    }
    legs->power_w = time_s > 0.0 ? work_j / time_s : (double)NAN;
    if (kept == 0) {
        if (legs->count > 0) {
            problem_set(problem, "nothing of it counts: %s", legs->leg[0].left_out);
        } else {
            problem_set(problem, "there is no such lap or way in it");
        }
        run_legs_free(legs);
        return NULL;
    }
    return legs;
}

struct run_legs *run_legs_cut(const struct ride *ride, const struct words *words,
                              const struct drag_settings *settings, struct problem *problem)
{
    struct ride_course course = {0};
    struct ride_cut cut = {0};
    struct run_legs *legs = NULL;
    double time_s[TIMES_MOST];
    int from, to;
    if (settings->course == COURSE_NOT_SAID) {
        problem_set(problem, "run: say the course first, 'course laps' or 'course out_and_back': "
                             "no course was ridden twice where nobody says so");
        return NULL;
    }
    if (find_borders(ride, words, settings, time_s, &course, problem) &&
        read_laps(words, &from, &to, problem) && ride_cut(ride, &course, &cut, problem)) {
        legs = take_legs(ride, &cut, from, to, settings->course == COURSE_LAPS, problem);
    }
    if (legs == NULL) { /* of several rides in one command: which */
        problem_prefix(problem, "'%s'", words_value(words, "from"));
    }
    ride_cut_free(&cut);
    return legs;
}
