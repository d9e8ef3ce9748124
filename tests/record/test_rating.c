/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/rating.h"
#include "record/stored.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Keys, columns and limits are public: scripts, the store and exports have them. */
static const struct {
    const char *key, *column, *words;
    double most; /* of a number */
} rows[] = {
    {"effort", "effort", "effort", 10},
    {"neck", "neck", "neck", 10},
    {"shoulder_blades", "shoulder_blades", "shoulder blades", 10},
    {"lower_back", "lower_back", "lower back", 10},
    {"forearms", "forearms", "forearms at the pads", 10},
    {"hands", "hands", "hands", 10},
    {"saddle_front", "saddle_front", "saddle front", 10},
    {"hips", "hips", "hips (pinch)", 10},
    {"breathing", "breathing", "breathing", 10},
    {"numb_hands", "numb_hands", "numb hands", 0},
    {"numb_saddle", "numb_saddle", "numb saddle", 0},
    {"would_race", "would_race", "would race it", 0},
    {"sees_ahead", "sees_ahead", "sees ahead", 0},
    {"could_stay", "could_stay_min", "could stay", 600},
};

START_TEST(the_ratings_are_the_public_ones)
{
    ck_assert_int_eq(RATING_ITEMS, (int)(sizeof rows / sizeof rows[0]));
    for (int i = 0; i < RATING_ITEMS; i++) {
        ck_assert_str_eq(rating_fields[i].key, rows[i].key);
        ck_assert_str_eq(rating_fields[i].column, rows[i].column);
        ck_assert_str_eq(rating_fields[i].words, rows[i].words);
        ck_assert_double_eq(rating_fields[i].least, 0);
        ck_assert_double_eq(rating_fields[i].most, rows[i].most);
    }
}
END_TEST

/* Whatever a row lacks would be missing from a form, a table or a sheet without a word. */
START_TEST(each_row_has_what_is_shown_of_it)
{
    for (int i = 0; i < RATING_ITEMS; i++) {
        const struct rating_field *field = &rating_fields[i];
        bool together = field->discomfort || field->blocks == BLOCKS_NUMB;
        ck_assert_ptr_null(strchr(field->key, ' '));
        ck_assert_ptr_nonnull(field->unit);
        ck_assert_msg(together != (field->heading != NULL), "%s", field->key);
        ck_assert_msg((field->kind == RATING_WORD) == (field->list != NULL), "%s", field->key);
        ck_assert_msg((field->blocks == BLOCKS_NUMB) == (field->where != NULL), "%s", field->key);
        ck_assert_msg(field->kind != RATING_WORD || field->over != OVER_MEDIAN,
                      "%s: words have no median", field->key);
        ck_assert_msg(!field->discomfort || field->kind == RATING_SCORE, "%s", field->key);
    }
}
END_TEST

/* docs/schema.md: uuid, setup and sample, then the ratings; whether it was taken back, is of the
 * morning after, or has a sign. */
START_TEST(the_store_has_a_column_of_each)
{
    const struct stored_table *table = stored_tables[TABLE_RATING];
    ck_assert_int_eq(table->field_count, 3 + RATING_ITEMS + 3);
    for (int i = 0; i < RATING_ITEMS; i++) {
        const struct stored_field *field = &table->field[3 + i];
        ck_assert_str_eq(field->key, rows[i].column);
        ck_assert_uint_eq(field->offset,
                          offsetof(struct rating_record, value) + (size_t)i * sizeof(double));
        ck_assert(field->optional);
    }
}
END_TEST

START_TEST(a_cleared_rating_has_nothing_given)
{
    struct rating_record rating;
    memset(&rating, 0x5a, sizeof rating);
    rating_clear(&rating);
    ck_assert_int_eq(rating.setup, -1);
    ck_assert_int_eq((int)rating.sample, 0);
    for (int i = 0; i < RATING_ITEMS; i++) {
        ck_assert(isnan(rating.value[i]));
    }
}
END_TEST

START_TEST(sight_and_numbness_go_before_the_numbers)
{
    for (int i = 0; i < RATING_ITEMS; i++) {
        ck_assert(!rating_blocks(i, (double)NAN));
    }
    ck_assert(rating_blocks(RATING_SEES_AHEAD, SEES_NO));
    ck_assert(!rating_blocks(RATING_SEES_AHEAD, SEES_STRAINED));
    ck_assert(!rating_blocks(RATING_SEES_AHEAD, SEES_YES));
    ck_assert(rating_blocks(RATING_NUMB_HANDS, ANSWER_YES));
    ck_assert(!rating_blocks(RATING_NUMB_HANDS, ANSWER_NO));
    ck_assert(rating_blocks(RATING_NUMB_SADDLE, ANSWER_YES));
    ck_assert(!rating_blocks(RATING_WOULD_RACE, ANSWER_NO));
    ck_assert(!rating_blocks(RATING_NECK, 10));
}
END_TEST

/* docs/practice.md: discomfort alone, however strong, has rules of its own. */
START_TEST(numbness_no_sight_or_a_sign_ends_practice)
{
    struct rating_record rating;
    rating_clear(&rating);
    ck_assert(!rating_ends_practice(&rating));
    rating.value[RATING_NECK] = 10;
    rating.value[RATING_NUMB_HANDS] = ANSWER_NO;
    ck_assert(!rating_ends_practice(&rating));
    rating.value[RATING_NUMB_SADDLE] = ANSWER_YES;
    ck_assert(rating_ends_practice(&rating));
    rating_clear(&rating);
    rating.value[RATING_SEES_AHEAD] = SEES_STRAINED;
    ck_assert(!rating_ends_practice(&rating));
    rating.value[RATING_SEES_AHEAD] = SEES_NO;
    ck_assert(rating_ends_practice(&rating));
    rating_clear(&rating);
    rating.sign = true;
    ck_assert(rating_ends_practice(&rating));
}
END_TEST

START_TEST(a_value_has_its_lists_word)
{
    ck_assert_str_eq(rating_word(RATING_SEES_AHEAD, SEES_STRAINED), "strained");
    ck_assert_str_eq(rating_word(RATING_WOULD_RACE, ANSWER_NO), "no");
    ck_assert_ptr_null(rating_word(RATING_WOULD_RACE, (double)NAN));
}
END_TEST

/* As the form of old asked, and the exports of old told them. */
START_TEST(the_orders_are_the_known_ones)
{
    static const int asked[] = {RATING_SEES_AHEAD, RATING_NUMB_HANDS, RATING_NUMB_SADDLE,
                                RATING_COULD_STAY, RATING_WOULD_RACE};
    static const int told[] = {RATING_NUMB_HANDS, RATING_NUMB_SADDLE, RATING_SEES_AHEAD,
                               RATING_WOULD_RACE, RATING_COULD_STAY};
    int by_asked[RATING_ITEMS], by_told[RATING_ITEMS];
    rating_sort(RATING_ASKED, by_asked);
    rating_sort(RATING_TOLD, by_told);
    const int last = RATING_ITEMS - 5;
    for (int i = 0; i < last; i++) { /* the others before them, in the order of the rows */
        ck_assert(by_asked[i] == by_told[i] && (i == 0 || by_asked[i] > by_asked[i - 1]));
    }
    for (int i = 0; i < 5; i++) {
        ck_assert_int_eq(by_asked[last + i], asked[i]);
        ck_assert_int_eq(by_told[last + i], told[i]);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rating");
    TCase *tests = tcase_create("rating");
    tcase_add_test(tests, the_ratings_are_the_public_ones);
    tcase_add_test(tests, each_row_has_what_is_shown_of_it);
    tcase_add_test(tests, the_store_has_a_column_of_each);
    tcase_add_test(tests, a_cleared_rating_has_nothing_given);
    tcase_add_test(tests, sight_and_numbness_go_before_the_numbers);
    tcase_add_test(tests, numbness_no_sight_or_a_sign_ends_practice);
    tcase_add_test(tests, a_value_has_its_lists_word);
    tcase_add_test(tests, the_orders_are_the_known_ones);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
