/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Blocks, hands and nods before the virtual rig's sensors. */
#include "rig/decoding.h"

#include "rig/virtual_rig.h"

#include <math.h>

static struct virtual_rig *rig_of(const char *parameters)
{
    struct virtual_rig_settings settings;
    struct problem problem = {0};
    ck_assert_msg(virtual_rig_settings_read("steady", parameters, &settings, &problem), "%s",
                  problem.sentence);
    struct virtual_rig *rig = virtual_rig_create(&settings);
    ck_assert_ptr_nonnull(rig);
    return rig;
}

static void tell(struct virtual_rig *rig, const char *line)
{
    struct problem problem = {0};
    ck_assert_msg(virtual_rig_tell(rig, line, &problem), "%s: %s", line, problem.sentence);
}

struct seen {
    double mean_mm[2], least_mm[2], most_mm[2];
};

static struct seen watch(struct virtual_rig *rig, int samples)
{
    char *stream = calloc((size_t)samples + 1, VIRTUAL_RIG_BYTES);
    size_t used = (size_t)sprintf(
        stream, "# holdline-rig 1 id=virtual rate=50 unit=mm channels=head,chest\n");
    int64_t time_us;
    for (int i = 0; i < samples; i++) {
        used += virtual_rig_next(rig, stream + used, VIRTUAL_RIG_BYTES, &time_us);
    }
    struct decoded decoded = decode_bytes(stream, used, 0, NULL);
    struct seen seen = {{0}, {INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
    size_t count = 0;
    for (size_t i = 0; i < decoded.count; i++) {
        if (decoded.sample[i].quality[0] != READING_GOOD ||
            decoded.sample[i].quality[1] != READING_GOOD) {
            continue;
        }
        count++;
        for (int c = 0; c < 2; c++) {
            double mm = decoded.sample[i].range_tenth_mm[c] / 10.0;
            seen.mean_mm[c] += mm;
            seen.least_mm[c] = fmin(seen.least_mm[c], mm);
            seen.most_mm[c] = fmax(seen.most_mm[c], mm);
        }
    }
    ck_assert_uint_gt(count, (size_t)samples / 2);
    seen.mean_mm[0] /= (double)count;
    seen.mean_mm[1] /= (double)count;
    decoded_free(&decoded);
    free(stream);
    return seen;
}

START_TEST(a_block_shortens_one_beam)
{
    struct virtual_rig *rig = rig_of("plate=930&noise=0.5&missing=0&doubtful=0");
    struct seen bare = watch(rig, 300);
    tell(rig, "block 25 head");
    struct seen block = watch(rig, 300);
    tell(rig, "block off");
    struct seen after = watch(rig, 300);
    ck_assert_double_eq_tol(bare.mean_mm[0] - block.mean_mm[0], 25, 0.3);
    ck_assert_double_eq_tol(bare.mean_mm[1] - block.mean_mm[1], 0, 0.3);
    ck_assert_double_eq_tol(after.mean_mm[0], bare.mean_mm[0], 0.3);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(crosstalk_and_scale)
{
    struct virtual_rig *rig = rig_of("plate=930&noise=0.5&crosstalk=0.3&scale=1.1");
    struct seen bare = watch(rig, 300);
    tell(rig, "block 50 chest");
    struct seen block = watch(rig, 300);
    ck_assert_double_eq_tol(bare.mean_mm[1] - block.mean_mm[1], 55, 0.5);
    ck_assert_double_eq_tol(bare.mean_mm[0] - block.mean_mm[0], 0.3 * 55, 0.5);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(a_hand_and_waving_hands)
{
    struct virtual_rig *rig = rig_of("hands_seen=0.4");
    struct seen quiet = watch(rig, 500);
    tell(rig, "hand chest");
    struct seen hand = watch(rig, 500);
    tell(rig, "hand off");
    ck_assert_double_lt(hand.mean_mm[1], quiet.mean_mm[1] - 50);
    ck_assert_double_ge(hand.most_mm[1] - hand.least_mm[1], 60);
    ck_assert_double_eq_tol(hand.mean_mm[0], quiet.mean_mm[0], 8);
    tell(rig, "wave 5s");
    struct seen waving = watch(rig, 250);
    ck_assert_double_lt(waving.least_mm[0], 0.6 * quiet.least_mm[0]);
    struct seen over = watch(rig, 250);
    ck_assert_double_gt(over.least_mm[0], 0.8 * quiet.least_mm[0]);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(nods_and_rises)
{
    struct virtual_rig *rig = rig_of("");
    struct seen quiet = watch(rig, 500);
    tell(rig, "nod 40 5s");
    struct seen nod = watch(rig, 250);
    tell(rig, "rise 60mm 5s");
    struct seen rise = watch(rig, 250);
    ck_assert_double_lt(nod.least_mm[0], quiet.least_mm[0] - 25); /* the head comes down */
    ck_assert_double_gt(nod.least_mm[1], quiet.least_mm[1] - 10);
    ck_assert_double_gt(rise.most_mm[1], quiet.most_mm[1] + 45);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(two_things_in_the_beam)
{
    struct virtual_rig *rig = rig_of("second=60&second_share=0.3&noise=0.5");
    struct virtual_rig *plain = rig_of("noise=0.5");
    struct seen two = watch(rig, 2000), one = watch(plain, 2000);
    ck_assert_double_eq_tol(two.mean_mm[0] - one.mean_mm[0], 0.3 * 60, 4);
    virtual_rig_destroy(rig);
    virtual_rig_destroy(plain);
}
END_TEST

START_TEST(wrong_lines)
{
    static const char *const wrong[] = {
        "block x head", "block 25 hip", "block -3 head", "block 25", "hand nobody", "nod",
        "nod up",       "rise 5000",    "nod 40 0s",     "wave 0s",  "ride power=x"};
    struct virtual_rig *rig = rig_of("");
    struct problem problem = {0};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        ck_assert_msg(!virtual_rig_tell(rig, wrong[i], &problem), "%s", wrong[i]);
    }
    ck_assert(virtual_rig_tell(rig, "whistle", &problem)); /* passed over */
    virtual_rig_destroy(rig);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("virtual_scene");
    TCase *tests = tcase_create("virtual_scene");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_block_shortens_one_beam);
    tcase_add_test(tests, crosstalk_and_scale);
    tcase_add_test(tests, a_hand_and_waving_hands);
    tcase_add_test(tests, nods_and_rises);
    tcase_add_test(tests, two_things_in_the_beam);
    tcase_add_test(tests, wrong_lines);
    return test_main(suite);
}
