/* Arena: blocks that only grow, given back together. */
#include "snub/base.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "c_locale.h"

/* Under AddressSanitizer every request has a block of its own, so that a write past its end is seen. */
#if defined(__SANITIZE_ADDRESS__)
#define ONE_BLOCK_EACH 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define ONE_BLOCK_EACH 1
#endif
#endif
#ifndef ONE_BLOCK_EACH
#define ONE_BLOCK_EACH 0
#endif

enum { BLOCK_BYTES = 64 * 1024 };

struct snub_arena_block {
    struct snub_arena_block *next;
    size_t room, used;
    alignas(max_align_t) unsigned char bytes[];
};

void snub_arena_init(snub_arena *arena, size_t limit)
{
    *arena = (snub_arena){.limit = limit, .refuse_after = -1};
}

void snub_arena_free(snub_arena *arena)
{
    if (!arena)
        return;
    for (struct snub_arena_block *block = arena->blocks, *next; block; block = next) {
        next = block->next;
        free(block);
    }
    arena->blocks = NULL;
    arena->used = 0;
    arena->refused = false;
}

void snub_arena_branch(snub_arena *arena, snub_arena *branch)
{
    const size_t left = arena->limit > arena->used ? arena->limit - arena->used : 1;
    snub_arena_init(branch, arena->limit > 0 ? left : 0);
    branch->refuse_after = arena->refuse_after;
}

void snub_arena_join(snub_arena *arena, snub_arena *branch)
{
    struct snub_arena_block **end = &arena->blocks;
    while (*end)
        end = &(*end)->next;
    *end = branch->blocks;
    branch->blocks = NULL;
    arena->used += branch->used;
    snub_arena_drop(arena, branch);
}

void snub_arena_drop(snub_arena *arena, snub_arena *branch)
{
    arena->refuse_after = branch->refuse_after;
    arena->refused = arena->refused || branch->refused;
    snub_arena_free(branch);
}

static bool refused_for_test(snub_arena *arena)
{
    return arena->refuse_after > 0 && --arena->refuse_after == 0;
}

/* The block goes first in the list where it has room to spare, else behind the first, which may still have some. */
static struct snub_arena_block *new_block(snub_arena *arena, size_t bytes)
{
    size_t room = bytes > BLOCK_BYTES / 4 || ONE_BLOCK_EACH ? bytes : BLOCK_BYTES;
    if (room > SIZE_MAX - sizeof(struct snub_arena_block))
        return NULL;
    struct snub_arena_block *block = calloc(1, sizeof *block + room);
    if (!block)
        return NULL;
    block->room = room;
    if (room == bytes && arena->blocks) {
        block->next = arena->blocks->next;
        arena->blocks->next = block;
    } else {
        block->next = arena->blocks;
        arena->blocks = block;
    }
    return block;
}

static void *take(snub_arena *arena, size_t count, size_t size)
{
    const size_t align = alignof(max_align_t);
    if (size && count > (SIZE_MAX - align) / size)
        return NULL;
    size_t wanted = count && size ? count * size : 1;
    size_t bytes = ONE_BLOCK_EACH ? wanted : (wanted + align - 1) / align * align;
    if (arena->limit && (bytes > arena->limit || arena->used > arena->limit - bytes))
        return NULL;
    if (refused_for_test(arena))
        return NULL;
    struct snub_arena_block *block = arena->blocks;
    if (ONE_BLOCK_EACH || !block || block->room - block->used < bytes)
        block = new_block(arena, bytes);
    if (!block)
        return NULL;
    void *memory = block->bytes + block->used;
    block->used += bytes;
    arena->used += bytes;
    return memory;
}

void *snub_alloc(snub_arena *arena, size_t count, size_t size)
{
    void *memory = take(arena, count, size);
    if (!memory)
        arena->refused = true;
    return memory;
}

char *snub_copy_text_n(snub_arena *arena, const char *text, size_t length)
{
    if (length == SIZE_MAX)
        return NULL;
    char *copy = snub_alloc(arena, length + 1, 1);
    if (copy && length)
        memcpy(copy, text, length);
    return copy;
}

uint64_t snub_bytes_hash(const void *data, size_t length)
{
    const unsigned char *bytes = data;
    uint64_t hash = 0xcbf29ce484222325u;
    for (size_t i = 0; i < length; i++)
        hash = (hash ^ bytes[i]) * 0x100000001b3u;
    return hash;
}

char *snub_copy_text(snub_arena *arena, const char *text)
{
    return snub_copy_text_n(arena, text, strlen(text));
}

char *snub_format(snub_arena *arena, const char *format, ...)
{
    va_list arguments, again;
    va_start(arguments, format);
    va_copy(again, arguments);
    locale_t before = snub_c_locale_enter();
    int length = vsnprintf(NULL, 0, format, arguments);
    char *text = length < 0 ? NULL : snub_alloc(arena, (size_t)length + 1, 1);
    if (text)
        vsnprintf(text, (size_t)length + 1, format, again);
    snub_c_locale_leave(before);
    va_end(again);
    va_end(arguments);
    return text;
}
