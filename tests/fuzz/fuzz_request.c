/** Fuzz target of what the server reads before it trusts: host, origin, key, path, name and the JSON body.
 *  The first byte chooses. Asserted: nothing outside of the folder is ever a fair name, only our own hosts pass, a
 *  refused body comes with a message, and a change that is taken is a single YAML line that reads as the very value
 * that is settled. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "access.h"
#include "request.h"
#include "study.h"

static void must(bool good)
{
    if (!good)
        abort();
}

static void ask_gate(const char *text)
{
    serve_access gate = {.key = "ABCDEFGHIJKLMNOPQRSTUVWXYZ012345", .port = 7682, .loopback = true};
    const char *methods = NULL;
    if (serve_key_matches(&gate, text))
        must(strcmp(text, gate.key) == 0);
    if (serve_bearer_matches(&gate, text)) {
        const size_t length = strlen(text);
        must(length > SERVE_KEY_LENGTH + 6 && strcmp(text + length - SERVE_KEY_LENGTH, gate.key) == 0 &&
             text[6] == ' ');
    }
    if (serve_host_allowed(&gate, text))
        must(strstr(text, ":7682") != NULL && (strncmp(text, "127.", 4) == 0 || strncmp(text, "localhost:", 10) == 0 ||
                                               strncmp(text, "[::1]:", 6) == 0));
    if (serve_origin_allowed("127.0.0.1:7682", text))
        must(strcmp(text, "http://127.0.0.1:7682") == 0);
    if (serve_name_allowed(text))
        must(text[0] != '/' && text[0] != '.' && strstr(text, "..") != text && strstr(text, "/.") == NULL &&
             strstr(text, "//") == NULL && strchr(text, '\\') == NULL);
    if (serve_new_name_fault(text) == NULL)
        must(serve_name_allowed(text) && text[0] != '-');
    serve_route_of(text, &methods);
    must(methods != NULL);
    must(serve_method_allowed("GET, DELETE", text) ==
         (!strcmp(text, "GET") || !strcmp(text, "DELETE") || !strcmp(text, "HEAD")));
}

static void must_be_alike(const snub_node *a, const snub_node *b)
{
    must(a->kind == b->kind && a->count == b->count);
    if (a->kind == SNUB_SCALAR)
        must(strcmp(a->text, b->text) == 0 && a->quoted == b->quoted);
    for (int i = 0; a->kind != SNUB_SCALAR && i < a->count; i++) {
        must_be_alike(a->items[i], b->items[i]);
        if (a->kind == SNUB_MAP)
            must_be_alike(a->keys[i], b->keys[i]);
    }
}

/* A value of a change goes into the file as text, and into the drive as a node. */
static void ask_change(const snub_change *change, const snub_node *value, snub_arena *arena)
{
    snub_node *read = NULL;
    snub_error error = {0};
    must(strpbrk(change->text, "\r\n") == NULL && change->path[0] != '\0');
    must(snub_node_from_text(change->text, "fuzz", arena, &read, &error) == SNUB_OK);
    must_be_alike(read, value);
}

static void ask_body(const char *body, size_t length)
{
    snub_arena arena;
    serve_request request;
    snub_overlay *overlays = NULL;
    snub_node top = {.kind = SNUB_MAP};
    const snub_document document = {.name = "fuzz", .root = &top};
    const snub_hint *hints = NULL;
    snub_error error = {0};
    snub_arena_init(&arena, 64 << 20);
    if (serve_request_read(body, length, &arena, &request, &error) != SNUB_OK) {
        must(error.message[0] != '\0');
    } else {
        for (int i = 0; i < request.change_count; i++)
            ask_change(&request.changes[i], request.values[i], &arena);
        if (serve_overlays(&request, &document, &arena, &overlays, &hints, &error) != SNUB_OK)
            must(error.message[0] != '\0');
        for (int i = 0; !error.message[0] && i < request.change_count; i++)
            must(overlays[i].value != NULL && overlays[i].path != NULL);
    }
    snub_arena_free(&arena);
}

static void ask_study(const char *body, size_t length)
{
    snub_arena arena;
    serve_study_request wanted;
    snub_error error = {0};
    snub_arena_init(&arena, 64 << 20);
    if (serve_study_read(body, length, &arena, &wanted, &error) != SNUB_OK) {
        must(error.message[0] != '\0');
    } else {
        must(wanted.tolerate.kits >= 1 && wanted.tolerate.kits <= SNUB_TOLERATE_KITS_MOST);
        must(wanted.search.tries == 0 || wanted.search.tries >= SNUB_SEARCH_TRIES_LEAST);
        must(wanted.search.tries <= SNUB_SEARCH_TRIES_MOST);
    }
    snub_arena_free(&arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0)
        return 0;
    char *text = malloc(size);
    must(text != NULL);
    memcpy(text, data + 1, size - 1);
    text[size - 1] = '\0';
    if (data[0] == '{') {
        ask_body((const char *)data, size);
        ask_study((const char *)data, size);
    } else {
        ask_gate(text);
    }
    free(text);
    return 0;
}
