/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/search.h"
#include "support/bikes.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>
#include <string.h>

static const char list_of_parts[] = "# parts of the worked search\n"
                                    "stem length=70..120/10 angle=-17,-10,-6,6\n"
                                    "\n"
                                    "spacers 0..30/5\n"
                                    "pad_rise 15..65/10   # risers\n"
                                    "pad_fore_aft -40 -20 0\n";

static const struct place_goal goal = {{470, 610}, 1, 1, 0};

static void read_parts(struct parts_at_hand *parts, const char *text)
{
    struct problem problem = {0};
    parts_clear(parts);
    if (!parts_read(parts, "parts.txt", text, &problem)) {
        ck_abort_msg("%s", problem.sentence);
    }
}

static struct bike_values frame(void)
{
    struct bike_values bike = usual_bike();
    bike.value[BIKE_PAD_RISE] = bike.value[BIKE_PAD_FORE_AFT] = NAN;
    bike.value[BIKE_STEM_LENGTH] = bike.value[BIKE_STEM_ANGLE] = bike.value[BIKE_SPACERS] = NAN;
    return bike;
}

static void check_proposal(const struct place_proposal *proposal, const double wanted[8])
{
    const enum bike_key keys[] = {BIKE_STEM_LENGTH, BIKE_STEM_ANGLE, BIKE_SPACERS, BIKE_PAD_RISE,
                                  BIKE_PAD_FORE_AFT};
    for (int i = 0; i < 5; i++) {
        ck_assert_double_eq(proposal->bike.value[keys[i]], wanted[i]);
    }
    ck_assert_double_eq_tol(proposal->at.x_mm, wanted[5], 0.006);
    ck_assert_double_eq_tol(proposal->at.y_mm, wanted[6], 0.006);
    ck_assert_double_eq_tol(proposal->error_mm, wanted[7], 0.006);
}

/* Own computation, all combinations tried: stack 540, reach 400, head angle 73, clamp height 40. */
START_TEST(the_worked_search)
{
    struct parts_at_hand parts;
    struct place_search search;
    struct bike_values bike = frame();
    read_parts(&parts, list_of_parts);
    ck_assert_int_eq(parts.stem_count, 24);
    ck_assert(place_find(&bike, &parts, &goal, 5, &search, NULL));
    ck_assert_int_eq(search.count, 5);
    ck_assert_double_eq(search.tried, 24.0 * 7 * 6 * 3);
    ck_assert_double_eq(search.left_out, 0);
    check_proposal(&search.proposal[0], (double[]){80, -6, 10, 25, 0, 469.76, 608.95, 1.07});
    check_proposal(&search.proposal[1], (double[]){100, -10, 15, 25, -20, 469.02, 610.66, 1.18});
    check_proposal(&search.proposal[2], (double[]){80, -17, 15, 35, 0, 469.77, 608.47, 1.55});
    check_proposal(&search.proposal[3], (double[]){100, -17, 15, 35, -20, 469.77, 608.47, 1.55});
    check_proposal(&search.proposal[4], (double[]){120, -17, 15, 35, -40, 469.77, 608.47, 1.55});
}
END_TEST

START_TEST(the_best_is_the_best_of_all)
{
    struct parts_at_hand parts;
    struct place_search search;
    struct random_source source;
    struct bike_values bike = frame();
    random_seed(&source, test_seed(41));
    read_parts(&parts, list_of_parts);
    for (int round = 0; round < 20; round++) {
        struct place_goal random_goal = {
            {random_between(&source, 400, 520), random_between(&source, 560, 700)}, 1, 1, 0};
        ck_assert(place_find(&bike, &parts, &random_goal, 5, &search, NULL));
        for (int i = 1; i < search.count; i++) {
            ck_assert_double_ge(search.proposal[i].cost + 1e-9, search.proposal[i - 1].cost);
        }
        for (int i = 0; i < 500; i++) {
            struct bike_values any = bike;
            struct bike_points points;
            int stem = (int)(random_uniform(&source) * parts.stem_count);
            any.value[BIKE_STEM_LENGTH] = parts.stem[stem].length_mm;
            any.value[BIKE_STEM_ANGLE] = parts.stem[stem].angle_deg;
            any.value[BIKE_SPACERS] = 5.0 * (int)(random_uniform(&source) * 7);
            any.value[BIKE_PAD_RISE] = 15.0 + 10.0 * (int)(random_uniform(&source) * 6);
            any.value[BIKE_PAD_FORE_AFT] = -20.0 * (int)(random_uniform(&source) * 3);
            ck_assert(bike_forward(&any, &points, NULL));
            double error = hypot(points.pad.x_mm - random_goal.target.x_mm,
                                 points.pad.y_mm - random_goal.target.y_mm);
            ck_assert_double_ge(error + 1e-9, search.proposal[0].error_mm);
        }
    }
}
END_TEST

START_TEST(limits_that_are_slips_or_meet)
{
    struct bike_limits limits, more;
    struct problem problem = {0};
    double least, most;
    char text[32];
    bike_limits_clear(&limits);
    /* the range of docs/place.md; the column: cap 0 to 60, spacers 0 to 150, clamp 20 to 100 */
    ck_assert(!bike_limits_read(&limits, "stem_length", "4", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "in mm, not inches?"));
    ck_assert(!bike_limits_read(&limits, "spacers", "-10..30", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "outside 0 to 150 mm"));
    ck_assert(!bike_limits_read(&limits, "column", "400", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "outside 20 to 310 mm"));
    ck_assert(!bike_limits_read(&limits, "column", "3..80", &problem));
    ck_assert_int_eq(bike_limits_entered(&limits), 0);
    bike_limit_range(BIKE_PAD_RISE, &least, &most);
    ck_assert(least == -60.0 && most == 300.0);
    /* of two the tighter, on each side by itself; one that is not there gives way */
    ck_assert(bike_limits_read(&limits, "spacers", "5..30", NULL));
    ck_assert(bike_limits_read(&limits, "column", "85", NULL));
    bike_limits_clear(&more);
    ck_assert(bike_limits_read(&more, "spacers", "0..25", NULL));
    ck_assert(bike_limits_read(&more, "column", "90", NULL));
    ck_assert(bike_limits_read(&more, "pad_rise", "65", NULL));
    bike_limits_tighten(&limits, &more);
    ck_assert(limits.least[BIKE_SPACERS] == 5.0 && limits.most[BIKE_SPACERS] == 25.0);
    ck_assert(limits.most[BIKE_LIMIT_COLUMN] == 85.0 && isnan(limits.least[BIKE_LIMIT_COLUMN]));
    ck_assert(limits.most[BIKE_PAD_RISE] == 65.0);
    /* those of another in their place, where it has one at all */
    bike_limits_clear(&more);
    more.least[BIKE_SPACERS] = 10.0;
    more.most[BIKE_LIMIT_COLUMN] = 88.0;
    struct bike_limits before = limits;
    bike_limits_add(&limits, &more);
    ck_assert(limits.least[BIKE_SPACERS] == 10.0 && isnan(limits.most[BIKE_SPACERS]));
    ck_assert(limits.most[BIKE_LIMIT_COLUMN] == 88.0 && limits.most[BIKE_PAD_RISE] == 65.0);
    limits = before;
    /* one value by itself */
    ck_assert(bike_limit_passed(&limits, BIKE_SPACERS, 30, text, sizeof text));
    ck_assert_str_eq(text, "max 25");
    ck_assert(bike_limit_passed(&limits, BIKE_SPACERS, 2.5, text, sizeof text));
    ck_assert_str_eq(text, "min 5");
    ck_assert(!bike_limit_passed(&limits, BIKE_SPACERS, 25, text, sizeof text));
    ck_assert_str_eq(text, "");
    ck_assert(!bike_limit_passed(&limits, BIKE_SPACERS, (double)NAN, text, sizeof text));
    ck_assert(!bike_limit_passed(&limits, BIKE_STEM_LENGTH, 200, text, sizeof text));
}
END_TEST

START_TEST(no_proposal_passes_a_limit)
{
    struct parts_at_hand parts;
    struct place_search search;
    struct bike_values bike = frame();
    struct problem problem = {0};
    read_parts(&parts, list_of_parts);
    ck_assert(parts_read_line(&parts, "limit pad_rise=..30", &problem) == false);
    ck_assert(parts_read_line(&parts, "limit spacers=5..10 column=50 stem_length=90..", NULL));
    ck_assert_int_eq(bike_limits_entered(&parts.limits), 4);
    ck_assert(place_find(&bike, &parts, &goal, PROPOSALS_MAX, &search, NULL));
    ck_assert_int_eq(search.count, PROPOSALS_MAX);
    ck_assert_double_gt(search.left_out, 0);
    for (int i = 0; i < search.count; i++) {
        const double *value = search.proposal[i].bike.value;
        ck_assert(value[BIKE_SPACERS] >= 5 && value[BIKE_SPACERS] <= 10);
        ck_assert(value[BIKE_SPACERS] + 40 <= 50);
        ck_assert(value[BIKE_STEM_LENGTH] >= 90);
        ck_assert_int_eq(bike_limits_passed(&parts.limits, &search.proposal[i].bike, NULL, 0), 0);
    }
    ck_assert(parts_read_line(&parts, "limit pad_rise=10", NULL));
    ck_assert(!place_find(&bike, &parts, &goal, 5, &search, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "passes a limit"));
    /* One that the bike itself passes is told. */
    char text[200];
    bike = usual_bike();
    bike.value[BIKE_PAD_RISE] = 55;
    struct bike_limits none;
    bike_limits_clear(&none);
    text[0] = 'x';
    ck_assert_int_eq(bike_limits_passed(&none, &bike, text, sizeof text), 0);
    ck_assert_str_eq(text, "");
    ck_assert_int_eq(bike_limits_passed(&parts.limits, &bike, text, sizeof text), 3);
    ck_assert_ptr_nonnull(strstr(text, "spacers 20 mm: over the limit entered, 10 mm"));
    ck_assert_ptr_nonnull(strstr(text, "pad rise 55 mm: over the limit entered, 10 mm"));
    ck_assert_ptr_nonnull(strstr(text, "stem clamp together 60 mm: over"));
}
END_TEST

START_TEST(fewer_changes_win_between_equals)
{
    struct parts_at_hand parts;
    struct place_search search;
    struct bike_values bike = usual_bike();
    read_parts(&parts, list_of_parts);
    /* Where the bike is already: nothing to change, no error. */
    struct place_goal here = {{468.305, 633.252}, 1, 1, 0.1};
    ck_assert(place_find(&bike, &parts, &here, 5, &search, NULL));
    ck_assert_int_eq(search.proposal[0].changed_parts, 0);
    ck_assert_double_lt(search.proposal[0].error_mm, 0.001);
    /* 80 and 120 reach the same pad with the pads shifted: two parts changed, after the one that is
     * there. */
    ck_assert_int_eq(search.proposal[1].changed_parts, 2);
    /* An error in height that matters more than one in length. */
    struct place_goal height = {{470, 610}, 5, 1, 0};
    ck_assert(place_find(&bike, &parts, &height, 1, &search, NULL));
    ck_assert_double_lt(fabs(search.proposal[0].error_y_mm), 1.05);
    /* Nothing listed: the bike as it is. */
    parts_clear(&parts);
    ck_assert(place_find(&bike, &parts, &goal, 5, &search, NULL));
    ck_assert_int_eq(search.count, 1);
    ck_assert(bike_values_equal(&search.proposal[0].bike, &bike));
    /* Without pads the bar clamp is placed. */
    bike.value[BIKE_PAD_RISE] = bike.value[BIKE_PAD_FORE_AFT] = NAN;
    ck_assert(place_find(&bike, &parts, &goal, 5, &search, NULL));
    ck_assert_double_eq_tol(search.proposal[0].at.x_mm, 488.305, 0.0006);
    struct problem problem = {0};
    bike.value[BIKE_PAD_RISE] = 20;
    ck_assert(!place_find(&bike, &parts, &goal, 5, &search, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "pad fore-aft"));
    bike.value[BIKE_PAD_RISE] = NAN;
    bike.value[BIKE_PAD_FORE_AFT] = 0;
    ck_assert(!place_find(&bike, &parts, &goal, 5, &search, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "needs pad rise"));
    bike.value[BIKE_PAD_RISE] = 20;
    bike.value[BIKE_HEAD_ANGLE] = NAN;
    ck_assert(!place_find(&bike, &parts, &goal, 5, &search, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "head angle"));
}
END_TEST

/* A stem is one part, whichever of its measures are others; the bike has one of 100 mm, -17 degrees
 * and 40 mm, and 20 mm of spacers. The bar's roll is listed too. */
START_TEST(another_stem_and_a_rolled_bar_are_a_part_each)
{
    static const struct {
        const char *list;
        int changed;
    } rows[] = {{"stem length=100 angle=-17\n", 0},
                {"stem length=90 angle=-17\n", 1},
                {"stem length=100 angle=-6\n", 1},
                {"stem length=100 angle=-17 clamp_height=40\n", 0},
                {"stem length=100 angle=-17 clamp_height=38\n", 1},
                {"stem length=100 angle=-17 clamp_height=38\nbar_roll 3\n", 2},
                {"bar_roll 3\nspacers 5\n", 2},
                {"bar_roll 0\nspacers 20\n", 0}};
    struct bike_values bike = usual_bike();
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct parts_at_hand parts;
        struct place_search search;
        read_parts(&parts, rows[i].list);
        ck_assert(place_find(&bike, &parts, &goal, 5, &search, NULL));
        ck_assert_int_eq(search.count, 1);
        ck_assert_msg(search.proposal[0].changed_parts == rows[i].changed, "%s", rows[i].list);
        bool rolled = strstr(rows[i].list, "bar_roll 3") != NULL;
        ck_assert(bike_value(&search.proposal[0].bike, BIKE_BAR_ROLL) == (rolled ? 3.0 : 0.0));
        double clamp_mm = strstr(rows[i].list, "=38") != NULL ? 38.0 : 40.0;
        ck_assert(bike_value(&search.proposal[0].bike, BIKE_STEM_CLAMP_HEIGHT) == clamp_mm);
    }
}
END_TEST

START_TEST(one_proposal_at_least_and_as_many_as_there_is_room_for)
{
    struct parts_at_hand parts;
    struct place_search search;
    struct bike_values bike = frame();
    read_parts(&parts, list_of_parts);
    ck_assert(place_find(&bike, &parts, &goal, 0, &search, NULL));
    ck_assert_int_eq(search.count, 1);
    ck_assert(place_find(&bike, &parts, &goal, PROPOSALS_MAX + 1, &search, NULL));
    ck_assert_int_eq(search.count, PROPOSALS_MAX);
}
END_TEST

/* Two that are as near but for rounding: the one that is on the bike wins, though listed behind. */
START_TEST(rounding_decides_nothing)
{
    struct parts_at_hand parts;
    struct place_search search;
    struct bike_values bike = usual_bike();
    struct place_goal middle = {.weight_x_mm = 1, .weight_y_mm = 1};
    struct bike_points points;
    ck_assert(bike_forward(&bike, &points, NULL));
    middle.target = (struct point){points.pad.x_mm, points.clamp.y_mm + 50.0};
    bike.value[BIKE_PAD_RISE] = 55.0 + 1e-10;
    parts_clear(&parts);
    parts.pad_rise.value[0] = 45.0;
    parts.pad_rise.value[1] = bike.value[BIKE_PAD_RISE];
    parts.pad_rise.count = 2;
    ck_assert(place_find(&bike, &parts, &middle, 5, &search, NULL));
    ck_assert_int_eq(search.count, 2);
    ck_assert_int_eq(search.proposal[0].changed_parts, 0);
    ck_assert_double_gt(search.proposal[0].cost, search.proposal[1].cost);
}
END_TEST

/* What the bike had not is changed where a proposal has it. */
START_TEST(what_was_not_there_is_a_change)
{
    struct parts_at_hand parts;
    struct place_search search;
    struct bike_values bike = frame();
    read_parts(&parts, list_of_parts);
    ck_assert(place_find(&bike, &parts, &goal, 1, &search, NULL));
    ck_assert_int_eq(search.proposal[0].changed_parts, 4); /* stem, spacers, pads up and forward */
}
END_TEST

START_TEST(bad_lists_are_refused_with_line_and_word)
{
    static const struct {
        const char *text, *sentence;
    } rows[] = {
        {"spacers 0..30/5\nstems 70\n", "parts.txt, line 2: 'stems' is not known here"},
        {"stem length=900 angle=-6", "stem_length=900 is outside"},
        {"stem length=4 angle=-6", "in mm, not inches?"},
        {"stem length=90", "stem: say its angle="},
        {"stem length=90 angle=-6 colour=3", "'colour' is not known"},
        {"stem length=90 angle=95", "stem_angle=95 is outside"},
        {"spacers -5", "can't be negative"},
        {"spacers 0..30", "'0..30' is no list of numbers"},
        {"spacers 30..0/5", "is no list of numbers"},
        {"spacers 0..30/0", "is no list of numbers"},
        {"spacers ten", "'ten' is no list of numbers"},
        {"spacers 1,,2", "is no list of numbers"},
        {"spacers", "spacers: no numbers"},
        {"spacers 0..100/0.1", "more than 120 numbers"},
        {"stem length=20..130/1 angle=-9..9/3", "more than 400 stems"},
        {"spacers mm=3", "'mm=' is not a number"},
        {"limit spacers", "'spacers' is not key=value"},
        {"limit spacer=3", "there is no such measure"},
        {"limit spacers=3..1", "say '30' (at most)"},
        {"limit", "say 'limit spacers=30"},
        {"spacers=5", "begins no line"},
        {"spacers \"0", ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct parts_at_hand parts;
        struct problem problem = {0};
        parts_clear(&parts);
        if (parts_read(&parts, "parts.txt", rows[i].text, &problem)) {
            ck_abort_msg("taken: %s", rows[i].text);
        }
        if (!strstr(problem.sentence, rows[i].sentence) ||
            !strstr(problem.sentence, "parts.txt, line ")) {
            ck_abort_msg("'%s' for '%s'", problem.sentence, rows[i].text);
        }
        ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    }
    struct parts_at_hand wide;
    struct place_search search;
    struct problem problem = {0};
    struct bike_values bike = usual_bike();
    read_parts(&wide, "stem length=20..118/1 angle=-6\nspacers 0..119/1\npad_rise 0..119/1\n"
                      "pad_fore_aft 0..119/1\n");
    ck_assert(!place_find(&bike, &wide, &goal, 5, &search, &problem));
    ck_assert_ptr_eq(
        strstr(problem.sentence, "171072000 combinations are too many (10000000 at most)"),
        problem.sentence); /* 99 stems, 120 of each of the others */
    read_parts(&wide,
               "bar_roll -40..40/1\nspacers 0..99/1\npad_rise 0..99/1\npad_fore_aft 0..12/1\n");
    ck_assert(!place_find(&bike, &wide, &goal, 5, &search, &problem));
    ck_assert_ptr_eq(strstr(problem.sentence, "10530000 combinations"), problem.sentence);
}
END_TEST

/* Headset cap 15, spacers 50 and the stem's clamp 40 stand 105 mm over the head tube. */
START_TEST(the_column_is_cap_spacers_and_clamp)
{
    struct bike_values bike = usual_bike();
    struct bike_limits limits;
    bike.value[BIKE_HEADSET_CAP] = 15;
    bike.value[BIKE_SPACERS] = 50;
    bike.value[BIKE_STEM_CLAMP_HEIGHT] = 40;
    for (int side = 0; side < 2; side++) {
        bike_limits_clear(&limits);
        (side == 0 ? limits.most : limits.least)[BIKE_LIMIT_COLUMN] = 105;
        ck_assert_int_eq(bike_limits_passed(&limits, &bike, NULL, 0), 0);
        (side == 0 ? limits.most : limits.least)[BIKE_LIMIT_COLUMN] = side == 0 ? 104.9 : 105.1;
        ck_assert_int_eq(bike_limits_passed(&limits, &bike, NULL, 0), 1);
    }
}
END_TEST

/* Against the bike as it is, which is 23.3 mm off: exchanging parts is worth that or it is not. */
START_TEST(what_a_change_costs_is_counted)
{
    struct parts_at_hand parts;
    struct place_search search;
    struct bike_values bike = usual_bike();
    read_parts(&parts, list_of_parts);
    for (int i = 0; i < 3; i++) {
        struct place_goal at = goal;
        at.change_cost = (double[]){0.0, 0.1, 30.0}[i];
        ck_assert(place_find(&bike, &parts, &at, 5, &search, NULL));
        const struct place_proposal *best = &search.proposal[0];
        ck_assert_double_eq_tol(best->cost, best->error_mm + at.change_cost * best->changed_parts,
                                1e-12);
        ck_assert_int_eq(best->changed_parts > 0, i < 2);
    }
    ck_assert_double_eq_tol(search.proposal[0].error_mm, hypot(470 - 468.305, 610 - 633.252), 1e-3);
}
END_TEST

/* 2 mm fore-aft count 1, and half a millimetre of height: a proposal that is nearer in height goes
 * before one that is nearer on the whole. */
START_TEST(errors_count_by_their_weights)
{
    struct parts_at_hand parts;
    struct place_search search;
    struct bike_values bike = frame();
    struct place_goal at = {{470, 610}, 2.0, 0.5, 0};
    read_parts(&parts, list_of_parts);
    ck_assert(place_find(&bike, &parts, &at, 5, &search, NULL));
    ck_assert_int_eq(search.count, 5);
    for (int i = 0; i < 5; i++) {
        const struct place_proposal *proposal = &search.proposal[i];
        ck_assert_double_eq_tol(
            proposal->cost, hypot(proposal->error_x_mm / 2.0, proposal->error_y_mm / 0.5), 1e-12);
        ck_assert(i == 0 || proposal->cost >= search.proposal[i - 1].cost);
    }
    ck_assert_double_lt(fabs(search.proposal[0].error_y_mm), 0.66); /* the second by distance */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("search");
    TCase *tests = tcase_create("search");
    tcase_add_test(tests, the_worked_search);
    tcase_add_test(tests, the_best_is_the_best_of_all);
    tcase_add_test(tests, limits_that_are_slips_or_meet);
    tcase_add_test(tests, no_proposal_passes_a_limit);
    tcase_add_test(tests, fewer_changes_win_between_equals);
    tcase_add_test(tests, another_stem_and_a_rolled_bar_are_a_part_each);
    tcase_add_test(tests, one_proposal_at_least_and_as_many_as_there_is_room_for);
    tcase_add_test(tests, rounding_decides_nothing);
    tcase_add_test(tests, what_was_not_there_is_a_change);
    tcase_add_test(tests, bad_lists_are_refused_with_line_and_word);
    tcase_add_test(tests, the_column_is_cap_spacers_and_clamp);
    tcase_add_test(tests, what_a_change_costs_is_counted);
    tcase_add_test(tests, errors_count_by_their_weights);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
