/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/enum_words.h"

#include "base/language.h"
#include "record/record.h"

WORD_LIST(channel_role_words, [ROLE_BODY] = "body", [ROLE_REFERENCE] = "reference",
          [ROLE_AUXILIARY] = "auxiliary");
WORD_LIST(channel_role_short_words, [ROLE_BODY] = "body", [ROLE_REFERENCE] = "ref",
          [ROLE_AUXILIARY] = "aux");
WORD_LIST(tie_reading_words, [TIE_READING_PLATE] = "plate", [TIE_READING_TAPE] = "tape");
WORD_LIST(capture_words, [CAPTURE_TARGET] = "target", [CAPTURE_HOLD] = "hold",
          [CAPTURE_PLATE] = "plate", [CAPTURE_CHECK] = "check");
WORD_LIST(hold_status_words, [HOLD_RUNNING] = "running", [HOLD_COMPLETE] = "complete",
          [HOLD_STOPPED] = "stopped", [HOLD_CUT_SHORT] = "cut short");
WORD_LIST(
    purpose_words, [PURPOSE_TEST] = "test", [PURPOSE_PIECE] = "piece", [PURPOSE_RIDE] = "ride");
WORD_LIST(told_words, [TOLD_SEEN] = "seen", [TOLD_HEARD] = "heard", [TOLD_AFTER] = "after",
          [TOLD_NONE] = "none");
WORD_LIST(resit_words, [RESIT_SEEN] = "seen", [RESIT_NOT_SEEN] = "not_seen", [RESIT_SAID] = "said");
WORD_LIST(plate_rest_words, [REST_PADS] = "pads");
WORD_LIST(mark_words, [MARK_SLID] = "slid", [MARK_LOOKED] = "looked", [MARK_DRANK] = "drank",
          [MARK_COUGHED] = "coughed", [MARK_TALKED] = "talked");
WORD_LIST(cue_sound_words, [CUE_SOUND_LOWER] = "lower", [CUE_SOUND_RAISE] = "raise",
          [CUE_SOUND_IN] = "in again");
WORD_LIST(sounds_words, [SOUNDS_GUIDED] = "guided", [SOUNDS_ALL] = "all", [SOUNDS_OFF] = "off");
WORD_LIST(answer_words, [ANSWER_YES] = CN_("rating", "yes"), [ANSWER_NO] = CN_("rating", "no"));
WORD_LIST(sees_ahead_words, [SEES_YES] = CN_("rating", "yes"),
          [SEES_STRAINED] = CN_("rating", "strained"), [SEES_NO] = CN_("rating", "no"));
WORD_LIST(learnt_from_words, [LEARNT_FROM_ALL] = "all", [LEARNT_FROM_RIDER] = "rider",
          [LEARNT_FROM_STORE] = "store", [LEARNT_FROM_NONE] = "none");
WORD_LIST(course_words, [COURSE_LAPS] = "laps", [COURSE_OUT_AND_BACK] = "out and back");
WORD_LIST(course_verb_words, [COURSE_LAPS] = "laps", [COURSE_OUT_AND_BACK] = "out_and_back");
WORD_LIST(
    ride_source_words, [RIDE_SOURCE_WHEEL] = "wheel", [RIDE_SOURCE_SATELLITES] = "satellites");
WORD_LIST(check_kind_words, [CHECK_STILL] = "still", [CHECK_STEP] = "step", [CHECK_BEAM] = "beam",
          [CHECK_RIDER] = "rider", [CHECK_CALIBRATION] = "calibration");
WORD_LIST(check_verb_words, [CHECK_STILL] = "still", [CHECK_STEP] = "step", [CHECK_BEAM] = "beam",
          [CHECK_RIDER] = "rider", [CHECK_CALIBRATION] = "calibrate");
WORD_LIST(check_verdict_words, [CHECK_PASSED] = "passed", [CHECK_FAILED] = "failed",
          [CHECK_UNCERTAIN] = "uncertain");
