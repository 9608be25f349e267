/* A drive that is settled again with values laid over it. */
#include "standing.h"

#include "snub/units.h"

static bool lay(snub_row *row, const char *path, const char *text, snub_arena *arena)
{
    snub_node *node = NULL;
    if (text == NULL || snub_node_from_text(text, "settled", arena, &node, NULL) != SNUB_OK)
        return false;
    const snub_overlay overlay = {path, node, {.file = "settled"}};
    return snub_row_with(row, &overlay, arena, row);
}

bool snub_row_with_length(snub_row *row, const char *path, double value, snub_arena *arena)
{
    return lay(row, path, snub_format(arena, "%.12g mm", value / SNUB_MM), arena);
}

bool snub_row_with_point(snub_row *row, const char *path, const double at[2], snub_arena *arena)
{
    return lay(row, path, snub_format(arena, "[%.9f mm, %.9f mm]", at[0] / SNUB_MM, at[1] / SNUB_MM), arena);
}

snub_status snub_stand(const snub_document *document, const snub_reading *reading, const snub_row *row,
                       snub_arena *arena, snub_build *build, snub_state *state, bool *solved, snub_errors *errors)
{
    const snub_build_request request = {.settle_only = true};
    snub_reading own = *reading;
    own.arena = arena;
    *solved = false;
    snub_status status = snub_build_make(document, &own, row, &request, build, errors);
    if (status != SNUB_OK || !build->settled)
        return status;
    status = snub_build_state(build, &(snub_wanted_state){0}, arena, state, NULL);
    *solved = status == SNUB_OK && state->solved;
    return status;
}
