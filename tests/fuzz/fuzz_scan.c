/** Fuzz target of points of a scan and of the circles through them. The first byte says in what pieces the rest is fed,
 *  and what is said of it. Asserted: pieces give the same points and status as the whole; a refusal has words; points
 *  are finite and add up; of a circle at least three points are used, what is left out says by how much, shares lie
 *  between 0 and 1, and no error is under 0. */
#include <math.h>
#include <string.h>

#include "fuzz.h"
#include "snub/circles.h"

static snub_status read(const char *data, size_t size, size_t piece, const snub_scan_wish *wish, snub_arena *arena,
                        snub_scan *scan, snub_errors *errors)
{
    snub_scan_reader *reader = snub_scan_open("fuzz", wish, fuzz_units(), arena);
    must(reader != NULL);
    for (size_t at = 0; at < size; at += piece)
        if (snub_scan_feed(reader, data + at, size - at < piece ? size - at : piece) != SNUB_OK)
            break;
    const snub_status status = snub_scan_finish(reader, scan, errors);
    snub_scan_close(reader);
    return status;
}

static void check_fit(const snub_circle_fit *f)
{
    int used = 0;
    must(f->used >= SNUB_CIRCLE_POINTS && f->radius >= 0.0 && isfinite(f->radius) && isfinite(f->sum));
    must(!(f->error[0] < 0.0) && !(f->error[1] < 0.0) && !(f->axis[1] > f->axis[0]));
    for (int i = 0; i < f->count; i++) {
        const snub_circle_point *p = &f->point[i];
        must(isfinite(p->residual) && (p->out ? isfinite(p->against) : p->share >= 0.0 && p->share <= 1.0));
        used += !p->out;
    }
    must(used == f->used && f->arc >= 0.0 && f->arc <= 2.0 * SNUB_PI);
}

static void check_circles(const snub_scan *s, snub_arena *arena)
{
    const snub_circles_wish wish = {
        .tolerance = SNUB_CIRCLES_TOLERANCE, .reach = SNUB_CIRCLES_REACH, .arc = SNUB_PI, .error = NAN};
    snub_circles c;
    snub_errors errors = {0};
    const snub_status status = snub_circles_find("fuzz", NULL, s, &wish, NULL, arena, &c, &errors);
    must_say_why(status, &errors);
    for (int i = 0; status == SNUB_OK && i < c.round_count; i++)
        check_fit(c.round[i].fit);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 1)
        return 0;
    const char *text = (const char *)data + 1;
    const size_t length = size - 1;
    const snub_scan_wish wish = {.column = {data[0] & 64 ? "2" : NULL, data[0] & 64 ? "3" : NULL, NULL},
                                 .unit = data[0] & 128 ? "mm" : NULL};
    snub_arena arena;
    snub_scan whole, pieces;
    snub_errors errors = {0}, others = {0};
    snub_arena_init(&arena, 512 << 20);
    const snub_status status = read(text, length, length + 1, &wish, &arena, &whole, &errors);
    const snub_status again = read(text, length, 1 + data[0] % 32, &wish, &arena, &pieces, &others);
    must(status == again || status == SNUB_NO_MEMORY || again == SNUB_NO_MEMORY);
    must(errors.count == others.count);
    must_say_why(status, &errors);
    must_say_why(again, &others);
    if (status == SNUB_OK && again == SNUB_OK) {
        int sum = 0;
        must(whole.points == pieces.points && whole.group_count == pieces.group_count);
        for (int g = 0; g < whole.group_count; g++) {
            sum += whole.group[g].count;
            for (int i = 0; i < whole.group[g].count; i++)
                must(isfinite(whole.group[g].at[i][0]) && whole.group[g].line[i] > 0);
        }
        must(sum == whole.points);
        if (whole.points < 2000) /* the fit of many takes long, and is no other */
            check_circles(&whole, &arena);
    }
    snub_arena_free(&arena);
    return 0;
}
