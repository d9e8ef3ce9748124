/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/fnv.h"
#include "support/test_main.h"

#include <string.h>

/* Test vectors of RFC 9923. */
START_TEST(sums_are_those_published)
{
    static const struct {
        const char *text;
        uint64_t sum;
    } known[] = {{"", UINT64_C(0xcbf29ce484222325)},
                 {"a", UINT64_C(0xaf63dc4c8601ec8c)},
                 {"foobar", UINT64_C(0x85944171f73967e8)}};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        ck_assert_uint_eq(fnv_add(FNV_START, known[i].text, strlen(known[i].text)), known[i].sum);
    }
    ck_assert_uint_eq(fnv_add_whole(FNV_START, UINT64_C(0x7261626f6f66)),
                      fnv_add(FNV_START, "foobar\0\0", 8));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fnv");
    TCase *one = tcase_create("fnv");
    tcase_add_test(one, sums_are_those_published);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
