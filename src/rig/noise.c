/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "noise.h"

#include "measure/statistics.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define DIFFERENCES_MIN 8
#define COUNTED_VALUES 1024

/* The value at place if they were sorted; orders them that far (Hoare 1961, Find). */
static int32_t place_by_ordering(int32_t *values, size_t count, size_t place)
{
    size_t low = 0;
    size_t high = count - 1;
    while (low < high) {
        int32_t pivot = values[low + (high - low) / 2];
        size_t left = low;
        size_t right = high;
        for (;;) {
            while (values[left] < pivot) {
                left++;
            }
            while (values[right] > pivot) {
                right--;
            }
            if (left >= right) {
                break;
            }
            int32_t swapped = values[left];
            values[left++] = values[right];
            values[right--] = swapped;
        }
        if (place <= right) {
            high = right;
        } else {
            low = right + 1;
        }
    }
    return values[place];
}

/* The value at place if they were sorted. What sensors differ by from reading to reading lies close
 * together: then each value is counted, which is several times as fast. */
static int32_t select_place(int32_t *values, size_t count, size_t place)
{
    uint16_t times[COUNTED_VALUES];
    int32_t least = values[0];
    int32_t most = values[0];
    for (size_t i = 1; i < count; i++) {
        least = values[i] < least ? values[i] : least;
        most = values[i] > most ? values[i] : most;
    }
    if ((int64_t)most - least >= COUNTED_VALUES) {
        return place_by_ordering(values, count, place);
    }
    memset(times, 0, (size_t)(most - least + 1) * sizeof times[0]);
    for (size_t i = 0; i < count; i++) {
        times[values[i] - least]++;
    }
    int32_t value = 0;
    for (size_t before = times[0]; before <= place; before += times[value]) {
        value++;
    }
    return least + value;
}

/* The median of magnitudes that come in steps of quantum: each stands for the values half a quantum
 * around it, so that a coarse sensor's median is not one of a few steps (grouped median). */
static double grouped_median(int32_t *values, size_t count, double quantum)
{
    int32_t value = select_place(values, count, count / 2);
    size_t below = 0;
    size_t same = 0;
    for (size_t i = 0; i < count; i++) {
        below += values[i] < value ? 1 : 0;
        same += values[i] == value ? 1 : 0;
    }
    double from = value - quantum / 2;
    double width = quantum;
    if (from < 0) {
        from = 0;
        width = value + quantum / 2;
    }
    return from + width * ((double)count / 2 - (double)below) / (double)same;
}

double noise_of_differences(int32_t *differences, size_t count, double quantum)
{
    if (count < DIFFERENCES_MIN) {
        return NAN;
    }
    int32_t middle = select_place(differences, count, count / 2);
    bool still = true;
    for (size_t i = 0; i < count; i++) {
        differences[i] = abs(differences[i] - middle);
        still = still && differences[i] == 0;
    }
    return still ? 0 : SD_PER_MAD * grouped_median(differences, count, quantum) / sqrt(2);
}
