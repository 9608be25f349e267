/* Who may ask, which names are fair, and what a change may say. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "access.h"
#include "request.h"

static const serve_access local = {.key = "ABCDEFGHIJKLMNOPQRSTUVWXYZ012345", .port = 7682, .loopback = true};

static void keys_are_drawn_anew_and_long_enough(void **state)
{
    (void)state;
    serve_access a, b;
    snub_error error;
    assert_int_equal(serve_access_open(&a, 7682, true, &error), SNUB_OK);
    assert_int_equal(serve_access_open(&b, 7682, true, &error), SNUB_OK);
    assert_true(strlen(a.key) * 6 >= 128); /* bits */
    assert_string_not_equal(a.key, b.key);
    assert_true(serve_key_matches(&a, a.key));
    assert_false(serve_key_matches(&a, b.key));
    assert_false(serve_key_matches(&a, ""));
    assert_false(serve_key_matches(&a, NULL));
}

static void hosts(void **state)
{
    (void)state;
    static const struct {
        const char *host;
        bool local, shop;
    } cases[] = {
        {"127.0.0.1:7682", true, true},        {"127.1.2.3:7682", true, true},
        {"localhost:7682", true, true},        {"[::1]:7682", true, true},
        {"192.168.1.20:7682", false, true},    {"[fe80::1]:7682", false, true},
        {"127.0.0.1:7683", false, false},      {"127.0.0.1", false, false},
        {"evil.example:7682", false, false},   {"127.0.0.1.evil.example:7682", false, false},
        {"localhost.evil:7682", false, false}, {"1.2.3:7682", false, false},
        {"256.0.0.1:7682", false, false},      {"0177.0.0.1:7682", false, false},
        {"[evil.example]:7682", false, false}, {"", false, false},
        {"[::1:7682", false, false},           {"127.0.0.1:7682/", false, false},
    };
    serve_access shop = local;
    shop.loopback = false;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bool got = serve_host_allowed(&local, cases[i].host), wide = serve_host_allowed(&shop, cases[i].host);
        if (got != cases[i].local || wide != cases[i].shop)
            fail_msg("host \"%s\": got %d and %d, want %d and %d", cases[i].host, got, wide, cases[i].local,
                     cases[i].shop);
    }
    assert_false(serve_host_allowed(&local, NULL));
}

static void origins(void **state)
{
    (void)state;
    assert_true(serve_origin_allowed("127.0.0.1:7682", NULL));
    assert_true(serve_origin_allowed("127.0.0.1:7682", "http://127.0.0.1:7682"));
    assert_false(serve_origin_allowed("127.0.0.1:7682", "http://localhost:7682"));
    assert_false(serve_origin_allowed("127.0.0.1:7682", "https://127.0.0.1:7682"));
    assert_false(serve_origin_allowed("127.0.0.1:7682", "null"));
    assert_false(serve_origin_allowed("127.0.0.1:7682", ""));
}

static void bearers(void **state)
{
    (void)state;
    static const struct {
        const char *header;
        bool good;
    } cases[] = {
        {"Bearer ABCDEFGHIJKLMNOPQRSTUVWXYZ012345", true},
        {"bEARER  ABCDEFGHIJKLMNOPQRSTUVWXYZ012345", true},
        {"BearerABCDEFGHIJKLMNOPQRSTUVWXYZ012345", false},
        {"Bearer\tABCDEFGHIJKLMNOPQRSTUVWXYZ012345", false},
        {" Bearer ABCDEFGHIJKLMNOPQRSTUVWXYZ012345", false},
        {"Basic ABCDEFGHIJKLMNOPQRSTUVWXYZ012345", false},
        {"ABCDEFGHIJKLMNOPQRSTUVWXYZ012345", false},
        {"Bearer ABCDEFGHIJKLMNOPQRSTUVWXYZ01234", false},
        {"Bearer ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456", false},
        {"Bearer ABCDEFGHIJKLMNOPQRSTUVWXYZ012345 ", false},
        {"Bearer BBCDEFGHIJKLMNOPQRSTUVWXYZ012345", false},
        {"Bearer ABCDEFGHIJKLMNOPQRSTUVWXYZ012346", false},
        {"Bearer ABCDEFGHIJKLMNOPqRSTUVWXYZ012345", false},
        {"Bearer ", false},
        {"Bearer", false},
        {"Bear", false},
        {"", false},
        {NULL, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        if (serve_bearer_matches(&local, cases[i].header) != cases[i].good)
            fail_msg("\"%s\": want %d", cases[i].header ? cases[i].header : "(none)", cases[i].good);
}

static void names(void **state)
{
    (void)state;
    static const char *const fair[] = {"kit.yaml", "sub/kit.yml", "Sedgemere 2.yaml", "a..b.yaml", "r\xc3\xb6.yaml"};
    static const char *const foul[] = {"",           "../kit.yaml", "sub/../kit.yaml", "/kit.yaml", "sub//kit.yaml",
                                       "./kit.yaml", ".kit.yaml",   "kit.txt",         "kit.yaml/", "sub\\kit.yaml",
                                       "kit\n.yaml", ".yaml",       "sub/.yaml"};
    for (size_t i = 0; i < sizeof fair / sizeof *fair; i++)
        if (!serve_name_allowed(fair[i]))
            fail_msg("\"%s\" is a fair name", fair[i]);
    for (size_t i = 0; i < sizeof foul / sizeof *foul; i++)
        if (serve_name_allowed(foul[i]))
            fail_msg("\"%s\" is no fair name", foul[i]);
    assert_false(serve_name_allowed(NULL));
    for (size_t i = 0; i < sizeof fair / sizeof *fair; i++)
        if (serve_new_name_fault(fair[i]))
            fail_msg("\"%s\" is a fair name for a new file, but: %s", fair[i], serve_new_name_fault(fair[i]));
    for (size_t i = 0; i < sizeof foul / sizeof *foul; i++)
        if (!serve_new_name_fault(foul[i]))
            fail_msg("\"%s\" is no fair name for a new file", foul[i]);
    assert_non_null(serve_new_name_fault(NULL));
    assert_non_null(serve_new_name_fault("-kit.yaml"));
    assert_non_null(serve_new_name_fault("sub/-kit.yaml"));
    assert_null(serve_new_name_fault("k-it.yaml"));
}

/* Value as the page sends it -> text as the drive file gets it. */
static void values(void **state)
{
    (void)state;
    static const struct {
        const char *json, *yaml;
    } cases[] = {
        {"75", "75"},
        {"0.1", "0.1"},
        {"361.5", "361.5"},
        {"-12.25", "-12.25"},
        {"[0, 361.5]", "[0, 361.5]"},
        {"\"3.15 in\"", "3.15 in"},
        {"\"75\"", "\"75\""},
        {"true", "true"},
        {"\"true\"", "\"true\""},
        {"\"a: b\"", "\"a: b\""},
        {"\"say \\\"x\\\"\"", "\"say \\\"x\\\"\""},
        {"1e-7", "1e-07"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        snub_arena arena;
        snub_text body = {0};
        serve_request request;
        snub_error error = {0};
        snub_arena_init(&arena, 0);
        snub_text_printf(&body, "{\"changes\":[{\"path\":\"a\",\"value\":%s}]}", cases[i].json);
        if (serve_request_read(body.data, body.length, &arena, &request, &error))
            fail_msg("%s: %s", cases[i].json, error.message);
        if (strcmp(request.changes[0].text, cases[i].yaml))
            fail_msg("%s: got %s, want %s", cases[i].json, request.changes[0].text, cases[i].yaml);
        snub_text_free(&body);
        snub_arena_free(&arena);
    }
}

static void a_refused_allocation_is_told(void **state)
{
    (void)state;
    static const char body[] =
        "{\"file\":\"a.yaml\",\"text\":\"snub: 1\",\"way\":\"rising\",\"changes\":[{\"path\":\"a\",\"value\":[1,2]}]}";
    int refused = 0;
    for (long n = 1; n < 50; n++) {
        snub_arena arena;
        serve_request request;
        snub_error error = {0};
        snub_arena_init(&arena, 0);
        arena.refuse_after = n;
        snub_status status = serve_request_read(body, sizeof body - 1, &arena, &request, &error);
        snub_arena_free(&arena);
        if (status == SNUB_OK)
            break;
        assert_int_equal(status, SNUB_NO_MEMORY);
        refused++;
    }
    assert_true(refused >= 5);
}

static void gzip_where_it_is_accepted(void **context)
{
    (void)context;
    assert_true(serve_takes_gzip("gzip"));
    assert_true(serve_takes_gzip("br;q=1.0, GZip;q=0.2, *;q=0"));
    assert_true(serve_takes_gzip("deflate,gzip ; q=0.001"));
    assert_false(serve_takes_gzip(NULL));
    assert_false(serve_takes_gzip(""));
    assert_false(serve_takes_gzip("gzip;q=0"));
    assert_false(serve_takes_gzip("gzip; q=0.000, br"));
    assert_false(serve_takes_gzip("gzipped, x-gzip"));
}

static void routes(void **state)
{
    (void)state;
    const char *methods;
    assert_int_equal(serve_route_of("/api/save", &methods), SERVE_ROUTE_SAVE);
    assert_string_equal(methods, "POST");
    assert_int_equal(serve_route_of("/api/save/", &methods), SERVE_ROUTE_NONE);
    assert_int_equal(serve_route_of("/page.js", &methods), SERVE_ROUTE_ASSET);
    assert_int_equal(serve_route_of("api/lay", &methods), SERVE_ROUTE_NONE);
    static const char *const open[] = {"/", "/page.js", "/problem/no-key", "/anything"};
    static const char *const shut[] = {
        "/api/folder", "/api/drive", "/api/lay", "/api/sweep", "/api/apply", "/api/save",
        "/api/chart",  "/api/job",   "/api/x",   "/api/",      "/api/begin", "/api/papers",
        "/api/paper",  "/api/log",   "api/lay",  "",           "*",          "/api/motion"};
    for (size_t i = 0; i < sizeof open / sizeof *open; i++)
        assert_false(serve_route_needs_key(serve_route_of(open[i], NULL)));
    for (size_t i = 0; i < sizeof shut / sizeof *shut; i++)
        assert_true(serve_route_needs_key(serve_route_of(shut[i], NULL)));
    assert_true(serve_method_allowed("GET, DELETE", "DELETE"));
    assert_true(serve_method_allowed("GET, DELETE", "HEAD"));
    assert_false(serve_method_allowed("GET, DELETE", "GET, DELETE"));
    assert_false(serve_method_allowed("GET", "GE"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keys_are_drawn_anew_and_long_enough),
        cmocka_unit_test(hosts),
        cmocka_unit_test(origins),
        cmocka_unit_test(bearers),
        cmocka_unit_test(names),
        cmocka_unit_test(values),
        cmocka_unit_test(a_refused_allocation_is_told),
        cmocka_unit_test(gzip_where_it_is_accepted),
        cmocka_unit_test(routes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
