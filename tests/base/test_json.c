/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/json.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void write_one(struct json_writer *writer)
{
    json_object_begin(writer);
    json_member_string(writer, "name", "a\"b\\c\n\x01\xC3\xA9");
    json_member_number(writer, "value", 0.1);
    json_member_integer(writer, "count", -7);
    json_member_boolean(writer, "kept", true);
    json_member_number(writer, "none", NAN);
    json_member_number(writer, "endless", -INFINITY);
    json_member_string(writer, "null", NULL);
    json_name(writer, "list");
    json_array_begin(writer);
    json_rounded(writer, 12.5, 3);
    json_rounded(writer, -0.0001, 2);
    json_rounded(writer, 100, 2);
    json_object_begin(writer);
    json_object_end(writer);
    json_array_begin(writer);
    json_array_end(writer);
    json_array_end(writer);
    json_object_end(writer);
}

START_TEST(one_line)
{
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    struct json_writer writer;
    json_begin(&writer, stream, false);
    write_one(&writer);
    fclose(stream);
    ck_assert_str_eq(text, "{\"name\":\"a\\\"b\\\\c\\n\\u0001\xC3\xA9\",\"value\":0.1,\"count\":-7,"
                           "\"kept\":true,\"none\":null,\"endless\":null,\"null\":null,"
                           "\"list\":[12.5,0,100,{},[]]}");
    free(text);
}
END_TEST

START_TEST(pretty)
{
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    struct json_writer writer;
    json_begin(&writer, stream, true);
    json_object_begin(&writer);
    json_member_integer(&writer, "a", 1);
    json_name(&writer, "b");
    json_array_begin(&writer);
    json_number(&writer, 1e21);
    json_string(&writer, "\xFF");
    json_array_end(&writer);
    json_object_end(&writer);
    fclose(stream);
    ck_assert_str_eq(text,
                     "{\n  \"a\": 1,\n  \"b\": [\n    1e+21,\n    \"\xEF\xBF\xBD\"\n  ]\n}\n");
    free(text);
}
END_TEST

START_TEST(nesting_to_the_limit)
{
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    struct json_writer writer;
    json_begin(&writer, stream, false);
    for (int i = 0; i < 32; i++) {
        json_array_begin(&writer);
    }
    for (int i = 0; i < 32; i++) {
        json_array_end(&writer);
    }
    fclose(stream);
    ck_assert_uint_eq(strlen(text), 64);
    free(text);
}
END_TEST

/* What is not plain text goes out by its number, beyond U+FFFF as a pair; a tab has its own escape.
 */
START_TEST(what_is_not_seen_goes_out_by_its_number)
{
    char *text = NULL;
    size_t length = 0;
    FILE *stream = open_memstream(&text, &length);
    struct json_writer writer;
    ck_assert_ptr_nonnull(stream);
    json_begin(&writer, stream, false);
    json_array_begin(&writer);
    json_string(&writer, "a\tb\xF3\xA0\x80\x81"); /* U+E0001, a tag */
    json_rounded(&writer, 412.4, 0);
    json_rounded(&writer, 412.5, 3);
    json_array_end(&writer);
    fclose(stream);
    ck_assert_ptr_nonnull(strstr(text, "a\\tb\\uDB40\\uDC01"));
    ck_assert_ptr_nonnull(strstr(text, "412,"));
    ck_assert_ptr_nonnull(strstr(text, "412.5]"));
    free(text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("json");
    TCase *one = tcase_create("json");
    tcase_add_test(one, one_line);
    tcase_add_test(one, pretty);
    tcase_add_test(one, nesting_to_the_limit);
    tcase_add_test(one, what_is_not_seen_goes_out_by_its_number);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
