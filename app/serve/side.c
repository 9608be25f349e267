#include "side.h"

#include <string.h>

#include "snub/hardware.h"
#include "snub/json.h"

static const char *metal_word(snub_view_metal metal)
{
    static const char *const words[] = {
        [SNUB_METAL_FACE] = "face",    [SNUB_METAL_BRACKET] = "bracket",   [SNUB_METAL_SPACER] = "spacer",
        [SNUB_METAL_SHIM] = "shim",    [SNUB_METAL_STANDOFF] = "standoff", [SNUB_METAL_FLANGE] = "flange",
        [SNUB_METAL_DISC] = "disc",    [SNUB_METAL_BEARING] = "bearing",   [SNUB_METAL_BOLT] = "bolt",
        [SNUB_METAL_WASHER] = "washer"};
    return words[metal];
}

/* The length of a place for shims in the file, mm: what is judged may have the advised pack in. */
static double pack_in_file(const snub_build *build, const snub_view_block *b)
{
    const snub_shim_advice *a = build->report != NULL ? &build->report->shims : NULL;
    for (int k = 0; a != NULL && k < a->places; k++) {
        if (strcmp(a->owner[k], b->of) == 0 && strcmp(a->place[k]->name, b->name) == 0 &&
            (a->mount[k] >= 0) == b->of_mount)
            return a->place[k]->length / SNUB_MM;
    }
    return b->z[1] - b->z[0];
}

static json_t *block_json(const snub_build *build, const snub_view_block *b)
{
    json_t *o = json_pack("{s:s, s:o, s:s, s:b, s:o, s:o}", "what", metal_word(b->metal), "name",
                          snub_json_words(b->name), "of", b->of, "on_mount", b->of_mount, "z_mm",
                          snub_json_pair(b->z[0], b->z[1]), "y_mm", snub_json_pair(b->y[0], b->y[1]));
    if (b->metal == SNUB_METAL_SHIM)
        snub_json_put(o, "file_mm", snub_json_number(pack_in_file(build, b)));
    return o;
}

json_t *serve_side(const snub_build *build, const snub_view *section)
{
    const snub_hardware *hardware = build->drive->hardware;
    json_t *blocks = json_array(), *sizes = json_array();
    for (int i = 0; i < section->block_count; i++)
        snub_json_append(blocks, block_json(build, &section->block[i]));
    for (int i = 0; hardware != NULL && i < hardware->shim_count; i++)
        snub_json_append(sizes, snub_json_number(hardware->shims[i] / SNUB_MM));
    return json_pack("{s:o, s:o, s:i}", "blocks", blocks, "sizes_mm", sizes, "most",
                     hardware != NULL ? hardware->shims_most : 0);
}

static json_t *bolt_json(const snub_bolt *bolt)
{
    const double shank = bolt->diameter / SNUB_MM, head = bolt->head / SNUB_MM, washer = bolt->washer / SNUB_MM;
    return json_pack("{s:o, s:o, s:o, s:o}", "name", snub_json_words(bolt->name), "at_mm",
                     snub_json_pair(bolt->at[0] / SNUB_MM, bolt->at[1] / SNUB_MM), "shank_mm", snub_json_number(shank),
                     "head_mm", snub_json_number(head > washer ? head : washer));
}

json_t *serve_mounts(const snub_drive *drive)
{
    const snub_hardware *hardware = drive->hardware;
    json_t *list = json_array();
    for (int m = 0; hardware != NULL && m < hardware->mount_count; m++) {
        const snub_mount *mount = &hardware->mounts[m];
        json_t *corners = json_array(), *bolts = json_array();
        for (int i = 0; i < mount->corners; i++)
            snub_json_append(corners, snub_json_pair(mount->corner[i][0] / SNUB_MM, mount->corner[i][1] / SNUB_MM));
        for (int i = 0; i < mount->bolt_count; i++)
            snub_json_append(bolts, bolt_json(&mount->bolts[i]));
        snub_json_append(list,
                         json_pack("{s:s, s:o, s:o}", "name", mount->name, "corners_mm", corners, "bolts", bolts));
    }
    return list;
}
