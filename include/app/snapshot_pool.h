/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_SNAPSHOT_POOL_H
#define HOLDLINE_APP_SNAPSHOT_POOL_H

#include "session/snapshot.h"

/* A few snapshots that threads share, made at the start: the session's thread takes a free one and
 * fills it; whoever reads holds it meanwhile; the last to let go gives its place back. A reader
 * that stalls keeps what it holds and stops nobody. Any thread may call these. */
#define SNAPSHOTS 6 /* published, next, and what screen, watchers and two more hold */
struct snapshot_pool;

struct snapshot_pool *snapshot_pool_create(void); /* NULL without memory */
void snapshot_pool_destroy(struct snapshot_pool *pool);

/* A free one, zeroed or as it was filled before, held once; NULL where all are held. */
struct snapshot *snapshot_pool_take(struct snapshot_pool *pool);
/* Holds it once more; gives it back. */
const struct snapshot *snapshot_pool_hold(struct snapshot_pool *pool,
                                          const struct snapshot *snapshot);
void snapshot_pool_release(struct snapshot_pool *pool, const struct snapshot *snapshot);

#endif
