/** Fuzz target of the map of a supplier's file. Asserted: a map that is refused has its reasons, each with a place; one
 *  that is taken names its supplier, and each column has a title. */

#include "fuzz.h"
#include "snub/supplier_map.h"

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

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_arena arena;
    snub_supplier_map map;
    snub_errors errors = {0};
    snub_arena_init(&arena, 64 << 20);
    const snub_status status =
        snub_supplier_map_read("fuzz.yaml", (const char *)data, size, fuzz_units(), &arena, &map, &errors);
    if (status == SNUB_OK)
        look_at(&map);
    must_say_why(status, &errors);
    snub_arena_free(&arena);
    return 0;
}
