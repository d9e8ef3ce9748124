/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "support/ride_text.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define HEAD                                                                                       \
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"                                                 \
    "<gpx xmlns=\"http://www.topografix.com/GPX/1/1\" version=\"1.1\" creator=\"shed\">\n"         \
    "<trk><name>winter group</name><trkseg>\n"
#define TAIL "</trkseg></trk></gpx>\n"
#define POINT(lat, time, inside)                                                                   \
    "<trkpt lat=\"" lat "\" lon=\"8.5\"><ele>120.5</ele><time>" time "</time><extensions>" inside  \
    "</extensions></trkpt>\n"
#define FIRST POINT("50.0", "2026-03-01T09:00:00Z", "<power>200</power><speed>10</speed>")
#define SECOND POINT("50.0001", "2026-03-01T09:00:01.5Z", "<power>202</power><speed>11</speed>")

/* 2026-03-01T09:00:00Z is 1772355600 s after 1970. */
START_TEST(points_with_power_and_speed_are_read)
{
    struct ride *ride = ride_text(HEAD FIRST SECOND TAIL);
    ck_assert_uint_eq(ride->count, 2);
    ck_assert_double_eq(ride->time_s[1], 1.5);
    ck_assert_double_eq(ride->power_w[1], 202.0);
    ck_assert_double_eq(ride->speed_m_s[1], 11.0);
    ck_assert_double_eq(ride->latitude_deg[1], 50.0001);
    ck_assert_double_eq(ride->longitude_deg[1], 8.5);
    ck_assert_double_eq(ride->altitude_m[0], 120.5);
    ck_assert_double_eq_tol(ride->distance_m[1], 15.75, 1e-12); /* 10.5 m/s for 1.5 s */
    ck_assert(ride->has_start && ride->distance_made && !ride->speed_made);
    ck_assert_int_eq(ride->start_unix_us, INT64_C(1772355600000000));
    ck_assert_int_eq(ride->speed_from, RIDE_SOURCE_NOT_SAID);
    ck_assert_ptr_null(ride->heart_per_min);
    ck_assert_ptr_null(ride->lap);
    ride_free(ride);
}
END_TEST

/* Whatever the namespace, and however deep within extensions; nowhere else. */
START_TEST(extensions_go_by_their_local_names)
{
    struct ride *ride = ride_text(
        HEAD
        "<trkpt lat=\"50\" lon=\"8\"><time>2026-03-01T09:00:00Z</time><power>1</power>"
        "<extensions><a:watts>250</a:watts><a:all><b:hr> 141 </b:hr><b:cad>92</b:cad>"
        "<b:atemp>18.5</b:atemp><c:speed>10.5</c:speed><c:speed>99</c:speed><d:grade>1</d:grade>"
        "</a:all></extensions></trkpt>"
        "<trkpt lat=\"50\" lon=\"8\"><time>2026-03-01T09:00:01Z</time>"
        "<extensions><watts>251</watts><speed>10.5</speed></extensions></trkpt>" TAIL);
    ck_assert_double_eq(ride->power_w[0], 250.0);
    ck_assert_double_eq(ride->power_w[1], 251.0);
    ck_assert_double_eq(ride->speed_m_s[0], 10.5);
    ck_assert_float_eq(ride->heart_per_min[0], 141.0F);
    ck_assert(isnan(ride->heart_per_min[1]));
    ck_assert_float_eq(ride->cadence_per_min[0], 92.0F);
    ck_assert_float_eq(ride->air_temperature_c[0], 18.5F);
    ride_free(ride);
}
END_TEST

/* 0.0001 degrees of a great circle are 11.119508 m (6371.0088 km). */
START_TEST(places_alone_give_speed_from_satellites)
{
    struct ride *ride =
        ride_text(HEAD POINT("50.0000", "2026-03-01T09:00:00Z", "<power>200</power>")
                      POINT("50.0001", "2026-03-01T09:00:01Z", "<power>200</power>")
                          POINT("50.0002", "2026-03-01T09:00:02Z", "<power>200</power>") TAIL);
    ck_assert_int_eq(ride->speed_from, RIDE_SOURCE_SATELLITES);
    ck_assert_int_eq(ride->distance_from, RIDE_SOURCE_SATELLITES);
    ck_assert_double_eq_tol(ride->distance_m[2], 22.239016, 1e-5);
    ck_assert_double_eq_tol(ride->speed_m_s[1], 11.119508, 1e-5);
    ride_free(ride);
}
END_TEST

START_TEST(what_is_passed_over_is_counted)
{
    struct ride *ride = ride_text(
        HEAD FIRST
        "<trkpt lat=\"50\" lon=\"8\"><extensions><power>1</power></extensions></trkpt>" /* no time
                                                                                         */
        "<trkpt lat=\"50\" lon=\"8\"><time>noon</time></trkpt>" FIRST                   /* again */
            POINT("x", "2026-03-01T09:00:01Z", "<power>two</power><speed>10</speed>") SECOND TAIL);
    ck_assert_uint_eq(ride->count, 3);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_NO_TIME], 2);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_SAME_TIME], 1);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_NO_NUMBER], 2);
    ck_assert(isnan(ride->latitude_deg[1]) && isnan(ride->power_w[1]));
    ride_free(ride);
    ride = ride_text(HEAD POINT("50", "2026-03-01T09:00:00", "<power>1</power><speed>9</speed>")
                         SECOND TAIL);
    ck_assert(ride->zone_assumed);
    ride_free(ride);
}
END_TEST

START_TEST(what_is_no_ride_is_refused_with_its_element_and_reason)
{
    static const struct {
        const char *text, *why;
    } texts[] = {
        {HEAD TAIL, "no track points"},
        {"<svg></svg>", "line 1, <svg>: this is no GPX file"},
        {"<gpx version=\"1.0\"></gpx>", "line 1, <gpx>: version '1.0' of GPX is not read"},
        {HEAD POINT("50", "2026-03-01T09:00:00Z", "<hr>120</hr>")
             POINT("50", "2026-03-01T09:00:01Z", "<hr>120</hr>") TAIL,
         "GPX has none of its own, and no point's extensions"},
        {HEAD FIRST SECOND, "line 6: the file ends within an element: it is not whole"},
        {HEAD FIRST "<trkpt lat=\"50\" lon=\"8\"><time>2026-03-01",
         "line 5: the file ends within a track point"},
        {HEAD FIRST "<trkpt lat=\"50\"", "line 5: the file ends within an element"},
        {HEAD FIRST "<trkpt lat=50>", "line 5, column 12: this is no sound XML"},
        {HEAD FIRST "</gpx>", "this is no sound XML"},
        {HEAD FIRST "&lol;" TAIL, "this is no sound XML"},
        {HEAD POINT("50", "2026-03-01T10:00:00Z", "<power>1</power>") FIRST TAIL,
         "line 5: the time goes back by 3600 s"},
        {"<?xml version=\"1.0\"?>\n<!DOCTYPE gpx [<!ENTITY a \"lol\"><!ENTITY b "
         "\"&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;\"><!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;\">]>\n"
         "<gpx version=\"1.1\">&c;</gpx>",
         "line 2, <!DOCTYPE>: declarations and entities are not read"},
        {"<!DOCTYPE gpx SYSTEM \"file:///etc/passwd\"><gpx/>", "<!DOCTYPE>"},
        {"<!DOCTYPE gpx [<!ENTITY e SYSTEM \"file:///etc/passwd\">]><gpx>&e;</gpx>", "<!DOCTYPE>"},
        {"<gpx><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a><a>"
         "<a><a><a><a><deep></deep>",
         "<deep>: more than 32 elements within one another"},
        {"<", "this is no sound XML"},
        {"<\x01>", "this is no sound XML"},
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        ride_text_refused(texts[i].text, texts[i].why);
    }
}
END_TEST

/* A comment, a tag and an element's text of a megabyte. */
START_TEST(long_pieces_are_refused_and_long_texts_are_no_numbers)
{
    static const struct {
        const char *before, *behind, *why;
    } pieces[] = {
        {"<gpx><!--", "--></gpx>", "a tag or comment of more than 65536 bytes"},
        {"<gpx a=\"", "\"></gpx>", "a tag or comment of more than 65536 bytes"},
        {HEAD FIRST "<trkpt lat=\"50\" lon=\"8\"><time>2026-03-01T09:00:01Z</time>"
                    "<extensions><power>",
         "</power><speed>10</speed></extensions></trkpt>" TAIL, NULL},
    };
    char *text = malloc(1100000);
    ck_assert_ptr_nonnull(text);
    for (size_t i = 0; i < sizeof pieces / sizeof pieces[0]; i++) {
        size_t used = strlen(pieces[i].before);
        memcpy(text, pieces[i].before, used);
        memset(text + used, '1', 1000000);
        strcpy(text + used + 1000000, pieces[i].behind);
        struct problem problem = {PROBLEM_NONE, ""};
        struct ride *ride = ride_text_in(text, strlen(text), 65536, &problem);
        if (pieces[i].why == NULL) {
            ck_assert_msg(ride != NULL, "%s", problem.sentence);
            ck_assert(isnan(ride->power_w[1]));
            ck_assert_uint_eq(ride->passed[RIDE_PASSED_NO_NUMBER], 1);
        } else {
            ck_assert_msg(strstr(problem.sentence, pieces[i].why) != NULL, "%s", problem.sentence);
        }
        ride_free(ride);
    }
    free(text);
}
END_TEST

/* Once a point's extensions are closed, what is called power or speed is none of them; a point that
 * lacks a place is counted; a file may end outside a point as well. */
START_TEST(what_stands_beside_the_extensions)
{
    struct ride *ride = ride_text(
        HEAD FIRST "<trkpt lat=\"50\"><time>2026-03-01T09:00:01Z</time><extensions><power>202"
                   "</power><speed>11</speed></extensions><power>900</power><speed>19</speed>"
                   "<junk><power>901</power></junk></trkpt>" TAIL);
    ck_assert_double_eq(ride->power_w[1], 202.0);
    ck_assert_double_eq(ride->speed_m_s[1], 11.0);
    ck_assert(isnan(ride->longitude_deg[1]));
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_NO_NUMBER], 1);
    ride_free(ride);
    ride_text_refused(HEAD FIRST SECOND, "the file ends within an element");
    ride_text_refused(HEAD FIRST "<trkpt lat=\"50\" lon=\"8\"><ti",
                      "the file ends within a track point");
}
END_TEST

/* To the byte, wherever the file's pieces end. */
START_TEST(a_tag_has_64_kB)
{
    static const char *const kinds[][2] = {{"<a b=\"", "\"/>"}, {"<!--", "-->"}};
    static const size_t steps[] = {1000, 16384, 1000000};
    char *text = malloc(70000 + sizeof(HEAD FIRST SECOND TAIL));
    ck_assert_ptr_nonnull(text);
    for (size_t i = 0; i < 12; i++) {
        const char *const *kind = kinds[i % 2];
        size_t most = i < 6 ? 65536 : 65537, used = strlen(HEAD);
        memcpy(text, HEAD, used);
        memset(text + used, 'x', most);
        memcpy(text + used, kind[0], strlen(kind[0]));
        memcpy(text + used + most - strlen(kind[1]), kind[1], strlen(kind[1]));
        strcpy(text + used + most, FIRST SECOND TAIL);
        struct problem problem = {PROBLEM_NONE, ""};
        struct ride *ride = ride_text_in(text, strlen(text), steps[i / 2 % 3], &problem);
        ck_assert_msg((ride != NULL) == (i < 6), "%zu: %s", i, problem.sentence);
        if (i >= 6) {
            ck_assert_ptr_nonnull(strstr(problem.sentence, "of more than 65536 bytes"));
        }
        ride_free(ride);
    }
    free(text);
}
END_TEST

/* UTF-16 is XML, too. */
START_TEST(other_encodings_are_the_parser_s_work)
{
    static const char text[] = HEAD FIRST SECOND TAIL;
    const char *body = strchr(text, '\n') + 1; /* the declaration says UTF-8 */
    char wide[4 * sizeof text] = "\xFF\xFE";
    size_t used = 2;
    for (const char *at = body; *at != '\0'; at++) {
        wide[used++] = *at;
        wide[used++] = '\0';
    }
    struct problem problem = {PROBLEM_NONE, ""};
    struct ride_reader *reader = ride_reader_create(&problem);
    ck_assert(ride_reader_feed(reader, wide, used, &problem));
    struct ride *ride = ride_reader_finish(reader, &problem);
    ck_assert_msg(ride != NULL, "%s", problem.sentence);
    ck_assert_double_eq(ride->power_w[1], 202.0);
    ride_free(ride);
    ride_reader_free(reader);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride gpx");
    TCase *tests = tcase_create("ride gpx");
    tcase_add_test(tests, points_with_power_and_speed_are_read);
    tcase_add_test(tests, extensions_go_by_their_local_names);
    tcase_add_test(tests, places_alone_give_speed_from_satellites);
    tcase_add_test(tests, what_is_passed_over_is_counted);
    tcase_add_test(tests, what_is_no_ride_is_refused_with_its_element_and_reason);
    tcase_add_test(tests, long_pieces_are_refused_and_long_texts_are_no_numbers);
    tcase_add_test(tests, a_tag_has_64_kB);
    tcase_add_test(tests, what_stands_beside_the_extensions);
    tcase_add_test(tests, other_encodings_are_the_parser_s_work);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
