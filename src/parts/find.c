/* Looking for parts by size and by words. */
#include "catalogue.h"

#include <math.h>
#include <string.h>

/* Widening of a window for a size that was written in another unit. Relative. */
static const double WINDOW_ROUNDING = 1e-9;

enum {
    FOUND_DEFAULT = 50,
    FEW = 512,         /* matches by words that are joined with the sizes and sorted in no time */
    CANDIDATES = 1000, /* parts of the right size that are asked for their words, tens of microseconds each */
    STARTS_MOST = 1000 /* results by the start of a word that are kept apart one by one */
};

static const char *const CHIEF_SIZE[SNUB_PART_KINDS] = {
    [SNUB_PART_BELT] = "length",        [SNUB_PART_PULLEY] = "diameter", [SNUB_PART_IDLER] = "diameter",
    [SNUB_PART_TENSIONER] = "diameter", [SNUB_PART_BEARING] = "bore",    [SNUB_PART_FASTENER] = "nominal",
    [SNUB_PART_SHIM] = "thickness",     [SNUB_PART_BLOWER] = "swept",
};

static const char BLANKS[] = " \t\r\n";

typedef struct search {
    snub_catalogue *catalogue;
    const snub_part_query *query;
    snub_text words; /* the query as FTS5 takes it, without the kind; length 0: none */
    int most;
    snub_arena *arena;
    snub_part_list *list;
    snub_error *error;
} search;

/* ---- words ------------------------------------------------------------------------------------------------------- */

static bool has_letter(const char *word, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)word[i];
        if (c >= 0x80 || (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'))
            return true;
    }
    return false;
}

/* Each word becomes a quoted phrase, so that nothing a person types is taken for the index's own language. */
static snub_status read_words(const char *text, snub_text *words, snub_error *error)
{
    int count = 0;
    for (const char *at = text + strspn(text, BLANKS); *at; at += strspn(at, BLANKS)) {
        size_t length = strcspn(at, BLANKS), used = length;
        bool start = length > 1 && at[length - 1] == '*';
        used -= start;
        if (has_letter(at, used)) {
            if (++count > SNUB_PART_WORDS_MOST)
                return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "more than %d words", SNUB_PART_WORDS_MOST);
            snub_text_puts(words, words->length ? " AND {key name note}:\"" : "{key name note}:\"");
            for (size_t i = 0; i < used; i++)
                snub_text_add(words, at[i] == '"' ? "\"\"" : at + i, at[i] == '"' ? 2 : 1);
            snub_text_puts(words, start ? "\"*" : "\"");
        }
        at += length;
    }
    if (count == 0)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the search text has no letter or digit");
    return words->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}

/* ---- conditions -------------------------------------------------------------------------------------------------- */

static bool kind_has_fields(snub_part_kind kind, const snub_part_query *query)
{
    for (int i = 0; i < query->window_count; i++)
        if (snub_part_field_index(kind, query->windows[i].field) < 0)
            return false;
    return true;
}

static void add_windows(const snub_part_query *query, snub_text *sql)
{
    for (int i = 0; i < query->window_count; i++) {
        const snub_part_window *window = &query->windows[i];
        bool one = window->word || window->from == window->to;
        bool exact = window->word || (one && snub_part_field_named(window->field)->type == SNUB_FIELD_COUNT);
        /* parameters are numbered, 1 and 2 for the first window, so that a condition can stand twice in a statement */
        if (exact)
            snub_text_printf(sql, "%s k.\"%s\" = ?%d", i ? " AND" : "", window->field, 2 * i + 1);
        else
            snub_text_printf(sql, "%s k.\"%s\" BETWEEN ?%d AND ?%d", i ? " AND" : "", window->field, 2 * i + 1,
                             2 * i + 2);
    }
}

enum { WORDS_PARAMETER = 2 * SNUB_PART_WINDOWS_MOST + 1, KIND_PARAMETER, MOST_PARAMETER };

static void bind_named(sqlite3_stmt *statement, int at, const char *text)
{
    if (at <= sqlite3_bind_parameter_count(statement))
        sqlite3_bind_text(statement, at, text, -1, SQLITE_TRANSIENT);
}

static void bind_all(const search *s, sqlite3_stmt *statement, const char *words, const char *kind, int most)
{
    for (int i = 0; i < s->query->window_count; i++) {
        const snub_part_window *window = &s->query->windows[i];
        if (window->word) {
            bind_named(statement, 2 * i + 1, window->word);
            continue;
        }
        bool count = snub_part_field_named(window->field)->type == SNUB_FIELD_COUNT;
        double slack = count ? 0 : WINDOW_ROUNDING;
        double from = window->from - slack * fabs(window->from), to = window->to + slack * fabs(window->to);
        sqlite3_bind_double(statement, 2 * i + 1, from);
        sqlite3_bind_double(statement, 2 * i + 2, to);
    }
    bind_named(statement, WORDS_PARAMETER, words);
    bind_named(statement, KIND_PARAMETER, kind);
    if (MOST_PARAMETER <= sqlite3_bind_parameter_count(statement))
        sqlite3_bind_int(statement, MOST_PARAMETER, most);
}

/* ---- running ----------------------------------------------------------------------------------------------------- */

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

/* Take ids from a statement until there are `most` parts; one id more tells that there would be others. */
static snub_status take_parts(search *s, const char *sql, const char *words, const char *kind)
{
    sqlite3_stmt *statement = NULL;
    snub_status status = snub_sql_prepare(s->catalogue, &statement, sql, s->error);
    if (status != SNUB_OK)
        return status;
    bind_all(s, statement, words, kind, s->most - s->list->count + 1);
    int step = SQLITE_DONE;
    while (status == SNUB_OK && (step = sqlite3_step(statement)) == SQLITE_ROW) {
        if (s->list->count == s->most) {
            s->list->more = true;
            step = SQLITE_DONE;
            break;
        }
        status = snub_rows_get(s->catalogue, sqlite3_column_int64(statement, 0), s->arena,
                               &s->list->items[s->list->count], s->error);
        s->list->count += status == SNUB_OK;
    }
    if (status == SNUB_OK && step != SQLITE_DONE)
        status = snub_sql_failed(s->catalogue, "reading", s->error);
    sqlite3_finalize(statement);
    return status;
}

/* One whole number that a question about the query answers. */
static snub_status ask_number(search *s, const snub_text *sql, const char *words, int most, long long *number)
{
    sqlite3_stmt *statement = NULL;
    snub_status status =
        sql->failed ? no_memory(s->error) : snub_sql_prepare(s->catalogue, &statement, sql->data, s->error);
    if (status == SNUB_OK) {
        bind_all(s, statement, words, "", most);
        if (sqlite3_step(statement) == SQLITE_ROW)
            *number = sqlite3_column_int64(statement, 0);
        else
            status = snub_sql_failed(s->catalogue, "reading", s->error);
    }
    sqlite3_finalize(statement);
    return status;
}

static snub_status few_of_words(search *s, const char *match, bool *few)
{
    snub_text sql = {0};
    long long count = 0;
    snub_text_printf(&sql, "SELECT count(*) FROM (SELECT 1 FROM part_text t WHERE t.part_text MATCH ?%d LIMIT ?%d)",
                     (int)WORDS_PARAMETER, (int)MOST_PARAMETER);
    snub_status status = ask_number(s, &sql, match, FEW + 1, &count);
    *few = count <= FEW;
    snub_text_free(&sql);
    return status;
}

/* Words first, then sizes: for rare words. CROSS JOIN fixes the order of the loops, which SQLite cannot know. */
static snub_status words_then_sizes(search *s, snub_part_kind kind, const char *match)
{
    snub_text sql = {0};
    snub_text_printf(&sql,
                     "SELECT k.part FROM part_text t CROSS JOIN %s k ON k.part = t.rowid JOIN part p ON p.id = k.part"
                     " WHERE t.part_text MATCH ?%d AND",
                     snub_part_kind_name(kind), (int)WORDS_PARAMETER);
    add_windows(s->query, &sql);
    snub_text_printf(&sql, "%s ORDER BY k.\"%s\", k.part LIMIT ?%d", s->query->in_stock ? " AND p.stock > 0" : "",
                     CHIEF_SIZE[kind], (int)MOST_PARAMETER);
    snub_status status = sql.failed ? no_memory(s->error) : take_parts(s, sql.data, match, "");
    snub_text_free(&sql);
    return status;
}

static void add_candidates(const search *s, snub_part_kind kind, snub_text *sql)
{
    snub_text_printf(sql, "SELECT k.part AS part, k.\"%s\" AS size FROM %s k CROSS JOIN part p ON p.id = k.part WHERE",
                     CHIEF_SIZE[kind], snub_part_kind_name(kind));
    add_windows(s->query, sql);
    snub_text_puts(sql, s->query->in_stock ? " AND p.stock > 0" : "");
    snub_text_printf(sql, " ORDER BY k.\"%s\", k.part", CHIEF_SIZE[kind]);
}

/* Does the part with this row id hold the words. */
static snub_status ask_words(search *s, sqlite3_stmt *statement, long long id, bool *holds)
{
    sqlite3_bind_int64(statement, 2, id);
    int step = sqlite3_step(statement);
    *holds = step == SQLITE_ROW;
    snub_status status =
        step == SQLITE_ROW || step == SQLITE_DONE ? SNUB_OK : snub_sql_failed(s->catalogue, "reading", s->error);
    sqlite3_reset(statement);
    return status;
}

static snub_status try_candidates(search *s, sqlite3_stmt *sizes, sqlite3_stmt *words, bool *done)
{
    snub_status status = SNUB_OK;
    int asked = 0, step = SQLITE_DONE;
    while (status == SNUB_OK && (step = sqlite3_step(sizes)) == SQLITE_ROW && asked++ < CANDIDATES) {
        bool holds = false;
        long long id = sqlite3_column_int64(sizes, 0);
        status = ask_words(s, words, id, &holds);
        if (status != SNUB_OK || !holds)
            continue;
        if (s->list->count == s->most) {
            s->list->more = true;
            break;
        }
        status = snub_rows_get(s->catalogue, id, s->arena, &s->list->items[s->list->count], s->error);
        s->list->count += status == SNUB_OK;
    }
    if (status == SNUB_OK && step != SQLITE_ROW && step != SQLITE_DONE)
        status = snub_sql_failed(s->catalogue, "reading", s->error);
    *done = s->list->more || step == SQLITE_DONE;
    return status;
}

/* Sizes in order, each asked for its words, until there are enough: for common words. No more than CANDIDATES are
 * asked; where that was not enough, nothing is taken and `done` is false. */
static snub_status sizes_then_words(search *s, snub_part_kind kind, bool *done)
{
    static const char asking[] = "SELECT 1 FROM part_text t WHERE t.part_text MATCH ?1 AND t.rowid = ?2";
    snub_text sql = {0};
    sqlite3_stmt *sizes = NULL, *words = NULL;
    int before = s->list->count;
    add_candidates(s, kind, &sql);
    snub_status status = sql.failed ? no_memory(s->error) : snub_sql_prepare(s->catalogue, &sizes, sql.data, s->error);
    if (status == SNUB_OK)
        status = snub_sql_prepare(s->catalogue, &words, asking, s->error);
    if (status == SNUB_OK) {
        bind_all(s, sizes, "", "", 0);
        sqlite3_bind_text(words, 1, s->words.data, -1, SQLITE_STATIC); /* the kind is known already */
        status = try_candidates(s, sizes, words, done);
    }
    sqlite3_finalize(sizes);
    sqlite3_finalize(words);
    snub_text_free(&sql);
    if (!*done)
        s->list->count = before;
    return status;
}

static snub_status sizes_alone(search *s, snub_part_kind kind)
{
    snub_text sql = {0};
    add_candidates(s, kind, &sql);
    snub_text_printf(&sql, " LIMIT ?%d", (int)MOST_PARAMETER);
    snub_status status = sql.failed ? no_memory(s->error) : take_parts(s, sql.data, "", "");
    snub_text_free(&sql);
    return status;
}

/* Parts of one kind whose sizes are within the windows (one at least), and whose words match if there are any. */
static snub_status find_by_size(search *s, snub_part_kind kind)
{
    if (!s->words.length)
        return sizes_alone(s, kind);
    snub_text match = {0};
    bool few = false, done = false;
    snub_text_printf(&match, "%s AND {kind}:\"%s\"", s->words.data, snub_part_kind_name(kind));
    snub_status status = match.failed ? no_memory(s->error) : few_of_words(s, match.data, &few);
    if (status == SNUB_OK && !few)
        status = sizes_then_words(s, kind, &done);
    if (status == SNUB_OK && !done)
        status = words_then_sizes(s, kind, match.data);
    snub_text_free(&match);
    return status;
}

/* ---- words alone ------------------------------------------------------------------------------------------------- */

/* The start of one word, by the index's list of words in order, which can stop early; MATCH would gather every word
 * that begins so first. A part that has several such words is taken once. Plain ASCII only: other text is folded by
 * FTS5. */
static bool is_one_start(const snub_part_query *query, char *from, char *to, size_t room)
{
    const char *text = query->text + strspn(query->text, BLANKS);
    size_t length = strcspn(text, BLANKS);
    if (query->kind != SNUB_PART_ANY || query->in_stock || query->most > STARTS_MOST ||
        text[length + strspn(text + length, BLANKS)] || length < 2 || length >= room || text[length - 1] != '*')
        return false;
    for (size_t i = 0; i + 1 < length; i++) {
        char c = text[i] >= 'A' && text[i] <= 'Z' ? (char)(text[i] - 'A' + 'a') : text[i];
        if (!((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')))
            return false;
        from[i] = to[i] = c;
    }
    from[length - 1] = to[length - 1] = '\0';
    to[length - 2]++; /* after every word that begins with `from` */
    return true;
}

static bool is_taken(const long long *ids, int count, long long id)
{
    for (int i = 0; i < count; i++)
        if (ids[i] == id)
            return true;
    return false;
}

static snub_status find_by_start(search *s, const char *from, const char *to)
{
    sqlite3_stmt *statement = NULL;
    long long *ids = SNUB_NEW(s->arena, long long, s->most);
    snub_status status =
        ids ? snub_sql_prepare(s->catalogue, &statement,
                               "SELECT doc FROM part_word WHERE term >= ?1 AND term < ?2 AND col <> 'kind'", s->error)
            : no_memory(s->error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(statement, 1, from, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 2, to, -1, SQLITE_STATIC);
    int step = SQLITE_DONE;
    while (status == SNUB_OK && !s->list->more && (step = sqlite3_step(statement)) == SQLITE_ROW) {
        long long id = sqlite3_column_int64(statement, 0);
        if (is_taken(ids, s->list->count, id))
            continue;
        if (s->list->count == s->most) {
            s->list->more = true;
            break;
        }
        ids[s->list->count] = id;
        status = snub_rows_get(s->catalogue, id, s->arena, &s->list->items[s->list->count], s->error);
        s->list->count += status == SNUB_OK;
    }
    if (status == SNUB_OK && !s->list->more && step != SQLITE_DONE)
        status = snub_sql_failed(s->catalogue, "reading", s->error);
    sqlite3_finalize(statement);
    return status;
}

static snub_status find_by_words(search *s)
{
    snub_text sql = {0}, match = {0};
    bool kind = s->query->kind != SNUB_PART_ANY;
    const char *stock = s->query->in_stock ? " AND p.stock > 0" : "";
    const char *name = snub_part_kind_name(s->query->kind);
    char from[64], to[64];
    if (s->query->text && is_one_start(s->query, from, to, sizeof from))
        return find_by_start(s, from, to);
    if (s->words.length) {
        snub_text_printf(&match, kind ? "%s AND {kind}:\"%s\"" : "%s", s->words.data, name);
        snub_text_printf(&sql,
                         "SELECT p.id FROM part_text t CROSS JOIN part p ON p.id = t.rowid WHERE t.part_text"
                         " MATCH ?%d%s ORDER BY t.rowid LIMIT ?%d",
                         (int)WORDS_PARAMETER, stock, (int)MOST_PARAMETER);
    } else {
        snub_text_puts(&sql, "SELECT p.id FROM part p WHERE 1");
        if (kind)
            snub_text_printf(&sql, " AND p.kind = ?%d", (int)KIND_PARAMETER);
        snub_text_printf(&sql, "%s ORDER BY p.kind, p.key LIMIT ?%d", stock, (int)MOST_PARAMETER);
    }
    snub_status status =
        sql.failed || match.failed ? no_memory(s->error) : take_parts(s, sql.data, match.data ? match.data : "", name);
    snub_text_free(&sql);
    snub_text_free(&match);
    return status;
}

static snub_status run_search(search *s)
{
    const snub_part_query *query = s->query;
    if (query->window_count == 0)
        return find_by_words(s);
    snub_status status = SNUB_OK;
    for (int kind = 0; kind < SNUB_PART_KINDS && status == SNUB_OK && !s->list->more; kind++)
        if ((query->kind == SNUB_PART_ANY || query->kind == (snub_part_kind)kind) &&
            kind_has_fields((snub_part_kind)kind, query))
            status = find_by_size(s, (snub_part_kind)kind);
    return status;
}

static snub_status check_query(const snub_part_query *query, snub_error *error)
{
    if (query->window_count < 0 || query->window_count > SNUB_PART_WINDOWS_MOST)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "more than %d sizes to look for", SNUB_PART_WINDOWS_MOST);
    bool any = query->window_count == 0;
    for (int kind = 0; kind < SNUB_PART_KINDS; kind++)
        any = any || ((query->kind == SNUB_PART_ANY || query->kind == (snub_part_kind)kind) &&
                      kind_has_fields((snub_part_kind)kind, query));
    for (int i = 0; i < query->window_count; i++) {
        const snub_part_window *window = &query->windows[i];
        const snub_part_field *field = snub_part_field_named(window->field);
        if (!field || !any)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, window->field, "no kind of part has %s",
                             field ? "all of these sizes" : "such a field");
        bool number = field->type == SNUB_FIELD_NUMBER || field->type == SNUB_FIELD_COUNT;
        if (number != !window->word || (number && !(window->from <= window->to)))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, window->field,
                             number ? "needs a range, low to high" : "needs a word");
    }
    return SNUB_OK;
}

snub_status snub_catalogue_find(snub_catalogue *catalogue, const snub_part_query *query, snub_arena *arena,
                                snub_part_list *list, snub_error *error)
{
    snub_part_list found = {0};
    search s = {.catalogue = catalogue, .query = query, .arena = arena, .list = &found, .error = error};
    s.most = query->most > 0 ? query->most : FOUND_DEFAULT;
    snub_status status = check_query(query, error);
    if (status == SNUB_OK && query->text)
        status = read_words(query->text, &s.words, error);
    if (status == SNUB_OK && !(found.items = SNUB_NEW(arena, snub_part, s.most)))
        status = no_memory(error);
    if (status == SNUB_OK) {
        bool own = false;
        pthread_mutex_lock(&catalogue->lock);
        status = snub_sql_look(catalogue, &own, error);
        if (status == SNUB_OK)
            status = run_search(&s);
        snub_sql_looked(catalogue, own);
        pthread_mutex_unlock(&catalogue->lock);
    }
    snub_text_free(&s.words);
    if (status == SNUB_OK)
        *list = found;
    return status;
}
