/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "recorder_fixture.h"

#include "app/own_samples.h"

#include "base/text.h"

#include <stdlib.h>
#include <unistd.h>

/* Samples of the session that is being recorded, read out of its store meanwhile. */

static struct own_samples own;

static bool has(int64_t first, int64_t last)
{
    const struct sample *samples;
    size_t count;
    if (!own_samples_source(&own, first, last, &samples, &count)) {
        return false;
    }
    ck_assert_int_eq((int64_t)count, last - first + 1);
    for (size_t i = 0; i < count; i++) {
        struct sample sample;
        full_session_sample(first + (int64_t)i, 2, 1000.0, &sample);
        ck_assert_int_eq(samples[i].number, sample.number);
        ck_assert_int_eq(samples[i].time_us, sample.time_us);
        ck_assert_mem_eq(samples[i].range_tenth_mm, sample.range_tenth_mm,
                         sizeof sample.range_tenth_mm);
    }
    return true;
}

START_TEST(what_is_stored_can_be_read_also_where_the_file_was_put_back)
{
    struct session_record *record = full_session(1);
    struct recorder *recorder = start_stored(record, 1, 2000);
    struct recorder_state state;
    text_copy(own.store_path, sizeof own.store_path, path);
    ck_assert(!has(1, 1000)); /* nobody said of which session */
    own.session_id = 1;
    ck_assert(has(1, 2000));
    ck_assert(!has(1001, 2001)); /* not there yet */
    ck_assert_int_eq(unlink(path), 0);
    push(2001, 2500);
    EVENTUALLY(recorder, state, state.samples_stored == 2500);
    ck_assert_str_eq(state.text, "all stored (file put back)");
    ck_assert(has(1001, 2500));
    /* and with its log */
    char command[300];
    snprintf(command, sizeof command, "rm '%s'*", path);
    ck_assert_int_eq(system(command), 0);
    push(2501, 3000);
    EVENTUALLY(recorder, state, state.samples_stored == 3000);
    ck_assert(has(1001, 3000));
    ck_assert(recorder_finish(recorder, &problem));
    own_samples_close(&own);
    recorder_destroy(recorder);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("own samples");
    TCase *tests = tcase_create("own samples");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, what_is_stored_can_be_read_also_where_the_file_was_put_back);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
