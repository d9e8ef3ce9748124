/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A bike as strokes: what is drawn without being measured has a length of its own. */
#include "bike/side_view.h"
#include "support/bikes.h"
#include "support/test_main.h"

#include <math.h>

static const double DEGREE = 3.14159265358979323846 / 180.0;

static struct bike_values whole_bike(void)
{
    struct bike_values bike = usual_bike();
    bike.value[BIKE_SADDLE_HEIGHT] = 760;
    bike.value[BIKE_SEAT_ANGLE] = 74;
    bike.value[BIKE_CRANK_LENGTH] = 170;
    bike.value[BIKE_PAD_TILT] = 10;
    return bike;
}

/* The number of a part's strokes (from 0). */
static struct side_stroke stroke_of(const struct side_view *view, enum side_part part, int number)
{
    for (int i = 0; i < view->stroke_count; i++) {
        if (view->stroke[i].part == part && number-- == 0) {
            return view->stroke[i];
        }
    }
    ck_abort_msg("no such stroke of %s", side_part_key(part));
    return view->stroke[0];
}

static double length_of(struct side_stroke stroke)
{
    return hypot(stroke.to.x_mm - stroke.from.x_mm, stroke.to.y_mm - stroke.from.y_mm);
}

START_TEST(parts_are_named)
{
    ck_assert_str_eq(side_part_key(SIDE_FRAME), "frame");
    ck_assert_str_eq(side_part_key(SIDE_SPACERS), "spacers");
    ck_assert_str_eq(side_part_key(SIDE_STEM), "stem");
    ck_assert_str_eq(side_part_key(SIDE_PADS), "pads");
    ck_assert_str_eq(side_part_key(SIDE_EXTENSION), "extension");
    ck_assert_str_eq(side_part_key(SIDE_SADDLE), "saddle");
    ck_assert_str_eq(side_part_key(SIDE_CRANK), "crank");
    ck_assert_str_eq(side_part_key(SIDE_BEAM), "beam");
}
END_TEST

START_TEST(what_is_not_measured_has_a_usual_length)
{
    struct bike_values bike = whole_bike();
    struct side_sensor sensor = {"head", {CARRIER_BASE_BAR, 100, 30, 5, +1}};
    struct side_view view;
    ck_assert(side_view_make(&bike, &bike, &sensor, 1, &view, NULL));
    /* a head tube of 120 mm along the head angle, downwards and forwards */
    struct side_stroke head = stroke_of(&view, SIDE_FRAME, 0);
    ck_assert_double_eq_tol(length_of(head), 120.0, 1e-9);
    ck_assert_double_eq_tol(head.to.x_mm - head.from.x_mm, 120.0 * cos(73 * DEGREE), 1e-9);
    ck_assert_double_eq_tol(head.to.y_mm - head.from.y_mm, -120.0 * sin(73 * DEGREE), 1e-9);
    /* pads of 100 mm, tilted by theirs; a saddle of 260 mm; a beam of 200 mm, 5 degrees forward */
    struct side_stroke pads = stroke_of(&view, SIDE_PADS, 1);
    ck_assert_double_eq_tol(length_of(pads), 100.0, 1e-9);
    ck_assert_double_eq_tol(fabs(pads.to.y_mm - pads.from.y_mm), 100.0 * sin(10 * DEGREE), 1e-9);
    ck_assert_double_eq_tol(length_of(stroke_of(&view, SIDE_SADDLE, 0)), 260.0, 1e-9);
    struct side_stroke beam = stroke_of(&view, SIDE_BEAM, 0);
    ck_assert_double_eq_tol(length_of(beam), 200.0, 1e-9);
    ck_assert_double_eq_tol(beam.to.x_mm - beam.from.x_mm, 200.0 * sin(5 * DEGREE), 1e-9);
    /* the crank is measured, and lies level */
    struct side_stroke crank = stroke_of(&view, SIDE_CRANK, 0);
    ck_assert_double_eq(crank.to.x_mm, 170);
    ck_assert_double_eq(crank.to.y_mm, 0);
    /* the stem's clamp is 40 mm along the steerer, its arm leaves from the middle */
    ck_assert_double_eq_tol(length_of(stroke_of(&view, SIDE_SPACERS, 0)), 20.0, 1e-9);
    ck_assert_double_eq_tol(length_of(stroke_of(&view, SIDE_STEM, 0)), 40.0, 1e-9);
    ck_assert_double_eq_tol(length_of(stroke_of(&view, SIDE_STEM, 1)), 100.0, 1e-9);
    ck_assert_double_eq(SIDE_SEAT_ANGLE_DEG, 74.0); /* of the side views that draw one unmeasured */
}
END_TEST

START_TEST(a_sloping_saddle_and_a_beam_that_looks_down)
{
    struct bike_values bike = whole_bike();
    struct side_sensor sensor = {"chest", {CARRIER_BASE_BAR, 100, 30, 5, -1}};
    struct side_view view;
    bike.value[BIKE_SADDLE_TILT] = 3; /* nose up */
    ck_assert(side_view_make(&bike, &bike, &sensor, 1, &view, NULL));
    struct side_stroke saddle = stroke_of(&view, SIDE_SADDLE, 0);
    ck_assert_double_eq_tol(fabs(saddle.to.y_mm - saddle.from.y_mm), 260.0 * sin(3 * DEGREE), 1e-9);
    ck_assert((saddle.from.x_mm > saddle.to.x_mm) == (saddle.from.y_mm > saddle.to.y_mm));
    struct side_stroke beam = stroke_of(&view, SIDE_BEAM, 0);
    ck_assert_double_eq_tol(beam.to.y_mm - beam.from.y_mm, -200.0 * cos(5 * DEGREE), 1e-9);
    ck_assert_double_eq_tol(beam.to.x_mm - beam.from.x_mm, 200.0 * sin(5 * DEGREE), 1e-9);
    /* Of a sensor whose place is not known nothing is drawn: on pads that are not there, no height,
     * nothing ahead. */
    struct bike_values bare = bike;
    struct side_view without;
    bare.value[BIKE_PAD_RISE] = NAN;
    const struct side_sensor placeless[] = {{"head", {CARRIER_PAD_BRACKET, 100, 30, 5, +1}},
                                            {"head", {CARRIER_BASE_BAR, 100, NAN, 5, +1}},
                                            {"head", {CARRIER_BASE_BAR, NAN, 30, 5, +1}}};
    ck_assert(side_view_make(&bare, &bare, placeless, 3, &without, NULL));
    for (int i = 0; i < without.stroke_count; i++) {
        ck_assert(without.stroke[i].part != SIDE_BEAM);
    }
    /* the corners hold it all */
    for (int i = 0; i < view.stroke_count; i++) {
        ck_assert_double_ge(view.stroke[i].to.x_mm, view.low.x_mm);
        ck_assert_double_le(view.stroke[i].to.x_mm, view.high.x_mm);
        ck_assert_double_ge(view.stroke[i].to.y_mm, view.low.y_mm);
        ck_assert_double_le(view.stroke[i].to.y_mm, view.high.y_mm);
    }
}
END_TEST

/* The saddle's top is measured half-way, so its line goes through that point at the saddle's tilt;
 * its nose is the set-back behind the bottom bracket, where nobody measured that 143 mm (55 % of
 * its length) ahead of the top. */
START_TEST(a_saddles_nose_is_where_its_set_back_says)
{
    struct bike_values bike = whole_bike();
    struct side_view view;
    const struct point top = {-760 * cos(74 * DEGREE), 760 * sin(74 * DEGREE)};
    bike.value[BIKE_SADDLE_TILT] = -4; /* nose down */
    for (int measured = 0; measured < 2; measured++) {
        bike.value[BIKE_SADDLE_SETBACK] = measured ? 60 : NAN;
        ck_assert(side_view_make(&bike, &bike, NULL, 0, &view, NULL));
        struct point nose = stroke_of(&view, SIDE_SADDLE, 0).from;
        struct point tail = stroke_of(&view, SIDE_SADDLE, 0).to;
        double ahead = measured ? -60 - top.x_mm : 143.0;
        ck_assert_double_eq_tol(nose.x_mm, top.x_mm + ahead, 1e-9);
        ck_assert_double_eq_tol(nose.y_mm, top.y_mm - ahead * tan(4 * DEGREE), 1e-9);
        ck_assert_double_eq_tol(nose.x_mm - tail.x_mm, 260 * cos(4 * DEGREE), 1e-9);
        ck_assert_double_eq_tol(nose.y_mm - tail.y_mm, -260 * sin(4 * DEGREE), 1e-9);
    }
    /* The frame's upper tube meets the seat tube at 72 % of the saddle's height and the head tube
     * 20 mm below its top. */
    struct side_stroke tube = stroke_of(&view, SIDE_FRAME, 3);
    ck_assert_double_eq_tol(tube.from.x_mm, 0.72 * top.x_mm, 1e-9);
    ck_assert_double_eq_tol(tube.from.y_mm, 0.72 * top.y_mm, 1e-9);
    ck_assert_double_eq_tol(tube.to.x_mm, 400 + 20 * cos(73 * DEGREE), 1e-9);
    ck_assert_double_eq_tol(tube.to.y_mm, 540 - 20 * sin(73 * DEGREE), 1e-9);
}
END_TEST

/* 20 mm of spacers and a clamp of 40 lean back with the steerer; pads tilt with the bar's roll. */
START_TEST(the_front_stands_on_the_steerer_and_turns_with_the_bar)
{
    struct bike_values bike = whole_bike();
    struct side_view view;
    bike.value[BIKE_BAR_ROLL] = 7;
    bike.value[BIKE_HEADSET_CAP] = 5;
    ck_assert(side_view_make(&bike, &bike, NULL, 0, &view, NULL));
    struct side_stroke spacers = stroke_of(&view, SIDE_SPACERS, 0);
    struct side_stroke clamp = stroke_of(&view, SIDE_STEM, 0);
    ck_assert_double_eq_tol(spacers.to.x_mm, 400 - 25 * cos(73 * DEGREE), 1e-9);
    ck_assert_double_eq_tol(spacers.to.y_mm, 540 + 25 * sin(73 * DEGREE), 1e-9);
    ck_assert_double_eq_tol(clamp.to.x_mm, 400 - 65 * cos(73 * DEGREE), 1e-9);
    ck_assert_double_eq_tol(clamp.to.y_mm, 540 + 65 * sin(73 * DEGREE), 1e-9);
    struct side_stroke pads = stroke_of(&view, SIDE_PADS, 1);
    ck_assert_double_eq_tol(pads.from.x_mm - pads.to.x_mm, 100 * cos(17 * DEGREE), 1e-9);
    ck_assert_double_eq_tol(pads.from.y_mm - pads.to.y_mm, 100 * sin(17 * DEGREE), 1e-9);
}
END_TEST

/* Sensors are marked 1 to 9 and from 1 again; those that there is no room for are left out. */
START_TEST(sensors_are_numbered_while_there_is_room)
{
    struct bike_values bike = whole_bike();
    struct side_sensor sensors[30];
    struct side_view view;
    for (int i = 0; i < 30; i++) {
        sensors[i] = (struct side_sensor){"head", {CARRIER_BASE_BAR, 100 + i, 30, 5, +1}};
    }
    for (int count = 0; count <= 30; count++) {
        ck_assert(side_view_make(&bike, &bike, sensors, count, &view, NULL));
        int beams = 0, marks = 0;
        for (int i = 0; i < view.stroke_count; i++) {
            beams += view.stroke[i].part == SIDE_BEAM;
        }
        for (int i = 0; i < view.mark_count; i++) {
            if (view.mark[i].key == sensors[0].name) {
                ck_assert_int_eq(view.mark[i].letter, '1' + marks % 9);
                marks++;
            }
        }
        ck_assert_int_le(view.stroke_count, SIDE_STROKES_MAX);
        ck_assert_int_le(view.mark_count, SIDE_MARKS_MAX);
        ck_assert(beams == count || view.stroke_count == SIDE_STROKES_MAX);
        ck_assert(marks == count || view.mark_count == SIDE_MARKS_MAX);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("side_view");
    TCase *tests = tcase_create("side_view");
    tcase_add_test(tests, parts_are_named);
    tcase_add_test(tests, what_is_not_measured_has_a_usual_length);
    tcase_add_test(tests, a_sloping_saddle_and_a_beam_that_looks_down);
    tcase_add_test(tests, a_saddles_nose_is_where_its_set_back_says);
    tcase_add_test(tests, the_front_stands_on_the_steerer_and_turns_with_the_bar);
    tcase_add_test(tests, sensors_are_numbered_while_there_is_room);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
