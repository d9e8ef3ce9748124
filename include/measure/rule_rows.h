/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A row is a rule: RULE(name, value, unit, source, what it is for); RULE_COUNT is a whole number.
 * Read through measure/rules.h. */
/* clang-format off */

RULE_GROUP("The mean of a hold")
RULE_COUNT(SETTLED_BLOCKS_MIN, 8, "blocks", "our own", "fewer block means: nothing is cut, no interval and no creep are given")
RULE(INTERVAL_KEPT_MIN_S, 20.0, "s", "our own", "less kept of a hold: numbers, but no interval")
RULE(INTERVAL_SHARE_MIN, 0.9, "", "our own", "a smaller share of valid readings: numbers, but no interval")

RULE_GROUP("Creep")
RULE(CREEP_FLAG_MM, 4.0, "mm a hold", "our own", "creep is flagged, and the rider not called steady, from here on where the interval excludes 0")
RULE(DRIFTING_SCORE, -1.645, "", "von Neumann 1941: 5 % point of the normal score", "a lower score of the block means' ratio is called drifting")

RULE_GROUP("The cue")
RULE(CUE_FILTER_HZ, 1.0, "Hz", "our own", "the posture that is judged: low-pass")
RULE(CUE_DEAD_BAND, 0.2, "of the width", "our own", "back inside only below the rest of it")
RULE(CUE_ON_DELAY_S, 0.7, "s", "our own", "outside for so long before the cue, but for the head")
RULE(CUE_ON_DELAY_HEAD_S, 2.0, "s", "our own", "the same of the head: a glance ahead is wanted")
RULE(CUE_OFF_DELAY_S, 0.5, "s", "our own", "inside for so long before the cue ends")
RULE(CUE_NO_READING_S, 0.5, "s", "our own", "without a reading for so long, the cue says so")
RULE(CUE_FILTER_RESTART_S, 0.5, "s", "our own", "after a longer gap the filter starts anew; in shorter ones it stands still")

RULE_GROUP("The minutes of an hour")
RULE(PLAN_CHANGE_MIN, 5.0, "min", "common practice", "a change of parts")
RULE(PLAN_CHANGE_QUICK_MIN, 1.0, "min", "common practice", "a change that is quick enough for the mirror order")
RULE(PLAN_RIDE_IN_MIN, 2.0, "min", "common practice", "riding in after a change")
RULE(PLAN_HOLD_MIN, 1.0, "min", "common practice", "a hold")
RULE(PLAN_RATING_MIN, 0.5, "min", "common practice", "the rider's rating of a setup")
RULE(PLAN_REST_MIN, 0.75, "min", "common practice", "between holds of a build")
RULE_COUNT(PLAN_HOLDS_A_BUILD, 2, "holds", "our own", "free holds that are asked for on each build")
