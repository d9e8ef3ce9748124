/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "preload/recorded_disk.c"

#include "fixture.h"
#include "support/test_seed.h"

#include "store/care.h"

/* The power is cut while a session is recorded: at each sync, just before and just behind it, and
 * at moments between. What was not synced is lost, there, or in part and in another order. Whatever
 * the disk holds then opens, is sound, and has what was committed. */

#define COMMITS 12
#define FIRST 900  /* samples of the first commit: the records point at them */
#define SAMPLES 50 /* of each further one */
#define IMAGES 3   /* of each moment */

static char image_folder[200], image[300];

static void record_session(void)
{
    struct session_record *record = full_session(2);
    record->ended = false;
    struct store *store = open_store(STORE_RECORD);
    recorded_disk_promise(0);
    for (int commit = 0; commit < COMMITS; commit++) {
        MUST(store_begin(store, &problem));
        if (commit == 0) {
            full_session_effects(record, 3, write_effect, store);
        }
        int64_t last = FIRST + (int64_t)commit * SAMPLES;
        write_samples(store, commit == 0 ? 1 : last - SAMPLES + 1, last);
        MUST(store_commit(store, &problem));
        recorded_disk_promise(last);
    }
    store_close(store);
    free(record);
}

struct seen {
    int sessions;
    int64_t samples; /* of the last */
};

static bool see_session(void *context, const struct store_session *session)
{
    struct seen *seen = context;
    seen->sessions++;
    seen->samples =
        session->samples > 0 && seen->samples < session->samples ? session->samples : seen->samples;
    return true;
}

static void tell_finding(void *context, const char *sentence)
{
    char *first = context;
    if (first[0] == '\0') {
        snprintf(first, 300, "%s", sentence);
    }
}

struct looked {
    bool opened;
    int64_t wrong;
    struct seen seen;
    char finding[300];
};

static struct looked look_at_image(enum store_mode mode)
{
    struct looked looked = {0};
    struct store *store = store_open(image, mode, &problem);
    if (store != NULL) {
        looked.opened =
            store_list(store, see_session, &looked.seen, &problem) &&
            store_check(store, tell_finding, looked.finding, NULL, &looked.wrong, &problem);
        store_close(store);
    }
    return looked;
}

/* before: sessions on the disk from the beginning. */
static void must_be_whole(const struct power_cut *cut, int before)
{
    int64_t promised = recorded_disk_promised(cut->at);
    enum store_mode mode = cut->at % 3 == 0 ? STORE_RECORD : STORE_READ;
    struct looked looked = look_at_image(mode);
    if (!looked.opened && before == 0 && promised < 0) {
        /* not made yet: readers say so, and a session makes it */
        ck_assert_msg(mode == STORE_READ &&
                          (strstr(problem.sentence, "a session makes it") != NULL),
                      "cut at %d: %s", cut->at, problem.sentence);
        looked = look_at_image(STORE_RECORD);
    }
    ck_assert_msg(looked.opened, "cut at %d: %s", cut->at, problem.sentence);
    ck_assert_msg(looked.wrong == 0, "cut at %d: %s", cut->at, looked.finding);
    int least = before + (promised > 0 ? 1 : 0);
    ck_assert_msg(looked.seen.sessions >= least && looked.seen.sessions <= before + 1,
                  "cut at %d: %d sessions", cut->at, looked.seen.sessions);
    if (before == 0 || promised > FIRST) { /* the earlier session has as many */
        ck_assert_msg(looked.seen.samples >= promised, "cut at %d: %lld of %lld samples", cut->at,
                      (long long)looked.seen.samples, (long long)promised);
    }
}

static bool is_tried(int at, int notes)
{
    return getenv("HOLDLINE_EVERY_CUT") != NULL || at == notes || recorded_disk_is_sync(at) ||
           (at > 0 && recorded_disk_is_sync(at - 1)) || at % 16 == 0;
}

static int lay_before(int before)
{
    snprintf(image_folder, sizeof image_folder, "%s-image", folder);
    snprintf(image, sizeof image, "%s/test.db", image_folder);
    if (before > 0) {
        make_store(path, 1, 1);
        end_running_holds();
    }
    recorded_disk_begin(folder);
    record_session();
    recorded_disk_end();
    return recorded_disk_notes();
}

START_TEST(whatever_the_disk_holds_then_opens)
{
    int before = _i, notes = lay_before(before), tried = 0;
    struct random_source random;
    random_seed(&random, test_seed(14));
    for (int at = 0; at <= notes; at++) {
        for (int i = 0; i < IMAGES && is_tried(at, notes); i++) {
            const struct power_cut cut = {at, false, &random};
            recorded_disk_image(&cut, image_folder);
            must_be_whole(&cut, before);
            tried++;
        }
    }
    printf("%d notes, %d disks after a power cut: all sound\n", notes, tried);
    ck_assert_int_gt(tried, 150);
}
END_TEST

/* A disk that says a sync is done and does it later can lose what was promised: then that is told,
 * or the store is sound and shorter. Nothing crashes. */
START_TEST(a_disk_that_lies_is_no_crash)
{
    int notes = lay_before(1), tried = 0, sound = 0, told = 0;
    struct random_source random;
    random_seed(&random, test_seed(15));
    for (int at = 0; at <= notes; at++) {
        if (!is_tried(at, notes)) {
            continue;
        }
        const struct power_cut cut = {at, true, &random};
        recorded_disk_image(&cut, image_folder);
        problem.sentence[0] = '\0';
        struct looked looked = look_at_image(STORE_READ);
        ck_assert(looked.opened || problem.sentence[0] != '\0');
        sound += looked.opened && looked.wrong == 0;
        told += !looked.opened || looked.wrong > 0;
        tried++;
    }
    printf("%d disks that lie: %d stores sound, %d told\n", tried, sound, told);
    ck_assert_int_gt(sound, 0);
    ck_assert_int_gt(told, 0);
}
END_TEST

static void remove_both(void)
{
    char command[300];
    remove_folder();
    snprintf(command, sizeof command, "rm -rf '%s'", image_folder);
    ck_assert_int_eq(system(command), 0);
}

int main(void)
{
    Suite *suite = suite_create("a power cut");
    TCase *tests = tcase_create("a power cut");
    tcase_set_timeout(tests, 240);
    tcase_add_checked_fixture(tests, make_folder, remove_both);
    tcase_add_loop_test(tests, whatever_the_disk_holds_then_opens, 0, 2);
    tcase_add_test(tests, a_disk_that_lies_is_no_crash);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
