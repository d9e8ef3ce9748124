/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoding.h"

#include "rig/dialect.h"

/* Sentences and whether their checksum is right. Those of GNSS, depth and weather talkers are from
 * public documentation and logs (some were printed there with wrong sums); the YXXDR ones were made
 * with pynmea2 or by hand for the edges: lower case, cut, missing, and 82 and 83 characters long.
 */
static const struct {
    const char *sentence;
    bool is_right;
} sentences[] = {
    {"$GNGGA,001043.00,4404.14036,N,12118.85961,W,1,12,0.98,1113.0,M,-21.3,M*47", true},
    {"$GNGLL,4404.14012,N,12118.85993,W,001037.00,A,A*67", true},
    {"$GNGSA,A,3,80,71,73,79,69,,,,,,,,1.83,1.09,1.47*17", true},
    {"$GNRMC,001031.00,A,4404.13993,N,12118.86023,W,0.146,,100117,,,A*7B", true},
    {"$GPDTM,W84,C*52", true},
    {"$GPGBS,125027,23.43,M,13.91,M,34.01,M*07", true},
    {"$GPGRS,024603.00,1,-1.8,-2.7,0.3,,,,,,,*6C", true},
    {"$GPGST,182141.000,15.5,15.3,7.2,21.8,0.9,0.5,0.8*54", true},
    {"$GPGSV,3,3,11,22,42,067,42,24,14,311,43,27,05,244,00,,,,*4D", true},
    {"$GPHDT,274.07,T*03", true},
    {"$GPRTE,1,1,c,0*07", true},
    {"$GPVTG,220.86,T,,M,2.550,N,4.724,K,A*34", true},
    {"$GPXTE,V,V,,,N,S*43", true},
    {"$GPZDA,160012.71,11,03,2004,-1,00*7D", true},
    {"$HEROT,0.0,A*2B", true},
    {"$INDPT,2.3,0.0*46", true},
    {"$INMTW,17.9,C*1B", true},
    {"$SDDBT,7.8,f,2.4,M,1.3,F*0D", true},
    {"$WIMWD,302.4,T,289.6,M,10.5,N,5.4,M*6F", true},
    {"$HCXDR,A,171,D,PITCH,A,-37,D,ROLL,G,367,,MAGX,G,2420,,MAGY,G,-8984,,MAGZ*41", true},
    {"$HCXDR,A,169,D,PITCH,A,-42,D,ROLL,G,371,,MAGX,G,2430,,MAGY,G,-8925,,MAGZ*47", true},
    {"$APXDR,A,0.135,D,PTCH*7C", true},
    {"$APXDR,A,3.864,D,ROLL*60", true},
    {"$IIXDR,C,,C,AIRTEMP,A,-1.0,D,HEEL,A,2.9,D,TRIM,P,,B,BARO,A,-3.9,D,RUDDER*29", true},
    {"$IIXDR,C,,C,AIRTEMP,A,0.2,D,HEEL,A,2.8,D,TRIM,P,,B,BARO,A,-3.8,D,RUDDER*07", true},
    {"$GPAPA,A,A,0.10,R,N,V,V,011,M,DEST,011,M*82", false},
    {"$GPAPB,A,A,0.10,R,N,V,V,011,M,DEST,011,M,011,M*82", false},
    {"$GPBOD,097.0,T,103.2,M,POINTB,POINTA*52", false},
    {"$GPBWC,081837,,,,,,T,,M,,N*13", false},
    {"$GPRMB,A,0.66,L,003,004,4917.24,N,12309.57,W,001.3,052.5,000.5,V*0B", false},
    {"$GLGSV,3,3,09,88,07,028*51", false},
    {"$YXXDR,D,0.4123,M,HEAD,D,0.3987,M,CHEST*0F", true},
    {"$YXXDR,D,412.3,,CH1*1B", true},
    {"$YXXDR,D,-0.0025,M,CH1,D,,M,CH2*78", true},
    {"$YXXDR,C,23.4,C,AMB,P,1.01325,B,BARO,H,45,P,RH*3F", true},
    {"$YXXDR,G,57,,RATE,U,4.98,V,SUPPLY*03", true},
    {"$YXXDR,A,-3.5,D,TRUNK,A,12.25,D,PELVIS*23", true},
    {"$YXXDR,D,0.5,M,ZERO*6f", true},
    {"$YXXDR,D,0.5,M,ZERO", false},
    {"$YXXDR,D,0.5,M,ZERO*", false},
    {"$YXXDR,D,0.5,M,ZERO*G1", false},
    {"$YXXDR,D,0.5,M,ZERO*0", false},
    {"$YXXDR,D,0.4000,M,C0,D,0.4001,M,C1,D,0.4002,M,C2,D,0.4003,M,C3,D,0.4004,M,C4X*77", true},
    {"$YXXDR,D,0.4000,M,C0,D,0.4001,M,C1,D,0.4002,M,C2,D,0.4003,M,C3,D,0.4004,M,C4XX*2F", true},
    {"!AIVDM,1,1,,A,0*0A", true},
    {"$*00", true},
    {"$YXXDR,D,0.6,M,ZERO*6F", false},
};

START_TEST(checksums_are_judged_as_printed)
{
    for (size_t i = 0; i < sizeof sentences / sizeof sentences[0]; i++) {
        const char *sentence = sentences[i].sentence;
        bool is_right = dialect_checksum_is_right(sentence, strlen(sentence));
        ck_assert_msg(is_right == sentences[i].is_right, "%s", sentence);
    }
}
END_TEST

START_TEST(every_sentence_is_taken_skipped_or_refused)
{
    char stream[8000] = "";
    uint64_t wrong = 0;
    for (size_t i = 0; i < sizeof sentences / sizeof sentences[0]; i++) {
        const char *sentence = sentences[i].sentence;
        strcat(strcat(stream, sentence), "\r\n");
        wrong += sentences[i].is_right ? 0 : 1;
    }
    struct decoder_options options = {.dialect = "xdr"};
    struct decoded decoded = decode_with(stream, &options);
    ck_assert(decoded.fine);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_CHECKSUM], wrong);
    /* '$*00' has a right sum and no address. */
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_NOT_A_LINE], 1);
    /* Of the nine names HEAD, CHEST, CH1, CH2, ZERO, C0 to C3 and the last, which differs between
     * the two longest sentences, the first eight are channels. Six sentences carry them. */
    ck_assert_int_eq(decoded.info.channel_count, 8);
    ck_assert_uint_eq(decoded.counts.skipped + wrong + 1 + 6, decoded.counts.lines);
    ck_assert_uint_eq(decoded.count, 3);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[1], 3987);
    ck_assert_int_eq(decoded.sample[0].quality[3], READING_MISSING);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[2], -25);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[4], 5000);
    ck_assert_int_eq(decoded.sample[2].range_tenth_mm[5], 4000);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_sentence_with_all_channels_is_a_sample)
{
    char stream[1000] = "";
    strcat(stream, bench_line_of("WIXDR,D,0.4125,M,HEAD,D,0.3561,M,CHEST,C,21.5,C,AIR"));
    strcat(stream, bench_line_of("WIXDR,D,0.41255,M,HEAD,D,,M,CHEST,C,21.5,C,AIR"));
    strcat(stream, bench_line_of("IIXDR,A,-1.0,D,HEEL"));
    strcat(stream, bench_line_of("WIXDR,D,-0.0025,M,HEAD,D,123.4,M,CHEST"));
    strcat(stream, bench_line_of("WIXDR,D,0.4,M,OTHER"));
    struct decoded decoded = decode_text(stream);
    ck_assert_str_eq(decoded.info.dialect, "xdr");
    check_channels(&decoded, "HEAD CHEST");
    ck_assert(!decoded.info.has_rig_time);
    ck_assert_uint_eq(decoded.count, 3);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 4125);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[1], 3561);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[0], 4126);
    ck_assert_int_eq(decoded.sample[1].quality[1], READING_MISSING);
    ck_assert_int_eq(decoded.sample[2].range_tenth_mm[0], -25);
    ck_assert_int_eq(decoded.sample[2].quality[1], READING_OUT_OF_RANGE);
    ck_assert_uint_eq(decoded.counts.skipped, 2);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_sample_may_come_in_several_sentences)
{
    char stream[3000] = "";
    for (int i = 0; i < 4; i++) {
        char body[100];
        snprintf(body, sizeof body, "WIXDR,D,0.41%d,M,A,D,0.42%d,M,B", i, i);
        strcat(stream, bench_line_of(body));
        snprintf(body, sizeof body, "WIXDR,D,0.43%d,M,C", i);
        strcat(stream, i == 2 ? "$WIXDR,D,0.4\n" : bench_line_of(body)); /* one is cut */
    }
    struct decoded decoded = decode_text(stream);
    ck_assert_int_eq(decoded.info.channel_count, 3);
    ck_assert_uint_eq(decoded.count, 4);
    for (int i = 0; i < 4; i++) {
        ck_assert_int_eq(decoded.sample[i].range_tenth_mm[1], 4200 + 10 * i);
        ck_assert_int_eq(decoded.sample[i].quality[2], i == 2 ? READING_MISSING : READING_GOOD);
    }
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_CHECKSUM], 1);
    decoded_free(&decoded);
}
END_TEST

START_TEST(wrong_sentences_are_counted_by_reason)
{
    static const struct {
        const char *body;
        enum reject_reason reason;
    } cases[] = {
        {"WIXDR,D,0.4,M", REJECT_FIELD_COUNT},      {"WIXDR,D,0.4,M,A,D", REJECT_FIELD_COUNT},
        {"WIXDR,D,0.4x,M,A", REJECT_BAD_NUMBER},    {"WIXDR,D,1e9,M,A", REJECT_OUT_OF_RANGE},
        {"1042,20840000,412.5", REJECT_NOT_A_LINE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char stream[500] = "";
        for (int j = 0; j < 3; j++) {
            strcat(stream, bench_line_of("WIXDR,D,0.4,M,A"));
        }
        strcat(stream, bench_line_of(cases[i].body));
        struct decoded decoded = decode_text(stream);
        ck_assert_uint_eq(decoded.count, 3);
        ck_assert_msg(decoded.counts.rejected[cases[i].reason] == 1, "%s", cases[i].body);
        decoded_free(&decoded);
    }
}
END_TEST

START_TEST(a_unit_that_is_not_said_is_the_persons_or_metres)
{
    struct decoder_options options = {.unit = "mm"};
    struct decoded decoded =
        decode_with("$YXXDR,D,412.3,,CH1*1B\n$YXXDR,D,412.3,,CH1*1B\n", &options);
    ck_assert_uint_eq(decoded.count, 2);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[0], 4123);
    ck_assert_int_eq(decoded.sample[1].quality[0], READING_GOOD);
    decoded_free(&decoded);
    decoded = decode_text("$YXXDR,D,412.3,,CH1*1B\n$YXXDR,D,412.3,,CH1*1B\n");
    ck_assert_int_eq(decoded.sample[1].quality[0], READING_OUT_OF_RANGE); /* 412.3 m */
    decoded_free(&decoded);
}
END_TEST

START_TEST(instruments_without_ranges_are_passed_over)
{
    static const struct {
        const char *file;
        uint64_t lines;
    } logs[] = {
        /* tr -d '\\r' | grep -c . */
        {"recordings/xdr-sentences/bundg_zeus_9.log", 5009},
        {"recordings/xdr-sentences/sounder.log", 248},
    };
    for (size_t i = 0; i < sizeof logs / sizeof logs[0]; i++) {
        const char *path = shared_path_or_skip(logs[i].file);
        if (path == NULL) {
            continue;
        }
        struct decoded decoded = decode_file(path, NULL);
        ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
        ck_assert_str_eq(decoded.info.dialect, "xdr");
        ck_assert_uint_eq(decoded.count, 0);
        ck_assert_uint_eq(decoded.counts.lines, logs[i].lines);
        ck_assert_uint_eq(decoded.counts.skipped, logs[i].lines); /* no checksum in them is wrong */
        decoded_free(&decoded);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("XDR sentence");
    TCase *one = tcase_create("XDR sentence");
    tcase_add_test(one, checksums_are_judged_as_printed);
    tcase_add_test(one, every_sentence_is_taken_skipped_or_refused);
    tcase_add_test(one, a_sentence_with_all_channels_is_a_sample);
    tcase_add_test(one, a_sample_may_come_in_several_sentences);
    tcase_add_test(one, wrong_sentences_are_counted_by_reason);
    tcase_add_test(one, a_unit_that_is_not_said_is_the_persons_or_metres);
    tcase_add_test(one, instruments_without_ranges_are_passed_over);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
