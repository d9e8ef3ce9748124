/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/virtual_day.h"

#include "base/angle.h"
#include "base/random.h"
#include "measure/air.h"
#include "measure/drag_leg.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define STEP_S 0.25
#define STEPS_A_SAMPLE 4
#define RUN_OUT_M 250.0 /* from a leg's end to where the bike turns round, and back */
#define BRAKE_M 45.0    /* before that */
#define TURN_M_S 3.5
#define BRAKING_M_S2 1.4
#define SPRINT_W 330.0  /* out of a turn */
#define COAST_W 120.0   /* on the way to it */
#define POWER_SD_W 12.0 /* the rider's own wander */
#define POWER_LASTS_S 8.0
#define METER_SD_W 2.0
#define WHEEL_SD_M_S 0.02
#define PRESS_SD_M 2.0 /* the lap button is pressed so far off the mark */
#define PASSING_S 6.0
#define PASSING_SHARE 0.75 /* of the drag that is left beside a car */
#define RUN_EVERY_MIN 14
#define FIRST_RUN_MIN 510 /* 8:30 */
#define FIRST_C 11.0
#define PRESSURE_HPA 1008.0
#define HUMIDITY_PERCENT 68.0
#define DAY_UNIX_US INT64_C(1772841600000000) /* 2026-03-07T00:00:00Z */
#define SAMPLES_MOST 20000

struct day_run {
    uint64_t seed;
    double drag_m2, rolling, density_kg_m3;
    int passers;
    int passer_leg[VIRTUAL_LEGS_MAX];
};

struct virtual_day {
    struct virtual_day_settings settings;
    double wind_m_s, grade, power_scale;
    struct day_run run[VIRTUAL_RUNS_MAX];
};

void virtual_day_defaults(struct virtual_day_settings *settings, uint64_t seed)
{
    static const int order[] = {0, 1, 1, 0, 0, 1, 1, 0};
    *settings = (struct virtual_day_settings){.seed = seed,
                                              .runs = 8,
                                              .drag_m2 = {0.250, 0.244},
                                              .course_m = 1000.0,
                                              .legs_a_run = 4,
                                              .mass_kg = 85.0,
                                              .power_w = 240.0,
                                              .wind_sd_m_s = 0.8,
                                              .gust_sd_m_s = 0.1,
                                              .gust_s = 60.0,
                                              .grade_sd = 0.0003,
                                              .rolling = 0.004,
                                              .rolling_sd = 0.0003,
                                              .rolling_fall_a_run = 0.00004,
                                              .power_scale_sd = 0.015,
                                              .rider_sd = 0.01,
                                              .warming_c = 0.8,
                                              .passer_share = 0.05};
    memcpy(settings->setup_of_run, order, sizeof order);
}

static double celsius_of(const struct virtual_day *day, int run)
{
    int last = day->settings.runs - 1;
    return FIRST_C + (last > 0 ? day->settings.warming_c * run / last : 0.0);
}

static bool is_possible(const struct virtual_day_settings *settings)
{
    bool possible = settings->runs >= 1 && settings->runs <= VIRTUAL_RUNS_MAX &&
                    settings->legs_a_run >= 1 && settings->legs_a_run <= VIRTUAL_LEGS_MAX &&
                    settings->course_m >= 100.0 && settings->course_m <= 5000.0 &&
                    settings->mass_kg > 0.0 && settings->power_w > 0.0 && settings->gust_s > 0.0;
    for (int i = 0; possible && i < settings->runs; i++) {
        int setup = settings->setup_of_run[i];
        possible = setup >= 0 && setup < VIRTUAL_SETUPS_MAX && settings->drag_m2[setup] > 0.0;
    }
    return possible;
}

static void make_run(struct virtual_day *day, int number, double rolling,
                     struct random_source *random)
{
    const struct virtual_day_settings *settings = &day->settings;
    struct day_run *run = &day->run[number];
    struct air air = {celsius_of(day, number), PRESSURE_HPA * 100.0, HUMIDITY_PERCENT / 100.0};
    run->seed = random_u64(random);
    run->drag_m2 = settings->drag_m2[settings->setup_of_run[number]] *
                   (1.0 + settings->rider_sd * random_normal(random));
    run->rolling = rolling - settings->rolling_fall_a_run * number;
    if (air_density(&air, &run->density_kg_m3) != MEASURE_OK) {
        run->density_kg_m3 = 1.2;
    }
    for (int leg = 1; leg <= settings->legs_a_run; leg++) {
        if (random_uniform(random) < settings->passer_share) {
            run->passer_leg[run->passers++] = leg;
        }
    }
}

struct virtual_day *virtual_day_create(const struct virtual_day_settings *settings)
{
    struct random_source random;
    struct virtual_day *day = is_possible(settings) ? calloc(1, sizeof *day) : NULL;
    if (day == NULL) {
        return NULL;
    }
    random_seed(&random, settings->seed);
    day->settings = *settings;
    day->wind_m_s = settings->laps ? 0.0 : settings->wind_sd_m_s * random_normal(&random);
    day->grade = settings->laps ? 0.0 : settings->grade_sd * random_normal(&random);
    day->power_scale = 1.0 + settings->power_scale_sd * random_normal(&random);
    double rolling = settings->rolling + settings->rolling_sd * random_normal(&random);
    for (int i = 0; i < settings->runs; i++) {
        make_run(day, i, rolling, &random);
    }
    return day;
}

void virtual_day_free(struct virtual_day *day)
{
    free(day);
}

struct virtual_air virtual_day_air(const struct virtual_day *day, bool at_end)
{
    int run = at_end ? day->settings.runs - 1 : 0;
    return (struct virtual_air){
        .temperature_c = celsius_of(day, run),
        .pressure_hpa = PRESSURE_HPA,
        .humidity_percent = HUMIDITY_PERCENT,
        .wind_m_s = day->settings.laps ? 0.0 : round(2.0 * fabs(day->wind_m_s)) / 2.0,
        .at_min = FIRST_RUN_MIN + RUN_EVERY_MIN * run + (at_end ? RUN_EVERY_MIN - 2 : -2)};
}

void virtual_day_run(const struct virtual_day *day, int run, struct virtual_run *told)
{
    const struct day_run *from = &day->run[run];
    *told = (struct virtual_run){.setup = day->settings.setup_of_run[run],
                                 .at_min = FIRST_RUN_MIN + RUN_EVERY_MIN * run,
                                 .effort = 6.0,
                                 .passers = from->passers};
    memcpy(told->passer_leg, from->passer_leg, sizeof told->passer_leg);
}

void virtual_day_truth(const struct virtual_day *day, struct virtual_day_truth *truth)
{
    *truth = (struct virtual_day_truth){
        .wind_m_s = day->wind_m_s, .grade = day->grade, .power_scale = day->power_scale};
    for (int i = 0; i < day->settings.runs; i++) {
        truth->drag_m2[i] = day->run[i].drag_m2;
        truth->rolling[i] = day->run[i].rolling;
        truth->density_kg_m3[i] = day->run[i].density_kg_m3;
    }
}

/* ---- one run, step by step --------------------------------------------------------------------
 */

enum part { PART_IN, PART_LEG, PART_OUT, PART_AWAY }; /* to the mark, leg, to the turn, home */

struct riding {
    const struct virtual_day *day;
    const struct day_run *run;
    struct drag_rider rider;
    struct random_source random;
    enum part part;
    int leg;            /* from 1 on; of the one that is ridden or comes next */
    double along_m;     /* in the direction of travel, from the leg's first mark */
    double part_ends_m; /* there */
    double part_s;
    double speed_m_s, distance_m;
    double gust_m_s, wander_w;
    double power_w; /* at the pedals */
    int mark;       /* how often the lap button was pressed */
};

/* + on the way out, - on the way back. */
static double direction(const struct riding *riding)
{
    bool back = !riding->day->settings.laps && riding->leg % 2 == 0;
    return back ? -1.0 : 1.0;
}

static void begin_part(struct riding *riding, enum part part)
{
    const struct virtual_day_settings *settings = &riding->day->settings;
    double off_m = PRESS_SD_M * random_normal(&riding->random);
    riding->mark += part == PART_LEG || riding->part == PART_LEG ? 1 : 0;
    riding->part = part;
    riding->part_s = 0.0;
    riding->part_ends_m = part == PART_IN    ? off_m
                          : part == PART_LEG ? settings->course_m + off_m
                                             : settings->course_m + RUN_OUT_M;
}

/* Which part comes next. False: the run is over. */
static bool go_on(struct riding *riding)
{
    const struct virtual_day_settings *settings = &riding->day->settings;
    switch (riding->part) {
    case PART_IN:
        begin_part(riding, PART_LEG);
        return true;
    case PART_LEG:
        if (riding->leg == settings->legs_a_run) {
            begin_part(riding, PART_AWAY);
        } else if (settings->laps) {
            riding->leg++;
            riding->along_m -= settings->course_m;
            begin_part(riding, PART_LEG);
        } else {
            begin_part(riding, PART_OUT);
        }
        return true;
    case PART_OUT: /* turned round: as far from the same mark, towards it */
        riding->leg++;
        riding->along_m = settings->course_m - riding->along_m;
        begin_part(riding, PART_IN);
        return true;
    case PART_AWAY:
    default:
        return false;
    }
}

/* What the rider gives, before wander. */
static double wanted_power(const struct riding *riding)
{
    double settled_w = riding->day->settings.power_w;
    switch (riding->part) {
    case PART_IN: {
        bool slow = riding->speed_m_s < 9.5;
        return slow ? SPRINT_W : settled_w;
    }
    case PART_OUT:
        return riding->part_ends_m - riding->along_m < BRAKE_M ? 0.0 : COAST_W;
    case PART_LEG:
    case PART_AWAY:
    default:
        return settled_w;
    }
}

static double passing_share(const struct riding *riding)
{
    for (int i = 0; riding->part == PART_LEG && i < riding->run->passers; i++) {
        double since_s = riding->part_s - 40.0;
        if (riding->run->passer_leg[i] == riding->leg && since_s >= 0.0 && since_s < PASSING_S) {
            return PASSING_SHARE;
        }
    }
    return 1.0;
}

static void ride_step(struct riding *riding)
{
    const struct virtual_day_settings *settings = &riding->day->settings;
    const struct drag_rider *rider = &riding->rider;
    double stays = exp(-STEP_S / settings->gust_s), wanders = exp(-STEP_S / POWER_LASTS_S);
    double gust_m_s = settings->laps ? 0.0 : settings->gust_sd_m_s;
    riding->gust_m_s = stays * riding->gust_m_s +
                       gust_m_s * sqrt(1.0 - stays * stays) * random_normal(&riding->random);
    riding->wander_w = wanders * riding->wander_w +
                       POWER_SD_W * sqrt(1.0 - wanders * wanders) * random_normal(&riding->random);
    double wanted_w = wanted_power(riding);
    riding->power_w = wanted_w > 0.0 ? fmax(wanted_w + riding->wander_w, 0.0) : 0.0;
    double speed = riding->speed_m_s;
    double wind = direction(riding) * (riding->day->wind_m_s + riding->gust_m_s);
    double air = speed + wind;
    double drag_m2 = riding->run->drag_m2 * passing_share(riding);
    double weight_n = settings->mass_kg * rider->gravity_m_per_s2;
    double resisting_n = 0.5 * riding->run->density_kg_m3 * drag_m2 * air * fabs(air) +
                         riding->run->rolling * weight_n + rider->bearing_n +
                         rider->bearing_n_per_m_per_s * speed +
                         direction(riding) * riding->day->grade * weight_n;
    double gained_j = (rider->efficiency * riding->power_w - resisting_n * speed) * STEP_S;
    double squared = speed * speed + 2.0 * gained_j / (settings->mass_kg + rider->wheels_kg);
    riding->speed_m_s = sqrt(fmax(squared, 1.0));
    bool brakes = riding->part == PART_OUT && riding->part_ends_m - riding->along_m < BRAKE_M;
    if (brakes && riding->speed_m_s > TURN_M_S) {
        riding->speed_m_s = fmax(riding->speed_m_s - BRAKING_M_S2 * STEP_S, TURN_M_S);
    }
    double step_m = 0.5 * (speed + riding->speed_m_s) * STEP_S;
    riding->distance_m += step_m;
    riding->along_m += step_m;
    riding->part_s += STEP_S;
}

static void begin_ride(const struct virtual_day *day, int number, struct riding *riding)
{
    *riding = (struct riding){.day = day,
                              .run = &day->run[number],
                              .rider = drag_usual_rider(day->settings.mass_kg),
                              .part = PART_IN,
                              .leg = 1,
                              .along_m = day->settings.laps ? -day->settings.course_m : -RUN_OUT_M,
                              .speed_m_s = TURN_M_S};
    random_seed(&riding->random, riding->run->seed);
    riding->gust_m_s = day->settings.gust_sd_m_s * random_normal(&riding->random);
}

/* Where on the road the bike is: metres from its first mark. */
static double along_road(const struct riding *riding)
{
    return direction(riding) > 0.0 ? riding->along_m
                                   : riding->day->settings.course_m - riding->along_m;
}

#define ROAD_LATITUDE 50.0
#define ROAD_LONGITUDE 8.0
#define ROAD_HEADING_DEG 40.0

static void place_on_road(double along_m, double *latitude_deg, double *longitude_deg)
{
    double metres_a_degree = ride_metres_between(0.0, 0.0, 1.0, 0.0);
    *latitude_deg =
        ROAD_LATITUDE + along_m * cos(ROAD_HEADING_DEG * RADIANS_PER_DEGREE) / metres_a_degree;
    *longitude_deg = ROAD_LONGITUDE + along_m * sin(ROAD_HEADING_DEG * RADIANS_PER_DEGREE) /
                                          metres_a_degree / cos(ROAD_LATITUDE * RADIANS_PER_DEGREE);
}

void virtual_day_places(const struct virtual_day *day, struct virtual_place ends[2])
{
    for (int i = 0; i < 2; i++) {
        place_on_road(i * day->settings.course_m, &ends[i].latitude_deg, &ends[i].longitude_deg);
        ends[i].heading_deg = ROAD_HEADING_DEG;
    }
}

struct ride *virtual_day_ride(const struct virtual_day *day, int run)
{
    bool has[RIDE_CHANNELS] = {false};
    struct riding riding;
    static const enum ride_channel channels[] = {RIDE_POWER,    RIDE_SPEED,    RIDE_DISTANCE,
                                                 RIDE_LAP,      RIDE_LATITUDE, RIDE_LONGITUDE,
                                                 RIDE_ALTITUDE, RIDE_CADENCE,  RIDE_HEART};
    for (size_t i = 0; i < sizeof channels / sizeof channels[0]; i++) {
        bool place = channels[i] == RIDE_LATITUDE || channels[i] == RIDE_LONGITUDE;
        has[channels[i]] = !(day->settings.laps && place); /* no satellites under a roof */
    }
    struct ride *ride = ride_create(has);
    if (ride == NULL) {
        return NULL;
    }
    begin_ride(day, run, &riding);
    bool going = true;
    for (int step = 0; going && step < SAMPLES_MOST * STEPS_A_SAMPLE; step++) {
        if (step % STEPS_A_SAMPLE == 0) {
            double value[RIDE_CHANNELS];
            for (int i = 0; i < RIDE_CHANNELS; i++) {
                value[i] = NAN;
            }
            double measured_w = day->power_scale * riding.power_w;
            double noise_w = METER_SD_W * random_normal(&riding.random);
            double noise_m_s = WHEEL_SD_M_S * random_normal(&riding.random);
            value[RIDE_TIME] = STEP_S * step;
            value[RIDE_POWER] = riding.power_w > 0.0 ? round(fmax(measured_w + noise_w, 1.0)) : 0.0;
            value[RIDE_SPEED] = round(100.0 * (riding.speed_m_s + noise_m_s)) / 100.0;
            value[RIDE_DISTANCE] = round(10.0 * riding.distance_m) / 10.0;
            value[RIDE_LAP] = riding.mark;
            place_on_road(along_road(&riding), &value[RIDE_LATITUDE], &value[RIDE_LONGITUDE]);
            value[RIDE_ALTITUDE] = round(10.0 * (120.0 + day->grade * along_road(&riding))) / 10.0;
            value[RIDE_CADENCE] = riding.power_w > 0.0 ? 90.0 : 0.0;
            value[RIDE_HEART] = 148.0;
            if (ride_add(ride, value) != RIDE_ADDED) {
                ride_free(ride);
                return NULL;
            }
        }
        ride_step(&riding);
        going = riding.along_m < riding.part_ends_m || go_on(&riding);
    }
    ride->has_start = true;
    ride->start_unix_us =
        DAY_UNIX_US + (FIRST_RUN_MIN + RUN_EVERY_MIN * (int64_t)run) * 60 * 1000000;
    ride->speed_from = ride->distance_from = RIDE_SOURCE_WHEEL;
    return ride;
}
