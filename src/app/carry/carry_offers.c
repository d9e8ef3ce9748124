/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/carry_offers.h"

#include "base/text.h"
#include "record/rider_code.h"
#include "say/say.h"
#include "store/store.h"

#include <string.h>

_Static_assert(sizeof((struct view_carry_offers *)0)->sentences == CARRY_SENTENCES_SIZE,
               "all that is told");

struct search {
    struct view_carry_offers *found;
    const struct carry_offers_wanted *wanted;
};

static void fill_offer(struct view_carry_session *row, const struct store_session *session)
{
    char date[SAY_SIZE], day[SAY_SIZE];
    *row = (struct view_carry_session){
        .id = session->id, .setups = session->setups, .holds = session->holds};
    say_date(date, sizeof date, session->started_ms);
    date[strcspn(date, " ")] = '\0';
    text_copy(row->date, sizeof row->date, date);
    say_day(day, sizeof day, session->started_ms);
    text_copy(row->day, sizeof row->day, day);
    text_copy(row->rider_code, sizeof row->rider_code, session->rider_code);
    text_copy(row->bike, sizeof row->bike, session->bike);
}

static bool take_session(void *context, const struct store_session *session)
{
    struct search *search = context;
    struct view_carry_offers *found = search->found;
    const struct carry_offers_wanted *wanted = search->wanted;
    bool of_rider = !wanted->has_rider || text_equal(session->rider_code, wanted->rider_code);
    bool offered = session->setups > 0 && !uuid_equal(&session->uuid, &wanted->running);
    if (offered && of_rider) {
        fill_offer(&found->session[found->count++], session);
    } else if (offered && found->alike.rider_code[0] == '\0' &&
               rider_codes_alike(session->rider_code, wanted->rider_code)) {
        fill_offer(&found->alike, session);
    }
    return found->count < VIEW_CARRY_OFFERS;
}

struct carry_offers_wanted carry_offers_wanted_by(const struct session *session)
{
    const struct session_record *record = session_records(session);
    struct carry_offers_wanted wanted = {.running = record->uuid, .has_rider = record->has_rider};
    if (record->has_rider) {
        text_copy(wanted.rider_code, sizeof wanted.rider_code, record->rider.code);
    }
    return wanted;
}

void carry_offers_read(struct view_carry_offers *found, const char *store_path,
                       const struct carry_offers_wanted *wanted)
{
    struct search search = {found, wanted};
    found->count = 0;
    found->alike = (struct view_carry_session){.id = 0};
    struct store *store = store_path != NULL ? store_open(store_path, STORE_READ, NULL) : NULL;
    if (store != NULL) {
        store_list(store, take_session, &search, NULL);
        store_close(store);
    }
    if (found->count > 0) {
        found->alike.rider_code[0] = '\0';
    }
}

void carry_offers_renew(struct view_carry_offers *offers, const struct view_carry_offers *found)
{
    offers->count = found->count;
    memcpy(offers->session, found->session, sizeof offers->session);
    offers->alike = found->alike;
    offers->serial++;
}

bool carry_offers_take_line(struct view_carry_offers *offers, const struct carry *carry,
                            const struct carry_order *order, const char *line,
                            struct session *session, carry_sink *sink, void *context,
                            struct problem *problem)
{
    static const char look[] = " look";
    size_t length = strlen(line), ending = sizeof look - 1;
    carry_offers_forget_look(offers);
    bool done = carry_follow(carry, order, session, sink, context, offers->sentences,
                             sizeof offers->sentences, problem);
    if (done && length > ending && text_equal(line + length - ending, look)) {
        offers->serial++;
        text_copy(offers->looked_at, sizeof offers->looked_at, line);
        if (length - ending < sizeof offers->looked_at) {
            offers->looked_at[length - ending] = '\0';
        }
    }
    return done;
}

void carry_offers_forget_look(struct view_carry_offers *offers)
{
    if (offers->looked_at[0] != '\0') {
        offers->serial++;
    }
    offers->looked_at[0] = offers->sentences[0] = '\0';
}
