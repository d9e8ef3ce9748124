/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A day of runs from a script and files of rides: stored, replayed, shown. The rides are steady by
 * the model with a drag area that the test knows. */
#include "measure/air.h"
#include "measure/drag_leg.h"
#include "report/report.h"
#include "store/store.h"
#include "support/json_reader.h"
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Steady at 11 m/s: 10 laps of 22 s, with lap marks. */
static void write_ride(const char *folder, const char *name, double drag_m2)
{
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_state state = {.speed_m_per_s = 11.0, .drag_m2 = drag_m2};
    static char text[64 * 1024];
    size_t used = 0;
    air_density(&(struct air){20, 100700, .5}, &state.density_kg_per_m3);
    double power = drag_power_of(&state, &rider).rider_w;
    used += (size_t)snprintf(text, sizeof text, "%s", "time (s),power (W),speed (m/s),lap,heart\n");
    for (int t = 0; t <= 220; t++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%d,%.4f,11.0,%d,150\n", t, power,
                                 t / 22 + 1);
    }
    program_write_file(folder, name, text);
}

#define DAY                                                                                        \
    "session 2026-01-10T18:00:00Z seed=3\nrider R-07\nsetup 1 \"as it came\"\n"                    \
    "setup 2 \"pads closer\" pad_rise=30\nmass 85kg\ncourse laps length=242m indoors=yes\n"        \
    "air 20C 1007hPa 50%\n"

static struct program_result run_script(const char *folder, const char *script)
{
    program_write_file(folder, "day.txt", script);
    return program_run(folder, NULL,
                       (const char *const[]){"run", "day.txt", "--store", "s.db", NULL});
}

/* The design's eight runs, A B B A A B B A; least squares computed apart: B-A -.0055000
 * (-.00781838 to -.00318162). */
static void ride_the_day(const char *folder)
{
    static const double values[] = {.2521, .2462, .2449, .2498, .2507, .2441, .2470, .2516};
    static const int setups[] = {1, 2, 2, 1, 1, 2, 2, 1};
    char script[4096], name[16];
    size_t used = (size_t)snprintf(script, sizeof script, "%s", DAY);
    for (int i = 0; i < 8; i++) {
        snprintf(name, sizeof name, "r%d.csv", i + 1);
        write_ride(folder, name, values[i]);
        used += (size_t)snprintf(script + used, sizeof script - used,
                                 "run setup=%d from=%s laps=2..7 effort=6%s\n", setups[i], name,
                                 i == 0 ? " speed=wheel" : "");
    }
    snprintf(script + used, sizeof script - used, "compare\nend\n");
    struct program_result result = run_script(folder, script);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_msg(strstr(result.output, "lower by 0.0055") != NULL &&
                      strstr(result.output, "(0.0032 to") != NULL,
                  "%s", result.output);
    program_free(&result);
}

/* No holds: nobody is told what heights lack, and no empty picture of them is drawn. */
static void a_day_of_runs_misses_no_hold(const char *folder)
{
    static const struct {
        const char *words[4];
        int status;
        const char *output, *errors, *absent;
    } calls[] = {
        {{"compare", "1"}, 0, "lower by 0.0055", "", "othing to compare"},
        {{"compare", "1"}, 0, "Drag on the course", "", "heights to compare"},
        {{"show", "1"}, 0, "Drag on the course", "", "othing to compare"},
        {{"compare", "--rider", "R-07"}, 1, "", "'holdline compare 1'", "there is no free hold"},
        /* SD .00128 of .2483 m2; times .6242 and 2.4526 by chi-squared with 5 degrees of freedom */
        {{"plan", "--drag", "--from", "1"}, 0, "as on the earlier day              0.5", "", "-0"},
        {{"plan", "--drag", "--from", "1"}, 0, "at least, by its runs              0.3", "", "-0"},
        {{"plan", "--drag", "--from", "1"}, 0, "at most, by its runs               1.3", "", "-0"},
        {{"list"}, 0, "8 runs", "", "not ended"},
        {{"list", "--json"}, 0, "\"runs\": 8", "", "\"holds\": 8"},
        {{"export", "1", "d.svg"}, 1, "", "it takes a free hold that counts", "written"},
        {{"export", "1", "d-holds.svg"}, 1, "", "it takes a hold with readings", "written"},
    };
    for (size_t i = 0; i < sizeof calls / sizeof calls[0]; i++) {
        const char *words[8] = {NULL};
        int count = 0;
        for (; count < 4 && calls[i].words[count] != NULL; count++) {
            words[count] = calls[i].words[count];
        }
        words[count++] = "--store";
        words[count++] = "s.db";
        struct program_result result = program_run(folder, NULL, words);
        ck_assert_msg(
            result.status == calls[i].status && strstr(result.output, calls[i].output) != NULL &&
                strstr(result.errors, calls[i].errors) != NULL &&
                strstr(result.output, calls[i].absent) == NULL &&
                strstr(result.errors, calls[i].absent) == NULL,
            "call %zu: status %d, '%s', '%s'", i, result.status, result.output, result.errors);
        program_free(&result);
    }
}

START_TEST(a_day_from_script_to_store)
{
    const char *folder = program_folder();
    char path[400], command[600];
    struct problem problem = {0};
    ride_the_day(folder);
    struct session_record *record = malloc(sizeof *record);
    snprintf(path, sizeof path, "%s/s.db", folder);
    struct store *store = store_open(path, STORE_READ, &problem);
    ck_assert_msg(store != NULL && store_load(store, 1, record, &problem), "%s", problem.sentence);
    store_close(store);
    ck_assert_int_eq(record->run_count, 8);
    ck_assert_int_eq(record->leg_count, 48);
    ck_assert_str_eq(record->run[0].file, "r1.csv");
    ck_assert_uint_eq(strlen(record->run[0].file_sum), 16);
    ck_assert_int_eq(record->run[7].speed_from, RIDE_SOURCE_WHEEL); /* said once */
    ck_assert_double_eq(record->run[3].heart_per_min, 150.0);
    ck_assert_double_eq_tol(record->leg[0].sums.length_m, 242.0, 1e-6);
    ck_assert_int_eq(record->leg[0].piece_count, 9);
    free(record);
    /* a replay needs no file */
    snprintf(command, sizeof command, "rm %s/*.csv", folder);
    ck_assert_int_eq(system(command), 0);
    struct program_result result =
        program_run(folder, NULL, (const char *const[]){"replay", "1", "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_ptr_nonnull(strstr(result.output, "lower by 0.0055"));
    program_free(&result);
    result = program_run(folder, NULL, (const char *const[]){"show", "1", "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_ptr_nonnull(strstr(result.output, "r1.csv, 2..7"));
    ck_assert_ptr_nonnull(strstr(result.output, "6 of 6"));
    program_free(&result);
    a_day_of_runs_misses_no_hold(folder);
    program_folder_remove(folder);
}
END_TEST

/* The time of day that a file says is the run's, unless another is typed: by it goes the air. */
START_TEST(a_ride_s_own_time_is_taken)
{
    const char *folder = program_folder();
    char script[2048];
    static char ride[64 * 1024];
    size_t used = (size_t)snprintf(ride, sizeof ride, "time,power (W),speed (m/s),lap\n");
    for (int t = 0; t <= 220; t++) {
        used += (size_t)snprintf(ride + used, sizeof ride - used,
                                 "2026-01-10T09:%02d:%02d+00:00,%d,11.0,%d\n", 54 + t / 60, t % 60,
                                 240 + t % 7, t / 22 + 1);
    }
    program_write_file(folder, "r1.csv", ride);
    setenv("TZ", "UTC", 1);
    snprintf(script, sizeof script, "%srun setup=1 from=r1.csv laps=2..4 speed=wheel\n%s", DAY,
             "run setup=2 from=r1.csv laps=5..7 at=10:30\n");
    struct program_result result = run_script(folder, script);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result = program_run(folder, NULL,
                         (const char *const[]){"export", "1", "a.json", "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    char *json = program_read_file(folder, "a.json", NULL);
    ck_assert_ptr_nonnull(strstr(json, "\"at_min\": 594")); /* 9:54 */
    ck_assert_ptr_nonnull(strstr(json, "\"at_min\": 630")); /* 10:30 */
    free(json);
    program_folder_remove(folder);
}
END_TEST

/* The same without a session, and nothing is stored. */
#define PARTS                                                                                      \
    "rider R-07\nbike \"training bike\" stack=545 reach=410 head_angle=73 stem_length=100 "        \
    "stem_angle=-6 spacers=30\n"

/* A day on the trainer, one on the track weeks later: setups are the same where their parts are,
 * whatever their numbers, and a run may name its parts. */
START_TEST(a_road_day_joins_the_trainer_s_by_parts)
{
    static const char trainer[] =
        "session 2026-01-03T18:00:00Z seed=3\n" PARTS
        "sensor head carrier=base_bar x=110 y=40\nsensor chest carrier=base_bar x=-60\n"
        "matters head=3 chest=3\nhold 30s free\nhold 30s free\nsetup 2 spacers=10\nhold 30s free\n"
        "hold 30s free\nend\n";
    static const double values[] = {.2521, .2462, .2449, .2498, .2507, .2441, .2470, .2516};
    static const int spacers[] = {30, 10, 10, 30, 30, 10, 10, 30};
    const char *folder = program_folder();
    char script[4096], name[16];
    program_write_file(folder, "trainer.txt", trainer);
    struct program_result held =
        program_run(folder, NULL,
                    (const char *const[]){"run", "trainer.txt", "virtual:steady?speed=max&seed=3",
                                          "--store", "s.db", NULL});
    ck_assert_msg(held.status == 0, "%s", held.errors);
    program_free(&held);
    size_t used = (size_t)snprintf(script, sizeof script,
                                   "session 2026-01-10T18:00:00Z seed=4\n" PARTS
                                   "setup 3 spacers=10\nmass 85kg\ncourse laps length=242m "
                                   "indoors=yes\nair 20C 1007hPa 50%%\n");
    for (int i = 0; i < 8; i++) {
        snprintf(name, sizeof name, "r%d.csv", i + 1);
        write_ride(folder, name, values[i]);
        used +=
            (size_t)snprintf(script + used, sizeof script - used,
                             "run spacers=%dmm from=%s laps=2..7 speed=wheel\n", spacers[i], name);
    }
    snprintf(script + used, sizeof script - used, "end\n");
    struct program_result result = run_script(folder, script);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result = program_run(folder, NULL,
                         (const char *const[]){"compare", "1", "2", "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    static const char *const said[] = {"Drag on the course: setup 3 is lower by 0.0055 (0.0032",
                                       "on the trainer, drag -0.0055", "(-0.0078 to -0.0032)"};
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        ck_assert_msg(strstr(result.output, said[i]) != NULL, "%s", result.output);
    }
    ck_assert_msg(strstr(result.output, "head, session of 2026-01-10") == NULL, "%s",
                  result.output);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

START_TEST(a_day_without_a_session)
{
    static const double values[] = {.2521, .2462, .2449, .2498, .2507, .2441, .2470, .2516};
    const char *folder = program_folder();
    char name[16];
    for (int i = 0; i < 8; i++) {
        snprintf(name, sizeof name, "r%d.csv", i + 1);
        write_ride(folder, name, values[i]);
    }
    struct program_result result = program_run(
        folder, NULL, (const char *const[]){"drag",     "--mass",    "85",       "--course",
                                            "laps",     "--indoors", "--air",    "20C 1007hPa 50%",
                                            "--speed",  "wheel",     "--laps",   "2..7",
                                            "--json",   "1=r1.csv",  "2=r2.csv", "2=r3.csv",
                                            "1=r4.csv", "1=r5.csv",  "2=r6.csv", "2=r7.csv",
                                            "1=r8.csv", NULL});
    struct json_value *json = program_json(&result, 0);
    ck_assert_str_eq(json_text_at(json, "format"), "holdline-day-of-runs");
    ck_assert_double_eq_tol(json_number_at(json, "drag/setups/1/difference_m2"), -.0055, 1e-6);
    ck_assert_double_eq_tol(json_number_at(json, "drag/setups/1/low_m2"), -.00781838, 1e-6);
    json_free(json);
    program_free(&result);
    /* with its time: of runs told out of their order the second is refused */
    result = program_run(folder, NULL,
                         (const char *const[]){"drag", "--mass", "85", "--course", "laps", "--air",
                                               "20C 1007hPa 50%", "--speed", "wheel",
                                               "1=r1.csv@10:05", "2=r2.csv@9:50", NULL});
    ck_assert_int_ne(result.status, 0);
    ck_assert_ptr_nonnull(strstr(result.errors, "begins at 9:50, before run 1"));
    program_free(&result);
    /* what of a file was passed over is told */
    char *ridden = program_read_file(folder, "r1.csv", NULL);
    char *with_more = malloc(strlen(ridden) + 64);
    ck_assert_ptr_nonnull(with_more);
    sprintf(with_more, "%s220,240,11.0,11,150\n221,240\n", ridden);
    program_write_file(folder, "more@9.csv", with_more);
    free(ridden);
    free(with_more);
    result = program_run(folder, NULL,
                         (const char *const[]){"drag", "--mass", "85", "--course", "laps", "--air",
                                               "20C 1007hPa 50%", "--speed", "wheel",
                                               "1=more@9.csv", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_msg(strstr(result.errors, "more@9.csv: passed over: samples not later than the one "
                                        "before (1), lines with other cells") != NULL,
                  "%s", result.errors);
    ck_assert_ptr_null(strstr(result.errors, "pounds"));
    program_free(&result);
    result =
        program_run(folder, NULL,
                    (const char *const[]){"drag", "--mass", "151", "--course", "laps", "--air",
                                          "20C 1007hPa 50%", "--speed", "wheel", "1=r1.csv", NULL});
    ck_assert_int_eq(result.status, 0);
    ck_assert_msg(strstr(result.errors, "151 kg of rider and bike: pounds, or is it meant so?\n"),
                  "%s", result.errors);
    program_free(&result);
    result = program_run(folder, NULL,
                         (const char *const[]){"drag", "--mass", "85", "--course", "laps", "--air",
                                               "20C 1007hPa 50%", "1", NULL});
    ck_assert_int_ne(result.status, 0);
    ck_assert_ptr_nonnull(strstr(result.errors, "SETUP=FILE"));
    program_free(&result);
    result = program_run(folder, NULL, (const char *const[]){"drag", "1=r1.csv", NULL});
    ck_assert_int_ne(result.status, 0);
    ck_assert_ptr_nonnull(strstr(result.errors, "--mass, --course and --air"));
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

struct steps_text {
    char text[64 * 1024];
    size_t used;
    int t, lap;
};

static void ride_on(struct steps_text *steps, int seconds, double speed, double power)
{
    for (int i = 0; i < seconds; i++) {
        steps->used += (size_t)snprintf(steps->text + steps->used, sizeof steps->text - steps->used,
                                        "%d,%.4f,%.1f,%d\n", steps->t++, power, speed, steps->lap);
    }
}

/* Two laps each at 6 to 12 m/s on tyres of .0060; the meter a tenth of a watt off, up and down.
 * Between two speeds there is a short stretch with marks of its own. */
static void write_steps(const char *folder, const char *name)
{
    static struct steps_text steps;
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_state state = {.drag_m2 = .25};
    rider.rolling = .0060;
    air_density(&(struct air){20, 100700, .5}, &state.density_kg_per_m3);
    steps.used = (size_t)snprintf(steps.text, sizeof steps.text, "%s",
                                  "time (s),power (W),speed (m/s),lap\n");
    steps.t = steps.lap = 0;
    for (double speed = 6.0; speed < 12.5; speed += 1.0) {
        state.speed_m_per_s = speed;
        double power = drag_power_of(&state, &rider).rider_w;
        for (int i = 0; i < 2; i++) {
            steps.lap++;
            ride_on(&steps, (int)lround(250.0 / speed), speed, power + (i == 0 ? .1 : -.1));
        }
        steps.lap++;
        ride_on(&steps, 4, speed, power);
        ride_on(&steps, 4, speed + 1.0, power);
    }
    program_write_file(folder, name, steps.text);
}

/* In the store, in a package of numbers, and from files alone. */
START_TEST(steps_of_speed_set_the_rolling_resistance)
{
    const char *folder = program_folder();
    write_steps(folder, "s.csv");
    write_ride(folder, "r1.csv", .25);
    struct program_result result = run_script(folder, DAY "run steps=yes from=s.csv speed=wheel\n"
                                                          "run setup=2 from=r1.csv\nend\n");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result = program_run(folder, NULL,
                         (const char *const[]){"show", "1", "--json", "--store", "s.db", NULL});
    struct json_value *json = program_json(&result, 0);
    ck_assert_str_eq(json_text_at(json, "drag/rolling_resistance/from"), "steps");
    ck_assert_double_eq_tol(json_number_at(json, "drag/rolling_resistance/coefficient"), .0060,
                            .0002);
    ck_assert_double_eq(json_number_at(json, "drag/rolling_resistance/steps"), 14);
    ck_assert_str_eq(json_text_at(json, "runs/0/not_used"),
                     "steps of speed, for rolling resistance");
    ck_assert_double_eq(json_number_at(json, "drag/setups/0/setup"), 2); /* the steps' has no run */
    json_free(json);
    program_free(&result);
    result =
        program_run(folder, NULL, (const char *const[]){"store", "check", "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s%s", result.output, result.errors);
    program_free(&result);
    result = program_run(folder, NULL,
                         (const char *const[]){"drag", "--mass", "85", "--course", "laps",
                                               "--indoors", "--air", "20C 1007hPa 50%", "--speed",
                                               "wheel", "steps=s.csv@9:10", "2=r1.csv@9:30", NULL});
    ck_assert_msg(result.status == 0 && strstr(result.output, "by the steps of run 1") != NULL &&
                      strstr(result.output, "14 laps, 21.6 to 43.2 km/h") != NULL,
                  "%s%s", result.output, result.errors);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

/* Out and back along a meridian at 10 m/s, twice, over lines 1000 m apart, with 100 m beyond each;
 * GPX has no lap marks. */
static void write_gpx(const char *folder, const char *name, double drag_m2)
{
    static char text[256 * 1024];
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_state state = {.speed_m_per_s = 10.0, .drag_m2 = drag_m2};
    air_density(&(struct air){20, 100700, .5}, &state.density_kg_per_m3);
    double power = drag_power_of(&state, &rider).rider_w;
    size_t used = (size_t)snprintf(text, sizeof text, "%s", "<gpx version=\"1.1\"><trk><trkseg>\n");
    for (int t = 0; t <= 480; t++) {
        double along_m = fabs(remainder(10.0 * t, 2400.0)) - 100.0; /* there and back in 240 s */
        used +=
            (size_t)snprintf(text + used, sizeof text - used,
                             "<trkpt lat=\"%.7f\" lon=\"8\"><time>2026-01-10T10:%02d:%02dZ</time>"
                             "<extensions><power>%.3f</power><speed>10</speed></extensions>"
                             "</trkpt>\n",
                             47.0 + along_m / 111194.93, t / 60, t % 60, power);
    }
    snprintf(text + used, sizeof text - used, "</trkseg></trk></gpx>\n");
    program_write_file(folder, name, text);
}

START_TEST(gpx_without_a_session_goes_by_lines)
{
    const char *folder = program_folder();
    static const char place[] = /* however many digits it has */
        "47.000000000000000000000000000,8.000000000000000000000000000,0";
    write_gpx(folder, "a.gpx", .25);
    struct program_result result = program_run(
        folder, NULL,
        (const char *const[]){"drag", "--mass", "85", "--course", "out_and_back", "--air",
                              "20C 1007hPa 50%", "--speed", "wheel", "--line", place,
                              "--other-line", "47.0089932,8,0", "--json", "1=a.gpx", NULL});
    struct json_value *json = program_json(&result, 0);
    ck_assert_double_eq_tol(json_number_at(json, "runs/0/drag_m2"), .25, 1e-4);
    ck_assert_double_eq(json_number_at(json, "runs/0/values"), 2);
    ck_assert_double_eq_tol(json_number_at(json, "runs/0/leg_length_m"), 900.0, 1.0);
    json_free(json);
    program_free(&result);
    result = program_run(folder, NULL,
                         (const char *const[]){"drag", "--mass", "85", "--course", "out_and_back",
                                               "--air", "20C 1007hPa 50%", "--speed", "wheel",
                                               "1=a.gpx", NULL});
    ck_assert_int_ne(result.status, 0);
    ck_assert_msg(strstr(result.errors, "'a.gpx': nothing says where a lap or a way begins") !=
                      NULL,
                  "%s", result.errors);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

static const struct {
    const char *lines, *said;
} refused[] = {
    {DAY "run setup=1 from=none.csv speed=wheel\n", "none.csv"},
    {DAY "run setup=1 from=power.csv speed=wheel\n", "power"},
    {DAY "run setup=1 from=r1.csv speed=wheel laps=40..50\n", "no such lap"},
    {DAY "run setup=1 from=r1.csv speed=wheel times=10\n", "begin and end"},
    {DAY "run setup=1 from=r1.csv speed=wheel\nrun setup=2 from=r1.csv\n",
     "'r1.csv': run: these laps of r1.csv are run 1 already"},
    {"session 2026-01-10T18:00:00Z\nsetup 1\nrun setup=1 from=r1.csv speed=wheel\n",
     "say the course first"},
    {"session 2026-01-10T18:00:00Z\nsetup 1\ncourse out_and_back rise=1\n", "over what length"},
};
#define REFUSED ((int)(sizeof refused / sizeof refused[0]))

START_TEST(what_cannot_be_is_refused_with_the_reason)
{
    const char *folder = program_folder();
    write_ride(folder, "r1.csv", .25);
    program_write_file(folder, "power.csv", "time (s),speed (m/s)\n0,11\n1,11\n2,11\n");
    struct program_result result = run_script(folder, refused[_i].lines);
    ck_assert_int_ne(result.status, 0);
    ck_assert_msg(strstr(result.errors, refused[_i].said) != NULL, "%s: %s", refused[_i].said,
                  result.errors);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

/* Left out by hand, taken back with one undo, and a run goes as a whole. */
START_TEST(legs_and_runs_are_taken_back)
{
    const char *folder = program_folder();
    write_ride(folder, "r1.csv", .25);
    write_ride(folder, "r2.csv", .24);
    struct program_result result =
        run_script(folder, DAY "run setup=1 from=r1.csv speed=wheel laps=2..4\n"
                               "run setup=2 from=r2.csv laps=2..4\nundo\n"
                               "reject run 1.2 \"a car passed\"\nreject run 1 \"rain\"\n"
                               "restore run 1\nexport out.json\nend\n");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    size_t length;
    char *json = program_read_file(folder, "out.json", &length);
    ck_assert_ptr_nonnull(strstr(json, "\"reason\": \"a car passed\""));
    ck_assert_ptr_nonnull(strstr(json, "\"file\": \"r1.csv\""));
    ck_assert_ptr_null(strstr(json, "\"file\": \"r2.csv\""));
    ck_assert_ptr_nonnull(strstr(json, "\"values\": 2"));
    free(json);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("runs");
    TCase *tests = tcase_create("runs");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, a_ride_s_own_time_is_taken);
    tcase_add_test(tests, a_day_from_script_to_store);
    tcase_add_test(tests, a_day_without_a_session);
    tcase_add_test(tests, gpx_without_a_session_goes_by_lines);
    tcase_add_test(tests, steps_of_speed_set_the_rolling_resistance);
    tcase_add_test(tests, a_road_day_joins_the_trainer_s_by_parts);
    tcase_add_loop_test(tests, what_cannot_be_is_refused_with_the_reason, 0, REFUSED);
    tcase_add_test(tests, legs_and_runs_are_taken_back);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
