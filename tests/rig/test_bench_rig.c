/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The firmware of docs/rig/ on a board that is made up here: time that goes by when it idles, two
 * ultrasonic sensors, range modules on a bus (tests/support/bus_module.h), a serial port that can
 * be full. What it sends is read back by the decoder. The same sources run on emulated
 * microcontrollers in tests/firmware/. */
#include "rig/decoding.h"

#include "support/bus_module.h"

#include "../../docs/rig/board.h"
#include "../../docs/rig/rig.h"

#include "../../docs/rig/rig.c" /* as they are built for the board */
#include "../../docs/rig/sensor_echo.c"
#define begin begin_module
#define ready ready_module
#include "../../docs/rig/sensor_module.c"
#undef begin
#undef ready

#include "../../docs/rig/bench_rig_line.c"

enum { SENT_SIZE = 1 << 20 };

static struct {
    uint32_t now_us;
    uint32_t width_us[BOARD_ECHO_CHANNELS]; /* 0: no echo comes */
    uint32_t began_us[BOARD_ECHO_CHANNELS];
    int triggers[BOARD_ECHO_CHANNELS];
    bool listening[BOARD_ECHO_CHANNELS], overlapped;
    struct bus bus;
    bool scl, sda, clock_stuck;
    char sent[SENT_SIZE];
    size_t used, room;
    bool busy;
} board;

void board_start(void)
{
    memset(&board, 0, sizeof board);
    board.room = SENT_SIZE;
    board.scl = board.sda = true;
    bus_init(&board.bus, 2, (const uint8_t[]){0x29, 0x2A});
}

uint32_t board_micros(void)
{
    return board.now_us;
}

void board_idle(void)
{
    board.now_us += 1000 - board.now_us % 1000; /* woken by the millisecond */
}

/* The sound leaves some 450 us after the trigger, and the pulse begins. */
#define UNDER_WAY_US 450

void board_echo_begin(uint8_t channel)
{
    uint8_t other = 1 - channel;
    board.overlapped |= board.listening[other] && board.width_us[other] > 0 &&
                        board.now_us - board.began_us[other] < UNDER_WAY_US + board.width_us[other];
    board.triggers[channel]++;
    board.listening[channel] = true;
    board.now_us += 12;
    board.began_us[channel] = board.now_us;
}

bool board_echo_ended(uint8_t channel, uint32_t *width_us, uint32_t *ended_us)
{
    uint32_t end_us = board.began_us[channel] + UNDER_WAY_US + board.width_us[channel];
    if (board.width_us[channel] == 0 || board.now_us - end_us > UINT32_MAX / 2) {
        return false;
    }
    *width_us = board.width_us[channel];
    *ended_us = end_us;
    return true;
}

void board_bus_pull(enum board_line line, bool low)
{
    *(line == BOARD_SCL ? &board.scl : &board.sda) = !low;
    bus_lines(&board.bus, board.scl, board.sda);
}

bool board_bus_is_high(enum board_line line)
{
    return line == BOARD_SCL ? board.scl && !board.clock_stuck : board.sda && !board.bus.pulls;
}

void board_bus_pause(void)
{
    board.now_us += 5;
}

size_t board_serial_room(void)
{
    return board.room;
}

bool board_serial_idle(void)
{
    return !board.busy;
}

void board_serial_write(const char *bytes, size_t length)
{
    ck_assert_uint_le(board.used + length, SENT_SIZE);
    memcpy(board.sent + board.used, bytes, length);
    board.used += length;
}

static const struct rig_sensor two_echoes[] = {{&rig_echo, 25000, 250, 20000, 0, 20, NULL, NULL},
                                               {&rig_echo, 25000, 250, 20000, 1, 20, NULL, NULL}};

static const struct rig_module head_module = {0x29, 0x00, 0x01, 18,   0x02,
                                              10,   true, 0x04, 0x1F, 0x00};
static const struct rig_module chest_module = {0x2A, 0x00, 0x01, 18, 0x02, 100, false, 0, 0, 0};
static const struct rig_sensor two_modules[] = {
    {&rig_module, 20000, 500, 12000, 0, 0, &head_module, NULL},
    {&rig_module, 20000, 500, 12000, 0, 0, &chest_module, NULL}};

static void run_until(struct rig *rig, uint32_t us)
{
    while (board.now_us < us) {
        rig_step(rig);
        board_idle();
    }
}

START_TEST(sound_as_the_table_says)
{
    /* ISO 9613-1:1993 has 343.2 m/s at 20 C; the straight line is 0.2 % off at most where people
     * train */
    ck_assert_uint_eq(rig_sound_cm_per_s(0), 33130);
    ck_assert_uint_eq(rig_sound_cm_per_s(20), 34342);
    ck_assert_uint_eq(rig_sound_cm_per_s(-10), 32524);
}
END_TEST

START_TEST(echoes_become_ranges_in_turn)
{
    struct rig rig;
    board_start();
    board.width_us[0] = 2330; /* 2330 us x 343.42 m/s / 2 = 400.08 mm */
    board.width_us[1] = 1750; /* 300.49 mm */
    rig_begin(&rig, two_echoes, 2, "bench-a", "head,chest");
    run_until(&rig, 20000000);
    struct decoded decoded = decode_bytes(board.sent, board.used, 512, NULL);
    ck_assert_uint_eq(decoded_rejected(&decoded), 0);
    ck_assert_uint_ge(decoded.count, 398); /* 20 a second */
    ck_assert_uint_le(decoded.count, 400);
    ck_assert(!board.overlapped);
    for (size_t i = 0; i < decoded.count; i++) {
        ck_assert_uint_eq(decoded.sample[i].sequence, i);
        ck_assert_int_eq(decoded.sample[i].range_tenth_mm[0], 4001);
        ck_assert_int_eq(decoded.sample[i].range_tenth_mm[1], 3005);
        ck_assert_int_eq(decoded.sample[i].quality[0], READING_GOOD);
    }
    int64_t took = decoded.sample[decoded.count - 1].rig_time_us - decoded.sample[0].rig_time_us;
    ck_assert_int_le(llabs(took - ((int64_t)decoded.count - 1) * 50000), 2000); /* no drift */
    ck_assert_ptr_nonnull(
        strstr(board.sent, "# holdline-rig 1 id=bench-a rate=20 unit=mm channels=head,chest\n$0,"));
    int headings = 0;
    for (const char *at = board.sent; (at = strstr(at, "# holdline-rig")) != NULL; at++) {
        headings++;
    }
    ck_assert_int_eq(headings, 4); /* every five seconds */
    decoded_free(&decoded);
}
END_TEST

START_TEST(no_echo_near_and_far_are_marked)
{
    static const struct {
        uint32_t width_us;
        enum reading_quality quality;
    } cases[] = {{0, READING_MISSING},
                 {140, READING_OUT_OF_RANGE}, /* 24 mm: in the dead zone */
                 {150, READING_GOOD},
                 {11600, READING_GOOD}, /* 1992 mm */
                 {11700, READING_OUT_OF_RANGE}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct rig rig;
        board_start();
        board.width_us[0] = cases[i].width_us;
        board.width_us[1] = 1750;
        rig_begin(&rig, two_echoes, 2, "bench-a", "head,chest");
        run_until(&rig, 2000000);
        struct decoded decoded = decode_bytes(board.sent, board.used, 512, NULL);
        ck_assert_uint_ge(decoded.count, 39);
        ck_assert_int_eq(decoded.sample[20].quality[0], cases[i].quality);
        ck_assert_int_eq(decoded.sample[20].quality[1], READING_GOOD);
        decoded_free(&decoded);
    }
}
END_TEST

START_TEST(lines_that_do_not_fit_are_counted)
{
    struct rig rig;
    board_start();
    board.width_us[0] = board.width_us[1] = 2000;
    rig_begin(&rig, two_echoes, 2, "bench-a", "head,chest");
    run_until(&rig, 1000000);
    board.room = 20; /* half a line would fit */
    run_until(&rig, 2000000);
    board.room = SENT_SIZE;
    run_until(&rig, 3000000);
    struct decoded decoded = decode_bytes(board.sent, board.used, 512, NULL);
    ck_assert_uint_eq(decoded_rejected(&decoded), 0);
    ck_assert_uint_eq(decoded.sample[decoded.count - 1].sequence, decoded.count - 1 + 20);
    decoded_free(&decoded);
}
END_TEST

START_TEST(no_echo_is_timed_while_the_port_sends)
{
    struct rig rig;
    board_start();
    board.busy = true;
    rig_begin(&rig, two_echoes, 2, "bench-a", "head,chest");
    run_until(&rig, 500000);
    ck_assert_int_eq(board.triggers[0], 0);
    board.busy = false;
    run_until(&rig, 1000000);
    ck_assert_int_eq(board.triggers[0], 10);
    ck_assert_int_eq(board.triggers[1], 10);
    /* a module times itself, and needs its whole turn */
    board_start();
    board.busy = true;
    rig_begin(&rig, two_modules, 2, "bench-a", "head,chest");
    run_until(&rig, 500000);
    ck_assert_int_ge(board.bus.module[0].begun, 12);
}
END_TEST

START_TEST(modules_are_asked_over_the_bus)
{
    struct rig rig;
    board_start();
    board.bus.module[0].registers[2] = 0x0F; /* 0x0FA7 = 4007 mm: beyond farthest */
    board.bus.module[0].registers[3] = 0xA7;
    board.bus.module[1].registers[2] = 0x00; /* 30 cm */
    board.bus.module[1].registers[3] = 30;
    rig_begin(&rig, two_modules, 2, "bench-a", "head,chest");
    run_until(&rig, 1000000);
    board.bus.module[0].registers[2] = 0x01; /* 412 mm */
    board.bus.module[0].registers[3] = 0x9C;
    run_until(&rig, 2000000);
    board.bus.module[0].registers[4] = 0xE2; /* of its lower five bits: not good */
    run_until(&rig, 3000000);
    struct decoded decoded = decode_bytes(board.sent, board.used, 512, NULL);
    ck_assert_uint_eq(decoded_rejected(&decoded), 0);
    ck_assert_uint_ge(decoded.count, 74); /* 25 a second */
    ck_assert_int_eq(decoded.sample[10].quality[0], READING_OUT_OF_RANGE);
    ck_assert_int_eq(decoded.sample[10].range_tenth_mm[0], 40070);
    ck_assert_int_eq(decoded.sample[10].range_tenth_mm[1], 3000);
    ck_assert_int_eq(decoded.sample[40].range_tenth_mm[0], 4120);
    ck_assert_int_eq(decoded.sample[40].quality[0], READING_GOOD);
    ck_assert_int_eq(decoded.sample[70].quality[0], READING_WEAK);
    ck_assert_int_eq(decoded.sample[70].range_tenth_mm[0], 4120);
    ck_assert_int_ge(board.bus.module[0].begun, 74);
    ck_assert_int_eq(board.bus.module[0].registers[0], 0x01);
    /* a command is one start; a reading a start and a repeated one, twice with a status */
    ck_assert_int_gt(board.bus.stops, 0);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_module_that_is_not_there_is_no_reading)
{
    struct rig rig;
    board_start();
    board.bus.module[0].address = 0x50;
    board.bus.module[1].registers[3] = 30;
    rig_begin(&rig, two_modules, 2, "bench-a", "head,chest");
    run_until(&rig, 1000000);
    struct decoded decoded = decode_bytes(board.sent, board.used, 512, NULL);
    ck_assert_uint_ge(decoded.count, 24);
    ck_assert_int_eq(decoded.sample[20].quality[0], READING_MISSING);
    ck_assert_int_eq(decoded.sample[20].range_tenth_mm[1], 3000);
    decoded_free(&decoded);
}
END_TEST

START_TEST(a_clock_that_is_held_low_ends)
{
    struct rig rig;
    board_start();
    board.clock_stuck = true;
    rig_begin(&rig, two_modules, 2, "bench-a", "head,chest");
    run_until(&rig, 1000000);
    struct decoded decoded = decode_bytes(board.sent, board.used, 512, NULL);
    ck_assert_uint_ge(decoded.count, 24); /* it goes on, and says that nothing is read */
    ck_assert_int_eq(decoded.sample[20].quality[0], READING_MISSING);
    ck_assert_int_eq(decoded.sample[20].quality[1], READING_MISSING);
    decoded_free(&decoded);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bench rig");
    TCase *tests = tcase_create("bench rig");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, sound_as_the_table_says);
    tcase_add_test(tests, echoes_become_ranges_in_turn);
    tcase_add_test(tests, no_echo_near_and_far_are_marked);
    tcase_add_test(tests, lines_that_do_not_fit_are_counted);
    tcase_add_test(tests, no_echo_is_timed_while_the_port_sends);
    tcase_add_test(tests, modules_are_asked_over_the_bus);
    tcase_add_test(tests, a_module_that_is_not_there_is_no_reading);
    tcase_add_test(tests, a_clock_that_is_held_low_ends);
    return test_main(suite);
}
