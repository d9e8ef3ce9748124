/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The words stand in every store and export there is: a change of one is a change of a format. */
#include "record/record.h"
#include "support/test_main.h"

static const struct {
    const struct word_list *list;
    int64_t value;
    const char *word;
} pinned[] = {
    {&channel_role_words, ROLE_BODY, "body"},
    {&channel_role_words, ROLE_REFERENCE, "reference"},
    {&channel_role_words, ROLE_AUXILIARY, "auxiliary"},
    {&channel_role_short_words, ROLE_BODY, "body"},
    {&channel_role_short_words, ROLE_REFERENCE, "ref"},
    {&channel_role_short_words, ROLE_AUXILIARY, "aux"},
    {&tie_reading_words, TIE_READING_PLATE, "plate"},
    {&tie_reading_words, TIE_READING_TAPE, "tape"},
    {&capture_words, CAPTURE_TARGET, "target"},
    {&capture_words, CAPTURE_HOLD, "hold"},
    {&capture_words, CAPTURE_PLATE, "plate"},
    {&capture_words, CAPTURE_CHECK, "check"},
    {&hold_status_words, HOLD_RUNNING, "running"},
    {&hold_status_words, HOLD_COMPLETE, "complete"},
    {&hold_status_words, HOLD_STOPPED, "stopped"},
    {&hold_status_words, HOLD_CUT_SHORT, "cut short"},
    {&mark_words, MARK_SLID, "slid"},
    {&mark_words, MARK_LOOKED, "looked"},
    {&mark_words, MARK_DRANK, "drank"},
    {&mark_words, MARK_COUGHED, "coughed"},
    {&mark_words, MARK_TALKED, "talked"},
    {&purpose_words, 0, NULL},
    {&purpose_words, PURPOSE_TEST, "test"},
    {&purpose_words, PURPOSE_PIECE, "piece"},
    {&purpose_words, PURPOSE_RIDE, "ride"},
    {&told_words, 0, NULL},
    {&told_words, TOLD_SEEN, "seen"},
    {&told_words, TOLD_HEARD, "heard"},
    {&told_words, TOLD_AFTER, "after"},
    {&told_words, TOLD_NONE, "none"},
    {&resit_words, 0, NULL},
    {&resit_words, RESIT_SEEN, "seen"},
    {&resit_words, RESIT_NOT_SEEN, "not_seen"},
    {&resit_words, RESIT_SAID, "said"},
    {&plate_rest_words, 0, NULL},
    {&plate_rest_words, REST_PADS, "pads"},
    {&cue_sound_words, CUE_SOUND_LOWER, "lower"},
    {&cue_sound_words, CUE_SOUND_RAISE, "raise"},
    {&cue_sound_words, CUE_SOUND_IN, "in again"},
    {&sounds_words, SOUNDS_GUIDED, "guided"},
    {&sounds_words, SOUNDS_ALL, "all"},
    {&sounds_words, SOUNDS_OFF, "off"},
    {&learnt_from_words, LEARNT_FROM_ALL, "all"},
    {&learnt_from_words, LEARNT_FROM_RIDER, "rider"},
    {&learnt_from_words, LEARNT_FROM_STORE, "store"},
    {&learnt_from_words, LEARNT_FROM_NONE, "none"},
    {&course_words, 0, NULL},
    {&course_words, COURSE_LAPS, "laps"},
    {&course_words, COURSE_OUT_AND_BACK, "out and back"},
    {&course_verb_words, 0, NULL},
    {&course_verb_words, COURSE_LAPS, "laps"},
    {&course_verb_words, COURSE_OUT_AND_BACK, "out_and_back"},
    {&ride_source_words, 0, NULL},
    {&ride_source_words, RIDE_SOURCE_WHEEL, "wheel"},
    {&ride_source_words, RIDE_SOURCE_SATELLITES, "satellites"},
    {&answer_words, 0, NULL},
    {&answer_words, ANSWER_YES, "yes"},
    {&answer_words, ANSWER_NO, "no"},
    {&sees_ahead_words, 0, NULL},
    {&sees_ahead_words, SEES_YES, "yes"},
    {&sees_ahead_words, SEES_STRAINED, "strained"},
    {&sees_ahead_words, SEES_NO, "no"},
    {&check_kind_words, CHECK_STILL, "still"},
    {&check_kind_words, CHECK_STEP, "step"},
    {&check_kind_words, CHECK_BEAM, "beam"},
    {&check_kind_words, CHECK_RIDER, "rider"},
    {&check_kind_words, CHECK_CALIBRATION, "calibration"},
    {&check_verb_words, CHECK_STILL, "still"},
    {&check_verb_words, CHECK_STEP, "step"},
    {&check_verb_words, CHECK_BEAM, "beam"},
    {&check_verb_words, CHECK_RIDER, "rider"},
    {&check_verb_words, CHECK_CALIBRATION, "calibrate"},
    {&check_verdict_words, CHECK_PASSED, "passed"},
    {&check_verdict_words, CHECK_FAILED, "failed"},
    {&check_verdict_words, CHECK_UNCERTAIN, "uncertain"},
    {&carrier_keys, CARRIER_STAND, "stand"},
    {&carrier_keys, CARRIER_FRAME, "frame"},
    {&carrier_keys, CARRIER_BASE_BAR, "base_bar"},
    {&carrier_keys, CARRIER_PAD_BRACKET, "pad_bracket"},
    {&carrier_keys, CARRIER_EXTENSION, "extension"},
    {&look_words, 1, "up"},
    {&look_words, 0, NULL},
    {&look_words, -1, "down"},
    {&quality_words, READING_GOOD, "good"},
    {&quality_words, READING_MISSING, "missing"},
    {&quality_words, READING_WEAK, "weak"},
    {&quality_words, READING_SATURATED, "saturated"},
    {&quality_words, READING_OUT_OF_RANGE, "out of range"},
};
#define PINNED (sizeof pinned / sizeof pinned[0])

START_TEST(every_value_has_the_word_it_always_had)
{
    for (size_t i = 0; i < PINNED; i++) {
        const char *word = word_of(pinned[i].list, pinned[i].value);
        if (pinned[i].word == NULL) {
            ck_assert_ptr_null(word);
        } else {
            ck_assert_str_eq(word, pinned[i].word);
            ck_assert_int_eq(word_find(pinned[i].list, word, -7), (int)pinned[i].value);
        }
    }
}
END_TEST

START_TEST(no_list_has_a_word_more)
{
    for (size_t i = 0; i < PINNED; i++) {
        int count = 0;
        for (size_t j = 0; j < PINNED; j++) {
            count += pinned[j].list == pinned[i].list;
        }
        ck_assert_int_eq(pinned[i].list->count, count);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("enum_words");
    TCase *tests = tcase_create("enum_words");
    tcase_add_test(tests, every_value_has_the_word_it_always_had);
    tcase_add_test(tests, no_list_has_a_word_more);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
