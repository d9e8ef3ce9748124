/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoding.h"
#include "support/test_main.h"

#include <stdio.h>

/* Lines with several numbers, each with its label: a number is its label's, wherever it stands. */

/* Fifty lines as first, then two as then, each with 412 for the head and 370 for the chest. */
static struct decoded after(const char *first, const char *then)
{
    char stream[5000];
    size_t used = 0;
    for (int i = 0; i < 52; i++) {
        used +=
            (size_t)snprintf(stream + used, sizeof stream - used, "%s\n", i < 50 ? first : then);
    }
    return decode_text(stream);
}

static const struct {
    const char *first, *then;
} exchanged[] = {
    {"head: 412 chest: 370", "chest: 370 head: 412"},
    {"head: 412 mm chest: 370 mm", "chest: 370 mm head: 412 mm"},
    {"head=412, chest=370", "chest=370, head=412"},
    {"head: 412; chest: 370", "Chest: 370; Head: 412"},
    {"{\"head\":412,\"chest\":370}", "{\"chest\":370,\"head\":412}"},
    {"{\"at\":{\"head\":412,\"chest\":370}}", "{\"at\":{\"chest\":370,\"head\":412}}"},
    {"t: 5 head: 412 chest: 370", "head: 412 chest: 370 t: 5"},
    {"temp: 21, head: 412, chest: 370", "head: 412, temp: 21, chest: 370"},
};

START_TEST(a_number_goes_by_its_label)
{
    struct decoded decoded = after(exchanged[_i].first, exchanged[_i].then);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    ck_assert_uint_eq(decoded.count, 52);
    ck_assert_int_eq(decoded.info.channel_count, 2);
    for (size_t i = 0; i < decoded.count; i++) {
        ck_assert_int_eq(decoded.sample[i].range_tenth_mm[0], 4120);
        ck_assert_int_eq(decoded.sample[i].range_tenth_mm[1], 3700);
    }
    decoded_free(&decoded);
}
END_TEST

START_TEST(one_that_comes_twice_is_taken_for_no_other)
{
    struct decoded decoded = after("head: 412 chest: 370", "chest: 370 chest: 371");
    ck_assert_uint_eq(decoded.count, 50);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_BAD_NUMBER], 2);
    decoded_free(&decoded);
    /* which of the two has words for a label in the place of its own is not known */
    decoded = after("head: 412 chest: 370", "weak: 370 head: 412");
    ck_assert_uint_eq(decoded.count, 50);
    decoded_free(&decoded);
}
END_TEST

START_TEST(labels_that_tell_nothing_leave_the_order)
{
    struct decoded decoded = after("d: 412 d: 370", "d: 412 d: 370");
    ck_assert_uint_eq(decoded.count, 52);
    ck_assert_int_eq(decoded.sample[51].range_tenth_mm[0], 4120);
    decoded_free(&decoded);
    decoded = after("head: 412 chest: 370", "head weak: 412 chest: 370");
    ck_assert_uint_eq(decoded.count, 52);
    ck_assert_int_eq(decoded.sample[51].range_tenth_mm[0], 4120);
    ck_assert_int_eq(decoded.sample[51].range_tenth_mm[1], 3700);
    decoded_free(&decoded);
    decoded = after("ok 412 weak 370", "weak 412 ok 370"); /* they tell how it is, not what */
    ck_assert_uint_eq(decoded.count, 52);
    ck_assert_int_eq(decoded.sample[51].range_tenth_mm[0], 4120);
    decoded_free(&decoded);
}
END_TEST

/* A second heading: of a board that started anew, or of a recording behind another. */
START_TEST(a_later_heading_says_where_the_columns_are)
{
    static const char *const streams[] = {
        "head,chest\n412,370\n412,370\n412,370\n412,370\nchest,head\n370,412\n370,412\n"
        "head,chest\n412,370\n",
        "S1;S2\n412;370\n412;370\n412;370\n412;370\nS2;S1\n370;412\n370;412\nS1;S2\n412;370\n",
        "t,head,note,chest\n1,412,9,370\n2,412,9,370\n3,412,9,370\n4,412,9,370\n"
        "head,chest,t,note\n412,370,5,9\n412,370,6,9\nt,head,note,chest\n7,412,9,370\n"};
    struct decoder_options options = {.columns = ""};
    snprintf(options.columns, sizeof options.columns, "%s", _i == 1 ? "S1,S2" : "head,chest");
    struct decoded decoded = decode_with(streams[_i], &options);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    ck_assert_uint_eq(decoded.count, 7);
    for (size_t i = 0; i < decoded.count; i++) {
        ck_assert_int_eq(decoded.sample[i].range_tenth_mm[0], 4120);
        ck_assert_int_eq(decoded.sample[i].range_tenth_mm[1], 3700);
    }
    decoded_free(&decoded);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain labels");
    TCase *one = tcase_create("plain labels");
    tcase_add_loop_test(one, a_number_goes_by_its_label, 0, sizeof exchanged / sizeof exchanged[0]);
    tcase_add_loop_test(one, a_later_heading_says_where_the_columns_are, 0, 3);
    tcase_add_test(one, one_that_comes_twice_is_taken_for_no_other);
    tcase_add_test(one, labels_that_tell_nothing_leave_the_order);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
