/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is made again of holds where something has changed: those that it touches, and what comes of
 * all is what comes of it when everything is made anew. */
#include "plain_session.h"

#include <string.h>

static unsigned asked; /* a bit for each hold whose samples were */

static bool counted(void *context, int64_t first, int64_t last, const struct sample **samples,
                    size_t *count)
{
    for (int h = 0; h < HOLDS; h++) {
        const struct capture_record *capture = &record->capture[h];
        asked |= first == capture->first_sample && last == capture->last_sample ? 1U << h : 0U;
    }
    return samples_of(context, first, last, samples, count);
}

static void nothing(void)
{
}

static void rating_and_note(void)
{
    record->note_count = record->rating_count = 1;
}

static void left_out(void)
{
    record->hold[1].rejected = true;
}

static void marked(void)
{
    record->mark_count = 2;
    record->mark[0] = (struct mark_record){.hold = 1, .sample = READINGS + 100, .cut = true};
    record->mark[1] = (struct mark_record){.hold = 2, .sample = 2 * READINGS + 100};
}

static void marked_elsewhere(void)
{
    record->mark[0].sample += 50;
}

static void ended_earlier(void)
{
    record->capture[3].last_sample -= 100;
}

static void began_later(void)
{
    record->capture[3].first_sample += 100;
}

static void other_target(void)
{
    record->target[1].entered_mm[0] = 431.0;
}

static void a_band(void)
{
    record->band_count = 1;
    record->band[0].limited[0] = true;
    record->band[0].cue[0] = cue_usual(true);
    record->band[0].cue[0].band_above_mm = record->band[0].cue[0].band_below_mm = 10.0;
    record->hold[0].band = record->hold[2].band = 0;
}

static void a_wider_band(void)
{
    record->band[0].cue[0].band_above_mm = 20.0;
}

static void for_practice(void)
{
    record->hold[2].purpose = PURPOSE_PIECE;
}

static void the_sensors_gain(void)
{
    record->placing[0].channel[1].gain = 1.01;
}

static void another_hold(void)
{
    record->hold[3].uuid.bytes[0]++;
}

static void another_rate(void)
{
    record->placing[0].announced_rate_hz = RATE_HZ + 1.0;
}

/* Who is of the body is told by the latest, also of holds before. */
static void another_placing(void)
{
    record->placing[1] = record->placing[0];
    record->placing[1].channel[2].role = ROLE_AUXILIARY;
    record->placing_count = 2;
}

static void a_plate_on_each_build(void)
{
    record->tie_reading_count = 2;
    for (int b = 0; b < 2; b++) {
        record->tie_reading[b] = (struct tie_reading_record){.kind = TIE_READING_PLATE,
                                                             .build = b,
                                                             .value_mm = 400.0 + 10.0 * b,
                                                             .plate_height_mm = 930.0};
    }
}

static void the_second_plate_elsewhere(void)
{
    record->tie_reading[1].value_mm += 5.0;
}

static void taken_for_another_part(void)
{
    record->placing[0].channel[2].role = ROLE_AUXILIARY;
}

START_TEST(only_what_is_touched_is_made_again)
{
    static const struct {
        void (*change)(void);
        const char *what;
        unsigned holds;
    } steps[] = {
        {nothing, "nothing", 0},
        {rating_and_note, "a rating and a note", 0},
        {left_out, "a hold left out", 0},
        {marked, "a mark that cuts, and one that does not", 1U << 1},
        {marked_elsewhere, "the mark elsewhere", 1U << 1},
        {ended_earlier, "a hold that ended earlier", 1U << 3},
        {began_later, "a hold that began later", 1U << 3},
        {other_target, "another target", 1U << 2 | 1U << 3},
        {a_band, "a band", 1U << 0 | 1U << 2},
        {a_wider_band, "a wider band", 1U << 0 | 1U << 2},
        {for_practice, "a piece of practice", 1U << 2},
        {the_sensors_gain, "a sensor's gain", 0xF},
        {a_plate_on_each_build, "a plate on each build", 1U << 2 | 1U << 3},
        {the_second_plate_elsewhere, "the second plate elsewhere", 1U << 2 | 1U << 3},
        {another_hold, "another hold in the place of one", 1U << 3},
        {another_rate, "another rate", 0xF},
        {another_placing, "another placing", 0xF},
        {taken_for_another_part, "another part", 0xF},
        {nothing, "nothing once more", 0},
    };
    struct problem problem = {0};
    record->placing[0].channel[2].role = ROLE_BODY;
    ck_assert(analysis_make(record, counted, NULL, analysis, &problem));
    ck_assert_uint_eq(asked, 0xF);
    for (size_t s = 0; s < sizeof steps / sizeof steps[0]; s++) {
        struct analysis *anew = analysis_create();
        steps[s].change();
        asked = 0;
        ck_assert(analysis_make_again(record, counted, NULL, analysis, &problem));
        ck_assert_msg(asked == steps[s].holds, "%s: holds %x, not %x", steps[s].what, asked,
                      steps[s].holds);
        ck_assert(analysis_make(record, samples_of, NULL, anew, &problem));
        for (int h = 0; h < HOLDS; h++) {
            ck_assert_msg(memcmp(&analysis->hold[h], &anew->hold[h], sizeof anew->hold[h]) == 0,
                          "%s: hold %d", steps[s].what, h + 1);
        }
        analysis_destroy(anew);
    }
    asked = 0;
    ck_assert(analysis_make(record, counted, NULL, analysis, &problem)); /* everything anew */
    ck_assert_uint_eq(asked, 0xF);
    asked = 0;
    ck_assert(analysis_add_hold(record, 2, counted, NULL, analysis, &problem));
    ck_assert_uint_eq(asked, 1U << 2);
}
END_TEST

static bool lacks(void *context, int64_t first, int64_t last, const struct sample **samples,
                  size_t *count)
{
    return first != record->capture[1].first_sample &&
           samples_of(context, first, last, samples, count);
}

/* What could not be made is tried again as long as it can't; what was made needs no samples. */
START_TEST(what_was_not_there_is_asked_for_again)
{
    struct problem problem = {0};
    record->placing[0].channel[2].role = ROLE_BODY;
    ck_assert(!analysis_make(record, lacks, NULL, analysis, &problem));
    ck_assert(!analysis_make_again(record, lacks, NULL, analysis, &problem));
    asked = 0;
    ck_assert(analysis_make_again(record, counted, NULL, analysis, &problem));
    ck_assert_uint_eq(asked, 1U << 1);
    ck_assert(analysis_make_again(record, lacks, NULL, analysis, &problem));
    ck_assert(analysis->hold[1].has[0]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("made_again");
    TCase *tests = tcase_create("made_again");
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, only_what_is_touched_is_made_again);
    tcase_add_test(tests, what_was_not_there_is_asked_for_again);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
