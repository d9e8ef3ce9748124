/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Binary frames through the decoder: what becomes of each number, and why a frame is none. */
#include "decoding.h"

#include <math.h>

static struct decoder_options options;

static struct decoded decode_frames(const char *layout, const char *bytes, size_t length)
{
    memset(&options, 0, sizeof options);
    snprintf(options.layout, sizeof options.layout, "%s", layout);
    struct decoded decoded = decode_bytes(bytes, length, 0, &options);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    return decoded;
}

/* One frame of RFC 1055 with the four bytes of a float, little-endian, escaped where they must be.
 */
static struct decoded decode_float(float value)
{
    unsigned char raw[4];
    char bytes[9];
    size_t used = 0;
    memcpy(raw, &value, 4);
    for (int i = 0; i < 4; i++) {
        bool escaped = raw[i] == 0xC0 || raw[i] == 0xDB;
        if (escaped) {
            bytes[used++] = (char)0xDB;
        }
        bytes[used++] = (char)(escaped ? raw[i] == 0xC0 ? 0xDC : 0xDD : raw[i]);
    }
    bytes[used++] = (char)0xC0;
    return decode_frames("slip,head=f32:mm", bytes, used);
}

START_TEST(each_number_is_good_missing_or_none)
{
    static const struct {
        float mm;
        int quality; /* -1: the frame is rejected */
        int tenths;
    } cases[] = {{412.5F, READING_GOOD, 4125},
                 {0.0F, READING_MISSING, 0},
                 {-3.0F, READING_MISSING, 0},
                 {NAN, READING_MISSING, 0},
                 {INFINITY, READING_MISSING, 0},
                 {1e30F, -1, 0},
                 {-1e30F, -1, 0},
                 {200000.0F, READING_OUT_OF_RANGE, 2000000}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct decoded decoded = decode_float(cases[i].mm);
        ck_assert_msg(decoded.count == (cases[i].quality < 0 ? 0 : 1), "case %zu", i);
        if (cases[i].quality < 0) {
            ck_assert_uint_eq(decoded.counts.rejected[REJECT_OUT_OF_RANGE], 1);
        } else {
            ck_assert_msg(decoded.sample[0].quality[0] == cases[i].quality, "case %zu", i);
            ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], cases[i].tenths);
        }
        free(decoded.sample);
    }
}
END_TEST

/* Time, sequence, what is passed over, and another reading, which may be 0. */
START_TEST(all_that_a_frame_has)
{
    static const char bytes[] = "\x07\x10\x27\x00\x00\xFF\x9C\x01\x00\x00\xC0";
    struct decoded decoded = decode_frames(
        "slip,sequence=u8,time=u32:ms,-=u8,head=u16:mm,power=u16", bytes, sizeof bytes - 1);
    ck_assert_uint_eq(decoded.count, 1);
    const struct raw_sample *raw = &decoded.sample[0];
    ck_assert(raw->has_sequence && raw->sequence == 7);
    ck_assert(raw->has_rig_time && raw->rig_time_us == 10000000);
    ck_assert_int_eq(raw->range_tenth_mm[0], 4120);
    ck_assert_int_eq(raw->quality[1], READING_GOOD);
    ck_assert(decoded.info.has_sequence && decoded.info.has_rig_time);
    free(decoded.sample);
    decoded = decode_frames("slip,sequence=i8,head=u8:cm", "\xFF\x29\xC0", 3);
    ck_assert(!decoded.sample[0].has_sequence); /* less than none is no number of a line */
    ck_assert_int_eq(decoded.sample[0].range_tenth_mm[0], 4100);
    free(decoded.sample);
}
END_TEST

START_TEST(why_a_frame_is_none)
{
    static const struct {
        const char *layout, *bytes;
        size_t length;
        enum reject_reason reason;
    } cases[] = {
        {"slip,head=u16:mm,sum8", "\x9C\x01\x9E\xC0", 4, REJECT_CHECKSUM},
        {"slip,head=u16:mm,sum8", "\x9C\x01\xC0", 3, REJECT_FIELD_COUNT},
        {"slip,head=u16:mm,sum8", "\x9C\x01\x9D\x00\xC0", 5, REJECT_FIELD_COUNT},
        {"slip,head=u16:mm,sum8", "\x9C\xDB\x01\xC0", 4, REJECT_NOT_A_LINE},
        {"cobs,head=u16:mm", "\x07\x9C\x01\x00", 4, REJECT_NOT_A_LINE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct decoded decoded = decode_frames(cases[i].layout, cases[i].bytes, cases[i].length);
        ck_assert_uint_eq(decoded.count, 0);
        ck_assert_msg(decoded.counts.rejected[cases[i].reason] == 1, "case %zu", i);
        free(decoded.sample);
    }
    struct decoded good = decode_frames("slip,head=u16:mm,sum8", "\x9C\x01\x9D\xC0", 4);
    ck_assert_uint_eq(good.count, 1);
    free(good.sample);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("framed");
    TCase *tests = tcase_create("framed");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, each_number_is_good_missing_or_none);
    tcase_add_test(tests, all_that_a_frame_has);
    tcase_add_test(tests, why_a_frame_is_none);
    return test_main(suite);
}
