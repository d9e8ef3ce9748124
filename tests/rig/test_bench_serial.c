/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The part of docs/rig/ that hears range modules on serial lines: pulses and bytes from edges,
 * frames and lines of text from bytes. The board is made up here, the modules are
 * tests/support/serial_module.h. On emulated microcontrollers the same runs in tests/firmware/. */
#include "support/serial_module.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

#include "../../docs/rig/board.h"
#include "../../docs/rig/heard.h"
#include "../../docs/rig/rig.h"

#include "../../docs/rig/heard.c" /* as they are built for the board */
#include "../../docs/rig/sensor_serial.c"

static struct {
    double now_us;
    struct serial_module module;
    struct heard_pin pin;
    const uint8_t *answer;
    int answer_length;
} board;

/* The channel's lines as the time goes by. */
static void pass(double us)
{
    double until_us = board.now_us + us, next_us;
    while ((next_us = serial_module_next_us(&board.module, board.now_us)) <= until_us) {
        board.now_us = next_us;
        heard_pin_edge(&board.pin, serial_module_high(&board.module, next_us), (uint32_t)next_us);
    }
    board.now_us = until_us;
}

uint32_t board_micros(void)
{
    return (uint32_t)board.now_us;
}

void board_bus_pause(void)
{
    pass(5);
}

bool board_listen(uint8_t channel)
{
    bool listened = heard_pin_listen(&board.pin);
    ck_assert_uint_eq(channel, 1);
    board_trigger(channel, true);
    return listened;
}

bool board_heard(uint8_t channel, uint8_t *byte, uint32_t *began_us)
{
    (void)channel;
    return heard_byte(&board.pin.bytes, board_micros(), byte, began_us);
}

void board_trigger(uint8_t channel, bool high)
{
    (void)channel;
    if (serial_module_line(&board.module, high, board.now_us) && board.answer_length > 0) {
        serial_module_say(&board.module, board.answer, board.answer_length, board.now_us + 2000);
    }
}

static void start(double baud)
{
    memset(&board, 0, sizeof board);
    memset(coming, 0, sizeof coming);
    board.now_us = 1000;
    serial_module_init(&board.module, baud);
}

/* Modules whose clocks are off, as such clocks are, each byte right behind the last. */
START_TEST(bytes_from_edges)
{
    for (int percent = -3; percent <= 3; percent++) {
        uint8_t bytes[32], byte;
        uint32_t at_us;
        start(9600 * (1 + percent / 100.0));
        ck_assert(!heard_pin_listen(&board.pin));
        for (int first = 0; first < 256; first += 32) {
            for (int i = 0; i < 32; i++) {
                bytes[i] = (uint8_t)(first + i);
            }
            double begins_us = board.now_us + 500;
            serial_module_say(&board.module, bytes, 32, begins_us);
            pass(500 + 32 * 10 * board.module.bit_us + 200);
            for (int i = 0; i < 32; i++) {
                ck_assert(heard_byte(&board.pin.bytes, board_micros(), &byte, &at_us));
                ck_assert_uint_eq(byte, bytes[i]);
                ck_assert_double_eq_tol(at_us, begins_us + i * 10 * board.module.bit_us, 2);
            }
            ck_assert(!heard_byte(&board.pin.bytes, board_micros(), &byte, &at_us));
        }
    }
}
END_TEST

START_TEST(the_oldest_go_and_what_is_no_byte)
{
    uint8_t bytes[40], byte = 0;
    uint32_t at_us;
    start(9600);
    heard_pin_listen(&board.pin);
    for (int i = 0; i < 40; i++) {
        bytes[i] = (uint8_t)i;
    }
    serial_module_say(&board.module, bytes, 40, 2000);
    pass(60000);
    for (int i = 8; i < 40; i++) {
        ck_assert(heard_byte(&board.pin.bytes, board_micros(), &byte, &at_us));
        ck_assert_uint_eq(byte, bytes[i]);
    }
    ck_assert(!heard_byte(&board.pin.bytes, board_micros(), &byte, &at_us));
    /* a line that is held low for long, and a spike of 10 us, are no bytes */
    uint32_t now = board_micros();
    heard_edge(&board.pin.bytes, false, now += 1000);
    heard_edge(&board.pin.bytes, true, now += 5000);
    ck_assert(!heard_byte(&board.pin.bytes, now += 5000, &byte, &at_us));
    heard_edge(&board.pin.bytes, false, now);
    ck_assert(!heard_byte(&board.pin.bytes, now + 400, &byte, &at_us)); /* it still comes */
    heard_edge(&board.pin.bytes, true, now + 416);
    ck_assert(!heard_byte(&board.pin.bytes, now + 1000, &byte, &at_us));
    ck_assert(heard_byte(&board.pin.bytes, now + 1040, &byte, &at_us));
    ck_assert_uint_eq(byte, 0xF8); /* three low bits behind the start */
    ck_assert_uint_eq(at_us, now);
}
END_TEST

/* One pulse for each time it is waited for; a line that falls first, and a second pulse, are none.
 */
START_TEST(a_pulse_from_edges)
{
    struct heard_pin pin = {.state = 0};
    uint32_t width_us = 0, ended_us = 0;
    heard_pin_edge(&pin, true, 100);
    heard_pin_edge(&pin, false, 200);
    ck_assert(!heard_pulse(&pin, &width_us, &ended_us)); /* nobody waits */
    for (uint32_t from = 1000; from < 20000; from += 10000) {
        heard_pin_wait(&pin);
        heard_pin_edge(&pin, false, from);
        heard_pin_edge(&pin, true, from + 500);
        ck_assert(!heard_pulse(&pin, &width_us, &ended_us));
        heard_pin_edge(&pin, false, from + 3000);
        heard_pin_edge(&pin, true, from + 4000);
        heard_pin_edge(&pin, false, from + 4100);
        ck_assert(heard_pulse(&pin, &width_us, &ended_us));
        ck_assert_uint_eq(width_us, 2500);
        ck_assert_uint_eq(ended_us, from + 3000);
    }
    ck_assert(!heard_pin_listen(&pin));
    ck_assert(heard_pin_listen(&pin));
    ck_assert(!heard_pulse(&pin, &width_us, &ended_us));
    heard_pin_wait(&pin);
    ck_assert(!heard_pin_listen(&pin));
}
END_TEST

/* A turn: what the module said, as it would stand in the line; when it began. */
static struct bench_reading turn(const struct rig_serial *serial, uint32_t *made_us)
{
    struct rig_sensor sensor = {.kind = &rig_serial, .echo_channel = 1, .serial = serial};
    struct bench_reading reading = {0, '-'};
    double began_us = board.now_us;
    *made_us = (uint32_t)began_us;
    if (rig_serial.begin(&sensor)) {
        while (!rig_serial.ready(&sensor, (uint32_t)(board.now_us - began_us), &reading, made_us)) {
            pass(1000);
        }
        ck_assert_double_le(board.now_us - began_us, 1000.0 * serial->longest_ms + 3000);
    }
    return reading;
}

static const struct rig_serial asked = {.asks = true,
                                        .ask = 0x55,
                                        .longest_ms = 60,
                                        .header = {0xFF},
                                        .header_length = 1,
                                        .length = 4,
                                        .range_at = 1,
                                        .tenths_per_step = 10,
                                        .has_sum = true};

START_TEST(a_module_that_is_asked)
{
    static const struct {
        uint8_t answer[9];
        int length;
        int32_t tenths; /* -1: no reading */
    } cases[] = {
        {{0xFF, 0x01, 0x9C, 0x9C}, 4, 4120},
        {{0xFF, 0x01, 0x9C, 0x9D}, 4, -1},               /* a wrong sum */
        {{0xFF, 0x01, 0x9C}, 3, -1},                     /* half a frame */
        {{0}, 0, -1},                                    /* silence */
        {{0x12, 0xFF, 0xFF, 0x01, 0x9C, 0x9C}, 6, 4120}, /* what looks like its beginning */
        {{0xFF, 0x02, 0xFF, 0x01, 0x9C, 0x9C}, 6, 4120}, /* the first two bytes of another */
        {{0xFF, 0x01, 0x9C, 0x9C, 0xFF, 0x01, 0x9D, 0x9D}, 8, 4120}, /* two: the first that ended */
    };
    uint32_t made_us;
    start(9600);
    ck_assert_int_eq(turn(&asked, &made_us).mark, '-'); /* its line has only begun to rest */
    ck_assert_uint_eq(board.module.asked, 0);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pass(60000);
        board.answer = cases[i].answer;
        board.answer_length = cases[i].length;
        struct bench_reading reading = turn(&asked, &made_us);
        ck_assert_uint_eq(board.module.asked, i + 1);
        ck_assert_uint_eq(board.module.last, 0x55);
        if (cases[i].tenths == -1) {
            ck_assert_int_eq(reading.mark, '-');
        } else {
            ck_assert_int_eq(reading.mark, 0);
            ck_assert_int_eq(reading.tenths, cases[i].tenths);
        }
    }
    ck_assert_double_ge(made_us, board.module.says_us - 2);
    ck_assert_double_le(made_us, board.module.says_us + 2);
}
END_TEST

/* Sends by itself: little-endian centimetres, and how strong the return was. */
static const struct rig_serial sends = {.longest_ms = 30,
                                        .header = {0x59, 0x59},
                                        .header_length = 2,
                                        .length = 9,
                                        .range_at = 2,
                                        .tenths_per_step = 100,
                                        .low_first = true,
                                        .has_sum = true,
                                        .has_strength = true,
                                        .strength_at = 4,
                                        .strength_least = 100};

START_TEST(a_module_that_sends_by_itself)
{
    /* 41 cm at 300, 0x59 cm at 99 */
    static const uint8_t frames[] = {0x59, 0x59, 41,   0, 0x2C, 0x01, 0, 0, 0x08,
                                     0x59, 0x59, 0x59, 0, 99,   0,    0, 0, 0x6E};
    uint32_t made_us;
    start(9600);
    (void)turn(&sends, &made_us);
    serial_module_say(&board.module, frames, 9, board.now_us + 1000);
    pass(15000);
    struct bench_reading reading = turn(&sends, &made_us);
    ck_assert_int_eq(reading.tenths, 4100);
    ck_assert_int_eq(reading.mark, 0);
    ck_assert_double_eq_tol(made_us, board.module.says_us, 2);
    ck_assert_int_eq(turn(&sends, &made_us).mark, '-'); /* nothing new: not the last one again */
    serial_module_say(&board.module, frames, 18, board.now_us + 1000);
    pass(25000);
    reading = turn(&sends, &made_us); /* of two the latest */
    ck_assert_int_eq(reading.tenths, 8900);
    ck_assert_int_eq(reading.mark, 'w');
}
END_TEST

START_TEST(lines_of_text)
{
    static const struct rig_serial letter = {
        .longest_ms = 30, .header = {'R'}, .header_length = 1, .tenths_per_step = 10};
    static const struct rig_serial bare = {
        .longest_ms = 30, .header = {'\n'}, .header_length = 1, .tenths_per_step = 10};
    static const struct {
        const struct rig_serial *serial;
        const char *said;
        int32_t tenths; /* -1: no reading */
    } cases[] = {{&letter, "R0412\r", 4120}, {&letter, "412\r", -1},
                 {&letter, "R\r", -1},       {&letter, "12\rR0300\r", 3000},
                 {&letter, "R0412", -1},     {&bare, "12\r\n412\r\n", 4120},
                 {&bare, "12\r\n", -1},      {&bare, "\nmm\n7\r\n", 70}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        uint32_t made_us;
        start(9600);
        (void)turn(cases[i].serial, &made_us);
        serial_module_say(&board.module, (const uint8_t *)cases[i].said, (int)strlen(cases[i].said),
                          board.now_us + 1000);
        struct bench_reading reading = turn(cases[i].serial, &made_us);
        ck_assert_msg((reading.mark == '-') == (cases[i].tenths < 0), "%s", cases[i].said);
        ck_assert_msg(cases[i].tenths < 0 || reading.tenths == cases[i].tenths, "%s",
                      cases[i].said);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bench serial");
    TCase *tests = tcase_create("bench serial");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, bytes_from_edges);
    tcase_add_test(tests, the_oldest_go_and_what_is_no_byte);
    tcase_add_test(tests, a_pulse_from_edges);
    tcase_add_test(tests, a_module_that_is_asked);
    tcase_add_test(tests, a_module_that_sends_by_itself);
    tcase_add_test(tests, lines_of_text);
    return test_main(suite);
}
