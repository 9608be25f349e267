/** Fuzz target of the map of a supplier's file. Asserted: a map that is refused has its reasons, each with a place; one
 *  that is taken names its supplier, and each column has a title. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "snub/supplier_map.h"

static void must(bool good)
{
    if (!good)
        abort();
}

static void look_at(const snub_supplier_map *map)
{
    must(map->supplier && map->supplier[0] && map->document.source);
    for (int i = 0; i < map->column_count; i++)
        must(map->columns[i].title && map->columns[i].field && map->columns[i].place.line > 0);
    for (int i = 0; i < map->constant_count; i++)
        must(map->constants[i].text && map->constants[i].text[0]);
    for (int i = 0; i < map->rule_count; i++)
        must(map->rules[i].title && map->rules[i].count >= 0);
    must(!map->thousands || (map->decimal && map->decimal != map->thousands));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static snub_units *units;
    if (!units)
        must(snub_units_open(&units, NULL) == SNUB_OK);
    snub_arena arena;
    snub_supplier_map map;
    snub_errors errors = {0};
    snub_arena_init(&arena, 64 << 20);
    const snub_status status =
        snub_supplier_map_read("fuzz.yaml", (const char *)data, size, units, &arena, &map, &errors);
    if (status == SNUB_OK)
        look_at(&map);
    else
        must(status == SNUB_NO_MEMORY || errors.count > 0);
    for (int i = 0; i < errors.count; i++)
        must(errors.items[i].message[0]);
    snub_errors_free(&errors);
    snub_arena_free(&arena);
    return 0;
}
