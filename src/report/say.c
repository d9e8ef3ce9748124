#include "report/say.h"

#include "base/clock.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char nothing[] = "-";

void say_number(char *text, size_t size, double value, int decimals)
{
    if (isfinite(value)) {
        text_from_double(text, size, value, decimals);
    } else {
        text_copy(text, size, nothing);
    }
}

void say_whole(char *text, size_t size, double value)
{
    say_number(text, size, value, 0);
}

void say_signed(char *text, size_t size, double value, int decimals)
{
    char number[64];
    say_number(number, sizeof number, value, decimals);
    bool zero = strspn(number, "0.") == strlen(number);
    bool plus = isfinite(value) && value > 0 && !zero;
    snprintf(text, size, "%s%s", plus ? "+" : "", number);
}

/* The next whole number up, but 3.0000001 stays 3. */
static double rounded_up(double value)
{
    double up = ceil(value - 1e-6);
    return up < 1 ? 1 : up;
}

void say_mean(char *text, size_t size, double mean, bool has_interval, double half_width)
{
    char middle[64], half[64];
    say_whole(middle, sizeof middle, mean);
    if (!isfinite(mean) || !has_interval || !isfinite(half_width)) {
        text_copy(text, size, middle);
        return;
    }
    say_whole(half, sizeof half, rounded_up(half_width));
    snprintf(text, size, "%s ±%s", middle, half);
}

void say_percent(char *text, size_t size, double share)
{
    char number[64];
    say_whole(number, sizeof number, share * 100);
    snprintf(text, size, "%s%s", number, isfinite(share) ? " %" : "");
}

void say_duration(char *text, size_t size, double seconds)
{
    if (!isfinite(seconds) || seconds < 0) {
        text_copy(text, size, nothing);
        return;
    }
    long whole = lround(seconds);
    long hours = whole / 3600, minutes = whole / 60 % 60, rest = whole % 60;
    size_t used = 0;
    text_copy(text, size, "");
    if (whole < 120) {
        text_append(text, size, &used, "%ld s", whole);
    } else if (hours > 0) {
        text_append(text, size, &used, "%ld h", hours);
        if (minutes > 0) {
            text_append(text, size, &used, " %ld min", minutes);
        }
    } else {
        text_append(text, size, &used, "%ld min", minutes);
        if (rest > 0) {
            text_append(text, size, &used, " %ld s", rest);
        }
    }
}

void say_clock(char *text, size_t size, double seconds)
{
    if (!isfinite(seconds) || seconds < 0) {
        text_copy(text, size, nothing);
        return;
    }
    long whole = (long)floor(seconds);
    if (whole >= 3600) {
        snprintf(text, size, "%ld:%02ld:%02ld", whole / 3600, whole / 60 % 60, whole % 60);
    } else {
        snprintf(text, size, "%ld:%02ld", whole / 60, whole % 60);
    }
}

void say_date(char *text, size_t size, int64_t unix_ms)
{
    char iso[CLOCK_TEXT_SIZE];
    clock_wall_text(iso, unix_ms);
    /* 'YYYY-MM-DDTHH:MM...': the day and the minute */
    if (strlen(iso) < 16) {
        text_copy(text, size, iso);
        return;
    }
    snprintf(text, size, "%.10s %.5s UTC", iso, iso + 11);
}

void say_list(char *text, size_t size, const char *one, const char *many, const int *numbers,
              int count)
{
    size_t used = 0;
    text_copy(text, size, "");
    text_append(text, size, &used, "%s", count == 1 ? one : many);
    for (int i = 0; i < count; i++) {
        const char *before = i == 0 ? " " : i == count - 1 ? " and " : ", ";
        text_append(text, size, &used, "%s%d", before, numbers[i]);
    }
}

const char *say_sees_ahead(enum sees_ahead answer)
{
    switch (answer) {
    case SEES_YES:
        return "yes";
    case SEES_STRAINED:
        return "strained";
    case SEES_NO:
        return "no: FAILED";
    case SEES_UNKNOWN:
        break;
    }
    return nothing;
}

const char *say_answer(enum answer answer)
{
    switch (answer) {
    case ANSWER_YES:
        return "yes";
    case ANSWER_NO:
        return "no";
    case ANSWER_UNKNOWN:
        break;
    }
    return nothing;
}

const char *say_role(enum channel_role role)
{
    switch (role) {
    case ROLE_REFERENCE:
        return "reference";
    case ROLE_AUXILIARY:
        return "auxiliary";
    case ROLE_BODY:
        break;
    }
    return "body";
}

const char *say_hold_status(enum hold_status status)
{
    switch (status) {
    case HOLD_RUNNING:
        return "running";
    case HOLD_STOPPED:
        return "stopped";
    case HOLD_CUT_SHORT:
        return "cut short";
    case HOLD_COMPLETE:
        break;
    }
    return "complete";
}

void say_band(char *text, size_t size, const struct cue_settings *cue)
{
    char above[64] = "none", below[64] = "none";
    if (isfinite(cue->band_above_mm)) {
        say_signed(above, sizeof above, cue->band_above_mm, 0);
    }
    if (isfinite(cue->band_below_mm)) {
        say_signed(below, sizeof below, -cue->band_below_mm, 0);
    }
    snprintf(text, size, "%s/%s", above, below);
}
