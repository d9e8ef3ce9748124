/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/carry_offers.h"

#include "base/text.h"
#include "say/say.h"
#include "store/store.h"

#include <string.h>

_Static_assert(sizeof((struct view_earlier *)0)->told == CARRY_SENTENCES_SIZE, "all that is told");

struct search {
    struct view_earlier *earlier;
    const struct session_record *now;
};

static bool take_session(void *context, const struct store_session *session)
{
    struct search *search = context;
    struct view_earlier *earlier = search->earlier;
    const struct session_record *now = search->now;
    bool of_rider = !now->has_rider || text_equal(session->rider_code, now->rider.code);
    if (session->setups > 0 && of_rider &&
        memcmp(&session->uuid, &now->uuid, sizeof now->uuid) != 0) {
        char date[SAY_SIZE];
        struct view_earlier_session *row = &earlier->session[earlier->count++];
        *row = (struct view_earlier_session){
            .id = session->id, .setups = session->setups, .holds = session->holds};
        say_date(date, sizeof date, session->started_ms);
        date[strcspn(date, " ")] = '\0';
        text_copy(row->date, sizeof row->date, date);
        text_copy(row->rider_code, sizeof row->rider_code, session->rider_code);
        text_copy(row->bike, sizeof row->bike, session->bike);
    }
    return earlier->count < VIEW_EARLIER;
}

void carry_offers_list(struct view_earlier *earlier, const char *store_path,
                       const struct session *session)
{
    struct search search = {earlier, session_records(session)};
    earlier->count = 0;
    earlier->serial++;
    struct store *store = store_path != NULL ? store_open(store_path, STORE_READ, NULL) : NULL;
    if (store != NULL) {
        store_list(store, take_session, &search, NULL);
        store_close(store);
    }
}

bool carry_offers_take_line(struct view_earlier *earlier, const char *store_path, const char *line,
                            const struct words *words, struct session *session, carry_sink *sink,
                            void *context, struct problem *problem)
{
    static const char look[] = " look";
    size_t length = strlen(line), ending = sizeof look - 1;
    carry_offers_forget_look(earlier);
    bool done = carry_line(store_path, words, session, sink, context, earlier->told,
                           sizeof earlier->told, problem);
    if (done && length > ending && text_equal(line + length - ending, look)) {
        earlier->serial++;
        text_copy(earlier->looked_at, sizeof earlier->looked_at, line);
        if (length - ending < sizeof earlier->looked_at) {
            earlier->looked_at[length - ending] = '\0';
        }
    }
    return done;
}

void carry_offers_forget_look(struct view_earlier *earlier)
{
    if (earlier->looked_at[0] != '\0') {
        earlier->serial++;
    }
    earlier->looked_at[0] = earlier->told[0] = '\0';
}
