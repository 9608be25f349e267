/* What a build is made of, as JSON: the key `contents` of `snub check --json`. */
#include "json_words.h"
#include "snub/contents.h"

static void say(json_t *object, const char *key, const char *text)
{
    snub_json_put(object, key, snub_json_words(text));
}

static json_t *cuts_of(const snub_item *item)
{
    static const char *const ends[] = {"front", "rear", "side"};
    json_t *list = json_array();
    for (int i = 0; i < item->cut_count; i++) {
        const snub_cut *cut = &item->cuts[i];
        json_t *o = json_object();
        const bool point = cut->from == SNUB_CUT_SIDE && cut->towards == NULL;
        say(o, "from", ends[cut->from]);
        snub_json_put_number(o, "depth_mm", cut->depth / SNUB_MM);
        say(o, "towards", cut->towards);
        snub_json_put(o, "towards_mm",
                      point ? snub_json_pair(cut->point[0] / SNUB_MM, cut->point[1] / SNUB_MM) : json_null());
        snub_json_append(list, o);
    }
    return list;
}

static json_t *rework_of(const snub_item *item)
{
    const snub_rework *r = &item->rework;
    json_t *o = json_object();
    if (!r->given && item->cut_count == 0) {
        json_decref(o);
        return json_null();
    }
    say(o, "do", r->task);
    snub_json_put_number(o, "remove_mm", r->given ? r->remove / SNUB_MM : NAN);
    say(o, "where", r->where);
    say(o, "caution", r->caution);
    snub_json_put_number(o, "drill_mm", r->given ? r->drill / SNUB_MM : NAN);
    snub_json_put_number(o, "ream_mm", r->given ? r->ream / SNUB_MM : NAN);
    say(o, "tap", r->tap);
    snub_json_put(o, "taken_off", cuts_of(item));
    return o;
}

static json_t *places_of(const snub_item *item)
{
    json_t *list = json_array();
    for (int i = 0; i < item->place_count; i++) {
        json_t *o = json_object();
        say(o, "name", item->places[i].name);
        say(o, "owner", item->places[i].owner);
        snub_json_put(o, "count", json_integer(item->places[i].count));
        snub_json_append(list, o);
    }
    return list;
}

json_t *snub_json_item(const snub_item *item)
{
    json_t *o = json_object();
    say(o, "kind", snub_item_kind_text(item->kind));
    say(o, "name", item->name);
    say(o, "number", item->number);
    say(o, "part", item->part);
    say(o, "supplier", item->supplier);
    say(o, "supplier_number", item->supplier_number);
    const bool bolt = item->kind == SNUB_ITEM_BOLT;
    snub_json_put_number(o, "diameter_mm", bolt ? NAN : item->diameter / SNUB_MM);
    snub_json_put_number(o, "nominal_diameter_mm", item->nominal / SNUB_MM);
    snub_json_put_number(o, "washer_mm", bolt ? item->diameter / SNUB_MM : NAN);
    snub_json_put_number(o, "inside_mm", item->inside / SNUB_MM);
    snub_json_put_number(o, "length_mm", item->length > 0.0 ? item->length / SNUB_MM : NAN);
    snub_json_put(o, "ribs", item->ribs > 0 ? json_integer(item->ribs) : json_null());
    say(o, "thread", item->thread);
    say(o, "class", item->class_);
    say(o, "finish", item->finish);
    say(o, "material", item->material);
    say(o, "seal", item->seal);
    say(o, "clearance", item->clearance);
    say(o, "note", item->note);
    say(o, "number_also_of", item->clash);
    snub_json_put(o, "supply_given", json_boolean(!item->assumed));
    snub_json_put(o, "rework", rework_of(item));
    return o;
}

static json_t *listed(const snub_item *item)
{
    json_t *o = snub_json_item(item);
    snub_json_put(o, "count", json_integer(item->count));
    snub_json_put(o, "places", places_of(item));
    return o;
}

static json_t *tool_of(const snub_tool *tool)
{
    json_t *o = json_object(), *threads = json_array();
    for (int i = 0; i < tool->thread_count; i++)
        snub_json_append(threads, snub_json_words(tool->threads[i]));
    say(o, "kind", snub_tool_kind_text(tool->kind));
    snub_json_put_number(o, "size_mm", tool->size / SNUB_MM);
    snub_json_put_number(o, "low_N_m", tool->low);
    snub_json_put_number(o, "high_N_m", tool->high);
    snub_json_put(o, "bolts", json_integer(tool->bolts));
    snub_json_put(o, "threads", threads);
    return o;
}

json_t *snub_json_contents(const snub_build *build)
{
    snub_arena arena = {0};
    snub_contents contents;
    json_t *root = json_object(), *tools = json_array();
    if (snub_contents_of(build, &arena, &contents, NULL) != SNUB_OK)
        snub_json_lose();
    const snub_item *item = contents.items;
    for (int how = 0; how < SNUB_SUPPLIES_; how++) {
        json_t *list = json_array();
        for (int i = 0; i < contents.of[how]; i++)
            snub_json_append(list, listed(item++));
        snub_json_put(root, snub_supply_text((snub_supply_how)how), list);
    }
    for (int i = 0; i < contents.tool_count; i++)
        snub_json_append(tools, tool_of(&contents.tools[i]));
    snub_json_put(root, "tools", tools);
    snub_arena_free(&arena);
    return root;
}
