/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A row is a rating, in the order of the store's columns; a new one comes last. Read through
 * record/rating.h, whose struct rating_field says what the rest of a row is; record, store,
 * commands, form, reports and exports follow from the rows.
 *   RATED_SCORE(item, key, ...)                          0 nothing at all to 10 unbearable
 *   RATED_WORD(item, key, words to choose from, ...)     also its column's name
 *   RATED_NUMBER(item, key, column, least, most, ...)
 * Texts in N_ are the rider's, too, and have their translation (base/language.h). */
/* clang-format off */

RATED_SCORE(EFFORT, "effort", .words = N_("effort"), .heading = "effort\n0-10")
RATED_SCORE(NECK, "neck", .words = N_("neck"), .discomfort = true)
RATED_SCORE(SHOULDER_BLADES, "shoulder_blades", .words = N_("shoulder blades"), .discomfort = true)
RATED_SCORE(LOWER_BACK, "lower_back", .words = N_("lower back"), .discomfort = true)
RATED_SCORE(FOREARMS, "forearms", .words = N_("forearms at the pads"), .discomfort = true)
RATED_SCORE(HANDS, "hands", .words = N_("hands"), .discomfort = true)
RATED_SCORE(SADDLE_FRONT, "saddle_front", .words = N_("saddle front"), .discomfort = true)
RATED_SCORE(HIPS, "hips", .words = N_("hips (pinch)"), .discomfort = true)
RATED_SCORE(BREATHING, "breathing", .words = N_("breathing"), .discomfort = true)
RATED_WORD(NUMB_HANDS, "numb_hands", answer_words, .words = N_("numb hands"), .question = "hands numb?",
           .where = N_("hands"), .blocks = BLOCKS_NUMB, .over = OVER_LOWEST, .bad = ANSWER_YES, .asked = 2, .told = 1)
RATED_WORD(NUMB_SADDLE, "numb_saddle", answer_words, .words = N_("numb saddle"), .question = "saddle numb?",
           .where = N_("saddle"), .blocks = BLOCKS_NUMB, .over = OVER_LOWEST, .bad = ANSWER_YES, .asked = 3, .told = 2)
RATED_WORD(WOULD_RACE, "would_race", answer_words, .words = N_("would race it"), .question = "would you race it?",
           .heading = "would\nrace it", .over = OVER_LATEST, .asked = 5, .told = 4)
RATED_WORD(SEES_AHEAD, "sees_ahead", sees_ahead_words, .words = N_("sees ahead"), .question = "can you see ahead?",
           .heading = "sees\nahead", .blocks = BLOCKS_SIGHT, .over = OVER_HIGHEST, .bad = SEES_NO, .asked = 1, .told = 3)
RATED_NUMBER(COULD_STAY, "could_stay", "could_stay_min", 0, 600, .unit = "min", .words = N_("could stay"),
             .question = "could stay for", .heading = "could\nstay", .sheet = N_("could stay there: {value}"), .asked = 4, .told = 5)

/* clang-format on */
#undef RATED_SCORE
#undef RATED_WORD
#undef RATED_NUMBER
