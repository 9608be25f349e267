/** Fuzz target of sketches. The first byte says in what pieces the rest is fed, and what is said of it. Asserted:
 * pieces give the same arcs and status as the whole; a refusal has words; arcs are finite, with a radius, and no more
 * than a turn; what is put together from them covers no more either, stands in a middle of its own, and is judged. */
#include <math.h>
#include <string.h>

#include "fuzz.h"
#include "snub/circles.h"

static snub_status read(const char *data, size_t size, size_t piece, const snub_sketch_wish *wish, snub_arena *arena,
                        snub_sketch *sketch, snub_error *error)
{
    snub_sketch_reader *reader = snub_sketch_open("fuzz", wish, fuzz_units(), arena);
    must(reader != NULL);
    snub_status status = SNUB_OK;
    for (size_t at = 0; status == SNUB_OK && at < size; at += piece)
        status = snub_sketch_feed(reader, data + at, size - at < piece ? size - at : piece, error);
    if (status == SNUB_OK)
        status = snub_sketch_finish(reader, sketch, error);
    snub_sketch_close(reader);
    return status;
}

static void check_arcs(const snub_sketch *s)
{
    must(s->arc_count > 0 && s->arc_count <= SNUB_SKETCH_ARCS_MOST && s->skipped_count <= SNUB_SKETCH_SKIPPED_MOST);
    for (int i = 0; i < s->arc_count; i++) {
        const snub_sketch_arc *a = &s->arc[i];
        must(isfinite(a->at[0]) && isfinite(a->at[1]) && a->radius >= 0.0 && isfinite(a->radius));
        must(isfinite(a->from) && a->sweep > 0.0 && a->sweep <= 2.0 * SNUB_PI && a->line > 0 && a->layer != NULL);
    }
}

static void check_circles(const snub_sketch *s, snub_arena *arena)
{
    const snub_circles_wish wish = {
        .tolerance = SNUB_CIRCLES_TOLERANCE, .reach = SNUB_CIRCLES_REACH, .arc = SNUB_PI, .error = NAN};
    snub_circles c;
    snub_errors errors = {0};
    const snub_status status = snub_circles_find("fuzz", s, NULL, &wish, NULL, arena, &c, &errors);
    must_say_why(status, &errors);
    if (status != SNUB_OK)
        return;
    must(snub_circles_level(&c) == SNUB_PASS);
    for (int i = 0; i < c.round_count; i++) {
        const snub_round_group *g = &c.group[c.round[i].group];
        must(c.round[i].arc <= 2.0 * SNUB_PI * (1.0 + 1e-9) && i >= g->first && i < g->first + g->count);
        must(c.round[i].diameter <= c.round[g->first].diameter);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const char *const layer[] = {"PULLEYS"};
    if (size < 1)
        return 0;
    const char *text = (const char *)data + 1;
    const size_t length = size - 1;
    const snub_sketch_wish wish = {
        .layer = layer, .layer_count = data[0] & 64 ? 1 : 0, .unit = data[0] & 128 ? "in" : NULL};
    snub_arena arena;
    snub_sketch whole, pieces;
    snub_error error = {0}, other = {0};
    snub_arena_init(&arena, 512 << 20);
    const snub_status status = read(text, length, length + 1, &wish, &arena, &whole, &error);
    const snub_status again = read(text, length, 1 + data[0] % 32, &wish, &arena, &pieces, &other);
    must(status == again || status == SNUB_NO_MEMORY || again == SNUB_NO_MEMORY);
    must(status == SNUB_OK || error.message[0] != '\0');
    if (status == SNUB_OK && again == SNUB_OK) {
        check_arcs(&whole);
        must(whole.arc_count == pieces.arc_count && whole.skipped_count == pieces.skipped_count);
        must(memcmp(whole.arc[0].at, pieces.arc[0].at, sizeof whole.arc[0].at) == 0);
        check_circles(&whole, &arena);
    }
    snub_arena_free(&arena);
    return 0;
}
