/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/snapshot_pool.h"

#include <pthread.h>
#include <stdlib.h>

struct snapshot_pool {
    pthread_mutex_t
        lock; /* of the holders; a snapshot is its taker's until it shows it to others */
    int holders[SNAPSHOTS];
    struct snapshot snapshot[SNAPSHOTS];
};

struct snapshot_pool *snapshot_pool_create(void)
{
    struct snapshot_pool *pool = calloc(1, sizeof *pool);
    if (pool == NULL) {
        return NULL;
    }
    pthread_mutex_init(&pool->lock, NULL);
    return pool;
}

void snapshot_pool_destroy(struct snapshot_pool *pool)
{
    if (pool != NULL) {
        pthread_mutex_destroy(&pool->lock);
        free(pool);
    }
}

struct snapshot *snapshot_pool_take(struct snapshot_pool *pool)
{
    struct snapshot *taken = NULL;
    pthread_mutex_lock(&pool->lock);
    for (int i = 0; i < SNAPSHOTS && taken == NULL; i++) {
        if (pool->holders[i] == 0) {
            pool->holders[i] = 1;
            taken = &pool->snapshot[i];
        }
    }
    pthread_mutex_unlock(&pool->lock);
    return taken;
}

static void count(struct snapshot_pool *pool, const struct snapshot *snapshot, int more)
{
    pthread_mutex_lock(&pool->lock);
    pool->holders[snapshot - pool->snapshot] += more;
    pthread_mutex_unlock(&pool->lock);
}

const struct snapshot *snapshot_pool_hold(struct snapshot_pool *pool,
                                          const struct snapshot *snapshot)
{
    count(pool, snapshot, 1);
    return snapshot;
}

void snapshot_pool_release(struct snapshot_pool *pool, const struct snapshot *snapshot)
{
    count(pool, snapshot, -1);
}
