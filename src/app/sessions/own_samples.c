/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/own_samples.h"

bool own_samples_source(void *context, int64_t first, int64_t last, const struct sample **samples,
                        size_t *count)
{
    struct own_samples *own = context;
    /* the recorder has put it back, or opens it again: it goes on in the file that is there now */
    if (own->store != NULL && (store_was_moved(own->store) || store_lost_its_file(own->store))) {
        own_samples_close(own);
    }
    if (own->store == NULL && own->session_id > 0) {
        own->store = store_open(own->store_path, STORE_READ, NULL);
    }
    return own->store != NULL &&
           store_samples(own->store, own->session_id, first, last, samples, count, NULL) &&
           *count == (size_t)(last - first + 1);
}

void own_samples_close(struct own_samples *own)
{
    store_close(own->store);
    own->store = NULL;
}
