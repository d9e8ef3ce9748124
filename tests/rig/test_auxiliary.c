/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Power, cadence and heart rate on the same wire as the ranges. */
#include "rig/decoding.h"

#include "rig/auxiliary.h"
#include "rig/virtual_rig.h"

#include <math.h>

START_TEST(names_and_units)
{
    ck_assert_int_eq(auxiliary_of("power"), AUXILIARY_POWER);
    ck_assert_int_eq(auxiliary_of("cadence"), AUXILIARY_CADENCE);
    ck_assert_int_eq(auxiliary_of("heart"), AUXILIARY_HEART);
    ck_assert_int_eq(auxiliary_of("head"), -1);
    ck_assert_int_eq(auxiliary_of(""), -1);
    ck_assert_int_eq(auxiliary_of_senml_unit("W", 1), AUXILIARY_POWER);
    ck_assert_int_eq(auxiliary_of_senml_unit("1/min", 5), AUXILIARY_CADENCE);
    ck_assert_int_eq(auxiliary_of_senml_unit("/min", 4), AUXILIARY_CADENCE);
    ck_assert_int_eq(auxiliary_of_senml_unit("beat/min", 8), AUXILIARY_HEART);
    ck_assert_int_eq(auxiliary_of_senml_unit("Wb", 2), -1);
    ck_assert_int_eq(auxiliary_of_senml_unit("m", 1), -1);
    ck_assert_int_eq(auxiliary_of_senml_unit("", 0), -1);
}
END_TEST

START_TEST(bench_lines_keep_their_own_unit)
{
    /* the heading's unit is that of the ranges only */
    char stream[600] = "# holdline-rig 1 id=a rate=10 unit=cm channels=head,power,cadence,heart\n";
    strcat(stream, bench_line_of("1,100000,41.25,203.4,88,141"));
    strcat(stream, bench_line_of("2,200000,41.30,0,,142"));
    struct decoded decoded = decode_text(stream);
    ck_assert_uint_eq(decoded.count, 2);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 4125);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[1], 2034);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[2], 880);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[3], 1410);
    ck_assert_int_eq(decoded.sample[1].quality[1], READING_GOOD); /* freewheeling is a reading */
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[1], 0);
    ck_assert_int_eq(decoded.sample[1].quality[2], READING_MISSING);
    decoded_free(&decoded);
}
END_TEST

START_TEST(senml_records_by_their_unit)
{
    static const char stream[] =
        "[{\"bn\":\"urn:dev:bench-a:\",\"bt\":1768068000.02,\"n\":\"head\",\"u\":\"m\",\"v\":0."
        "4125},"
        "{\"n\":\"crank\",\"u\":\"W\",\"v\":203.4},{\"n\":\"turns\",\"u\":\"1/min\",\"v\":88},"
        "{\"n\":\"strap\",\"u\":\"beat/min\",\"v\":141},{\"n\":\"air\",\"u\":\"Cel\",\"v\":19}]\n"
        "[{\"bn\":\"urn:dev:bench-a:\",\"bt\":1768068000.04,\"n\":\"head\",\"u\":\"m\",\"v\":0.413}"
        ","
        "{\"n\":\"crank\",\"u\":\"W\",\"v\":204},{\"n\":\"turns\",\"u\":\"/min\",\"v\":89},"
        "{\"n\":\"strap\",\"u\":\"beat/min\",\"v\":142}]\n";
    struct decoded decoded = decode_text(stream);
    ck_assert_uint_eq(decoded.count, 2);
    check_channels(&decoded, "head power cadence heart");
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 4125);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[1], 2034);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[2], 890);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[3], 1420);
    decoded_free(&decoded);
}
END_TEST

/* Types and units of IEC 61162-1's table of transducers: G generic without a unit, T tachometer in
 * R, F frequency in H. */
START_TEST(xdr_measurements_by_name_and_type)
{
    char stream[2000] = "";
    /* engine: a tachometer of another name; power in volts, cadence in degrees: no such thing */
    for (int i = 0; i < 3; i++) {
        char body[160];
        snprintf(
            body, sizeof body,
            "WIXDR,D,0.41%d,M,head,G,203.4,,POWER,T,%d,R,Cadence,F,2.35,H,heart,T,900,R,ENGINE", i,
            88 + i);
        strcat(stream, bench_line_of(body));
        strcat(stream, bench_line_of("WIXDR,U,5.1,V,POWER,A,3,D,CADENCE,G,57,,RATE"));
    }
    strcat(stream, bench_line_of("WIXDR,D,0.42,M,head,G,,,POWER,F,1.5,H,CADENCE,G,141,,HEART"));
    strcat(stream, bench_line_of("WIXDR,D,0.42,M,head,G,0,,POWER,G,x,,HEART"));
    struct decoded decoded = decode_text(stream);
    ck_assert_str_eq(decoded.info.dialect, "xdr");
    check_channels(&decoded, "head power cadence heart");
    ck_assert_uint_ge(decoded.count, 3);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 4100);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[1], 2034);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[2], 880);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[3], 1410); /* 2.35 Hz */
    ck_assert_int_eq(decoded.sample[2].range_tenth_mm[2], 900);
    ck_assert_uint_eq(decoded.counts.skipped, 3);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_BAD_NUMBER], 1);
    decoded_free(&decoded);
}
END_TEST

/* Names as the first line has them are kept: in one stream a name is written one way. */
START_TEST(xdr_in_its_own_sentences)
{
    char stream[2000] = "";
    for (int i = 0; i < 8; i++) {
        char body[100];
        snprintf(body, sizeof body, "YXXDR,D,0.41%d,M,HEAD,D,0.35%d,M,CHEST", i, i);
        strcat(stream, bench_line_of(body));
        if (i % 4 == 0) { /* less often than the ranges */
            strcat(stream, bench_line_of(i == 0 ? "YXXDR,G,200,,POWER" : "YXXDR,G,,,POWER"));
        }
    }
    struct decoded decoded = decode_text(stream);
    ck_assert_int_eq(decoded.info.channel_count, 3);
    ck_assert_uint_eq(decoded.count, 8);
    for (int i = 0; i < 8; i++) {
        ck_assert_int_eq(decoded.sample[i].range_tenth_mm[0], 4100 + 10 * i);
        ck_assert_int_eq(decoded.sample[i].quality[2], i == 0 ? READING_GOOD : READING_MISSING);
    }
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[2], 2000);
    decoded_free(&decoded);
}
END_TEST

START_TEST(plain_columns_keep_their_own_unit)
{
    struct decoder_options options = {.columns = "head=1,power=2,cadence=3,heart=4", .unit = "mm"};
    struct decoded decoded =
        decode_with("412.5;203.4;88;141\n412.6;204;88;141\n412.4;0;;142\n", &options);
    ck_assert(decoded.fine);
    ck_assert_uint_eq(decoded.count, 3);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 4125);
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[1], 2034);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[2], 880);
    ck_assert_int_eq(decoded.sample[2].range_tenth_mm[3], 1420);
    ck_assert_int_eq(decoded.sample[2].quality[1], READING_GOOD); /* freewheeling is a reading */
    decoded_free(&decoded);
    /* by the heading alone; what is said of the ranges' unit is not said of them */
    static const char stream[] = "time_ms,distance_cm,strength,power,cadence\n"
                                 "20,41.25,118,203.4,88\n40,41.30,117,0,0\n60,0,3,205,89\n";
    static const struct decoder_options said = {.unit = "cm", .no_echo = 100};
    for (int i = 0; i < 2; i++) {
        decoded = i == 0 ? decode_text(stream) : decode_with(stream, &said);
        ck_assert_int_eq(decoded.info.channel_count, 3);
        ck_assert_str_eq(decoded.info.channel_name[1], "power");
        ck_assert_str_eq(decoded.info.channel_name[2], "cadence");
        ck_assert_uint_eq(decoded.count, 3);
        ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 4125);
        ck_assert_int_eq(decoded.sample[0].range_tenth_mm[1], 2034);
        ck_assert_int_eq(decoded.sample[1].quality[1], READING_GOOD);
        ck_assert_int_eq(decoded.sample[1].quality[2], READING_GOOD);
        ck_assert_int_eq(decoded.sample[2].quality[0], READING_MISSING);
        ck_assert_int_eq(decoded.sample[2].range_tenth_mm[1], 2050);
        decoded_free(&decoded);
    }
}
END_TEST

START_TEST(the_virtual_rider_has_them)
{
    struct virtual_rig_settings settings;
    struct problem problem = {0};
    ck_assert(virtual_rig_settings_read(
        "steady", "seed=3&channels=head/power/cadence/heart&power=230&cadence_hz=1.5&heart=150",
        &settings, &problem));
    struct virtual_rig *rig = virtual_rig_create(&settings);
    char *stream = calloc(1000, VIRTUAL_RIG_BYTES);
    size_t used = 0;
    int64_t time_us;
    for (int i = 0; i < 1000; i++) {
        if (i == 500) {
            ck_assert(virtual_rig_tell(rig, "ride power=260 cadence=80", &problem));
        }
        used += virtual_rig_next(rig, stream + used, VIRTUAL_RIG_BYTES, &time_us);
    }
    ck_assert(!virtual_rig_tell(rig, "ride power=-5", &problem));
    struct decoded decoded = decode_bytes(stream, used, 0, NULL);
    double mean[2][4] = {{0}};
    size_t half = decoded.count / 2;
    for (size_t i = 0; i < 2 * half; i++) {
        for (int c = 0; c < 4; c++) {
            mean[i / half][c] += decoded.sample[i].range_tenth_mm[c] / 10.0 / (double)half;
        }
    }
    ck_assert_double_eq_tol(mean[0][1], 230, 2);
    ck_assert_double_eq_tol(mean[0][2], 90, 2);
    ck_assert_double_eq_tol(mean[0][3], 150, 1);
    ck_assert_double_eq_tol(mean[1][1], 260, 2);
    ck_assert_double_eq_tol(mean[1][2], 80, 3);
    decoded_free(&decoded);
    free(stream);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(heart_beats_are_never_apart)
{
    ck_assert(isinf(auxiliary_apart_from(AUXILIARY_HEART)));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("auxiliary");
    TCase *tests = tcase_create("auxiliary");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, heart_beats_are_never_apart);
    tcase_add_test(tests, names_and_units);
    tcase_add_test(tests, bench_lines_keep_their_own_unit);
    tcase_add_test(tests, senml_records_by_their_unit);
    tcase_add_test(tests, xdr_measurements_by_name_and_type);
    tcase_add_test(tests, xdr_in_its_own_sentences);
    tcase_add_test(tests, plain_columns_keep_their_own_unit);
    tcase_add_test(tests, the_virtual_rider_has_them);
    return test_main(suite);
}
