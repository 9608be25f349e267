#include "http.h"

#include <errno.h>
#include <microhttpd.h>
#include <stdlib.h>
#include <string.h>

#include "accept.h"
#include "assets.h"
#include "begin.h"
#include "chart_process.h"
#include "received.h"
#include "refused.h"
#include "snub/cautions.h"
#include "snub/json.h"

/* One request on its way in. */
typedef struct exchange {
    snub_text body;
    size_t counted; /* of server->bodies */
    bool refused;
    serve_answer answer;
} exchange;

static const char policy[] = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src "
                             "'self' blob: data:; connect-src 'self'; "
                             "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

static void add_headers(struct MHD_Response *response)
{
    static const char *const fixed[][2] = {
        {"Content-Security-Policy", policy},
        {"X-Content-Type-Options", "nosniff"},
        {"Referrer-Policy", "no-referrer"},
        {"Cross-Origin-Opener-Policy", "same-origin"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
        {"Permissions-Policy", "camera=(), microphone=(), geolocation=()"},
        {"X-Frame-Options", "DENY"},
    };
    for (size_t i = 0; i < sizeof fixed / sizeof *fixed; i++)
        MHD_add_response_header(response, fixed[i][0], fixed[i][1]);
}

static serve_place *place_of(struct MHD_Connection *connection)
{
    const union MHD_ConnectionInfo *info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    return info ? info->socket_context : NULL;
}

static void wait_for_client(serve_server *server, struct MHD_Connection *connection, bool waiting)
{
    serve_connections_mark(&server->connections, place_of(connection), waiting);
}

/* Send a response, which is given back; where memory was refused on the way to it, one that was made at the start: the
 * response may lack a part, or be NULL.
 * The connection ends after an error, since what follows may be the body of what was refused, and where more came in
 * than the request: what stands behind it was sent without waiting for us, and is not taken for a request. */
static enum MHD_Result queue(serve_server *server, struct MHD_Connection *connection, unsigned status,
                             struct MHD_Response *response, const serve_answer *answer)
{
    const serve_place *place = place_of(connection);
    const bool last = status >= 400 || !place || serve_received_more(place->socket, place->taken);
    if (response && last)
        MHD_add_response_header(response, "Connection", "close");
    const bool whole = response && !memory_refused(), written = answer && answer->written;
    if (!whole && answer && answer->job)
        serve_job_drop(&server->jobs, answer->job); /* nobody will ask for it */
    wait_for_client(server, connection, true);
    enum MHD_Result result = MHD_queue_response(connection, whole ? status : MHD_HTTP_SERVICE_UNAVAILABLE,
                                                whole ? response : server->no_memory[written]);
    if (response)
        MHD_destroy_response(response);
    return result;
}

static enum MHD_Result send_answer(serve_server *server, struct MHD_Connection *connection, serve_answer *answer,
                                   const char *allow)
{
    bool problem = answer->status >= 400;
    size_t length = answer->body.length;
    char *data = answer->body.data ? answer->body.data : "";
    if (answer->body.failed || !answer->status)
        return queue(server, connection, 0, NULL, answer);
    struct MHD_Response *response = MHD_create_response_from_buffer(
        length, data, answer->body.data ? MHD_RESPMEM_MUST_FREE : MHD_RESPMEM_PERSISTENT);
    if (!response)
        return queue(server, connection, 0, NULL, answer);
    answer->body = (snub_text){0};
    add_headers(response);
    MHD_add_response_header(response, "Content-Type", problem ? "application/problem+json" : "application/json");
    MHD_add_response_header(response, "Cache-Control", "no-store");
    if (answer->etag[0])
        MHD_add_response_header(response, "ETag", answer->etag);
    if (allow)
        MHD_add_response_header(response, "Allow", allow);
    if (answer->status == 401)
        MHD_add_response_header(response, "WWW-Authenticate", "Bearer realm=\"snub\"");
    if (answer->status == 503)
        MHD_add_response_header(response, "Retry-After", "1");
    return queue(server, connection, answer->status, response, answer);
}

static enum MHD_Result refuse(serve_server *server, struct MHD_Connection *connection, serve_problem problem,
                              const char *detail, const char *allow)
{
    serve_answer answer = {0};
    serve_answer_problem(&answer, problem, detail);
    enum MHD_Result result = send_answer(server, connection, &answer, allow);
    snub_text_free(&answer.body);
    return result;
}

static const char *header(struct MHD_Connection *connection, const char *name)
{
    return MHD_lookup_connection_value(connection, MHD_HEADER_KIND, name);
}

typedef struct count {
    const char *name;
    int found;
} count;

static enum MHD_Result count_header(void *context, enum MHD_ValueKind kind, const char *key, const char *value)
{
    count *counted = context;
    (void)kind;
    (void)value;
    const char *a = key, *b = counted->name;
    while (*a && *b && (*a | 32) == (*b | 32))
        a++, b++;
    counted->found += !*a && !*b;
    return MHD_YES;
}

static int times(struct MHD_Connection *connection, const char *name)
{
    count counted = {name, 0};
    MHD_get_connection_values(connection, MHD_HEADER_KIND, count_header, &counted);
    return counted.found;
}

static bool once(struct MHD_Connection *connection, const char *name)
{
    return times(connection, name) <= 1;
}

static bool has_key(const serve_server *server, struct MHD_Connection *connection)
{
    return once(connection, "Authorization") &&
           serve_bearer_matches(&server->access, header(connection, "Authorization"));
}

/* Who asks? True when the request may go on; else a response is queued. */
static bool pass_gate(serve_server *server, struct MHD_Connection *connection, const char *path, const char *method,
                      enum MHD_Result *result)
{
    const char *host = header(connection, "Host"), *origin = header(connection, "Origin");
    const char *site = header(connection, "Sec-Fetch-Site");
    bool reads = serve_method_allowed("GET", method);
    if (!once(connection, "Host") || !serve_host_allowed(&server->access, host)) {
        *result = refuse(server, connection, SERVE_WRONG_HOST, NULL, NULL);
    } else if (!once(connection, "Origin") || !serve_origin_allowed(host, origin) ||
               (site && strcmp(site, "same-origin") && strcmp(site, "none") && (!reads || strcmp(path, "/")))) {
        *result = refuse(server, connection, SERVE_WRONG_ORIGIN, NULL, NULL);
    } else if (has_key(server, connection)) {
        serve_connections_show_key(&server->connections, place_of(connection));
        wait_for_client(server, connection, true); /* for the body */
        return true;
    } else if (serve_route_needs_key(serve_route_of(path, NULL))) {
        *result = refuse(server, connection, SERVE_NO_KEY, NULL, NULL);
    } else {
        return true;
    }
    return false;
}

static enum MHD_Result send_asset(serve_server *server, struct MHD_Connection *connection, const char *path)
{
    const serve_asset *asset = serve_assets;
    const char *wanted = strcmp(path, "/") ? path : "/index.html";
    while (asset->path && strcmp(asset->path, wanted))
        asset++;
    if (!asset->path)
        return refuse(server, connection, SERVE_NOT_FOUND, NULL, NULL);
    const char *known = header(connection, "If-None-Match");
    bool same = known && !strcmp(known, asset->etag);
    const bool packed = !same && asset->packed && serve_takes_gzip(header(connection, "Accept-Encoding"));
    const unsigned char *data = packed ? asset->packed : asset->data;
    struct MHD_Response *response = MHD_create_response_from_buffer(same     ? 0
                                                                    : packed ? asset->packed_length
                                                                             : asset->length,
                                                                    (void *)(size_t)data, MHD_RESPMEM_PERSISTENT);
    if (!response)
        return queue(server, connection, 0, NULL, NULL);
    add_headers(response);
    MHD_add_response_header(response, "Content-Type", asset->type);
    if (packed)
        MHD_add_response_header(response, "Content-Encoding", "gzip");
    MHD_add_response_header(response, "Vary", "Accept-Encoding");
    MHD_add_response_header(response, "Cache-Control", "no-cache");
    MHD_add_response_header(response, "ETag", asset->etag);
    return queue(server, connection, same ? 304 : 200, response, NULL);
}

/* What the program itself makes. */
static void make_files(serve_server *server, serve_worker *worker, serve_route route, exchange *one)
{
    serve_paper *paper = NULL;
    if (!server->program)
        serve_answer_problem(&one->answer, SERVE_NOT_FOUND, NULL);
    else if (route == SERVE_ROUTE_BEGIN)
        serve_begin(worker, server->program, &server->examples, one->body.data, one->body.length, &one->answer);
    else if (serve_paper_read(server->program, &server->folder, one->body.data, one->body.length, &paper, &one->answer))
        serve_job_paper(&server->jobs, paper, &one->answer);
    snub_arena_free(&worker->arena);
}

static void answer_post(serve_lane *lane, struct MHD_Connection *connection, serve_route route, exchange *one)
{
    serve_server *server = lane->server;
    const char *word = route == SERVE_ROUTE_CHART    ? SERVE_CHART_WORD
                       : route == SERVE_ROUTE_MOTION ? SERVE_MOTION_WORD
                       : route == SERVE_ROUTE_STUDY  ? SERVE_STUDY_WORD
                                                     : NULL;
    if (word) {
        serve_job_start(&server->jobs, word, one->body.data ? one->body.data : "", one->body.length, &one->answer);
        return;
    }
    serve_worker *worker = &lane->worker;
    if (route == SERVE_ROUTE_PAPER || route == SERVE_ROUTE_BEGIN) {
        make_files(server, worker, route, one);
        return;
    }
    serve_request request;
    snub_error error = {0};
    snub_status status = serve_request_read(one->body.data, one->body.length, &worker->arena, &request, &error);
    if (status) {
        serve_problem problem = status == SNUB_NO_MEMORY   ? SERVE_NO_MEMORY
                                : status == SNUB_TOO_LARGE ? SERVE_BODY_LARGE
                                                           : SERVE_BAD_REQUEST;
        serve_answer_error(&one->answer, problem, &error, one->body.data, one->body.length);
    } else if (route == SERVE_ROUTE_LAY) {
        serve_lay(worker, &request, &one->answer);
    } else if (route == SERVE_ROUTE_ENTRIES) {
        serve_entries(worker, &request, &one->answer);
    } else if (route == SERVE_ROUTE_SWEEP) {
        serve_sweep(worker, &request, &one->answer);
    } else if (route == SERVE_ROUTE_SNAPSHOT) {
        serve_snapshot(worker, &request, &one->answer);
    } else if (route == SERVE_ROUTE_LOG) {
        serve_log(worker, &request, one->body.data, one->body.length, &one->answer);
    } else if (route == SERVE_ROUTE_APPLY) {
        serve_apply(worker, &request, &one->answer);
    } else {
        const char *match = header(connection, "If-Match"), *none = header(connection, "If-None-Match");
        pthread_mutex_lock(&server->saving);
        serve_save(worker, &server->folder, &request, match, !match && none && !strcmp(none, "*"), &one->answer);
        pthread_mutex_unlock(&server->saving);
    }
    if (worker->arena.refused && !one->answer.written) {
        snub_text_free(&one->answer.body);
        one->answer = (serve_answer){0};
        serve_answer_problem(&one->answer, SERVE_NO_MEMORY, NULL);
    }
    snub_arena_free(&worker->arena);
}

/* Those of every build: the page has them before it has read a file, and where it cannot. */
static void add_cautions(snub_text *out)
{
    json_t *cautions = snub_json_cautions(snub_cautions_always(), 0);
    if (snub_json_text(cautions, SNUB_JSON_COMPACT, out, NULL) != SNUB_OK)
        out->failed = true;
    json_decref(cautions);
}

static void answer_folder(serve_server *server, serve_answer *answer)
{
    char **names;
    int found = serve_folder_list(&server->folder, &names);
    snub_text *out = &answer->body;
    if (found < 0) {
        snub_error error;
        snub_fail(&error, SNUB_IO, NULL, NULL, "cannot read the folder: %s", strerror(errno));
        serve_answer_error(answer, SERVE_DISK, &error, NULL, 0);
        return;
    }
    answer->status = 200;
    snub_text_puts(out, "{\"files\":[");
    for (int i = 0; i < found; i++) {
        if (i)
            snub_text_puts(out, ",");
        serve_json_text(out, names[i]);
        free(names[i]);
    }
    free(names);
    snub_text_puts(out, "],\"first\":");
    if (server->folder.first)
        serve_json_text(out, server->folder.first);
    else
        snub_text_puts(out, "null");
    snub_text_puts(out, ",\"language\":");
    serve_json_text(out, server->language.code);
    snub_text_puts(out, ",\"cautions\":");
    add_cautions(out);
    snub_text_puts(out, "}");
}

static void answer_drive(serve_server *server, struct MHD_Connection *connection, serve_answer *answer)
{
    const char *name = MHD_lookup_connection_value(connection, MHD_GET_ARGUMENT_KIND, "file");
    const char *known = header(connection, "If-None-Match");
    char *data = NULL;
    size_t length = 0;
    snub_error error = {0};
    if (!name)
        name = server->folder.first;
    snub_status status = serve_folder_read(&server->folder, name, &data, &length, answer->etag, &error);
    if (status) {
        answer->etag[0] = '\0';
        serve_answer_error(answer, status == SNUB_BAD_INPUT ? SERVE_NOT_FOUND : SERVE_DISK, &error, NULL, 0);
    } else if (known && !strcmp(known, answer->etag)) {
        answer->status = 304;
    } else {
        serve_answer_drive(answer, name, data, length, NULL, NULL);
    }
    free(data);
}

/* Lists that the program gives. */
static void answer_list(serve_lane *lane, serve_route route, serve_answer *answer)
{
    const serve_server *server = lane->server;
    snub_arena *arena = &lane->worker.arena;
    if (!server->program)
        serve_answer_problem(answer, SERVE_NOT_FOUND, NULL);
    else if (route == SERVE_ROUTE_BEGIN)
        serve_beginnings(&lane->worker, server->program, &server->examples, answer);
    else
        serve_answer_json(answer, server->program->papers(arena));
    snub_arena_free(arena);
}

static void answer_get(serve_lane *lane, struct MHD_Connection *connection, serve_route route, const char *method,
                       exchange *one)
{
    serve_server *server = lane->server;
    const char *id = MHD_lookup_connection_value(connection, MHD_GET_ARGUMENT_KIND, "id");
    unsigned long number = id && strspn(id, "0123456789") == strlen(id) && strlen(id) < 10 ? strtoul(id, NULL, 10) : 0;
    if (route == SERVE_ROUTE_FOLDER)
        answer_folder(server, &one->answer);
    else if (route == SERVE_ROUTE_KEYS)
        serve_keys(&server->language, &one->answer);
    else if (route == SERVE_ROUTE_BEGIN || route == SERVE_ROUTE_PAPERS)
        answer_list(lane, route, &one->answer);
    else if (route == SERVE_ROUTE_DRIVE)
        answer_drive(server, connection, &one->answer);
    else if (!strcmp(method, "DELETE"))
        serve_job_stop(&server->jobs, (unsigned)number, &one->answer);
    else
        serve_job_look(&server->jobs, (unsigned)number, &one->answer);
}

static enum MHD_Result send_problem_text(serve_server *server, struct MHD_Connection *connection, const char *path)
{
    const char *text = serve_problem_text(path);
    if (!text)
        return refuse(server, connection, SERVE_NOT_FOUND, NULL, NULL);
    struct MHD_Response *response =
        MHD_create_response_from_buffer(strlen(text), (void *)(size_t)text, MHD_RESPMEM_PERSISTENT);
    if (!response)
        return queue(server, connection, 0, NULL, NULL);
    add_headers(response);
    MHD_add_response_header(response, "Content-Type", "text/plain; charset=utf-8");
    return queue(server, connection, 200, response, NULL);
}

static bool is_json(const char *type)
{
    static const char json[] = "application/json";
    return type && !strncmp(type, json, sizeof json - 1) &&
           (type[sizeof json - 1] == '\0' || type[sizeof json - 1] == ';' || type[sizeof json - 1] == ' ');
}

static void count_head(struct MHD_Connection *connection)
{
    const union MHD_ConnectionInfo *info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_REQUEST_HEADER_SIZE);
    serve_place *place = place_of(connection);
    if (info && place)
        place->taken += info->header_size;
}

/* First call, with the headers complete: everything that can be refused without the body is refused here. */
static bool begin(serve_server *server, struct MHD_Connection *connection, const char *path, const char *method,
                  exchange *one, enum MHD_Result *result)
{
    const char *methods;
    serve_route route = serve_route_of(path, &methods);
    one->refused = true;
    count_head(connection);
    if (!pass_gate(server, connection, path, method, result))
        return false;
    const char *length = header(connection, "Content-Length");
    if (!once(connection, "Content-Length") || times(connection, "Transfer-Encoding"))
        *result = refuse(server, connection, SERVE_FRAMING, NULL, NULL);
    else if (route == SERVE_ROUTE_NONE)
        *result = refuse(server, connection, SERVE_NOT_FOUND, NULL, NULL);
    else if (!serve_method_allowed(methods, method))
        *result = refuse(server, connection, SERVE_METHOD, NULL, methods);
    else if (length && (strlen(length) > 9 || strtoul(length, NULL, 10) > SERVE_BODY_MOST))
        *result = refuse(server, connection, SERVE_BODY_LARGE, NULL, NULL);
    else if (!strcmp(method, "POST") && !is_json(header(connection, "Content-Type")))
        *result = refuse(server, connection, SERVE_MEDIA_TYPE, NULL, NULL);
    else
        one->refused = false;
    return !one->refused;
}

/* A body that grew too large is swallowed; the refusal goes out once it has ended. */
static void take_body(serve_server *server, exchange *one, const char *data, size_t size)
{
    if (one->answer.status)
        return; /* already failed: swallow the rest */
    bool own = one->body.length + size > SERVE_BODY_MOST;
    bool all = !own && atomic_fetch_add(&server->bodies, size) + size > SERVE_BODIES_MOST;
    if (!own)
        one->counted += size;
    if (!own && !all)
        snub_text_add(&one->body, data, size);
    if (own)
        serve_answer_problem(&one->answer, SERVE_BODY_LARGE, NULL);
    else if (all || one->body.failed)
        serve_answer_problem(&one->answer, one->body.failed ? SERVE_NO_MEMORY : SERVE_BUSY, NULL);
}

static enum MHD_Result finish(serve_lane *lane, struct MHD_Connection *connection, const char *path, const char *method,
                              exchange *one)
{
    serve_server *server = lane->server;
    const char *methods;
    serve_route route = serve_route_of(path, &methods);
    wait_for_client(server, connection, false);
    if (one->answer.status)
        return send_answer(server, connection, &one->answer, NULL);
    if (route == SERVE_ROUTE_ASSET)
        return send_asset(server, connection, path);
    if (route == SERVE_ROUTE_PROBLEM)
        return send_problem_text(server, connection, path);
    snub_json_begin();
    atomic_store(&lane->busy, true);
    if (!strcmp(method, "POST"))
        answer_post(lane, connection, route, one);
    else
        answer_get(lane, connection, route, method, one);
    atomic_store(&lane->busy, false);
    return send_answer(server, connection, &one->answer, NULL);
}

static enum MHD_Result handle(void *context, struct MHD_Connection *connection, const char *path, const char *method,
                              const char *version, const char *data, size_t *size, void **state)
{
    serve_lane *lane = context;
    serve_server *server = lane->server;
    exchange *one = *state;
    (void)version;
    memory_begin();
    if (!one) {
        enum MHD_Result result = MHD_YES;
        if (!(one = calloc(1, sizeof *one)))
            return queue(server, connection, 0, NULL, NULL);
        *state = one;
        return begin(server, connection, path, method, one, &result) ? MHD_YES : result;
    }
    if (one->refused)
        return MHD_NO;
    if (*size) {
        serve_place *place = place_of(connection);
        if (place)
            place->taken += *size;
        take_body(server, one, data, *size);
        *size = 0;
        return MHD_YES;
    }
    return finish(lane, connection, path, method, one);
}

static void completed(void *context, struct MHD_Connection *connection, void **state,
                      enum MHD_RequestTerminationCode code)
{
    serve_lane *lane = context;
    serve_server *server = lane->server;
    exchange *one = *state;
    (void)code;
    wait_for_client(server, connection, true); /* for the next request */
    if (!one)
        return;
    atomic_fetch_sub(&server->bodies, one->counted);
    snub_text_free(&one->body);
    snub_text_free(&one->answer.body);
    free(one);
    *state = NULL;
}

static void connected(void *context, struct MHD_Connection *connection, void **socket_context,
                      enum MHD_ConnectionNotificationCode code)
{
    serve_lane *lane = context;
    serve_connections *connections = &lane->server->connections;
    if (code == MHD_CONNECTION_NOTIFY_STARTED) {
        const union MHD_ConnectionInfo *info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
        *socket_context = info ? serve_connections_find(connections, info->connect_fd) : NULL;
    } else {
        serve_connections_remove(connections, *socket_context);
        *socket_context = NULL;
        atomic_fetch_sub(&lane->connections, 1);
    }
}

static struct MHD_Response *no_memory(bool written)
{
#define NO_MEMORY(detail)                                                                                              \
    "{\"type\":\"/problem/no-memory\",\"title\":\"Out of memory\",\"status\":503,\"detail\":\"" detail                 \
    "\",\"errors\":[],\"more\":0}"
    static const char *const words[] = {
        NO_MEMORY("The computer ran out of memory for this answer. Close other programs, then try again."),
        NO_MEMORY("The file was saved, but the computer ran out of memory for the answer. Close other programs, then "
                  "open the file again."),
    };
    struct MHD_Response *response =
        MHD_create_response_from_buffer(strlen(words[written]), (void *)(size_t)words[written], MHD_RESPMEM_PERSISTENT);
    if (!response)
        return NULL;
    add_headers(response);
    MHD_add_response_header(response, "Content-Type", "application/problem+json");
    MHD_add_response_header(response, "Cache-Control", "no-store");
    MHD_add_response_header(response, "Retry-After", "1");
    MHD_add_response_header(response, "Connection", "close");
    return response;
}

static bool start_lane(serve_lane *lane)
{
    enum { CLOSING = 64 }; /* a place is free a moment before the library has counted its connection out */
    const unsigned flags = MHD_USE_AUTO_INTERNAL_THREAD | MHD_USE_NO_LISTEN_SOCKET | MHD_USE_ITC;
    lane->daemon = MHD_start_daemon(
        flags, 0, NULL, NULL, handle, lane, MHD_OPTION_CONNECTION_LIMIT, (unsigned)(SERVE_PLACES_MOST + CLOSING),
        MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)SERVE_HEADER_MEMORY, MHD_OPTION_STRICT_FOR_CLIENT, 1,
        MHD_OPTION_NOTIFY_COMPLETED, completed, lane, MHD_OPTION_NOTIFY_CONNECTION, connected, lane, MHD_OPTION_END);
    return lane->daemon != NULL;
}

snub_status serve_http_start(serve_server *server, snub_error *error)
{
    for (int i = 0; i < 2; i++)
        server->no_memory[i] = no_memory(i);
    if (!server->no_memory[0] || !server->no_memory[1])
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    memory_note_only(); /* from here on a request that gets none is refused, and the others go on */
    bool started = true;
    for (int i = 0; i < SERVE_WORKERS && started; i++)
        started = start_lane(&server->lane[i]);
    if (started && serve_accept_start(server))
        return SNUB_OK;
    return snub_fail(error, SNUB_IO, NULL, NULL, "the server's threads could not be started");
}

void serve_http_stop(serve_server *server)
{
    serve_accept_stop(server);
    serve_connections_end(&server->connections);
    for (int i = 0; i < SERVE_WORKERS; i++) {
        if (server->lane[i].daemon)
            MHD_stop_daemon(server->lane[i].daemon);
        server->lane[i].daemon = NULL;
    }
    for (int i = 0; i < 2; i++) {
        if (server->no_memory[i])
            MHD_destroy_response(server->no_memory[i]);
        server->no_memory[i] = NULL;
    }
}
