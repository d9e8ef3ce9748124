/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "example_report.h"

#include "base/text.h"
#include "say/say.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

static char *session_text(int width)
{
    struct caught caught;
    ck_assert(report_session_text(catch_begin(&caught), &input, width, NULL));
    return catch_end(&caught);
}

static char *compare_text(int width)
{
    struct caught caught;
    ck_assert(report_compare_text(catch_begin(&caught), &input, width, NULL));
    return catch_end(&caught);
}

static void check_has(const char *text, const char *part)
{
    ck_assert_msg(strstr(text, part) != NULL, "'%s' is not in:\n%.3000s", part, text);
}

START_TEST(the_comparison_is_a_table_of_setups)
{
    char *text = compare_text(120);
    check_has(text, "R-07  winter group\nWatch for: left knee\n");
    check_has(text, "2026-01-10 18:00 UTC, 26 min 40 s: 3 setups, 4 builds, 9 holds\n");
    check_has(text, "setup                      holds on  head    chest     against setup 1\n"
                    "                           builds    mm      mm        mm\n");
    check_has(text, "1  as it came              3 on 2    884 ±3  771 ±3    -\n");
    check_has(
        text,
        "2  spacers out, pads down  1 on 1    872 ±5  769 ±5    head lower by 12 (6 to 18)\n");
    check_has(text, "chest: no difference that matters: -2 (-4 to 1)\n");
    check_has(text, "3  long and low            1 on 1    881 ±6  not tied  head: cannot tell yet: "
                    "-3 (-9 to 3); 2 more holds\n");
    check_has(text, "\nFAILED: cannot see ahead ");
    check_has(text, "chest: not comparable: height not tied");
    free(text);
}
END_TEST

/* Setups 1 and 2 trade height for time in band and discomfort; on setup 3 nobody sees ahead.
 * Head: 871.6 - 884.1 = -12.5 with 10 mm of spacers and of pads, 881 - 884.1 = -3.1 with 20 and 10:
 * spacers -0.94, pads 2.19 a mm. The chest of setup 3 is not tied, so that two setups are left. */
START_TEST(everything_at_once_and_what_followed)
{
    at_ease();
    char *text = compare_text(400);
    check_has(text, "Everything at once\n");
    check_has(text, "Looked at together: height of head and chest, steadiness, creep, time in "
                    "band, the worst discomfort, "
                    "effort");
    check_has(text, "- Setups 1 and 2: no other setup is shown to beat them.\n");
    check_has(text, "- Setup 3 FAILED: the rider cannot see ahead, whatever the numbers.\n");
    check_has(text, "decides nothing between them");
    check_has(text, "What followed from the parts\n");
    check_has(text, "spacers, mm   0 to 20   -0.94 ±0.67  not told apart\n");
    check_has(text, "pad rise, mm  45 to 55  +2.19 ±1.05  not told apart\n");
    check_has(text, "which of them did it: spacers, pad rise. ");
    check_has(text, "changes only the spacers would tell");
    check_has(text,
              "- No next step is suggested from setup 2: no limit was entered for pad rise: look "
              "into the papers of the parts and enter it.");
    free(text);
    for (int i = 0; i < record->rating_count; i++) { /* never without what speaks against it */
        if (record->rating[i].setup == 1) {
            record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_YES;
        }
    }
    record->setup[record->setup_count] = record->setup[0]; /* known of an earlier visit */
    record->setup[record->setup_count].number = 9;
    record->setup_count++;
    for (int c = 0; c < 2; c++) {
        analysis->free_heights[c].setup_count = record->setup_count;
    }
    text = compare_text(400);
    check_has(text, ": 3 setups tried of 4 known, 4 builds, 9 holds\n");
    check_has(text, "each about the target of its hold.");
    check_has(text, "points are hundredths of the time, and more holds guided ones.");
    ck_assert_ptr_null(strstr(text, "no free hold yet"));
    free(text);
    record->setup_count--;
    text = compare_text(400);
    check_has(text, "- Setup 1: no other setup is shown to beat it.\n");
    check_has(text, "- Setup 2: no other setup is shown to beat it, but it made the rider numb: "
                    "change that before anything else.\n");
    ck_assert_ptr_null(strstr(text, "Setups 1 and 2: no other"));
    free(text);
    at_ease();
    text = compare_text(400);
    ck_assert_ptr_null(strstr(text, "not asked"));
    free(text);
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NUMB_SADDLE] = (double)NAN;
    }
    text = compare_text(400);
    check_has(text, "no; saddle not asked");
    free(text);
    input.chosen_setup = 3;
    text = compare_text(400);
    check_has(text, "No next step is suggested from setup 3: it FAILED: the rider could not see");
    free(text);
    input.chosen_setup = 0;
    text = session_text(120);
    check_has(text, "Room the posture took\n");
    check_has(text, "22 by 12"); /* setup 2: 21.24 by 11.10, from var 8 and 12.5 times 40/39 */
    free(text);
    static const struct {
        double correlation;
        const char *said;
    } moved[] = {{0.51, "up and down together"},
                 {0.49, "each by itself"},
                 {-0.49, "each by itself"},
                 {-0.51, "one up, the other down"}};
    for (size_t i = 0; i < sizeof moved / sizeof moved[0]; i++) {
        for (int setup = 0; setup < record->setup_count; setup++) {
            analysis->insight.ellipse[setup].correlation = moved[i].correlation;
        }
        text = session_text(120);
        check_has(text, moved[i].said);
        free(text);
    }
    record->setup_count = 1;
    insight_make(record, analysis);
    text = compare_text(400);
    ck_assert(strstr(text, "Everything at once") == NULL);
    ck_assert(strstr(text, "What followed") == NULL);
    free(text);
}
END_TEST

START_TEST(limits_from_the_makers_papers_are_told)
{
    char *text = session_text(120);
    check_has(text, "No limit was entered from the makers' papers, so none was checked");
    ck_assert(strstr(text, "PASSES A LIMIT") == NULL);
    free(text);
    record->limits.most[BIKE_SPACERS] = 15;
    record->limits.least[BIKE_PAD_RISE] = 40;
    record->limits.most[BIKE_PAD_RISE] = 65;
    text = session_text(120);
    check_has(text, "1  as it came");
    check_has(text, " PASSES A LIMIT: spacers 20 mm:");
    check_has(text, "over the limit entered, 15 mm");
    check_has(text, "Limits entered from the makers' papers: spacers at most 15 mm, pad rise 40 to "
                    "65 mm.\n");
    free(text);
}
END_TEST

START_TEST(what_is_wrong_comes_before_the_numbers)
{
    char *text = compare_text(200);
    const char *first = strstr(text, "Look at this first");
    const char *table = strstr(text, "What the setups show");
    ck_assert(first != NULL && table != NULL && first < table);
    check_has(text, "- Setup 3 FAILED: the rider cannot see ahead.");
    check_has(text, "- Setup 2: numbness (hands).");
    check_has(text, "- Setup 2, build 1, head: plate says -9.2 mm, the parts say -13.4: 4.2 apart. "
                    "Typing slip, rolled bar, slipped clamp?\n");
    check_has(text, "- Setup 3, build 1: height of chest NOT TIED: nobody said where the chest "
                    "sensor is fixed, nor that none moved.\n");
    ck_assert(strstr(text, "has not been ended") == NULL);
    free(text);
    record->ended = false;
    text = compare_text(200);
    check_has(text, "- The session has not been ended");
    free(text);
}
END_TEST

/* A rider out of the beam in one hold hides none of those after it. */
START_TEST(every_hold_far_from_the_one_before_is_named)
{
    struct hold_result *hold = analysis->hold;
    const double first_mm = hold[0].summary[0].mean_mm;
    hold[1].summary[0].mean_mm = first_mm + 120.0;
    hold[3].summary[0].mean_mm = first_mm + 1274.0;
    char *text = compare_text(300);
    check_has(text,
              "- Hold 2: head 120 mm higher than hold 1, same parts: is the rider in its beam, "
              "its cable right? Leave it out where not. Likewise hold 4 (+1274 mm).\n");
    free(text);
    hold[1].summary[0].mean_mm = first_mm;
    text = compare_text(300);
    check_has(text, "- Hold 4: head 1274 mm higher than hold 2, parts moved ");
    free(text);
}
END_TEST

START_TEST(what_stands_beside_height_is_shown)
{
    char *text = compare_text(80);
    /* setup 1 was rated twice: effort 4 and 6, the median and both values */
    check_has(text, "1      yes         5 (4, 6)  neck 2               -      40 min  -\n");
    check_has(text, "2      strained    5         hands 5, neck 3      hands  -       yes\n");
    check_has(text, "3      no: FAILED  -         none of those asked  -      -       -\n");
    /* guided hold 6 of setup 2 was in band for 78 % and came up 4 times; hold 9 was kept afterwards
     */
    check_has(text, "2      head        4.0    +0.4     4.0    +0.4    78  4.0 / 0.0  cannot tell");
    check_has(text, "1      head        4.0    +0.4     4.0    +0.4    92  1.0 / 0.0  -\n");
    free(text);
}
END_TEST

START_TEST(how_sure_it_is_is_said)
{
    char *text = compare_text(200);
    /* 1.96 x 1.4 is 2.7; 6.3 rounded up is 7 */
    check_has(text, "channel  held again                    least seen  order      sensors\n"
                    "         mm                                    mm  mm a hold  mm\n"
                    "-------  ----------------------------  ----------  ---------  -------\n"
                    "head     1.4 (0.8 to 5.2) provisional           7  -          ±2.7\n");
    /* the same of both is said once */
    check_has(text, "- head, chest: as heights above the bottom bracket all of them may be off "
                    "together by ");
    check_has(text, "- head: one hold only on setups 2 and 3;");
    check_has(text, "- Setups 2 and 3 were built once: what taking the parts off and putting them "
                    "on again does "
                    "is hidden in their numbers.");
    ck_assert(strstr(text, "tiredness") == NULL);
    ck_assert(strstr(text, "held twice") == NULL);
    free(text);
    analysis->free_heights[0].order_index = 0.19;
    text = compare_text(200);
    ck_assert(strstr(text, "of the order of the holds is the setups themselves") == NULL);
    free(text);
    analysis->free_heights[0].order_index = 0.21;
    text = compare_text(200);
    check_has(text, "- head: 21 % of the order of the holds is the setups themselves");
    free(text);
    analysis->free_heights[0].order_index = 0.81;
    analysis->free_heights[0].order_fitted = true;
    analysis->free_heights[0].order_per_hold = -0.4;
    analysis->free_heights[0].order_half_width = 0.5;
    analysis->free_heights[1].has_repeatability = false;
    text = compare_text(200);
    check_has(text, "- head: 81 % of the order of the holds is the setups themselves");
    check_has(text, "7  -0.4 (-0.9 to +0.1)  ±2.7\n");
    check_has(text, "chest    not known ");
    check_has(text, "- chest: no setup has been held twice");
    ck_assert(strstr(text, "counted for more") == NULL);
    free(text);
    struct setup_difference *difference = &analysis->free_heights[0].difference[1];
    *difference = (struct setup_difference){.verdict = VERDICT_CANNOT_TELL,
                                            .has_second = true,
                                            .second_difference = -11.2,
                                            .second_low = -19.4,
                                            .second_high = -3};
    analysis->free_heights[0].shortest_s = 24.6;
    analysis->free_heights[0].longest_s = 120;
    text = compare_text(400);
    check_has(text,
              "- head: the holds are 25 to 120 s long. With long ones counted for more: setup 2 "
              "-11 mm (-19 to -3). A second opinion: the verdicts above count every hold "
              "alike");
    free(text);
}
END_TEST

START_TEST(nothing_is_left_out_silently)
{
    char *text = compare_text(200);
    check_has(
        text,
        "- hold 2 (setup 1, free): marked 'drank'; head: 4.0 s cut around marks; chest: 4.0 s cut "
        "around marks\n");
    check_has(text, "- hold 3 (setup 1, guided): marked 'looked'\n");
    check_has(text, "- hold 4 (setup 2, free): 12 samples lost on the way\n");
    check_has(text, "- hold 5 (setup 2, free): REJECTED: slid back on the saddle\n");
    check_has(
        text,
        "- hold 7 (setup 3, free): stopped after 41 s of 60 s; chest: LEFT OUT of the comparison, "
        "only 84 % of the readings are good\n");
    check_has(text, "- hold 9 (setup 1, guided): kept afterwards, chosen after the fact: left out "
                    "of verdicts\n");
    check_has(text, "- 3 holds: nothing cut or left out but single readings\n");
    check_has(
        text,
        "- head: of 27000 readings in all holds 30 (0.1 %) were missing, 6 (0.0 %) doubtful, 5 "
        "(0.0 %) left out as outliers\n");
    free(text);
    analysis->hold[0].lost = 1; /* of several it is one line */
    text = compare_text(200);
    check_has(text, "- samples lost on the way, and nothing else: 1 in hold 1, 12 in hold 4\n");
    ck_assert(strstr(text, "hold 4 (setup 2, free)") == NULL);
    free(text);
}
END_TEST

START_TEST(the_session_shows_parts_coordinates_ties_and_holds)
{
    char *text = session_text(80);
    check_has(text, "Setup 1: spacers 20 mm, stem length 100 mm, stem angle -17\u00b0");
    check_has(text, "2  spacers out, pads    spacers 20 to 10, pad rise 55 to 45  ");
    ck_assert(strstr(text, "extension tip") == NULL); /* none has any */
    /* Worked by hand: spacers 20, stem 100 at -17 on this frame puts the bar at (488.3,
     * 578.3), and the pad 55 up and 20 back from there */
    check_has(text,
              "1  as it came           -                                    488, 578   468, 633\n");
    /* setup 3 has 20 mm less under a head angle of 73 deg: 19.1 down and 5.8 forward; the pad rise
     * is 45 */
    check_has(text,
              "3  long and low         spacers 20 to 0, pad rise 55 to 45   494, 559   474, 604\n");
    check_has(text, "609  plate: 9 mm down ±2.8; measured -9.2,");
    check_has(text, "ALARM");
    check_has(text, "chest        3/1          -  NOT TIED: nobody said where the chest sensor is");
    check_has(text, "- target 1 (setup 1), captured: head 884 ±2 mm, chest 771 ±2 mm\n");
    check_has(text, "- band 1: head +10/-20 mm, chest +8/none mm\n");
    check_has(text,
              "5*    2/1     free      60  head     860 ±2     -24     4.0    +0.4     -  -\n");
    check_has(text,
              "                        41  chest    no tie       -     4.0    +0.4     -  -\n");
    check_has(text,
              "4     head         3000    12     30       6      5    1.3  0.02    0.0    0.0\n");
    check_has(text,
              "2     head         3000     0      0       0      0    1.3  0.02    0.0    4.0\n");
    check_has(text, "- fan moved nearer (after hold 3)\n");
    check_has(text, "- setup 3: neck 0, sees ahead no: FAILED\n");
    check_has(text, "seed 18446744073709551615.\n");
    free(text);
}
END_TEST

START_TEST(many_bad_readings_are_pointed_out)
{
    analysis->hold[0].summary[0].valid = 2700;
    analysis->hold[0].summary[1].outliers = 210;
    analysis->hold[1].summary[0].not_settled = true;
    analysis->hold[1].summary[0].cut_start_s = 20;
    char *text = compare_text(200);
    check_has(text, "- hold 1 (setup 1, free): head: 10 % of the readings missing or doubtful; "
                    "chest: 7 % of the "
                    "readings are outliers\n");
    check_has(
        text,
        "head: NOT SETTLED by a third of the hold, repeat it (first 20.0 s cut; the height is "
        "where it was going); head: 4.0 s cut");
    free(text);
    analysis->hold[1].summary[0].cut_start_s = 0;
    text = compare_text(200);
    check_has(text, "head: NOT SETTLED, it moved all the way, repeat it; head: 4.0 s cut");
    free(text);
    analysis->hold[0].health.channel[1].stuck = true;
    analysis->hold[2].health.channel[0].blocked = true;
    analysis->hold[0].health.channel[0].two_levels = true;
    text = compare_text(200);
    check_has(text, "chest: the sensor STOOD STILL for a while");
    check_has(text, "head: the sensor's window was COVERED for a while");
    check_has(text, "head: readings JUMPED between two levels, the beam saw two things");
    free(text);
}
END_TEST

START_TEST(a_step_is_a_question_unless_the_body_stayed)
{
    analysis->hold[0].summary[0].stepped = true;
    analysis->hold[0].summary[0].step_mm = 9.2;
    analysis->hold[0].summary[0].step_at_s = 34.4;
    char *text = compare_text(200);
    check_has(text, "head: STEPPED up by 9 mm at 34 s: sensor or rider? read the plate");
    free(text);
    analysis->hold[0].summary[0].step_mm = -9.2;
    analysis->hold[0].step_alone[0] = true;
    text = compare_text(200);
    check_has(text, "head: STEPPED down by 9 mm at 34 s: the sensor, the body did not follow; read "
                    "the plate");
    free(text);
}
END_TEST

START_TEST(a_creep_that_is_no_accident_is_marked)
{
    char *text = session_text(80);
    ck_assert(strstr(text, "! crept by more") == NULL);
    free(text);
    analysis->hold[0].summary[0].creep_mm_per_min = 6.2;
    analysis->hold[0].summary[0].creep_flagged = true;
    text = session_text(80);
    check_has(text, "  +6.2! ");
    check_has(text, "! crept by more than 4 mm in the hold, and not by chance\n");
    free(text);
}
END_TEST

START_TEST(cautions_close_the_session)
{
    char *text = session_text(80);
    const char *cautions = strstr(text, "\nCautions\n--------\n");
    ck_assert(cautions != NULL);
    check_has(cautions, "gives no medical advice");
    check_has(cautions, "licensed");
    check_has(cautions, "maker's torque");
    check_has(cautions, "failed setup whatever the numbers");
    check_has(cautions, "governing body");
    check_has(cautions, "IEC 60825-1");
    ck_assert(strstr(cautions, "---\n\n") == NULL);
    free(text);
}
END_TEST

START_TEST(no_line_is_wider_than_80_cells)
{
    char *text = session_text(80);
    for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
        ck_assert_msg(text_width(line) <= 80, "%d cells: '%s'", text_width(line), line);
    }
    free(text);
}
END_TEST

START_TEST(the_same_records_give_the_same_bytes)
{
    char *first = session_text(80), *second = session_text(80);
    ck_assert_str_eq(first, second);
    free(first);
    free(second);
}
END_TEST

START_TEST(an_empty_session_is_no_trouble)
{
    memset(record, 0, sizeof *record);
    memset(analysis, 0, sizeof *analysis);
    record->settings.baseline_setup = 1;
    char *text = session_text(80);
    check_has(text, "Rider not named\nBike not named\n1970-01-01 00:00 UTC, 0 s: 0 setups, 0 "
                    "builds, 0 holds\n");
    check_has(text, "nothing to compare");
    free(text);
}
END_TEST

START_TEST(heights_without_a_known_sensor_say_so)
{
    analysis->tie[0][1].absolute = false;
    char *text = compare_text(200);
    check_has(text, "chest: counted from where the sensor was on the first build");
    ck_assert(strstr(text, "head, chest: counted") == NULL);
    free(text);
    analysis->tie[0][0] = analysis->tie[0][1];
    text = compare_text(200);
    check_has(text, "head, chest: counted from where the sensor was on the first build");
    ck_assert(strstr(text, "\n- chest: counted") == NULL);
    free(text);
}
END_TEST

START_TEST(eight_channels_come_in_tables_side_by_side)
{
    static const char *const names[] = {"c1", "c2", "c3", "c4", "c5", "c6", "c7", "c8"};
    analysis->channel_count = record->placing[0].channel_count = 8;
    for (int channel = 0; channel < 8; channel++) {
        analysis->body[channel] = true;
        text_copy(analysis->channel_name[channel], CHANNEL_NAME_SIZE, names[channel]);
        text_copy(record->placing[0].channel[channel].name, CHANNEL_NAME_SIZE, names[channel]);
        record->placing[0].channel[channel].role = ROLE_BODY;
    }
    char *text = session_text(80);
    check_has(text, "c7");
    check_has(text, "c8");
    /* what is the same of several is told once, in the order of the channels */
    check_has(text, "c3, c4, c5, c6, c7, c8: where the sensor is fixed was not given");
    for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
        ck_assert_msg(text_width(line) <= 80, "%d cells: '%s'", text_width(line), line);
    }
    free(text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("text reports");
    TCase *tests = tcase_create("text reports");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, the_comparison_is_a_table_of_setups);
    tcase_add_test(tests, everything_at_once_and_what_followed);
    tcase_add_test(tests, limits_from_the_makers_papers_are_told);
    tcase_add_test(tests, what_is_wrong_comes_before_the_numbers);
    tcase_add_test(tests, every_hold_far_from_the_one_before_is_named);
    tcase_add_test(tests, what_stands_beside_height_is_shown);
    tcase_add_test(tests, how_sure_it_is_is_said);
    tcase_add_test(tests, nothing_is_left_out_silently);
    tcase_add_test(tests, the_session_shows_parts_coordinates_ties_and_holds);
    tcase_add_test(tests, many_bad_readings_are_pointed_out);
    tcase_add_test(tests, a_step_is_a_question_unless_the_body_stayed);
    tcase_add_test(tests, a_creep_that_is_no_accident_is_marked);
    tcase_add_test(tests, cautions_close_the_session);
    tcase_add_test(tests, no_line_is_wider_than_80_cells);
    tcase_add_test(tests, the_same_records_give_the_same_bytes);
    tcase_add_test(tests, an_empty_session_is_no_trouble);
    tcase_add_test(tests, heights_without_a_known_sensor_say_so);
    tcase_add_test(tests, eight_channels_come_in_tables_side_by_side);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
