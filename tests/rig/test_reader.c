/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/reader.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A link that plays what the test wrote down: one step a read. */
struct step {
    enum link_result result;
    const char *bytes;
    int64_t arrival_us;
};
struct played_link {
    struct link head;
    const struct step *steps;
    size_t next, count;
    char written[100];
    int *closed;
};

static enum link_result played_read(struct link *link, char *bytes, size_t size, size_t *length,
                                    int timeout_ms, int64_t *arrival_us, struct problem *problem)
{
    struct played_link *played = (struct played_link *)link;
    (void)timeout_ms;
    if (played->next == played->count) {
        return LINK_END;
    }
    const struct step *step = &played->steps[played->next++];
    if (step->result == LINK_FAILED) {
        problem_set(problem, "the test's link fails");
    }
    *length = step->bytes != NULL ? strlen(step->bytes) : 0;
    ck_assert_uint_le(*length, size);
    memcpy(bytes, step->bytes != NULL ? step->bytes : "", *length);
    *arrival_us = step->arrival_us;
    return step->result;
}

static bool played_write(struct link *link, const char *line, struct problem *problem)
{
    struct played_link *played = (struct played_link *)link;
    (void)problem;
    snprintf(played->written, sizeof played->written, "%s", line);
    return true;
}

static void played_close(struct link *link)
{
    struct played_link *played = (struct played_link *)link;
    (*played->closed)++;
    free(played);
}

static const struct link_functions played_functions = {
    .read = played_read, .write_line = played_write, .close = played_close};
static const struct link_functions without_write = {.read = played_read, .close = played_close};

static int closed;

static struct link *play(const struct step *steps, size_t count, bool live)
{
    struct played_link *played = calloc(1, sizeof *played);
    ck_assert_ptr_nonnull(played);
    closed = 0;
    played->head.functions = &played_functions;
    played->head.time_is_arrival = live;
    played->head.wake_fd = -1;
    played->steps = steps;
    played->count = count;
    played->closed = &closed;
    return &played->head;
}

#define KEPT_MAX 300
struct kept {
    struct sample sample[KEPT_MAX];
    int count;
};

static void keep(void *context, const struct sample *sample)
{
    struct kept *kept = context;
    ck_assert_int_lt(kept->count, KEPT_MAX);
    kept->sample[kept->count++] = *sample;
}

static enum link_result step_all(struct reader *reader, struct kept *kept, struct problem *problem)
{
    enum link_result result;
    do {
        result = reader_step(reader, 0, keep, kept, problem);
    } while (result != LINK_END && result != LINK_FAILED);
    return result;
}

/* Bench lines without a checksum of their own: the test writes it. */
static const char *bench(const char *body)
{
    static char lines[16][80];
    static int next;
    char *line = lines[next++ % 16];
    unsigned sum = 0;
    for (const char *at = body; *at != '\0'; at++) {
        sum ^= (unsigned char)*at;
    }
    snprintf(line, sizeof lines[0], "$%s*%02X\n", body, sum);
    return line;
}

START_TEST(samples_are_numbered_and_timed)
{
    const struct step steps[] = {
        {LINK_BYTES, "# holdline-rig 1 id=x rate=50 channels=a\n", 1000},
        {LINK_BYTES, bench("10,1000000,412.5"), 5000},
        {LINK_QUIET, NULL, 0},
        {LINK_BYTES, bench("11,1020000,412.6"), 27000},
        {LINK_BYTES, bench("11,1020000,412.6"), 28000}, /* repeated: dropped */
        {LINK_BYTES, bench("14,1080000,"), 85000},
    };
    struct problem problem = {PROBLEM_NONE, ""};
    struct kept kept = {.count = 0};
    struct reader *reader = reader_create(play(steps, 6, true), NULL, 1, &problem);
    ck_assert_int_eq(step_all(reader, &kept, &problem), LINK_END);
    ck_assert_int_eq(kept.count, 3);
    ck_assert_int_eq(kept.sample[0].number, 1);
    ck_assert_int_eq(kept.sample[2].number, 3);
    ck_assert_int_eq(kept.sample[0].time_us, 0);
    ck_assert_int_eq(kept.sample[1].time_us, 20000);
    ck_assert_int_eq(kept.sample[1].delay_us, 2000);
    ck_assert_int_eq(kept.sample[2].time_us, 80000);
    ck_assert_int_eq(kept.sample[2].lost_before, 2);
    ck_assert_int_eq(kept.sample[2].quality[0], READING_MISSING);
    ck_assert_int_eq(kept.sample[1].range_tenth_mm[0], 4126);
    const struct decoder_counts *counts = reader_counts(reader);
    ck_assert_uint_eq(counts->samples, 3);
    ck_assert_uint_eq(counts->lost, 2);
    ck_assert_uint_eq(counts->rejected[REJECT_STALE], 1);
    const struct rig_health *health = reader_health(reader);
    ck_assert_double_eq(health->announced_rate_hz, 50);
    ck_assert_uint_eq(health->rejected, 1);
    ck_assert_uint_eq(health->lost, 2);
    ck_assert_int_eq(health->channel_count, 1);
    ck_assert_str_eq(reader_info(reader)->channel_name[0], "a");
    reader_destroy(reader);
    ck_assert_int_eq(closed, 1);
}
END_TEST

START_TEST(held_first_lines_keep_their_arrival)
{
    /* Plain numbers are recognised at the second line: the first still has its own arrival. */
    const struct step steps[] = {
        {LINK_BYTES, "41", 500000},
        {LINK_BYTES, "2\n", 1000000},
        {LINK_BYTES, "413\n", 1018000},
        {LINK_BYTES, "414\n415\n", 1054000},
    };
    struct problem problem;
    struct kept kept = {.count = 0};
    struct reader *reader = reader_create(play(steps, 4, true), NULL, 1, &problem);
    step_all(reader, &kept, &problem);
    ck_assert_int_eq(kept.count, 4);
    ck_assert_int_eq(kept.sample[0].time_us, 0);
    ck_assert_int_eq(kept.sample[1].time_us, 18000);
    ck_assert_int_eq(kept.sample[2].time_us, 54000);
    ck_assert_int_eq(kept.sample[3].time_us, 54000);
    reader_destroy(reader);
}
END_TEST

START_TEST(a_break_is_marked_once_and_the_half_line_forgotten)
{
    const struct step steps[] = {
        {LINK_BYTES, "# holdline-rig 1 id=x rate=50 channels=a\n", 0},
        {LINK_BYTES, bench("10,1000000,412.5"), 0},
        {LINK_BYTES, "$11,1020", 20000},
        {LINK_DOWN, NULL, 0},
        {LINK_DOWN, NULL, 0},
        {LINK_UP, NULL, 0},
        {LINK_BYTES, "000,1*00\n", 5000000},
        {LINK_BYTES, bench("260,6000000,412.7"), 5000000},
        {LINK_BYTES, bench("261,6020000,412.7"), 5020000},
    };
    struct problem problem;
    struct kept kept = {.count = 0};
    struct link *link = play(steps, 9, true);
    struct reader *reader = reader_create(link, NULL, 1, &problem);
    for (int i = 0; i < 4; i++) {
        reader_step(reader, 0, keep, &kept, &problem);
    }
    ck_assert(reader_health(reader)->link_down);
    link->times_down = 1;
    step_all(reader, &kept, &problem);
    ck_assert_int_eq(kept.count, 3);
    ck_assert(!kept.sample[0].link_gap_before);
    ck_assert(kept.sample[1].link_gap_before);
    ck_assert(!kept.sample[2].link_gap_before);
    ck_assert_int_eq(kept.sample[1].time_us, 5000000);
    ck_assert_int_eq(kept.sample[1].lost_before, 249);
    ck_assert(!reader_health(reader)->link_down);
    ck_assert_uint_eq(reader_health(reader)->times_down, 1);
    ck_assert_uint_eq(reader_counts(reader)->rejected[REJECT_NOT_A_LINE], 1);
    reader_destroy(reader);
}
END_TEST

START_TEST(one_axis_goes_on_over_several_streams)
{
    const struct step steps[] = {
        {LINK_BYTES, "# holdline-rig 1 id=x rate=50 channels=a\n", 0},
        {LINK_BYTES, bench("10,1000000,412.5"), 0},
        {LINK_BYTES, bench("11,1020000,412.5"), 0},
        {LINK_BYTES, bench("12,1040000,412.5"), 0},
    };
    struct problem problem;
    struct kept kept = {.count = 0};
    struct reader *rig = reader_create(play(steps, 4, false), NULL, 1, &problem);
    for (int i = 0; i < 3; i++) {
        reader_step(rig, 0, keep, &kept, &problem);
    }
    ck_assert_int_eq(kept.sample[1].time_us, 20000);
    /* A file is played in between: its samples follow, then the rig's follow those. */
    const struct step file_steps[] = {{LINK_BYTES, "ms,d\n500,411\n525,412\n550,413\n", 0}};
    struct reader *file = reader_create(play(file_steps, 1, false), NULL, 1, &problem);
    reader_continue_after(file, 2, 20000);
    step_all(file, &kept, &problem);
    ck_assert_int_eq(kept.count, 5);
    ck_assert_int_eq(kept.sample[2].number, 3);
    ck_assert(kept.sample[2].time_us > 20000 && kept.sample[2].time_us <= 60000);
    ck_assert_int_eq(kept.sample[4].time_us - kept.sample[2].time_us, 50000);
    reader_destroy(file);
    reader_continue_after(rig, 5, kept.sample[4].time_us);
    step_all(rig, &kept, &problem);
    ck_assert_int_eq(kept.count, 6);
    ck_assert_int_eq(kept.sample[5].number, 6);
    ck_assert_int_eq(kept.sample[5].time_us, kept.sample[4].time_us + 20000);
    reader_destroy(rig);
}
END_TEST

START_TEST(a_recording_without_time_goes_by_its_rate)
{
    const struct step steps[] = {{LINK_BYTES, "Fs,50.00\nd\n79.0\n74.0\n76.0\n", 0}};
    struct problem problem;
    struct kept kept = {.count = 0};
    struct reader *reader = reader_create(play(steps, 1, false), NULL, 1, &problem);
    step_all(reader, &kept, &problem);
    ck_assert_int_eq(kept.sample[2].time_us, 40000); /* the rate it announces */
    reader_destroy(reader);
    kept.count = 0;
    struct link *link = play(steps, 1, false);
    link->stated_rate_hz = 80; /* the person knows better */
    reader = reader_create(link, NULL, 1, &problem);
    step_all(reader, &kept, &problem);
    ck_assert_int_eq(kept.sample[2].time_us, 25000);
    reader_destroy(reader);
}
END_TEST

START_TEST(failures_reach_the_caller)
{
    const struct step steps[] = {{LINK_FAILED, NULL, 0}};
    struct problem problem = {PROBLEM_NONE, ""};
    struct kept kept = {.count = 0};
    struct reader *reader = reader_create(play(steps, 1, true), NULL, 1, &problem);
    ck_assert_int_eq(step_all(reader, &kept, &problem), LINK_FAILED);
    ck_assert_str_eq(problem.sentence, "the test's link fails");
    reader_destroy(reader);
    const struct step text[] = {{LINK_BYTES, "a,b\n1,2\n1,2\n1,2\n", 0}};
    struct decoder_options options = {.columns = "chest"};
    reader = reader_create(play(text, 1, true), &options, 1, &problem);
    ck_assert_int_eq(step_all(reader, &kept, &problem), LINK_FAILED);
    ck_assert_ptr_nonnull(strstr(problem.sentence, "chest"));
    reader_destroy(reader);
    struct decoder_options wrong = {.dialect = "morse"};
    ck_assert_ptr_null(reader_create(play(text, 1, true), &wrong, 1, &problem));
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    ck_assert_int_eq(closed, 1); /* it took the link over */
}
END_TEST

START_TEST(bytes_a_second_are_counted)
{
    static char lines[100][40];
    static struct step steps[100];
    for (int i = 0; i < 100; i++) {
        snprintf(lines[i], sizeof lines[i], "412.%d\n", i % 10); /* 6 bytes each, 10 a second */
        steps[i].result = LINK_BYTES;
        steps[i].bytes = lines[i];
        steps[i].arrival_us = i * 100000;
    }
    struct problem problem;
    struct kept kept = {.count = 0};
    struct reader *reader = reader_create(play(steps, 100, true), NULL, 1, &problem);
    step_all(reader, &kept, &problem);
    ck_assert_double_eq_tol(reader_health(reader)->bytes_per_s, 60, 1);
    ck_assert_double_eq_tol(reader_health(reader)->rate_hz, 10, 0.01);
    reader_destroy(reader);
}
END_TEST

static double tried_baud[40];
static int tried_count, refused_count;

static bool set_speed(struct link *link, double baud)
{
    (void)link;
    ck_assert_int_lt(tried_count, 40);
    tried_baud[tried_count++] = baud;
    return tried_count > refused_count;
}

static const struct link_functions with_speeds = {
    .read = played_read, .set_speed = set_speed, .close = played_close};

/* Rubbish of another speed; then text, which is read. So many speeds are refused by the port. */
static const char *search_speeds(const struct step *steps, size_t count, int refused,
                                 struct kept *kept, struct problem *problem)
{
    static char unread[100];
    size_t length = 0;
    tried_count = 0;
    refused_count = refused;
    struct link *link = play(steps, count, true);
    link->functions = &with_speeds;
    link->baud = link->usual_baud = 115200;
    link->speed_is_open = true;
    struct reader *reader = reader_create(link, NULL, 1, problem);
    reader_step(reader, 0, keep, kept, problem);
    const char *bytes = reader_unread(reader, &length);
    ck_assert_uint_lt(length, sizeof unread);
    memcpy(unread, bytes, length);
    unread[length] = '\0';
    ck_assert_int_eq(step_all(reader, kept, problem), LINK_END);
    ck_assert_int_eq(reader_step(reader, 0, keep, kept, problem), LINK_END); /* and so it stays */
    reader_destroy(reader);
    return unread;
}

START_TEST(the_lines_speed_is_looked_for)
{
    static const struct step steps[] = {
        {LINK_BYTES, "\xff\xfe\x80\x81", 1000},
        {LINK_BYTES, "412\n413\n414\n", 20000},
    };
    struct problem problem = {PROBLEM_NONE, ""};
    struct kept kept = {.count = 0};
    /* the strange bytes are kept for who looks, and the next speed is the second of the table */
    ck_assert_str_eq(search_speeds(steps, 2, 0, &kept, &problem), "\xff\xfe\x80\x81");
    ck_assert_int_eq(kept.count, 3);
    ck_assert_int_eq(tried_count, 1);
    ck_assert_double_eq(tried_baud[0], 9600);
    kept.count = 0;
    search_speeds(steps, 2, 2, &kept, &problem);
    ck_assert_int_eq(kept.count, 3);
    ck_assert_int_eq(tried_count, 3);
    ck_assert_double_eq(tried_baud[2], 38400);
    /* a port that can have none of them: each is tried once, not for ever */
    search_speeds(steps, 1, 1000, &kept, &problem);
    ck_assert_int_eq(tried_count, 24);
}
END_TEST

START_TEST(other_options_that_can_not_be_change_nothing)
{
    static const struct step steps[] = {{LINK_BYTES, "412\n413\n414\n", 1000}};
    struct decoder_options options = {.unit = "yard"};
    struct problem problem = {PROBLEM_NONE, ""};
    struct kept kept = {.count = 0};
    struct reader *reader = reader_create(play(steps, 1, true), NULL, 1, &problem);
    ck_assert(!reader_read_as(reader, &options, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "'yard' is no unit of length"));
    ck_assert_int_eq(step_all(reader, &kept, &problem), LINK_END);
    ck_assert_int_eq(kept.count, 3);
    reader_destroy(reader);
}
END_TEST

/* A power that stands still is no fault of a sensor; a range that does is. 300 lines of 20 ms. */
START_TEST(what_is_no_range_may_stand_still)
{
    static char text[300 * 20 + 20] = "ms,head,power\n";
    size_t used = strlen(text);
    for (int i = 0; i < 300; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%d,412.5,150\n", 20 * i);
    }
    const struct step steps[] = {{LINK_BYTES, text, 1000}};
    struct problem problem = {PROBLEM_NONE, ""};
    static struct kept kept;
    struct reader *reader = reader_create(play(steps, 1, false), NULL, 1, &problem);
    ck_assert_int_eq(step_all(reader, &kept, &problem), LINK_END);
    const struct rig_health *health = reader_health(reader);
    ck_assert_int_eq(health->channel_count, 2);
    ck_assert(health->channel[0].stuck);
    ck_assert(!health->channel[1].stuck);
    reader_destroy(reader);
}
END_TEST

START_TEST(a_link_is_reached_through_its_table)
{
    struct link *link = play(NULL, 0, true);
    struct problem problem;
    ck_assert(link_write_line(link, "sit free", &problem));
    ck_assert_str_eq(((struct played_link *)link)->written, "sit free");
    link->functions = &without_write;
    ck_assert(link_write_line(link, "sit guided", &problem)); /* taken as written */
    ck_assert_str_eq(((struct played_link *)link)->written, "sit free");
    link_close(link);
    ck_assert_int_eq(closed, 1);
    link_close(NULL);
}
END_TEST

START_TEST(parameters_are_found_by_their_whole_name)
{
    char value[8];
    ck_assert(link_parameter("speed=4&rate=50", "rate", value, sizeof value));
    ck_assert_str_eq(value, "50");
    ck_assert(link_parameter("speed=4&rate=50", "speed", value, sizeof value));
    ck_assert_str_eq(value, "4");
    ck_assert(!link_parameter("speed=4&rate=50", "spee", value, sizeof value));
    ck_assert(!link_parameter("speed=4&rate=50", "ate", value, sizeof value));
    ck_assert(!link_parameter("", "rate", value, sizeof value));
    ck_assert(!link_parameter("rate", "rate", value, sizeof value));
    ck_assert(link_parameter("rate=&x=1", "rate", value, sizeof value));
    ck_assert_str_eq(value, "");
    ck_assert(link_parameter("seed=1234567890123", "seed", value, sizeof value));
    ck_assert_str_eq(value, "1234567"); /* cut, never past the end */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("reader");
    TCase *one = tcase_create("reader");
    tcase_add_test(one, samples_are_numbered_and_timed);
    tcase_add_test(one, held_first_lines_keep_their_arrival);
    tcase_add_test(one, a_break_is_marked_once_and_the_half_line_forgotten);
    tcase_add_test(one, one_axis_goes_on_over_several_streams);
    tcase_add_test(one, a_recording_without_time_goes_by_its_rate);
    tcase_add_test(one, failures_reach_the_caller);
    tcase_add_test(one, bytes_a_second_are_counted);
    tcase_add_test(one, the_lines_speed_is_looked_for);
    tcase_add_test(one, other_options_that_can_not_be_change_nothing);
    tcase_add_test(one, what_is_no_range_may_stand_still);
    tcase_add_test(one, a_link_is_reached_through_its_table);
    tcase_add_test(one, parameters_are_found_by_their_whole_name);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
