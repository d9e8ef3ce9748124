/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoding.h"

#include "rig/senml_pack.h"

struct wanted {
    const char *name, *unit;
    int64_t time_us;
    enum senml_value kind;
    int64_t value_nano;
    const char *text;
};

/* The packs of RFC 8428, sections 5.1.1 to 5.1.7, laid out a pack a line, and what they resolve
 * to: 5.1.3 as the RFC's own 5.1.4 prints it, the others as the working group's resolved files or
 * section 4.6 gives them (relative times left relative). The stream example is cut short in the RFC
 * and completed from the working group's example 4. */
static const struct {
    const char *section, *pack;
    int count;
    struct wanted record[16];
} examples[] = {
    {"5.1.1-single",
     "[{\"n\": \"urn:dev:ow:10e2073a01080063\", \"u\": \"Cel\", \"v\": 23.1}]",
     1,
     {{"urn:dev:ow:10e2073a01080063", "Cel", INT64_C(0), SENML_NUMBER, INT64_C(23100000000), ""}}},
    {"5.1.2-base-values",
     "[{\"bn\": \"urn:dev:ow:10e2073a0108006:\", \"bt\": 1276020076.001, \"bu\": \"A\", \"bver\": "
     "5, \"n\": \"voltage\", \"u\": \"V\", \"v\": 120.1},{\"n\": \"current\", \"t\": -5, \"v\": "
     "1.2},{\"n\": \"current\", \"t\": -4, \"v\": 1.3},{\"n\": \"current\", \"t\": -3, \"v\": "
     "1.4},{\"n\": \"current\", \"t\": -2, \"v\": 1.5},{\"n\": \"current\", \"t\": -1, \"v\": "
     "1.6},{\"n\": \"current\", \"v\": 1.7}]",
     7,
     {{"urn:dev:ow:10e2073a0108006:voltage", "V", INT64_C(1276020076001000), SENML_NUMBER,
       INT64_C(120100000000), ""},
      {"urn:dev:ow:10e2073a0108006:current", "A", INT64_C(1276020071001000), SENML_NUMBER,
       INT64_C(1200000000), ""},
      {"urn:dev:ow:10e2073a0108006:current", "A", INT64_C(1276020072001000), SENML_NUMBER,
       INT64_C(1300000000), ""},
      {"urn:dev:ow:10e2073a0108006:current", "A", INT64_C(1276020073001000), SENML_NUMBER,
       INT64_C(1400000000), ""},
      {"urn:dev:ow:10e2073a0108006:current", "A", INT64_C(1276020074001000), SENML_NUMBER,
       INT64_C(1500000000), ""},
      {"urn:dev:ow:10e2073a0108006:current", "A", INT64_C(1276020075001000), SENML_NUMBER,
       INT64_C(1600000000), ""},
      {"urn:dev:ow:10e2073a0108006:current", "A", INT64_C(1276020076001000), SENML_NUMBER,
       INT64_C(1700000000), ""}}},
    {"5.1.2-multiple",
     "[{\"bn\": \"urn:dev:ow:10e2073a01080063:\", \"n\": \"voltage\", \"u\": \"V\", \"v\": "
     "120.1},{\"n\": \"current\", \"u\": \"A\", \"v\": 1.2}]",
     2,
     {{"urn:dev:ow:10e2073a01080063:voltage", "V", INT64_C(0), SENML_NUMBER, INT64_C(120100000000),
       ""},
      {"urn:dev:ow:10e2073a01080063:current", "A", INT64_C(0), SENML_NUMBER, INT64_C(1200000000),
       ""}}},
    {"5.1.2-stream",
     "[{\"bn\": \"urn:dev:ow:10e2073a01080063\", \"bt\": 1320067464, \"bu\": \"%RH\", \"v\": 21.2, "
     "\"t\": 0},{\"v\": 21.3, \"t\": 10},{\"v\": 21.4, \"t\": 20},{\"v\": 21.4, \"t\": 30},{\"v\": "
     "21.5, \"t\": 40},{\"v\": 21.5, \"t\": 50},{\"v\": 21.5, \"t\": 60},{\"v\": 21.6, \"t\": "
     "70},{\"v\": 21.7, \"t\": 80},{\"v\": 21.5, \"t\": 90},{\"v\": 21.5, \"t\": 91},{\"v\": 21.5, "
     "\"t\": 92}]",
     12,
     {{"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067464000000), SENML_NUMBER,
       INT64_C(21200000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067474000000), SENML_NUMBER,
       INT64_C(21300000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067484000000), SENML_NUMBER,
       INT64_C(21400000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067494000000), SENML_NUMBER,
       INT64_C(21400000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067504000000), SENML_NUMBER,
       INT64_C(21500000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067514000000), SENML_NUMBER,
       INT64_C(21500000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067524000000), SENML_NUMBER,
       INT64_C(21500000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067534000000), SENML_NUMBER,
       INT64_C(21600000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067544000000), SENML_NUMBER,
       INT64_C(21700000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067554000000), SENML_NUMBER,
       INT64_C(21500000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067555000000), SENML_NUMBER,
       INT64_C(21500000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067556000000), SENML_NUMBER,
       INT64_C(21500000000), ""}}},
    {"5.1.3-measurements",
     "[{\"bn\": \"urn:dev:ow:10e2073a01080063\", \"bt\": 1320067464, \"bu\": \"%RH\", \"v\": "
     "20},{\"u\": \"lon\", \"v\": 24.30621},{\"u\": \"lat\", \"v\": 60.07965},{\"t\": 60, \"v\": "
     "20.3},{\"u\": \"lon\", \"t\": 60, \"v\": 24.30622},{\"u\": \"lat\", \"t\": 60, \"v\": "
     "60.07965},{\"t\": 120, \"v\": 20.7},{\"u\": \"lon\", \"t\": 120, \"v\": 24.30623},{\"u\": "
     "\"lat\", \"t\": 120, \"v\": 60.07966},{\"u\": \"%EL\", \"t\": 150, \"v\": 98},{\"t\": 180, "
     "\"v\": 21.2},{\"u\": \"lon\", \"t\": 180, \"v\": 24.30628},{\"u\": \"lat\", \"t\": 180, "
     "\"v\": 60.07967}]",
     13,
     {{"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067464000000), SENML_NUMBER,
       INT64_C(20000000000), ""},
      {"urn:dev:ow:10e2073a01080063", "lon", INT64_C(1320067464000000), SENML_NUMBER,
       INT64_C(24306210000), ""},
      {"urn:dev:ow:10e2073a01080063", "lat", INT64_C(1320067464000000), SENML_NUMBER,
       INT64_C(60079650000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067524000000), SENML_NUMBER,
       INT64_C(20300000000), ""},
      {"urn:dev:ow:10e2073a01080063", "lon", INT64_C(1320067524000000), SENML_NUMBER,
       INT64_C(24306220000), ""},
      {"urn:dev:ow:10e2073a01080063", "lat", INT64_C(1320067524000000), SENML_NUMBER,
       INT64_C(60079650000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067584000000), SENML_NUMBER,
       INT64_C(20700000000), ""},
      {"urn:dev:ow:10e2073a01080063", "lon", INT64_C(1320067584000000), SENML_NUMBER,
       INT64_C(24306230000), ""},
      {"urn:dev:ow:10e2073a01080063", "lat", INT64_C(1320067584000000), SENML_NUMBER,
       INT64_C(60079660000), ""},
      {"urn:dev:ow:10e2073a01080063", "%EL", INT64_C(1320067614000000), SENML_NUMBER,
       INT64_C(98000000000), ""},
      {"urn:dev:ow:10e2073a01080063", "%RH", INT64_C(1320067644000000), SENML_NUMBER,
       INT64_C(21200000000), ""},
      {"urn:dev:ow:10e2073a01080063", "lon", INT64_C(1320067644000000), SENML_NUMBER,
       INT64_C(24306280000), ""},
      {"urn:dev:ow:10e2073a01080063", "lat", INT64_C(1320067644000000), SENML_NUMBER,
       INT64_C(60079670000), ""}}},
    {"5.1.5-types",
     "[{\"bn\": \"urn:dev:ow:10e2073a01080063:\", \"n\": \"temp\", \"u\": \"Cel\", \"v\": "
     "23.1},{\"n\": \"label\", \"vs\": \"Machine Room\"},{\"n\": \"open\", \"vb\": false},{\"n\": "
     "\"nfv-reader\", \"vd\": \"aGkgCg\"}]",
     4,
     {{"urn:dev:ow:10e2073a01080063:temp", "Cel", INT64_C(0), SENML_NUMBER, INT64_C(23100000000),
       ""},
      {"urn:dev:ow:10e2073a01080063:label", "", INT64_C(0), SENML_STRING, INT64_C(0),
       "Machine Room"},
      {"urn:dev:ow:10e2073a01080063:open", "", INT64_C(0), SENML_BOOLEAN, INT64_C(0), "false"},
      {"urn:dev:ow:10e2073a01080063:nfv-reader", "", INT64_C(0), SENML_DATA, INT64_C(0),
       "aGkgCg"}}},
    {"5.1.6-collection",
     "[{\"bn\": \"2001:db8::2/\", \"bt\": 1320078429, \"n\": \"temperature\", \"u\": \"Cel\", "
     "\"v\": 25.2},{\"n\": \"humidity\", \"u\": \"%RH\", \"v\": 30},{\"bn\": \"2001:db8::1/\", "
     "\"n\": \"temperature\", \"u\": \"Cel\", \"v\": 12.3},{\"n\": \"humidity\", \"u\": \"%RH\", "
     "\"v\": 67}]",
     4,
     {{"2001:db8::2/temperature", "Cel", INT64_C(1320078429000000), SENML_NUMBER,
       INT64_C(25200000000), ""},
      {"2001:db8::2/humidity", "%RH", INT64_C(1320078429000000), SENML_NUMBER, INT64_C(30000000000),
       ""},
      {"2001:db8::1/temperature", "Cel", INT64_C(1320078429000000), SENML_NUMBER,
       INT64_C(12300000000), ""},
      {"2001:db8::1/humidity", "%RH", INT64_C(1320078429000000), SENML_NUMBER, INT64_C(67000000000),
       ""}}},
    {"5.1.7-actuator",
     "[{\"bn\": \"urn:dev:ow:10e2073a01080063:\"},{\"n\": \"temp\", \"u\": \"Cel\", \"v\": "
     "23.1},{\"n\": \"heat\", \"u\": \"/\", \"v\": 1},{\"n\": \"fan\", \"u\": \"/\", \"v\": 0}]",
     3,
     {{"urn:dev:ow:10e2073a01080063:temp", "Cel", INT64_C(0), SENML_NUMBER, INT64_C(23100000000),
       ""},
      {"urn:dev:ow:10e2073a01080063:heat", "/", INT64_C(0), SENML_NUMBER, INT64_C(1000000000), ""},
      {"urn:dev:ow:10e2073a01080063:fan", "/", INT64_C(0), SENML_NUMBER, INT64_C(0), ""}}},
    {"5.1.7-two-lights-off",
     "[{\"bt\": 1320078429, \"bu\": \"/\", \"n\": \"2001:db8::3\", \"v\": 0.5},{\"n\": "
     "\"2001:db8::4\", \"v\": 0.5},{\"n\": \"2001:db8::3\", \"t\": 0.1, \"v\": 0},{\"n\": "
     "\"2001:db8::4\", \"t\": 0.1, \"v\": 0}]",
     4,
     {{"2001:db8::3", "/", INT64_C(1320078429000000), SENML_NUMBER, INT64_C(500000000), ""},
      {"2001:db8::4", "/", INT64_C(1320078429000000), SENML_NUMBER, INT64_C(500000000), ""},
      {"2001:db8::3", "/", INT64_C(1320078429100000), SENML_NUMBER, INT64_C(0), ""},
      {"2001:db8::4", "/", INT64_C(1320078429100000), SENML_NUMBER, INT64_C(0), ""}}},
    {"5.1.7-two-lights-on",
     "[{\"bt\": 1320078429, \"bu\": \"/\", \"n\": \"2001:db8::3\", \"v\": 1},{\"n\": "
     "\"2001:db8::4\", \"v\": 1}]",
     2,
     {{"2001:db8::3", "/", INT64_C(1320078429000000), SENML_NUMBER, INT64_C(1000000000), ""},
      {"2001:db8::4", "/", INT64_C(1320078429000000), SENML_NUMBER, INT64_C(1000000000), ""}}},
};

START_TEST(the_standards_packs_resolve_as_it_says)
{
    for (size_t i = 0; i < sizeof examples / sizeof examples[0]; i++) {
        struct senml_pack pack;
        const char *line = examples[i].pack;
        ck_assert_msg(senml_resolve(&pack, line, strlen(line)) == REJECT_REASONS, "%s", line);
        ck_assert_int_eq(pack.count, examples[i].count);
        for (int j = 0; j < pack.count; j++) {
            const struct senml_record *record = &pack.record[j];
            const struct wanted *wanted = &examples[i].record[j];
            ck_assert_str_eq(record->name, wanted->name);
            ck_assert_msg(span_is(record->unit, wanted->unit), "%s %d", examples[i].section, j);
            ck_assert_msg(record->time_us == wanted->time_us, "%s %d: %lld", examples[i].section, j,
                          (long long)record->time_us);
            ck_assert_int_eq(record->kind, wanted->kind);
            ck_assert_msg(record->value_nano == wanted->value_nano, "%s %d: %lld",
                          examples[i].section, j, (long long)record->value_nano);
            ck_assert(span_is(record->text, wanted->text));
        }
    }
}
END_TEST

START_TEST(what_is_no_pack_is_refused)
{
    static const struct {
        const char *line;
        enum reject_reason reason;
    } cases[] = {
        {"", REJECT_NOT_A_LINE},
        {"{}", REJECT_NOT_A_LINE},
        {"[", REJECT_NOT_A_LINE},
        {"[1,2]", REJECT_NOT_A_LINE},
        {"[{\"n\":\"a\",\"v\":1}", REJECT_NOT_A_LINE},
        {"[{\"n\":\"a\",\"v\":1}] x", REJECT_NOT_A_LINE},
        {"[{\"n\":\"a\",\"v\"}]", REJECT_NOT_A_LINE},
        {"[{\"n\":{\"a\":1},\"v\":1}]", REJECT_NOT_A_LINE},
        {"[{\"n\":\"a\",\"v\":1,\"must_\":2}]", REJECT_NOT_A_LINE}, /* RFC 8428, 4.4 */
        {"[{\"bver\":11,\"n\":\"a\",\"v\":1}]", REJECT_BAD_NUMBER},
        {"[{\"n\":\"a\",\"v\":\"1\"}]", REJECT_BAD_NUMBER},
        {"[{\"n\":\"a\",\"v\":1mm}]", REJECT_BAD_NUMBER},
        {"[{\"n\":\"a\",\"v\":null}]", REJECT_BAD_NUMBER},
        {"[{\"n\":\"a\",\"v\":1e300}]", REJECT_BAD_NUMBER},
        {"[{\"n\":4,\"v\":1}]", REJECT_BAD_NUMBER},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct senml_pack pack;
        enum reject_reason reason = senml_resolve(&pack, cases[i].line, strlen(cases[i].line));
        ck_assert_msg(reason == cases[i].reason, "%s gives %d", cases[i].line, (int)reason);
    }
}
END_TEST

START_TEST(a_pack_a_line_gives_a_sample_a_time)
{
    struct decoded decoded = decode_text(
        "[{\"bn\":\"urn:dev:bench-a:\",\"bt\":1768068000.00,\"bu\":\"m\",\"n\":\"head\",\"v\":0."
        "4125},"
        "{\"n\":\"chest\",\"u\":\"mm\",\"v\":356.14},{\"n\":\"temp\",\"u\":\"Cel\",\"v\":21}]\n"
        "[{\"bn\":\"urn:dev:bench-a:\",\"bt\":1768068000.02,\"bu\":\"cm\",\"n\":\"head\",\"v\":41."
        "26},"
        "{\"n\":\"chest\",\"bv\":30,\"v\":5.615}]\n"
        "[{\"bn\":\"urn:dev:bench-a:\",\"bt\":1768068000.04,\"bu\":\"m\",\"n\":\"head\",\"v\":0.41}"
        "]\n"
        "[{\"n\":\"other\",\"u\":\"V\",\"v\":5}]\nrubbish\n");
    ck_assert_str_eq(decoded.info.dialect, "senml");
    check_channels(&decoded, "head chest");
    ck_assert_uint_eq(decoded.count, 3);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 4125);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[1], 3561);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[0], 4126);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[1], 3562); /* 35.615 cm */
    ck_assert_int_eq(decoded.sample[2].range_tenth_mm[0], 4100);
    ck_assert_int_eq(decoded.sample[2].quality[1], READING_MISSING);
    ck_assert(decoded.sample[0].has_rig_time && decoded.info.has_rig_time);
    ck_assert(decoded.sample[1].rig_time_us - decoded.sample[0].rig_time_us == 20000);
    ck_assert_uint_eq(decoded.counts.skipped, 1);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_NOT_A_LINE], 1);
    decoded_free(&decoded);
}
END_TEST

START_TEST(several_times_in_a_pack_are_put_in_order)
{
    struct decoded decoded = decode_text(
        "[{\"bt\":1768068000,\"bu\":\"mm\",\"n\":\"a\",\"v\":1},{\"n\":\"a\",\"t\":0.1,\"v\":2},"
        "{\"n\":\"a\",\"t\":0.2,\"v\":3},{\"n\":\"b\",\"v\":11},{\"n\":\"b\",\"t\":0.1,\"v\":12},"
        "{\"n\":\"b\",\"t\":0.2,\"v\":13}]\n");
    ck_assert_uint_eq(decoded.count, 3);
    for (int i = 0; i < 3; i++) {
        ck_assert_int_eq(decoded.sample[i].range_tenth_mm[0], 10 * (i + 1));
        ck_assert_int_eq(decoded.sample[i].range_tenth_mm[1], 10 * (i + 11));
        ck_assert(decoded.sample[i].rig_time_us == INT64_C(1768068000000000) + i * 100000);
    }
    decoded_free(&decoded);
}
END_TEST

START_TEST(channels_that_come_in_packs_of_their_own_are_joined)
{
    struct decoded decoded = decode_text("[{\"n\":\"rig/a\",\"u\":\"mm\",\"v\":400}]\n"
                                         "[{\"bn\":\"rig/b\",\"u\":\"mm\",\"v\":300}]\n"
                                         "[{\"n\":\"rig/a\",\"u\":\"mm\",\"v\":401}]\n"
                                         "[{\"bn\":\"rig/b\",\"u\":\"mm\",\"v\":301}]\n");
    ck_assert_uint_eq(decoded.count, 2);
    ck_assert_str_eq(decoded.info.channel_name[0], "rig_a");
    ck_assert_str_eq(decoded.info.channel_name[1], "b");
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[0], 4010);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[1], 3010);
    ck_assert(!decoded.sample[0].has_rig_time);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_single_pack_is_enough_at_the_end)
{
    struct decoded decoded = decode_text("[{\"n\":\"a\",\"u\":\"m\",\"v\":0.4}]");
    ck_assert_uint_eq(decoded.count, 1);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 4000);
    ck_assert_int_eq(decoded.info.channel_count, 1);
    decoded_free(&decoded);
    struct decoder_options options = {.unit = "in"};
    decoded = decode_with("[{\"n\":\"a\",\"v\":10}]\n[{\"n\":\"a\",\"v\":-0.5}]\n"
                          "[{\"n\":\"a\",\"v\":5000}]\n[{\"n\":\"a\",\"v\":1e8}]\n",
                          &options);
    ck_assert_uint_eq(decoded.count, 3);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 2540);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[0], -127);
    ck_assert_int_eq(decoded.sample[2].quality[0], READING_OUT_OF_RANGE); /* 127 m */
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_OUT_OF_RANGE], 1);
    decoded_free(&decoded);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("SenML");
    TCase *one = tcase_create("SenML");
    tcase_add_test(one, the_standards_packs_resolve_as_it_says);
    tcase_add_test(one, what_is_no_pack_is_refused);
    tcase_add_test(one, a_pack_a_line_gives_a_sample_a_time);
    tcase_add_test(one, several_times_in_a_pack_are_put_in_order);
    tcase_add_test(one, channels_that_come_in_packs_of_their_own_are_joined);
    tcase_add_test(one, a_single_pack_is_enough_at_the_end);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
