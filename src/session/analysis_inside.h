#ifndef HOLDLINE_SESSION_ANALYSIS_INSIDE_H
#define HOLDLINE_SESSION_ANALYSIS_INSIDE_H

/* Shared by the files of the analysis only. */

#include "session/analysis.h"

const struct placing_record *analysis_placing_of(const struct session_record *record, int build);

/* The range that a calibrated sensor would have given. */
double analysis_calibrated_mm(const struct channel_record *channel, int32_t range_tenth_mm);

#endif
