#ifndef HOLDLINE_BIKE_LIMITS_H
#define HOLDLINE_BIKE_LIMITS_H

#include "bike/fields.h"

/* Limits that the fitter entered from the makers' papers. None is ever assumed: a limit not entered
 * is not checked, and whoever shows a proposal says so. */
struct bike_limits {
    double least[BIKE_KEYS], most[BIKE_KEYS]; /* NAN = not entered */
    /* headset cap, spacers and stem clamp together: what the steerer must and can carry */
    double column_least_mm, column_most_mm;
};
void bike_limits_clear(struct bike_limits *limits);
int bike_limits_entered(const struct bike_limits *limits);

/* One limit as typed: key of a measure or 'column'; text '30' (at most) or '5..30' or '5..' (at
 * least). */
bool bike_limits_read(struct bike_limits *limits, const char *key, const char *text,
                      struct problem *problem);

/* The same in one word, as on a command line: 'spacers=30'. */
bool bike_limits_read_word(struct bike_limits *limits, const char *word, struct problem *problem);

/* How many limits this bike passes; text (may be NULL) tells each: 'spacers 40 mm are over the
 * limit entered, 30 mm'. A value that is not given passes none. */
int bike_limits_passed(const struct bike_limits *limits, const struct bike_values *bike, char *text,
                       size_t size);

#endif
