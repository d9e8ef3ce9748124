/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/clock.h"

#include <stdio.h>
#include <time.h>

int64_t clock_monotonic_us(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000000 + now.tv_nsec / 1000;
}

int64_t clock_wall_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static int64_t floor_divide(int64_t value, int64_t divisor)
{
    return value / divisor - (value % divisor < 0 ? 1 : 0);
}

/* Days from 1970-01-01 in the proleptic Gregorian calendar, counted in years that begin in March.
 */
static int64_t days_of(int64_t year, int month, int day)
{
    int64_t march_year = month > 2 ? year : year - 1;
    int64_t month_from_march = month > 2 ? month - 3 : month + 9;
    int64_t leap_days =
        floor_divide(march_year, 4) - floor_divide(march_year, 100) + floor_divide(march_year, 400);
    return march_year * 365 + leap_days + (153 * month_from_march + 2) / 5 + day - 1 - 719468;
}

static int days_in_month(int64_t year, int month)
{
    static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return days[month - 1] + (month == 2 && leap ? 1 : 0);
}

static char *put_digits(char *at, int count, int64_t value, char after)
{
    for (int i = count - 1; i >= 0; i--) {
        at[i] = (char)('0' + value % 10);
        value /= 10;
    }
    at[count] = after;
    return at + count + 1;
}

void clock_wall_text(char text[CLOCK_TEXT_SIZE], int64_t unix_ms)
{
    /* What four digits of a year can show; a wall clock beyond is none. */
    const int64_t least_ms = -62167219200000;
    const int64_t most_ms = 253402300799999;
    int64_t shown_ms = unix_ms < least_ms ? least_ms : unix_ms > most_ms ? most_ms : unix_ms;
    int64_t days = floor_divide(shown_ms, CLOCK_DAY_MS);
    int64_t ms_of_day = shown_ms - days * CLOCK_DAY_MS;
    int64_t year = 1970 + floor_divide(days * 400, 146097);
    while (days_of(year, 1, 1) > days) {
        year--;
    }
    while (days_of(year + 1, 1, 1) <= days) {
        year++;
    }
    int month = 1;
    while (month < 12 && days_of(year, month + 1, 1) <= days) {
        month++;
    }
    int day = (int)(days - days_of(year, month, 1)) + 1;
    int seconds = (int)(ms_of_day / 1000);
    char *at = text;
    at = put_digits(at, 4, year, '-');
    at = put_digits(at, 2, month, '-');
    at = put_digits(at, 2, day, 'T');
    at = put_digits(at, 2, seconds / 3600, ':');
    at = put_digits(at, 2, seconds / 60 % 60, ':');
    at = put_digits(at, 2, seconds % 60, '.');
    at = put_digits(at, 3, ms_of_day % 1000, 'Z');
    *at = '\0';
}

/* False where the moment is none of the calendar's. */
static bool local_time(int64_t unix_ms, struct tm *local)
{
    time_t seconds = (time_t)floor_divide(unix_ms, 1000);
    tzset();
    return localtime_r(&seconds, local) != NULL && local->tm_year >= -1900 &&
           local->tm_year <= 9999 - 1900;
}

void clock_local_text(char *text, size_t size, int64_t unix_ms)
{
    char iso[CLOCK_TEXT_SIZE];
    struct tm local;
    if (local_time(unix_ms, &local) && strftime(text, size, "%Y-%m-%d %H:%M %Z", &local) > 0) {
        return;
    }
    clock_wall_text(iso, unix_ms);
    snprintf(text, size, "%.10s %.5s UTC", iso, iso + 11);
}

int64_t clock_local_ahead_ms(int64_t unix_ms)
{
    struct tm local;
    if (!local_time(unix_ms, &local)) {
        return 0;
    }
    int64_t days = days_of(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday);
    int64_t seconds =
        days * (CLOCK_DAY_MS / 1000) + local.tm_hour * 3600 + local.tm_min * 60 + local.tm_sec;
    return (seconds - floor_divide(unix_ms, 1000)) * 1000;
}

int64_t clock_local_day_ms(int64_t utc_day_ms)
{
    /* summer time may begin or end between the two midnights */
    int64_t near_ms = utc_day_ms - clock_local_ahead_ms(utc_day_ms);
    return utc_day_ms - clock_local_ahead_ms(near_ms);
}

/* Exactly count digits at *text. */
static bool digits(const char **text, const char *end, int count, int *value)
{
    *value = 0;
    for (int i = 0; i < count; i++) {
        if (*text >= end || **text < '0' || **text > '9') {
            return false;
        }
        *value = *value * 10 + (**text - '0');
        (*text)++;
    }
    return true;
}

static bool mark(const char **text, const char *end, char character)
{
    if (*text >= end || **text != character) {
        return false;
    }
    (*text)++;
    return true;
}

static bool parse_day(const char **at, const char *end, int64_t *us)
{
    int year, month, day;
    if (!digits(at, end, 4, &year) || !mark(at, end, '-') || !digits(at, end, 2, &month) ||
        !mark(at, end, '-') || !digits(at, end, 2, &day)) {
        return false;
    }
    if (month < 1 || month > 12 || day < 1 || day > days_in_month(year, month)) {
        return false;
    }
    *us = days_of(year, month, day) * CLOCK_DAY_MS * 1000;
    return true;
}

/* With as many places of the second as there are. */
static bool parse_time(const char **at, const char *end, int64_t *us)
{
    int hour, minute, second;
    if (!digits(at, end, 2, &hour) || !mark(at, end, ':') || !digits(at, end, 2, &minute) ||
        !mark(at, end, ':') || !digits(at, end, 2, &second)) {
        return false;
    }
    if (hour > 23 || minute > 59 || second > 60) { /* 60: a leap second */
        return false;
    }
    *us = ((int64_t)hour * 3600 + minute * 60 + second) * 1000000;
    if (mark(at, end, '.') || mark(at, end, ',')) {
        int64_t place_us = 100000;
        const char *first = *at;
        for (; *at < end && **at >= '0' && **at <= '9'; (*at)++) {
            *us += (**at - '0') * place_us;
            place_us /= 10;
        }
        return *at > first;
    }
    return true;
}

/* 'Z', '+01:00', '-0230': by how much the place is ahead. */
static bool parse_zone(const char **at, const char *end, int64_t *ahead_us)
{
    int hour, minute;
    *ahead_us = 0;
    if (mark(at, end, 'Z') || mark(at, end, 'z')) {
        return true;
    }
    int sign = mark(at, end, '+') ? 1 : mark(at, end, '-') ? -1 : 0;
    if (sign == 0 || !digits(at, end, 2, &hour)) {
        return false;
    }
    mark(at, end, ':');
    if (!digits(at, end, 2, &minute) || hour > 23 || minute > 59) {
        return false;
    }
    *ahead_us = sign * ((int64_t)hour * 3600 + minute * 60) * 1000000;
    return true;
}

bool clock_parse_us(const char *text, size_t length, int64_t *unix_us)
{
    const char *at = text, *end = text + length;
    int64_t day_us, time_us, ahead_us;
    if (!parse_day(&at, end, &day_us)) {
        return false;
    }
    if (at == end) {
        *unix_us = day_us;
        return true;
    }
    if ((!mark(&at, end, 'T') && !mark(&at, end, 't') && !mark(&at, end, ' ')) ||
        !parse_time(&at, end, &time_us) || !parse_zone(&at, end, &ahead_us) || at != end) {
        return false;
    }
    *unix_us = day_us + time_us - ahead_us;
    return true;
}
