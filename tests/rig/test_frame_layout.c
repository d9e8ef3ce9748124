/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Layouts of binary frames: what they say, how frames are unpacked, and their checks, on the
 * examples of their standards. */
#include "rig/frame_layout.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

static struct frame_layout layout;

static void read_layout(const char *text)
{
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_msg(frame_layout_read(text, &layout, &problem), "%s", problem.sentence);
}

START_TEST(what_is_wrong_in_a_layout_is_named)
{
    static const struct {
        const char *text, *why;
    } cases[] = {
        {"head=u16:mm", "begins with the framing"},
        {"cobs", "no field is a channel"},
        {"cobs,time=u32,sequence=u8,-=u8", "no field is a channel"},
        {"cobs,head", "wanted is NAME=TYPE"},
        {"cobs,head=u64", "types are u8"},
        {"cobs,head=u16:parsec", "units are"},
        {"cobs,time=u16:mm,head=u16", "units are"},
        {"cobs,head=u16:s", "units are"},
        {"cobs,head=u16,head=u16", "'head' is named twice"},
        {"cobs,=u16", "is no channel's name"},
        {"cobs,head=u16,crc16,chest=u16", "the check is the last"},
        {"cobs,head=u16,crc16,sum8", "the check is the last"},
        {"cobs,a=u8,b=u8,c=u8,d=u8,e=u8,f=u8,g=u8,h=u8,i=u8", "more than 8 channels"},
        {"cobs,head=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,"
         "-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8,-=u8",
         "24 of them at most"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct problem problem = {PROBLEM_NONE, ""};
        ck_assert_msg(!frame_layout_read(cases[i].text, &layout, &problem), "%s", cases[i].text);
        ck_assert_msg(strstr(problem.sentence, cases[i].why) != NULL, "%s", problem.sentence);
    }
}
END_TEST

/* To tenths of a millimetre, and to microseconds; what is not said is mm, and us. */
START_TEST(units_have_their_factors)
{
    read_layout("slip, time=u32, sequence=u8, a=u16, b=u16:0.1mm, c=u16:cm, d=u16:m, e=u16:in, "
                "f=u16:um, power=u16, sum8");
    static const double factors[] = {1, 1, 10, 1, 100, 10000, 254, 0.01};
    for (int i = 0; i < 8; i++) {
        ck_assert_msg(i == 1 || layout.field[i].factor == factors[i], "%d: %g", i,
                      layout.field[i].factor);
    }
    ck_assert_int_eq(layout.field[0].use, FRAME_TIME);
    ck_assert_int_eq(layout.field[1].use, FRAME_SEQUENCE);
    ck_assert(layout.field[8].is_auxiliary && layout.channel_count == 7);
    ck_assert_uint_eq(layout.bytes, 4 + 1 + 7 * 2 + 1);
    read_layout("cobs,time=u32:ms,a=u16");
    ck_assert_double_eq(layout.field[0].factor, 1e3);
    read_layout("cobs,time=u32:s,a=u16");
    ck_assert_double_eq(layout.field[0].factor, 1e6);
}
END_TEST

/* Cheshire and Baker 1999, with zeroes at either end and a run of 254. */
START_TEST(stuffed_bytes_come_out)
{
    static const struct {
        const char *packed;
        size_t length;
        const char *bytes;
        size_t wanted;
    } cases[] = {
        {"\x01\x01", 2, "\x00", 1},
        {"\x03\x11\x22\x02\x33", 5, "\x11\x22\x00\x33", 4},
        {"\x02\x11\x01\x01\x01", 5, "\x11\x00\x00\x00", 4},
        {"\x05\x11\x22", 3, "", 0}, /* promises more than there is */
        {"\x02\x11\x00\x22", 4, "", 0},
        {"", 0, "", 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        unsigned char bytes[16] = {0};
        memcpy(bytes, cases[i].packed, cases[i].length);
        ck_assert_uint_eq(frame_unpack(FRAMING_COBS, bytes, cases[i].length), cases[i].wanted);
        ck_assert_mem_eq(bytes, cases[i].bytes, cases[i].wanted);
    }
    unsigned char run[300];
    memset(run, 7, sizeof run);
    run[0] = 0xFF; /* 254 bytes, and no zero behind them */
    run[255] = 0x03;
    ck_assert_uint_eq(frame_unpack(FRAMING_COBS, run, 258), 256);
    ck_assert_int_eq(run[253], 7);
    ck_assert_int_eq(run[254], 7);
}
END_TEST

/* RFC 1055: END is C0, ESC DB; DC and DD behind ESC are these two. */
START_TEST(escaped_bytes_come_out)
{
    unsigned char both[] = {0x11, 0xDB, 0xDC, 0xDB, 0xDD, 0x22};
    unsigned char none[] = {0x11, 0xDB, 0x33};
    unsigned char cut[] = {0x11, 0xDB};
    ck_assert_uint_eq(frame_unpack(FRAMING_SLIP, both, sizeof both), 4);
    ck_assert_mem_eq(both, "\x11\xC0\xDB\x22", 4);
    ck_assert_uint_eq(frame_unpack(FRAMING_SLIP, none, sizeof none), 0);
    ck_assert_uint_eq(frame_unpack(FRAMING_SLIP, cut, sizeof cut), 0);
    ck_assert_int_eq((unsigned char)frame_end(FRAMING_SLIP), 0xC0);
    ck_assert_int_eq(frame_end(FRAMING_COBS), 0);
}
END_TEST

/* '123456789' has the CRC-16 29B1 (CCITT, from FFFF), the sum DD and the exclusive or 31. */
START_TEST(checks_of_frames)
{
    static const struct {
        const char *layout, *frame;
    } cases[] = {
        {"cobs,a=u8,-=u32,-=u32,crc16", "123456789\xB1\x29"},
        {"cobs,a=u16be,-=u32,-=u24,crc16", "123456789\x29\xB1"},
        {"cobs,a=u8,-=u32,-=u32,sum8", "123456789\xDD"},
        {"cobs,a=u8,-=u32,-=u32,xor8", "123456789\x31"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        unsigned char frame[16];
        read_layout(cases[i].layout);
        ck_assert_uint_eq(layout.bytes, strlen(cases[i].frame));
        memcpy(frame, cases[i].frame, layout.bytes);
        ck_assert_msg(frame_check_is_right(&layout, frame), "%s", cases[i].layout);
        frame[3] ^= 1;
        ck_assert_msg(!frame_check_is_right(&layout, frame), "%s", cases[i].layout);
    }
    read_layout("cobs,a=u8");
    ck_assert(frame_check_is_right(&layout, (const unsigned char *)"x"));
}
END_TEST

START_TEST(numbers_of_each_type)
{
    static const struct {
        const char *type, *bytes;
        double number;
    } cases[] = {
        {"u8", "\xFE", 254},
        {"i8", "\xFE", -2},
        {"u16", "\x34\x12", 0x1234},
        {"u16be", "\x12\x34", 0x1234},
        {"i16", "\xFE\xFF", -2},
        {"u24", "\x01\x02\x03", 0x030201},
        {"i24be", "\xFF\xFF\xFE", -2},
        {"u32", "\xFF\xFF\xFF\xFF", 4294967295.0},
        {"i32", "\xFE\xFF\xFF\xFF", -2},
        {"f32", "\x00\x00\xC0\x3F", 1.5},
        {"f32be", "\xBF\xC0\x00\x00", -1.5},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[40];
        snprintf(text, sizeof text, "cobs,a=%s", cases[i].type);
        read_layout(text);
        ck_assert_msg(frame_number(&layout.field[0], (const unsigned char *)cases[i].bytes) ==
                          cases[i].number,
                      "%s", cases[i].type);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("frame_layout");
    TCase *tests = tcase_create("frame_layout");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, what_is_wrong_in_a_layout_is_named);
    tcase_add_test(tests, units_have_their_factors);
    tcase_add_test(tests, stuffed_bytes_come_out);
    tcase_add_test(tests, escaped_bytes_come_out);
    tcase_add_test(tests, checks_of_frames);
    tcase_add_test(tests, numbers_of_each_type);
    return test_main(suite);
}
