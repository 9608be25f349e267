/* Who holds a place, who leaves for whom, and how long anybody is waited for. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include "connections.h"

enum { FILES_FEW = SERVE_FILES_LEAST, SOME_MS = 20, PAIRS = 128, ERA_MS = 1000 };

static struct {
    int ours, theirs;
} pairs[PAIRS];
static int pair_count;
static serve_connections all;

static int open_all(void **state)
{
    (void)state;
    pair_count = 0;
    return serve_connections_init(&all, FILES_FEW) ? 0 : -1;
}

static int close_all(void **state)
{
    (void)state;
    for (int i = 0; i < pair_count; i++) {
        close(pairs[i].ours);
        close(pairs[i].theirs);
    }
    serve_connections_destroy(&all);
    return 0;
}

static serve_place *from(uint32_t address)
{
    struct sockaddr_in at = {.sin_family = AF_INET};
    int both[2];
    at.sin_addr.s_addr = htonl(address);
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, both), 0);
    pairs[pair_count].ours = both[0];
    pairs[pair_count++].theirs = both[1];
    return serve_connections_add(&all, both[0], (const struct sockaddr *)(const void *)&at, SOME_MS);
}

/* Comes `age` ms ago. */
static serve_place *older(uint32_t address, long long age)
{
    serve_place *place = from(address);
    assert_non_null(place);
    place->since -= age;
    return place;
}

/* Has the client's end been told that it is over? */
static bool is_out(int pair)
{
    char byte;
    return recv(pairs[pair].theirs, &byte, 1, MSG_DONTWAIT) == 0;
}

static int out_count(void)
{
    int count = 0;
    for (int i = 0; i < pair_count; i++)
        count += is_out(i);
    return count;
}

enum { HERE = 0x7f000001, ANN = 0x0a000001, BOB = 0x0a000002 };

static void the_longest_wait_leaves(void **state)
{
    (void)state;
    for (int i = 0; i < all.strangers_most; i++)
        older(HERE, ERA_MS * (i == 3 ? 2 : 1));
    assert_int_equal(out_count(), 0);
    assert_non_null(from(HERE));
    assert_int_equal(out_count(), 1);
    assert_true(is_out(3));
    assert_int_equal(all.strangers, all.strangers_most);
}

static void a_request_starts_the_wait_anew(void **state)
{
    (void)state;
    serve_place *first = older(HERE, 5 * ERA_MS);
    for (int i = 1; i < all.strangers_most; i++)
        older(HERE, ERA_MS);
    serve_connections_mark(&all, first, false);
    assert_int_equal(first->since, 0);
    assert_non_null(from(HERE)); /* while we work for it */
    assert_false(is_out(0));
    serve_connections_mark(&all, first, true);
    assert_true(first->since > 0);
    assert_non_null(from(HERE));
    assert_false(is_out(0));
    assert_int_equal(out_count(), 2);
}

static void nobody_leaves_at_once(void **state)
{
    (void)state;
    for (int i = 0; i < all.strangers_most; i++)
        older(HERE, -ERA_MS); /* a slow machine has not waited for them yet either */
    assert_null(from(HERE));
    assert_int_equal(out_count(), 0);
}

static void the_key_keeps_the_place(void **state)
{
    (void)state;
    serve_place *owner = older(HERE, 9 * ERA_MS);
    serve_connections_show_key(&all, owner);
    serve_connections_show_key(&all, owner); /* with every request */
    assert_int_equal(all.strangers, 0);
    assert_int_equal(all.keyed, 1);
    for (int i = 0; i < 3 * all.strangers_most; i++) {
        serve_place *place = older(HERE, ERA_MS);
        if (i % 3 == 0)
            serve_connections_remove(&all, place);
        for (int k = 0; k < all.places; k++) /* the library closes what was shut down */
            if (all.place[k].socket >= 0 && all.place[k].leaving)
                serve_connections_remove(&all, &all.place[k]);
    }
    assert_false(is_out(0));
    assert_true(out_count() > all.strangers_most / 2);
    assert_int_equal(all.keyed, 1);
}

static void too_many_with_the_key(void **state)
{
    (void)state;
    for (int i = 0; i <= all.keyed_most; i++)
        serve_connections_show_key(&all, older(HERE, i == 2 ? 5 * ERA_MS : ERA_MS));
    assert_int_equal(out_count(), 1);
    assert_true(is_out(2));
    serve_connections_show_key(&all, serve_connections_find(&all, pairs[0].ours)); /* again: nobody leaves for that */
    assert_int_equal(out_count(), 1);
    assert_int_equal(all.keyed, all.keyed_most);
}

static void the_address_that_holds_most_gives_way(void **state)
{
    (void)state;
    older(BOB, (all.strangers_most + 1LL) * ERA_MS);
    for (int i = 1; i < all.strangers_most; i++)
        older(ANN, ERA_MS * i);
    assert_non_null(from(BOB));
    assert_false(is_out(0));
    assert_true(is_out(all.strangers_most - 1));
}

static void this_machine_is_one_address(void **state)
{
    (void)state;
    older(ANN, 9 * ERA_MS);
    older(ANN, 9 * ERA_MS);
    for (int i = 2; i < all.strangers_most; i++)
        older(HERE + (uint32_t)i * 259, ERA_MS);
    assert_non_null(from(HERE + 7));
    assert_false(is_out(0) || is_out(1));
    assert_int_equal(out_count(), 1);
}

static void waits_have_an_end(void **state)
{
    (void)state;
    older(HERE, (SERVE_STRANGER_SECONDS - 1) * 1000);
    older(HERE, SERVE_STRANGER_SECONDS * 1000 + 50);
    serve_connections_show_key(&all, older(HERE, (SERVE_KEYED_SECONDS - 1) * 1000));
    serve_connections_show_key(&all, older(HERE, SERVE_KEYED_SECONDS * 1000 + 50));
    serve_connections_mark(&all, older(HERE, 10 * SERVE_KEYED_SECONDS * 1000), false);
    serve_connections_sweep(&all);
    assert_false(is_out(0) || is_out(2) || is_out(4));
    assert_true(is_out(1) && is_out(3));
    serve_connections_end(&all);
    assert_int_equal(out_count(), 5);
    assert_int_equal(all.strangers + all.keyed, 0);
}

static void places_are_given_back(void **state)
{
    (void)state;
    for (int i = 0; i < PAIRS - 1; i++) {
        serve_place *place = from(HERE);
        assert_non_null(place);
        assert_ptr_equal(serve_connections_find(&all, pairs[i].ours), place);
        if (i % 2)
            serve_connections_show_key(&all, place);
        serve_connections_remove(&all, place);
        assert_null(serve_connections_find(&all, pairs[i].ours));
    }
    assert_int_equal(all.strangers + all.keyed, 0);
    for (int i = 0; i < all.strangers_most; i++)
        assert_int_equal(all.address[i].strangers, 0);
    serve_connections_remove(&all, NULL);
    serve_connections_mark(&all, NULL, true);
    serve_connections_show_key(&all, NULL);
}

static void places_fit_the_files(void **state)
{
    (void)state;
    static const unsigned long files[] = {SERVE_FILES_LEAST, 128, 256, 1024, 1ul << 30};
    serve_connections one;
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        assert_true(serve_connections_init(&one, files[i]));
        assert_true((unsigned long)one.places + SERVE_FILES_ELSEWHERE <= files[i]);
        assert_true(one.keyed_most >= SERVE_KEYED_LEAST && one.strangers_most >= SERVE_STRANGERS_LEAST);
        assert_true(one.places == 2 * one.strangers_most + one.keyed_most && one.places <= SERVE_PLACES_MOST);
        serve_connections_destroy(&one);
    }
    assert_false(serve_connections_init(&one, SERVE_FILES_LEAST - 1));
    serve_connections_destroy(&one);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_longest_wait_leaves, open_all, close_all),
        cmocka_unit_test_setup_teardown(a_request_starts_the_wait_anew, open_all, close_all),
        cmocka_unit_test_setup_teardown(nobody_leaves_at_once, open_all, close_all),
        cmocka_unit_test_setup_teardown(the_key_keeps_the_place, open_all, close_all),
        cmocka_unit_test_setup_teardown(too_many_with_the_key, open_all, close_all),
        cmocka_unit_test_setup_teardown(the_address_that_holds_most_gives_way, open_all, close_all),
        cmocka_unit_test_setup_teardown(this_machine_is_one_address, open_all, close_all),
        cmocka_unit_test_setup_teardown(waits_have_an_end, open_all, close_all),
        cmocka_unit_test_setup_teardown(places_are_given_back, open_all, close_all),
        cmocka_unit_test(places_fit_the_files),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
