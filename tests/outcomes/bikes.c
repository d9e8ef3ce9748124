/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is worked out of made-up bikes, pairs of them and builds with what was read on them. */
#include "support/bikes.h"
#include "bike/position.h"
#include "bike/search.h"
#include "bike/side_view.h"
#include "bike/tie.h"
#include "bike/uncertainty.h"
#include "bike/wrench.h"
#include "support/outcome.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>

#define BIKES 40

/* Whole to tenths, as they are measured; each second one lacks some. */
static struct bike_values made_bike(struct random_source *random, int number)
{
    struct bike_values bike = random_bike(random);
    for (int k = 0; k < BIKE_KEYS; k++) {
        bike.value[k] = round(bike.value[k] * 10.0) / 10.0;
        if (number % 2 == 1 && random_uniform(random) < 0.08) {
            bike.value[k] = NAN;
        }
    }
    return bike;
}

/* Some of its parts changed. */
static struct bike_values changed(struct random_source *random, const struct bike_values *bike,
                                  double share)
{
    struct bike_values other = *bike;
    for (int k = BIKE_SPACERS; k < BIKE_KEYS; k++) {
        double by = round(random_between(random, -30.0, 30.0));
        if (random_uniform(random) < share) {
            other.value[k] += by;
        }
    }
    return other;
}

static struct sensor_mount made_mount(int number)
{
    return (struct sensor_mount){.carrier = (enum carrier)(number % CARRIERS),
                                 .x_mm = 20.0 * (number % 7) - 40.0,
                                 .y_mm = number % 4 == 3 ? NAN : 30.0 + number,
                                 .tilt_deg = number % 5 * 3.0 - 6.0,
                                 .direction = number % 3 == 0 ? -1 : 1};
}

static void pin_point(const char *name, const struct point *point)
{
    char part[60];
    snprintf(part, sizeof part, "%s.x_mm", name);
    outcome_number(part, point->x_mm);
    snprintf(part, sizeof part, "%s.y_mm", name);
    outcome_number(part, point->y_mm);
}

static void pin_place(const struct bike_values *bike)
{
    struct bike_points points;
    struct points_uncertainty u;
    struct position position;
    struct problem problem = {.sentence = ""};
    if (!bike_forward(bike, &points, &problem)) {
        outcome_text("forward", problem.sentence);
        return;
    }
    pin_point("clamp", &points.clamp);
    if (points.has_pad) {
        pin_point("pad", &points.pad);
    }
    if (points.has_extension) {
        pin_point("root", &points.extension_root);
        pin_point("tip", &points.extension_tip);
    }
    if (points.has_saddle) {
        pin_point("saddle", &points.saddle);
    }
    ck_assert(bike_uncertainty(bike, NULL, &u, &problem));
    pin_point("u_clamp", &u.clamp);
    pin_point("u_pad", &u.pad);
    pin_point("u_tip", &u.extension_tip);
    pin_point("u_saddle", &u.saddle);
    ck_assert(position_of(bike, &position, &problem));
    pin_point("arms", &position.arms);
    outcome_number("drop_mm", position.drop_mm);
    double length_mm = 0.0, spacers_mm = 0.0;
    struct point target = {position.arms.x_mm + 12.0, position.arms.y_mm - 7.0};
    if (bike_inverse(bike, target, -10.0, &length_mm, &spacers_mm, &problem)) {
        outcome_number("stem_length_for", length_mm);
        outcome_number("spacers_for", spacers_mm);
    }
}

static void pin_sensor(const struct bike_values *first, const struct bike_values *bike, int number)
{
    struct sensor_mount mount = made_mount(number);
    struct sensor_position at;
    struct sensor_shift shift;
    struct problem problem = {.sentence = ""};
    char text[300];
    if (sensor_locate(bike, first, &mount, &at, &problem)) {
        outcome_number("sensor.x_mm", at.x_mm);
        outcome_number("sensor.y_mm", at.y_mm);
        outcome_number("sensor.tilt_deg", at.tilt_deg);
        outcome_number("body_mm", body_height_mm(at.y_mm, mount.direction, at.tilt_deg, 412.0));
    } else {
        outcome_text("sensor", problem.sentence);
    }
    if (sensor_shift_make(first, bike, &mount, &shift, &problem)) {
        outcome_number("shift.x_mm", shift.x_mm);
        outcome_number("shift.y_mm", shift.y_mm);
        outcome_number("shift.u_mm", shift.u_mm);
    } else {
        outcome_text("shift", problem.sentence);
    }
    outcome_number("shift.moved", shift.moved);
    outcome_number("shift.tilt_deg", shift.tilt_deg);
    outcome_number("unmoved", carrier_unmoved(mount.carrier, first, bike));
    sensor_move_text(text, sizeof text, "head", &mount, first, bike);
    outcome_text("move", text);
    outcome_number("needs_plate", sensor_needs_plate(&mount, first, bike));
}

static void pin_change(const struct bike_values *from, const struct bike_values *to)
{
    struct wrench_list list;
    struct bike_values carried = *to;
    char text[2000], name[40];
    bike_changes_text(text, sizeof text, from, to);
    outcome_text("changes", text);
    wrench_list_make(from, to, &list);
    for (int s = 0; s < list.count; s++) {
        const struct wrench_step *step = &list.step[s];
        snprintf(name, sizeof name, "step%d", s);
        snprintf(text, sizeof text, "%s | %s | %s | %s", step->text, step->work, step->from_text,
                 step->to_text);
        outcome_text(name, text);
    }
    outcome_number("has_moves", list.has_moves);
    outcome_number("has_pad_move", list.has_pad_move);
    if (list.has_moves) {
        move_text(text, sizeof text, list.clamp_move);
        outcome_text("clamp_move", text);
    }
    if (list.has_pad_move) {
        move_text(text, sizeof text, list.pad_move);
        outcome_text("pad_move", text);
    }
    position_carry(from, &carried, text, sizeof text);
    outcome_text("carried", text);
    outcome_number("saddle_height", carried.value[BIKE_SADDLE_HEIGHT]);
}

START_TEST(bikes)
{
    struct random_source random;
    random_seed(&random, 4711);
    outcome_begin("bike-bikes");
    for (int b = 0; b < BIKES; b++) {
        struct bike_values bike = made_bike(&random, b);
        struct bike_values other = changed(&random, &bike, b % 3 == 0 ? 0.08 : 0.4);
        outcome_of("bike%d", b);
        pin_place(&bike);
        pin_sensor(&bike, &other, b);
        pin_change(&bike, &other);
    }
    outcome_end();
}
END_TEST

static void read_some(struct random_source *random, struct tie_build *build, int number)
{
    bool plate = random_uniform(random) < 0.4, tape = random_uniform(random) < 0.2;
    bool reference = random_uniform(random) < 0.2;
    double height_mm = number % 3 == 0 ? NAN : 180.0 + number % 3;
    build->plate_range_mm = plate ? round(random_between(random, 380.0, 420.0)) : NAN;
    build->plate_height_mm = height_mm;
    build->tape_height_mm = tape ? round(random_between(random, 590.0, 640.0)) : NAN;
    build->reference_range_mm = reference ? round(random_between(random, 500.0, 540.0)) : NAN;
    build->reference_direction = number % 2 == 0 ? -1 : 1;
}

static void pin_tie(const struct tie *tie)
{
    outcome_number("kind", tie->kind);
    outcome_number("sensor_height_mm", tie->sensor_height_mm);
    outcome_number("absolute", tie->absolute);
    outcome_number("u_absolute_mm", tie->u_absolute_mm);
    outcome_number("u_own_mm", tie->u_own_mm);
    outcome_number("tilt_deg", tie->tilt_deg);
    outcome_number("shift_mm", tie->shift_mm);
    outcome_number("shift_x_mm", tie->shift_x_mm);
    outcome_number("shift_tilt_deg", tie->shift_tilt_deg);
    outcome_number("u_common_mm", tie->u_common_mm);
    outcome_number("u_build_mm", tie->u_build_mm);
    outcome_number("position_group", tie->position_group);
    outcome_number("computed_shift_mm", tie->has_computed ? tie->computed_shift_mm : NAN);
    outcome_number("measured_shift_mm", tie->has_measured ? tie->measured_shift_mm : NAN);
    outcome_number("alarm", tie->alarm);
    outcome_number("found", tie->found.kind);
    outcome_number("found.by", tie->alarm ? tie->found.by : TIE_NONE);
    outcome_number("found.apart_mm", tie->alarm ? tie->found.apart_mm : NAN);
    outcome_number("found.carrier_moves", tie->found.carrier_moves);
    outcome_number("found.other_stem", tie->found.other_stem);
    outcome_number("found.alike", tie->found.alike);
    outcome_number("found.read", tie->found.read);
    outcome_text("found.missing", tie->found.missing);
    outcome_number("is_read", tie_is_read(tie));
    outcome_number("uncertainty_mm", tie_uncertainty_mm(tie));
}

/* Five builds: the parts of the first come back, a sensor itself moves in some. */
START_TEST(ties)
{
    struct random_source random;
    random_seed(&random, 4712);
    outcome_begin("bike-ties");
    for (int t = 0; t < BIKES; t++) {
        struct tie_build build[5];
        struct tie tie[5];
        struct sensor_mount mount = made_mount(t);
        struct bike_values bike = t % 2 == 0 ? usual_bike() : made_bike(&random, t);
        for (int b = 0; b < 5; b++) {
            build[b] = (struct tie_build){.bike = bike};
            read_some(&random, &build[b], t);
            build[b].moved = t % 9 == 8 && b == 3;
            if (b == 1 || (b == 2 && t % 2 == 1)) {
                build[b].bike = changed(&random, &bike, 0.15);
            } else if (b == 3) {
                build[b].bike = build[1].bike;
            }
        }
        tie_resolve(&mount, build, 5, t % 4 == 0 ? 18.0 : NAN, tie);
        for (int b = 0; b < 5; b++) {
            outcome_of("tie%d.build%d", t, b);
            pin_tie(&tie[b]);
        }
    }
    outcome_end();
}
END_TEST

static const char parts_list[] = "stem length=80..120/10 angle=-17,-6,6\n"
                                 "stem length=95 angle=-10 clamp_height=38\n"
                                 "spacers 0..30/10\n"
                                 "pad_rise 35..65/10\n"
                                 "pad_fore_aft -40,-20,0\n"
                                 "bar_roll -5,0,5\n"
                                 "limit spacers=25 column=80\n";

START_TEST(searches)
{
    struct random_source random;
    random_seed(&random, 4713);
    outcome_begin("bike-searches");
    for (int s = 0; s < 12; s++) {
        struct parts_at_hand parts;
        struct place_search search;
        struct problem problem = {.sentence = ""};
        struct bike_values bike = usual_bike();
        struct place_goal goal = {
            {random_between(&random, 430, 520), random_between(&random, 590, 680)},
            s % 3 == 0 ? 2.0 : 1.0,
            s % 4 == 0 ? 3.0 : 1.0,
            s % 2 == 0 ? 0.0 : 1.5};
        parts_clear(&parts);
        ck_assert(parts_read(&parts, "parts.txt", parts_list, &problem));
        bike.value[BIKE_HEADSET_CAP] = 5.0 * (s % 3);
        if (s % 5 == 4) {
            parts.stem_count = 0;
            parts.spacers.count = 0;
        }
        outcome_of("search%d", s);
        ck_assert_msg(place_find(&bike, &parts, &goal, 6, &search, &problem), "%s",
                      problem.sentence);
        outcome_number("tried", search.tried);
        outcome_number("left_out", search.left_out);
        for (int p = 0; p < search.count; p++) {
            const struct place_proposal *proposal = &search.proposal[p];
            char text[600];
            outcome_of("search%d.proposal%d", s, p);
            bike_changes_text(text, sizeof text, &bike, &proposal->bike);
            outcome_text("changes", text);
            outcome_number("error_x_mm", proposal->error_x_mm);
            outcome_number("error_y_mm", proposal->error_y_mm);
            outcome_number("error_mm", proposal->error_mm);
            outcome_number("changed_parts", proposal->changed_parts);
            outcome_number("cost", proposal->cost);
        }
    }
    outcome_end();
}
END_TEST

START_TEST(side_views)
{
    struct random_source random;
    random_seed(&random, 4714);
    outcome_begin("bike-sides");
    for (int b = 0; b < 8; b++) {
        struct bike_values bike = made_bike(&random, b);
        struct bike_values other = changed(&random, &bike, 0.2);
        struct side_sensor sensor[2] = {{"head", made_mount(b)}, {"chest", made_mount(b + 1)}};
        struct side_view view;
        struct problem problem = {.sentence = ""};
        char name[40];
        outcome_of("side%d", b);
        if (!side_view_make(&other, &bike, sensor, 2, &view, &problem)) {
            outcome_text("none", problem.sentence);
            continue;
        }
        for (int s = 0; s < view.stroke_count; s++) {
            snprintf(name, sizeof name, "%s%d.from", side_part_key(view.stroke[s].part), s);
            pin_point(name, &view.stroke[s].from);
            snprintf(name, sizeof name, "%s%d.to", side_part_key(view.stroke[s].part), s);
            pin_point(name, &view.stroke[s].to);
        }
        for (int m = 0; m < view.mark_count; m++) {
            snprintf(name, sizeof name, "%c-%s", view.mark[m].letter, view.mark[m].key);
            pin_point(name, &view.mark[m].at);
        }
        pin_point("low", &view.low);
        pin_point("high", &view.high);
    }
    outcome_end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outcome_bikes");
    TCase *tests = tcase_create("outcome_bikes");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, bikes);
    tcase_add_test(tests, ties);
    tcase_add_test(tests, searches);
    tcase_add_test(tests, side_views);
    return test_main(suite);
}
