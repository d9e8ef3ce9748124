/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Packs of RFC 8428: which are none and why, and what base values do to each record. */
#include "rig/senml_pack.h"
#include "support/test_main.h"

#include "rig/decoder.h"

#include <stdio.h>
#include <string.h>

static struct senml_pack pack;

static void resolves_to(const char *line, enum reject_reason reason)
{
    enum reject_reason found = senml_resolve(&pack, line, strlen(line));
    ck_assert_msg(found == reason, "%s: %d", line, (int)found);
}

START_TEST(what_is_no_pack)
{
    static const struct {
        const char *line;
        enum reject_reason reason;
    } cases[] = {
        {"", REJECT_NOT_A_LINE},
        {"{\"n\":\"a\",\"v\":1}", REJECT_NOT_A_LINE},
        {"[{\"n\":\"a\",\"v\":1}", REJECT_NOT_A_LINE},
        {"[{\"n\":\"a\",\"v\":1}] x", REJECT_NOT_A_LINE},
        {"[1]", REJECT_NOT_A_LINE},
        {"[{\"n\":[1]}]", REJECT_NOT_A_LINE},
        {"[{\"n\":{\"v\":1}}]", REJECT_NOT_A_LINE},
        {"[{\"n\"}]", REJECT_NOT_A_LINE},
        {"[{\"must_\":1}]", REJECT_NOT_A_LINE},
        {"[{\"bn\":1}]", REJECT_BAD_NUMBER},
        {"[{\"bu\":1}]", REJECT_BAD_NUMBER},
        {"[{\"n\":1}]", REJECT_BAD_NUMBER},
        {"[{\"u\":1}]", REJECT_BAD_NUMBER},
        {"[{\"bt\":\"1\"}]", REJECT_BAD_NUMBER},
        {"[{\"bt\":true}]", REJECT_BAD_NUMBER},
        {"[{\"bv\":\"1\"}]", REJECT_BAD_NUMBER},
        {"[{\"bv\":null}]", REJECT_BAD_NUMBER},
        {"[{\"t\":\"1\"}]", REJECT_BAD_NUMBER},
        {"[{\"t\":false}]", REJECT_BAD_NUMBER},
        {"[{\"v\":\"1\"}]", REJECT_BAD_NUMBER},
        {"[{\"v\":1e999}]", REJECT_BAD_NUMBER},
        {"[{\"vs\":1}]", REJECT_BAD_NUMBER},
        {"[{\"vd\":1}]", REJECT_BAD_NUMBER},
        {"[{\"vb\":\"true\"}]", REJECT_BAD_NUMBER},
        {"[{\"vb\":1}]", REJECT_BAD_NUMBER},
        {"[{\"bver\":\"5\"}]", REJECT_BAD_NUMBER},
        {"[{\"bver\":true}]", REJECT_BAD_NUMBER},
        {"[{\"bver\":11}]", REJECT_BAD_NUMBER},
        {"[]", REJECT_REASONS},
        {"[{\"bver\":10}]", REJECT_REASONS},
        {"[{\"other\":1}]", REJECT_REASONS},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        resolves_to(cases[i].line, cases[i].reason);
    }
    ck_assert_int_eq(senml_resolve(&pack, "[{\"n\":\"a\0b\",\"v\":1}]", 19), REJECT_NOT_A_LINE);
}
END_TEST

/* Section 4.6: names are joined, times and values added, a unit of its own goes before the base's.
 */
START_TEST(base_values_hold_for_what_follows)
{
    resolves_to("[{\"bn\":\"rig/\",\"bt\":100,\"bu\":\"m\",\"bv\":0.4,\"n\":\"head\",\"v\":0.0125},"
                "{\"n\":\"chest\",\"u\":\"cm\",\"t\":-0.5,\"v\":2},{\"n\":\"on\",\"vb\":true},"
                "{\"n\":\"off\",\"vb\":false},{\"n\":\"said\",\"vs\":\"ok\"},{\"n\":\"sum\"}]",
                REJECT_REASONS);
    ck_assert_int_eq(pack.count, 5); /* the last has no value */
    ck_assert_str_eq(pack.record[0].name, "rig/head");
    ck_assert_uint_eq(pack.record[0].own_name_at, 4);
    ck_assert_int_eq(pack.record[0].value_nano, 412500000);
    ck_assert_int_eq(pack.record[0].time_us, 100000000);
    ck_assert(span_is(pack.record[0].unit, "m"));
    ck_assert(span_is(pack.record[1].unit, "cm"));
    ck_assert_int_eq(pack.record[1].time_us, 99500000);
    ck_assert_int_eq(pack.record[1].value_nano, 2400000000);
    ck_assert_int_eq(pack.record[2].kind, SENML_BOOLEAN);
    ck_assert(span_is(pack.record[3].text, "false"));
    ck_assert_int_eq(pack.record[4].kind, SENML_STRING);
}
END_TEST

START_TEST(a_line_and_a_name_are_only_so_long)
{
    static char line[4000];
    snprintf(line, sizeof line, "[{\"bn\":\"%060d\",\"n\":\"%035d\",\"v\":1}]", 1, 1);
    resolves_to(line, REJECT_REASONS);
    snprintf(line, sizeof line, "[{\"bn\":\"%060d\",\"n\":\"%036d\",\"v\":1}]", 1, 1);
    resolves_to(line, REJECT_TOO_LONG);
    memset(line, ' ', sizeof line - 1);
    line[0] = '[';
    line[sizeof line - 2] = ']';
    resolves_to(line, REJECT_NOT_A_LINE); /* longer than a line can be */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("senml_pack");
    TCase *tests = tcase_create("senml_pack");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, what_is_no_pack);
    tcase_add_test(tests, base_values_hold_for_what_follows);
    tcase_add_test(tests, a_line_and_a_name_are_only_so_long);
    return test_main(suite);
}
