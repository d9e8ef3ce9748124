/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/uuid.h"
#include "support/test_main.h"

#include <string.h>

START_TEST(an_identifier_has_the_layout_of_version_7)
{
    /* RFC 9562, appendix A.6: 017F22E2-79B0-7CC3-98C4-DC0C0C07398F, at 1645557742000 ms. */
    struct random_source source;
    random_seed(&source, 1);
    struct uuid uuid = uuid_make(&source, 1645557742000);
    char text[UUID_TEXT_SIZE];
    uuid_text(text, &uuid);
    ck_assert_int_eq(strncmp(text, "017f22e2-79b0-7", 15), 0);
    ck_assert_int_eq(uuid_unix_ms(&uuid), 1645557742000);
    ck_assert(strchr("89ab", text[19]) != NULL);
    for (int i = 0; i < 1000; i++) {
        uuid = uuid_make(&source, i);
        ck_assert_int_eq(uuid.bytes[6] >> 4, 7);
        ck_assert_int_eq(uuid.bytes[8] >> 6, 2);
    }
}
END_TEST

START_TEST(the_same_seed_gives_the_same_identifiers_and_others_differ)
{
    struct random_source a;
    struct random_source b;
    random_seed(&a, 7);
    random_seed(&b, 7);
    struct uuid first = uuid_make(&a, 1000);
    struct uuid again = uuid_make(&b, 1000);
    ck_assert(uuid_equal(&first, &again));
    again = uuid_make(&b, 1000);
    ck_assert(!uuid_equal(&first, &again));
}
END_TEST

START_TEST(texts_read_back)
{
    struct uuid uuid;
    char text[UUID_TEXT_SIZE];
    ck_assert(uuid_parse("017F22E2-79B0-7CC3-98C4-DC0C0C07398F", &uuid));
    uuid_text(text, &uuid);
    ck_assert_str_eq(text, "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
    ck_assert(!uuid_parse("", &uuid));
    ck_assert(!uuid_parse("017F22E2-79B0-7CC3-98C4-DC0C0C07398", &uuid));
    ck_assert(!uuid_parse("017F22E2-79B0-7CC3-98C4-DC0C0C07398Fa", &uuid));
    ck_assert(!uuid_parse("017F22E279B0-7CC3-98C4-DC0C0C07398F", &uuid));
    ck_assert(!uuid_parse("017G22E2-79B0-7CC3-98C4-DC0C0C07398F", &uuid));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("uuid");
    TCase *one = tcase_create("uuid");
    tcase_add_test(one, an_identifier_has_the_layout_of_version_7);
    tcase_add_test(one, the_same_seed_gives_the_same_identifiers_and_others_differ);
    tcase_add_test(one, texts_read_back);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
