/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rider's sheet says of practising the posture that was chosen. */
#include "example_report.h"

#include "base/text.h"
#include "report/sheet.h"
#include "support/test_main.h"

#include <math.h>

/* The target is 884 and 771 mm; head +10 and -20, chest +8 and none below. */
START_TEST(the_band_is_where_practice_speaks_of_it)
{
    at_ease();
    of_its_own();
    struct setup_estimate *head = &analysis->free_heights[0].setup[1];
    head->mean = 872;
    check_section(sheet_practice,
                  "The band, in mm above the bottom bracket: head 864 to 894, chest 779 at most.",
                  "not in that band");
    check_section(sheet_practice, "the first rides on the road short", "On the trainer only");
    record->placing[0].channel[0].mounted = record->placing[0].channel[1].mounted = false;
    check_section(sheet_practice, "The band, in mm from the sensor: head 864", "bottom bracket");
    record->placing[0].channel[0].mounted = true;
    check_section(sheet_practice, "The band, in mm as the gauge shows it: head 864",
                  "bottom bracket");
    record->placing[0].channel[1].mounted = true;
    head->mean = 860;
    check_section(sheet_practice, "not in that band (head below it)", "You were in the band");
    check_section(sheet_practice, "without a gauge: begin with five pieces of 30 s", "You said");
    record->settings.chosen_setup = input.chosen_setup;
    text_copy(record->settings.found_by, sizeof record->settings.found_by, "chin over the pads");
    check_section(sheet_practice, "You said of this posture: chin over the pads", NULL);
    record->settings.chosen_setup = 1; /* it was said of another setup than the sheet's */
    check_section(sheet_practice, NULL, "You said");
    analysis->free_heights[1].setup[1].mean = 790;
    check_section(sheet_practice, "not in that band (head below it, chest above it)", NULL);
    record->band[0].cue[0].band_above_mm = (double)INFINITY;
    check_section(sheet_practice, "head 864 at least", NULL);
    for (int hold = 0; hold < record->hold_count; hold++) {
        record->hold[hold].band = -1;
    }
    check_section(sheet_practice, NULL, "The band,");
}
END_TEST

/* The sixth hold is setup 2's guided one. Nine tenths of the time, over as long as the pieces are,
 * lead to long ones, eight tenths to middling ones. */
START_TEST(pieces_follow_from_the_share_in_the_band)
{
    static const struct {
        double share, kept_s;
        const char *said;
    } cases[] = {
        {0.91, 185, "91 % of the time, over 3 min 5 s: three pieces of 3 min."},
        {0.89, 185, "89 % of the time, over 3 min 5 s: four pieces of 2 min;"},
        {0.91, 175, "91 % of the time, over 2 min 55 s: four pieces of 2 min;"},
        {0.81, 125, "81 % of the time, over 2 min 5 s: four pieces of 2 min;"},
        {0.81, 115, "81 % of the time, over 115 s only: six pieces of 1 min;"},
        {0.79, 185, "79 % of the time, over 3 min 5 s: six pieces of 1 min, or agree on a higher"},
    };
    at_ease();
    of_its_own();
    analysis->free_heights[0].setup[1].mean = 872;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        for (int channel = 0; channel < 2; channel++) {
            analysis->hold[5].summary[channel].in_band_share = cases[i].share;
            analysis->hold[5].summary[channel].kept_s = cases[i].kept_s;
        }
        check_section(sheet_practice, cases[i].said, NULL);
    }
}
END_TEST

/* Practised by, it would lead back to where that setup's rider was. */
START_TEST(no_setup_is_practised_by_the_band_of_another_posture)
{
    at_ease();
    check_section(sheet_practice, "The band set on this setup is setup 1's", "The band, in mm");
    check_section(sheet_practice,
                  "only after a check hold on this setup, in a target and band of its own.",
                  "You were in the band");
    check_section(sheet_practice, "without a gauge: begin with five pieces of 30 s", "864");
    check_section(sheet_evidence, "by yourself you kept it", "with the gauge in view");
    record->target[0].capture = -1;                  /* typed: of no setup */
    analysis->free_heights[0].setup[1].mean = 873.9; /* 10 mm matter */
    check_section(sheet_practice, "of a target that was entered, and your posture lies elsewhere",
                  "The band, in mm");
    check_section(sheet_evidence, "by yourself you kept it", "with the gauge in view");
    analysis->free_heights[0].setup[1].mean = 874.1;
    check_section(sheet_practice, "chest 779 at most; target entered, not taken on this setup.",
                  "lies elsewhere");
    check_section(sheet_evidence, "you were in the band for 78 % of the time, over 60 s", NULL);
}
END_TEST

/* One taken after the setup's last hold is what it is practised by from then on. */
START_TEST(a_setups_own_target_goes_before_the_one_that_was_held_to)
{
    at_ease();
    record->target[1] = record->target[0];
    record->target_count = 2;
    record->target[1].build = 1;
    for (int channel = 0; channel < 2; channel++) {
        analysis->target[1][channel] = analysis->target[0][channel];
        analysis->target[1][channel].height_mm -= channel == 0 ? 12 : 1;
    }
    check_section(sheet_practice, "head 852 to 882, chest 778 at most.", "setup 1's");
    check_section(sheet_practice, "It was not held with the gauge seen", "You were in the band");
    record->target[1].kept = false;
    check_section(sheet_practice, "is setup 1's", "The band, in mm");
}
END_TEST

/* Setup 2's holds are the fourth to the sixth. */
START_TEST(the_power_of_the_session_is_told_where_it_was_seen)
{
    at_ease();
    for (int hold = 0; hold < record->hold_count; hold++) {
        analysis->hold[hold].auxiliary_mean[AUXILIARY_POWER] = (double)NAN;
    }
    check_section(sheet_practice, "at the power of the session", " W.");
    analysis->hold[0].auxiliary_mean[AUXILIARY_POWER] = 240;
    check_section(sheet_practice, "at the power of the session", " W.");
    analysis->hold[3].auxiliary_mean[AUXILIARY_POWER] = 179.6;
    check_section(sheet_practice, "The power of the session on this setup: 180 W.", NULL);
    analysis->hold[5].auxiliary_mean[AUXILIARY_POWER] = 171.2;
    check_section(sheet_practice, "The power of the session on this setup: 171 to 180 W.", NULL);
    analysis->hold[5].counts = false;
    check_section(sheet_practice, "The power of the session on this setup: 180 W.", NULL);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sheet_practice");
    TCase *tests = tcase_create("sheet_practice");
    tcase_add_checked_fixture(tests, begin_chosen, end);
    tcase_add_test(tests, the_band_is_where_practice_speaks_of_it);
    tcase_add_test(tests, pieces_follow_from_the_share_in_the_band);
    tcase_add_test(tests, no_setup_is_practised_by_the_band_of_another_posture);
    tcase_add_test(tests, a_setups_own_target_goes_before_the_one_that_was_held_to);
    tcase_add_test(tests, the_power_of_the_session_is_told_where_it_was_seen);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
