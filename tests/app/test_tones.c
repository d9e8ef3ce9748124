/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/tones.h"
#include "base/clock.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* What is heard: the pitches by Goertzel's formula (1958, American Mathematical Monthly 65:34) from
 * the bytes that a player is given. */

#define TONES 3 /* that are of one pitch and mark a hold; the cue's follow */
#define TWO_PI 6.283185307179586
#define SECOND_US 1000000

static int16_t sample_at(const uint8_t *wave, size_t index)
{
    const uint8_t *at = wave + TONE_HEADER_BYTES + 2 * index;
    return (int16_t)(at[0] | at[1] << 8);
}

/* Amplitude at a frequency, as a share of full scale. */
static double amplitude(const uint8_t *wave, size_t count, double pitch_hz)
{
    double turn = 2.0 * cos(TWO_PI * pitch_hz / TONE_RATE_HZ), one = 0.0, two = 0.0;
    for (size_t i = 0; i < count; i++) {
        double now = sample_at(wave, i) / 32768.0 + turn * one - two;
        two = one;
        one = now;
    }
    return 2.0 * sqrt(one * one + two * two - turn * one * two) / (double)count;
}

static uint32_t word(const uint8_t *bytes, int count)
{
    uint32_t value = 0;
    for (int i = count - 1; i >= 0; i--) {
        value = value << 8 | bytes[i];
    }
    return value;
}

static const double pitch_hz[] = {
    [SCREEN_TONE_COUNT] = 600.0, [SCREEN_TONE_START] = 1200.0, [SCREEN_TONE_END] = 400.0};
static const double length_s[] = {
    [SCREEN_TONE_COUNT] = 0.12, [SCREEN_TONE_START] = 0.4, [SCREEN_TONE_END] = 0.7};

/* Which tone a WAVE file holds; the test fails where it is none. */
static enum screen_tone heard(const uint8_t *wave, size_t size)
{
    ck_assert_uint_gt(size, TONE_HEADER_BYTES);
    ck_assert_int_eq(memcmp(wave, "RIFF", 4), 0);
    ck_assert_int_eq(memcmp(wave + 8, "WAVEfmt ", 8), 0);
    ck_assert_uint_eq(word(wave + 4, 4), size - 8);
    ck_assert_uint_eq(word(wave + 22, 2), 1);
    ck_assert_uint_eq(word(wave + 24, 4), TONE_RATE_HZ);
    ck_assert_uint_eq(word(wave + 34, 2), 16);
    ck_assert_uint_eq(word(wave + 40, 4), size - TONE_HEADER_BYTES);
    size_t count = (size - TONE_HEADER_BYTES) / 2;
    int found = -1;
    for (int tone = 0; tone < TONES; tone++) {
        double loud = amplitude(wave, count, pitch_hz[tone]);
        ck_assert_msg(loud < 0.05 || loud > 0.35, "an amplitude of %g", loud);
        if (loud > 0.35) {
            ck_assert_int_eq(found, -1);
            found = tone;
        }
    }
    ck_assert_int_ge(found, 0);
    return (enum screen_tone)found;
}

/* The pitch of a stretch, from where it passes zero upwards. */
static double pitch_between(const uint8_t *wave, double from_s, double to_s)
{
    size_t from = (size_t)(from_s * TONE_RATE_HZ), to = (size_t)(to_s * TONE_RATE_HZ);
    double first = -1.0, last = -1.0;
    int waves = -1;
    for (size_t i = from; i < to; i++) {
        double a = sample_at(wave, i), b = sample_at(wave, i + 1);
        if (a < 0.0 && b >= 0.0) {
            last = (double)i + a / (a - b);
            first = first < 0.0 ? last : first;
            waves++;
        }
    }
    return waves * (double)TONE_RATE_HZ / (last - first);
}

/* What is a twentieth of the way is at 2^(-1/20) of an octave down. */
START_TEST(the_cue_glides_the_way_to_go)
{
    static uint8_t wave[TONE_BYTES_MAX];
    static const struct {
        enum screen_tone tone;
        double from_hz, to_hz, seconds;
    } cues[] = {{SCREEN_TONE_LOWER, 1600.0, 800.0, 0.5},
                {SCREEN_TONE_RAISE, 350.0, 700.0, 0.5},
                {SCREEN_TONE_IN, 900.0, 900.0, 0.2}};
    for (size_t i = 0; i < sizeof cues / sizeof cues[0]; i++) {
        size_t size = tone_wave(cues[i].tone, wave), count = (size - TONE_HEADER_BYTES) / 2;
        double long_s = cues[i].seconds, octaves = log2(cues[i].to_hz / cues[i].from_hz);
        ck_assert_double_eq_tol((double)count / TONE_RATE_HZ, long_s, 0.001);
        for (int part = 1; part < 19; part++) {
            double from_s = (part - 1) * long_s / 20.0, to_s = (part + 1) * long_s / 20.0;
            double wanted = cues[i].from_hz * pow(2.0, octaves * part / 20.0);
            double heard_hz = pitch_between(wave, from_s, to_s);
            ck_assert_msg(fabs(heard_hz / wanted - 1.0) < 0.02, "part %d: %.0f Hz, wanted %.0f",
                          part, heard_hz, wanted);
        }
        ck_assert_int_lt(abs(sample_at(wave, 0)), 100);
        ck_assert_int_lt(abs(sample_at(wave, count - 1)), 100);
    }
}
END_TEST

START_TEST(each_tone_has_its_pitch_and_length)
{
    static uint8_t wave[TONE_BYTES_MAX];
    enum screen_tone tone = (enum screen_tone)_i;
    size_t size = tone_wave(tone, wave), count = (size - TONE_HEADER_BYTES) / 2;
    ck_assert_int_eq(heard(wave, size), tone);
    ck_assert_double_eq_tol((double)count / TONE_RATE_HZ, length_s[tone], 0.001);
    /* it begins and ends at nothing, and no sample is at full scale */
    ck_assert_int_lt(abs(sample_at(wave, 0)), 100);
    ck_assert_int_lt(abs(sample_at(wave, count - 1)), 100);
    for (size_t i = 0; i < count; i++) {
        ck_assert_int_lt(abs(sample_at(wave, i)), 17000);
    }
}
END_TEST

/* Steps as a screen does, until a problem is told or no player is left. The clock is the test's. */
static bool step_until_told(struct tones *tones, int64_t *now_us, struct problem *problem)
{
    for (int i = 0; i < 2000; i++) {
        if (!tones_step(tones, *now_us, problem)) {
            return true;
        }
        usleep(5000);
    }
    return false;
}

static void wait_for_size(const char *folder, const char *name, size_t size)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    for (int i = 0; i < 2000; i++) {
        FILE *file = fopen(path, "rb");
        long there = -1;
        if (file != NULL) {
            fseek(file, 0, SEEK_END);
            there = ftell(file);
            fclose(file);
        }
        if (there >= 0 && (size_t)there >= size) {
            return;
        }
        usleep(5000);
    }
    ck_abort_msg("%s has not come", path);
}

START_TEST(a_player_is_given_the_tone)
{
    static uint8_t wave[TONE_BYTES_MAX];
    const char *folder = program_folder();
    char command[1024];
    size_t length;
    for (int tone = 0; tone < TONES; tone++) {
        size_t size = tone_wave((enum screen_tone)tone, wave);
        snprintf(command, sizeof command, "cat > '%s/tone'", folder);
        struct tones *tones = tones_create(command);
        ck_assert(tones_play(tones, (enum screen_tone)tone, 0));
        wait_for_size(folder, "tone", size);
        char *given = program_read_file(folder, "tone", &length);
        ck_assert_uint_eq(length, size);
        ck_assert_int_eq(memcmp(given, wave, size), 0);
        free(given);
        struct problem problem = {0};
        ck_assert(tones_step(tones, SECOND_US, &problem));
        tones_destroy(tones);
    }
    program_folder_remove(folder);
}
END_TEST

START_TEST(one_that_fails_is_told_once)
{
    struct tones *tones = tones_create("exit 3");
    struct problem problem = {0};
    int64_t now_us = 0;
    ck_assert(tones_play(tones, SCREEN_TONE_COUNT, 0));
    ck_assert(tones_play(tones, SCREEN_TONE_COUNT, 0));
    ck_assert(step_until_told(tones, &now_us, &problem));
    ck_assert_str_eq(problem.sentence,
                     "no tones: 'exit 3' failed (it ended with 3); the terminal's bell rings");
    usleep(50000);
    for (int i = 0; i < 20; i++) {
        ck_assert(tones_step(tones, now_us, &problem)); /* not again, of the other one either */
    }
    ck_assert(!tones_play(tones, SCREEN_TONE_START, 0));
    tones_destroy(tones);
}
END_TEST

START_TEST(one_that_is_not_there_is_told)
{
    struct tones *tones = tones_create("no-such-player-of-tones");
    struct problem problem = {0};
    int64_t now_us = 0;
    ck_assert(tones_play(tones, SCREEN_TONE_COUNT, 0));
    ck_assert(step_until_told(tones, &now_us, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "'no-such-player-of-tones' failed"));
    tones_destroy(tones);
}
END_TEST

START_TEST(one_that_hangs_holds_nothing_up)
{
    /* it neither reads nor ends: more than a pipe holds is waited for by nobody */
    struct tones *tones = tones_create("sleep 600");
    struct problem problem = {0};
    int played = 0;
    while (played < 20 && tones_play(tones, SCREEN_TONE_END, 0)) {
        played++;
    }
    ck_assert_int_ge(played, 4);  /* three, two, one, start */
    ck_assert_int_lt(played, 20); /* not without end */
    ck_assert(tones_step(tones, 4 * SECOND_US, &problem));
    ck_assert(!tones_step(tones, 6 * SECOND_US, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "it did not end"));
    ck_assert(tones_step(tones, 7 * SECOND_US, &problem));
    ck_assert(!tones_play(tones, SCREEN_TONE_END, 7 * SECOND_US));
    tones_destroy(tones);
}
END_TEST

START_TEST(the_bell_needs_no_player)
{
    struct tones *tones = tones_create("bell");
    struct problem problem = {0};
    ck_assert(!tones_play(tones, SCREEN_TONE_START, 0));
    ck_assert(tones_step(tones, 60 * SECOND_US, &problem));
    tones_destroy(tones);
}
END_TEST

/* ---- the whole program ---- */

static struct terminal *start_demo(const char *folder, const char *tones)
{
    const char *arguments[] = {program_path(), "demo",    "--speed", "10", "--out",
                               folder,         "--tones", tones,     NULL};
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct terminal *terminal = terminal_start(&settings, arguments);
    if (terminal != NULL) {
        ck_assert(terminal_wait_text(terminal, "50.0/s", 20.0));
    }
    return terminal;
}

/* Whole tones in the file so far. */
static void count_heard(const char *folder, int heard_of[TONES])
{
    size_t length = 0, at = 0;
    char *all = program_read_file(folder, "all", &length);
    memset(heard_of, 0, TONES * sizeof heard_of[0]);
    while (at + TONE_HEADER_BYTES <= length) {
        const uint8_t *next = (const uint8_t *)all + at;
        size_t size = TONE_HEADER_BYTES + word(next + 40, 4);
        if (at + size > length) {
            break;
        }
        heard_of[heard(next, size)]++;
        at += size;
    }
    free(all);
}

START_TEST(a_hold_is_heard)
{
    /* a player for each tone; what they were given comes one after the other */
    const char *folder = program_folder();
    char command[1200];
    snprintf(command, sizeof command, "t=$(mktemp '%s/w.XXXXXX'); cat > $t; cat $t >> '%s/all'",
             folder, folder);
    struct terminal *terminal = start_demo(folder, command);
    int heard_of[TONES] = {0};
    if (terminal == NULL) {
        return;
    }
    terminal_send(terminal, "f\r");
    ck_assert(terminal_wait_text(terminal, "HOLD 1, free", 20.0));
    ck_assert(terminal_wait_text(terminal, "hold 1 kept", 30.0));
    for (int i = 0; i < 2000 && heard_of[SCREEN_TONE_END] == 0; i++) {
        usleep(5000);
        count_heard(folder, heard_of);
    }
    ck_assert_int_eq(terminal_bells(terminal), 0);
    terminal_end(terminal);
    /* at ten times the speed a count may fall between two drawings of a busy machine */
    ck_assert_int_ge(heard_of[SCREEN_TONE_COUNT], 2);
    ck_assert_int_le(heard_of[SCREEN_TONE_COUNT], 6);
    ck_assert_int_eq(heard_of[SCREEN_TONE_START], 1);
    ck_assert_int_eq(heard_of[SCREEN_TONE_END], 1);
    program_folder_remove(folder);
}
END_TEST

/* Cues in the file so far, whole waves and byte by byte. */
static int count_cues(const char *folder)
{
    static uint8_t wave[TONE_BYTES_MAX];
    size_t length = 0, at = 0;
    int count = 0;
    char *all = program_read_file(folder, "all", &length);
    while (at + TONE_HEADER_BYTES <= length) {
        size_t size = TONE_HEADER_BYTES + word((const uint8_t *)all + at + 40, 4);
        for (int tone = SCREEN_TONE_LOWER; tone <= SCREEN_TONE_IN && at + size <= length; tone++) {
            count += tone_wave((enum screen_tone)tone, wave) == size &&
                     memcmp(wave, all + at, size) == 0;
        }
        at += size;
    }
    free(all);
    return count;
}

START_TEST(the_cue_is_heard_in_a_guided_hold)
{
    const char *folder = program_folder();
    char command[1200];
    snprintf(command, sizeof command, "t=$(mktemp '%s/w.XXXXXX'); cat > $t; cat $t >> '%s/all'",
             folder, folder);
    struct terminal *terminal = start_demo(folder, command);
    int cues = 0;
    if (terminal == NULL) {
        return;
    }
    terminal_send(terminal, "a");
    ck_assert(terminal_wait_text(terminal, "target kept", 30.0));
    terminal_send(terminal, "w2\t2\r"); /* a band so narrow that the rider is out at once */
    ck_assert(terminal_wait_text(terminal, "band: head +2/", 20.0));
    terminal_send(terminal, "g10 min\r");
    ck_assert(terminal_wait_text(terminal, "HOLD 1, guided", 20.0));
    for (int i = 0; i < 300 && cues == 0; i++) {
        terminal_pump(terminal, 0.1);
        cues = count_cues(folder);
    }
    terminal_end(terminal);
    ck_assert_int_ge(cues, 1);
    program_folder_remove(folder);
}
END_TEST

START_TEST(a_failing_player_costs_no_reading)
{
    const char *folder = program_folder();
    struct terminal *terminal = start_demo(folder, "exit 1");
    if (terminal == NULL) {
        return;
    }
    terminal_send(terminal, "f\r");
    ck_assert(terminal_wait_text(terminal, "no tones: 'exit 1' failed", 20.0));
    ck_assert(terminal_wait_text(terminal, "kept", 30.0));
    ck_assert(terminal_wait_text(terminal, "0 lost", 20.0));
    ck_assert_int_ge(terminal_bells(terminal), 1); /* the bell instead: at its end at least */
    terminal_end(terminal);
    program_folder_remove(folder);
}
END_TEST

START_TEST(off_is_silent_until_z)
{
    const char *folder = program_folder();
    struct terminal *terminal = start_demo(folder, "off");
    if (terminal == NULL) {
        return;
    }
    terminal_send(terminal, "f\r");
    ck_assert(terminal_wait_text(terminal, "HOLD 1, free", 20.0));
    ck_assert_int_eq(terminal_bells(terminal), 0);
    terminal_send(terminal, "z");
    ck_assert(terminal_wait_text(terminal, "tones on", 20.0));
    terminal_end(terminal);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    signal(SIGPIPE, SIG_IGN); /* as the program has it */
    Suite *suite = suite_create("tones");
    TCase *tcase = tcase_create("tones");
    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, each_tone_has_its_pitch_and_length, 0, TONES);
    tcase_add_test(tcase, the_cue_glides_the_way_to_go);
    tcase_add_test(tcase, a_player_is_given_the_tone);
    tcase_add_test(tcase, one_that_fails_is_told_once);
    tcase_add_test(tcase, one_that_is_not_there_is_told);
    tcase_add_test(tcase, one_that_hangs_holds_nothing_up);
    tcase_add_test(tcase, the_bell_needs_no_player);
    tcase_add_test(tcase, a_hold_is_heard);
    tcase_add_test(tcase, the_cue_is_heard_in_a_guided_hold);
    tcase_add_test(tcase, a_failing_player_costs_no_reading);
    tcase_add_test(tcase, off_is_silent_until_z);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
