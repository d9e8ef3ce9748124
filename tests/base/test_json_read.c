/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON read back: what base/json writes, and texts by hand (RFC 8259). */

#include "base/json.h"
#include "base/json_read.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

START_TEST(what_is_written_is_read)
{
    char *text = NULL;
    size_t length = 0;
    FILE *stream = open_memstream(&text, &length);
    struct json_writer writer;
    json_begin(&writer, stream, false);
    json_object_begin(&writer);
    json_member_number(&writer, "third", 1.0 / 3.0);
    json_member_string(&writer, "name", "a \"b\"\n\\ \xC3\xA9 \xF0\x9F\x9A\xB2");
    json_name(&writer, "list");
    json_array_begin(&writer);
    json_object_begin(&writer);
    json_member_boolean(&writer, "yes", true);
    json_object_end(&writer);
    json_null(&writer);
    json_integer(&writer, -42);
    json_array_end(&writer);
    json_object_end(&writer);
    fclose(stream);

    struct json_document *document = json_document_read(text, length, NULL);
    ck_assert_ptr_nonnull(document);
    double number = 0.0;
    bool truth = false;
    char name[64];
    ck_assert(json_get_number(document, json_find(document, 0, "third"), &number));
    ck_assert_double_eq(number, 1.0 / 3.0);
    ck_assert(json_get_string(document, json_find(document, 0, "name"), name, sizeof name));
    ck_assert_str_eq(name, "a \"b\"\n\\ \xC3\xA9 \xF0\x9F\x9A\xB2");
    int list = json_find(document, 0, "list");
    ck_assert_int_eq(json_count(document, list), 3);
    ck_assert(json_get_boolean(
        document, json_find(document, json_element(document, list, 0), "yes"), &truth));
    ck_assert(truth);
    ck_assert(!json_get_number(document, json_element(document, list, 1), &number));
    ck_assert(json_get_number(document, json_element(document, list, 2), &number));
    ck_assert_double_eq(number, -42.0);
    ck_assert_int_eq(json_element(document, list, 3), -1);
    json_document_free(document);
    free(text);
}
END_TEST

START_TEST(escapes_are_resolved)
{
    static const char text[] = "[\"\\u00e9\\uD83D\\uDEB2\\/\\t\", \"\\uD83D\", \"\\u0000\"]";
    struct json_document *document = json_document_read(text, strlen(text), NULL);
    char value[32];
    ck_assert_ptr_nonnull(document);
    ck_assert(json_get_string(document, json_element(document, 0, 0), value, sizeof value));
    ck_assert_str_eq(value, "\xC3\xA9\xF0\x9F\x9A\xB2/\t");
    ck_assert(json_get_string(document, json_element(document, 0, 1), value, sizeof value));
    ck_assert_str_eq(value, "\xEF\xBF\xBD");
    ck_assert(json_get_string(document, json_element(document, 0, 2), value, sizeof value));
    ck_assert_str_eq(value, "\xEF\xBF\xBD");
    json_document_free(document);
}
END_TEST

/* Half of a pair, a pair whose second half is another character, digits that are none, escapes that
 * the text breaks off in: U+FFFD each, and what comes behind is read (RFC 8259, section 8.2). */
START_TEST(escapes_that_are_none_are_replaced)
{
    static const struct {
        const char *text, *read;
    } cases[] = {
        {"[\"\\uD83D\\u0041b\"]", "\xEF\xBF\xBD"
                                  "Ab"},
        {"[\"\\uD83D\\uD83D\\uDEB2\"]", "\xEF\xBF\xBD\xF0\x9F\x9A\xB2"},
        {"[\"\\uDEB2c\"]", "\xEF\xBF\xBD"
                           "c"},
        {"[\"\\uD83Dx\"]", "\xEF\xBF\xBD"
                           "x"},
        {"[\"\\uD83D\\n\"]", "\xEF\xBF\xBD\n"},
        {"[\"\\u00C4\\u0041\\b\\f\\r\"]", "\xC3\x84"
                                          "A\b\f\r"},
        {"[\"\\u20AC\\u20ac\"]", "\xE2\x82\xAC\xE2\x82\xAC"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char read[32] = "";
        struct json_document *document =
            json_document_read(cases[i].text, strlen(cases[i].text), NULL);
        ck_assert_msg(document != NULL, "%s", cases[i].text);
        ck_assert(json_get_string(document, json_element(document, 0, 0), read, sizeof read));
        ck_assert_str_eq(read, cases[i].read);
        ck_assert(json_get_string(document, json_element(document, 0, 0), read, 2)); /* cut */
        ck_assert(!json_get_string(document, json_element(document, 0, 0), read, 0));
        json_document_free(document);
    }
}
END_TEST

/* What is of another kind, too long for a number, or not there. */
START_TEST(what_is_of_another_kind_is_not_given)
{
    static const char text[] = "{\"n\": null, \"s\": \"x\", \"a\": [1, [2, 3], 4], \"f\": false,"
                               "\"long\": 1.00000000000000000000000000000000000000000000000000000"
                               "0000000000000000000000000000000000000000000000000}";
    struct json_document *document = json_document_read(text, strlen(text), NULL);
    double number = 7.0;
    bool truth = true;
    char string[8] = "as it is";
    ck_assert_ptr_nonnull(document);
    int list = json_find(document, 0, "a");
    ck_assert(!json_get_number(document, json_find(document, 0, "n"), &number));
    ck_assert(!json_get_number(document, json_find(document, 0, "s"), &number));
    ck_assert(!json_get_number(document, json_find(document, 0, "f"), &number));
    ck_assert(!json_get_number(document, json_find(document, 0, "long"), &number));
    ck_assert(!json_get_number(document, -1, &number));
    ck_assert_double_eq(number, 7.0);
    ck_assert(!json_get_boolean(document, json_find(document, 0, "n"), &truth) && truth);
    ck_assert(!json_get_boolean(document, json_find(document, 0, "s"), &truth) && truth);
    ck_assert(json_get_boolean(document, json_find(document, 0, "f"), &truth) && !truth);
    ck_assert(!json_get_string(document, list, string, sizeof string));
    ck_assert_int_eq(json_find(document, list, "n"), -1);
    ck_assert_int_eq(json_find(document, 0, "absent"), -1);
    ck_assert_int_eq(json_element(document, 0, 0), -1);
    ck_assert_int_eq(json_element(document, list, 5), -1);
    ck_assert_int_eq(json_count(document, json_find(document, 0, "s")), 0);
    ck_assert_int_eq(json_count(document, 0), 5);
    ck_assert_int_eq(json_count(document, json_element(document, list, 1)), 2);
    ck_assert(json_get_number(document, json_element(document, list, 2), &number));
    ck_assert_double_eq(number, 4.0);
    json_document_free(document);
}
END_TEST

START_TEST(a_name_in_an_inner_object_is_not_the_outers)
{
    static const char text[] = "{\"a\":{\"b\":1},\"c\":\"b\",\"b\":2}";
    struct json_document *document = json_document_read(text, strlen(text), NULL);
    double number = 0.0;
    ck_assert_ptr_nonnull(document);
    ck_assert(json_get_number(document, json_find(document, 0, "b"), &number));
    ck_assert_double_eq(number, 2.0);
    ck_assert_int_eq(json_find(document, 0, "d"), -1);
    ck_assert_int_eq(json_find(document, -1, "d"), -1);
    json_document_free(document);
}
END_TEST

START_TEST(rubbish_is_refused)
{
    static const char *const texts[] = {"", "{", "[1,", "{\"a\" 1", "\"open", "]", "{\"a\":1}}"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        struct problem problem = {0};
        struct json_document *document = json_document_read(texts[i], strlen(texts[i]), &problem);
        ck_assert_msg(document == NULL && problem.sentence[0] != '\0', "'%s' was taken", texts[i]);
    }
}
END_TEST

/* Figures of both cases, pairs beyond U+FFFF, and what is no pair or no figure. */
START_TEST(characters_by_their_number)
{
    static const struct {
        const char *text, *wanted;
    } cases[] = {
        {"\"\\u00e9\\u00E9\"", "\xC3\xA9\xC3\xA9"},
        {"\"\\uABCD\\uabcd\"", "\xEA\xAF\x8D\xEA\xAF\x8D"},
        {"\"\\ud83d\\udeb2\"", "\xF0\x9F\x9A\xB2"},
        {"\"\\ud83dx\"", "\xEF\xBF\xBDx"},
        {"\"\\ud83d123456\"", "\xEF\xBF\xBD"
                              "123456"},
        {"\"\\ud83d\\n\"", "\xEF\xBF\xBD\n"},
        {"\"\\ud83d\\u0041\"", "\xEF\xBF\xBD"
                               "A"},
        {"\"\\ud83d\\ud83d\"", "\xEF\xBF\xBD\xEF\xBF\xBD"},
        {"\"\\ud83d\\ndeb2\"", "\xEF\xBF\xBD\ndeb2"},
        {"\"\\ud83d\\uff21b\"", "\xEF\xBF\xBD\xEF\xBC\xA1"
                                "b"},
        {"\"\\u0000\"", "\xEF\xBF\xBD"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[32];
        struct json_document *document =
            json_document_read(cases[i].text, strlen(cases[i].text), NULL);
        ck_assert_ptr_nonnull(document);
        ck_assert(json_get_string(document, 0, text, sizeof text));
        ck_assert_str_eq(text, cases[i].wanted);
        json_document_free(document);
    }
}
END_TEST

/* Places that are none, and names that only begin alike. */
START_TEST(places_that_are_none_have_nothing)
{
    static const char text[] = "{\"is\": \"spent\", \"speed\": 1, \"spent\": 2, \"list\": [3]}";
    struct json_document *document = json_document_read(text, strlen(text), NULL);
    double number;
    ck_assert_ptr_nonnull(document);
    ck_assert(json_get_number(document, json_find(document, 0, "spent"), &number));
    ck_assert_double_eq(number, 2.0);
    ck_assert_int_eq(json_find(document, 0, "spend"), -1);
    ck_assert_int_eq(json_find(document, -1, "speed"), -1);
    ck_assert_int_eq(json_find(document, 99, "speed"), -1);
    json_document_free(document);
    /* A name alone, which the parser takes: it has no value. */
    document = json_document_read("{\"speed\"}", 9, NULL);
    ck_assert(document == NULL || json_find(document, 0, "speed") == -1);
    json_document_free(document);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("json read");
    TCase *tests = tcase_create("json");
    tcase_add_test(tests, what_is_written_is_read);
    tcase_add_test(tests, escapes_are_resolved);
    tcase_add_test(tests, escapes_that_are_none_are_replaced);
    tcase_add_test(tests, what_is_of_another_kind_is_not_given);
    tcase_add_test(tests, a_name_in_an_inner_object_is_not_the_outers);
    tcase_add_test(tests, rubbish_is_refused);
    tcase_add_test(tests, characters_by_their_number);
    tcase_add_test(tests, places_that_are_none_have_nothing);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
