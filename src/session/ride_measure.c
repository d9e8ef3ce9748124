/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "ride_measure.h"

bool ride_measure_is_on(const struct session *session)
{
    return session->doing.activity == ACTIVITY_HOLD && session->begun &&
           session->record.hold[session->doing.hold].purpose == PURPOSE_RIDE;
}

void ride_measure_drop(struct session *session)
{
    hold_meter_destroy(session->meter);
    session->meter = NULL;
}

void ride_measure_begin(struct session *session)
{
    ride_measure_drop(session);
    session->meter = hold_meter_create(&session->record, session->analysis, session->doing.hold);
}

void ride_measure_sample(struct session *session, const struct sample *sample)
{
    if (session->meter != NULL && ride_measure_is_on(session)) {
        hold_meter_sample(session->meter, &session->record, session->analysis, sample);
    }
}

bool ride_measure_end(struct session *session)
{
    struct hold_meter *meter = session->meter;
    int hold = session->doing.hold;
    if (meter == NULL) {
        return false;
    }
    hold_meter_end(meter, &session->record, session->analysis);
    bool stands = hold_meter_stands(meter, &session->record, session->analysis);
    if (stands) {
        hold_meter_result(meter, &session->record, session->analysis,
                          &session->analysis->hold[hold]);
    }
    ride_measure_drop(session);
    return stands;
}

void ride_measure_again(struct session *session, int64_t to_sample)
{
    if (!ride_measure_is_on(session)) {
        return;
    }
    ride_measure_begin(session);
    int64_t first = session->record.capture[session->doing.capture].first_sample;
    if (session->meter != NULL &&
        !hold_meter_read(session->meter, &session->record, session->analysis, first, to_sample,
                         session_samples, session)) {
        ride_measure_drop(session); /* at its end it is tried again */
    }
}

void ride_measure_so_far(const struct session *session, int channel, struct hold_summary *summary)
{
    summary->status = MEASURE_TOO_FEW;
    if (session->meter != NULL) {
        hold_meter_so_far(session->meter, channel, summary);
    }
}
