#define _GNU_SOURCE /* sched_getaffinity(), wait4() */

#include "course/course_pool.h"

#include "base/clock.h"
#include "base/file.h"
#include "base/vector.h"
#include "course/made_message.h"

#include <errno.h>
#include <poll.h>
#include <sched.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#ifdef __linux__
#include <sys/prctl.h>
#endif
#ifdef __GLIBC__
#include <malloc.h>
#endif

/* Lessons that a process holds at a time: the next one waits there already, so that the process
   never waits for us. */
enum { AHEAD = 2 };
/* A process is replaced after this many lessons, or earlier if it holds too much memory. */
enum { LESSONS_OF_A_LIFE = 1000, KEPT_SHARE = 8 };
/* The exit status of a process that ran out of memory: no enum status has it. */
enum { EXIT_MEMORY = 77 };

struct worker {
    pid_t process; /* 0: none */
    int socket;
    size_t lessons[AHEAD]; /* given and not yet answered, in order */
    size_t count;
    int64_t deadline; /* of the first of them, in milliseconds */
    bool late;        /* it was killed because this lesson took too long */
    size_t late_lesson;
    struct buffer in;
};

struct result {
    size_t lesson;
    struct made_lesson made;
};

struct course_pool {
    const struct course_work *work;
    struct pool_limits limits;
    struct worker *workers; /* limits.jobs of them */
    struct pollfd *polled;  /* one more than workers */
    struct arena *arena;
    int64_t looked;       /* when the deadlines were last checked, in milliseconds */
    VECTOR(size_t) again; /* lessons whose process ended before it began them */
    VECTOR(struct result) results;
    size_t taken; /* of results */
};

uint32_t course_pool_processors(void)
{
#ifdef __linux__
    cpu_set_t mine;
    if (sched_getaffinity(0, sizeof mine, &mine) == 0)
        return (uint32_t)CPU_COUNT(&mine);
#endif
    long count = sysconf(_SC_NPROCESSORS_ONLN);
    return count > 0 ? (uint32_t)count : 1;
}

/* ---- in the process ----------------------------------------------------------------------- */

#if defined(__SANITIZE_ADDRESS__)
#define SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED 1
#endif
#endif

/* Bytes of address space in use; 0 if unknown. */
static size_t space_used(void)
{
    unsigned long pages = 0;
    FILE *file = fopen("/proc/self/statm", "r");
    if (!file)
        return 0;
    if (fscanf(file, "%lu", &pages) != 1)
        pages = 0;
    fclose(file);
    return pages * (size_t)sysconf(_SC_PAGESIZE);
}

/* The peak of resident memory in bytes; Linux reports KiB. */
static size_t most_resident(void)
{
    struct rusage usage;
    return getrusage(RUSAGE_SELF, &usage) == 0 ? (size_t)usage.ru_maxrss * 1024 : 0;
}

/* Not under sanitizers: they reserve far more address space than they use. */
static void limit_memory(size_t used, uint32_t mebibytes)
{
#ifdef SANITIZED
    (void)used, (void)mebibytes;
#else
    struct rlimit limit;
    if (!used || getrlimit(RLIMIT_AS, &limit) != 0)
        return;
    rlim_t most = (rlim_t)used + ((rlim_t)mebibytes << 20);
    if (limit.rlim_max == RLIM_INFINITY || most < limit.rlim_max) {
        limit.rlim_cur = most;
        setrlimit(RLIMIT_AS, &limit);
    }
#endif
}

static void memory_is_gone(size_t wanted)
{
    (void)wanted;
    _exit(EXIT_MEMORY);
}

/* The terminal signals all processes of a run; the first process ends the others. */
static void set_signals(pid_t parent)
{
    signal(SIGINT, SIG_IGN);
    signal(SIGHUP, SIG_IGN);
    signal(SIGPIPE, SIG_IGN);
    signal(SIGTERM, SIG_DFL);
#ifdef __linux__
    prctl(PR_SET_PDEATHSIG, SIGKILL);
#endif
    if (getppid() != parent)
        _exit(STATUS_SYSTEM);
}

static bool read_number(int socket, size_t *number)
{
    ssize_t got;
    while ((got = read(socket, number, sizeof *number)) < 0 && errno == EINTR)
        ;
    return got == (ssize_t)sizeof *number;
}

static bool send_all(int socket, const char *bytes, size_t length)
{
    while (length) {
        ssize_t taken = send(socket, bytes, length, MSG_NOSIGNAL);
        if (taken < 0 && errno == EINTR)
            continue;
        if (taken <= 0)
            return false;
        bytes += taken;
        length -= (size_t)taken;
    }
    return true;
}

/* Each lesson takes and returns about the same memory. Keeping it between lessons saves the system
   from clearing it each time. */
static void keep_memory(void)
{
#ifdef __GLIBC__
    mallopt(M_MMAP_THRESHOLD, 32 << 20);
    mallopt(M_TRIM_THRESHOLD, 64 << 20);
    mallopt(M_TOP_PAD, 4 << 20);
#endif
}

_Noreturn static void serve(const struct course_pool *pool, int socket)
{
    const size_t at_first = most_resident();
    const size_t kept_most = ((size_t)pool->limits.mebibytes << 20) / KEPT_SHARE;
    size_t number;
    limit_memory(space_used(), pool->limits.mebibytes);
    memory_on_exhaustion(memory_is_gone);
    keep_memory();
    for (int life = 0; life < LESSONS_OF_A_LIFE && read_number(socket, &number); life++) {
        struct made_lesson made;
        struct buffer message = {0};
        lesson_make(pool->work, number, &made);
        message_add(&message, &made);
        made_lesson_release(&made);
        if (!send_all(socket, message.bytes, message.length))
            break;
        buffer_release(&message);
        if (most_resident() > at_first + kept_most)
            break;
    }
    _exit(STATUS_GOOD);
}

/* ---- processes come and go ---------------------------------------------------------------- */

static bool start(struct course_pool *pool, struct worker *worker)
{
    int pair[2];
    if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, pair) != 0)
        return false;
    pid_t parent = getpid(), process = fork();
    if (process == 0) {
        set_signals(parent);
        for (uint32_t i = 0; i < pool->limits.jobs; i++)
            if (pool->workers[i].process)
                close(pool->workers[i].socket);
        close(pair[0]);
        serve(pool, pair[1]);
    }
    descriptor_close(pair[1]);
    if (process < 0) {
        descriptor_close(pair[0]);
        return false;
    }
    worker->process = process;
    worker->socket = pair[0];
    worker->late = false;
    worker->count = 0;
    return true;
}

static void add_result(struct course_pool *pool, size_t lesson, const struct made_lesson *made)
{
    *vector_push(&pool->results, pool->arena) = (struct result){lesson, *made};
}

/* A library may crash if it is refused memory, and a system without memory kills the largest
 * process. */
static const char *memory_words(const struct course_pool *pool, const struct rusage *usage)
{
    bool much = usage->ru_maxrss / 1024 >= (long)(pool->limits.mebibytes / 2);
    return much ? ", perhaps because memory ran out (--memory-limit)" : "";
}

static void add_failure(struct course_pool *pool, const struct worker *worker, int ended,
                        const struct rusage *usage)
{
    const struct course_tree *tree = pool->work->tree;
    const char *name = tree->lessons[worker->lessons[0]].name;
    struct made_lesson made = {.status = STATUS_LESSON, .arena = arena_new()};
    if (worker->late)
        add_error(&made.messages, "gave up on '%s/%s': it took longer than %u s (--time-limit)",
                  tree->path, name, pool->limits.seconds);
    else if (WIFEXITED(ended) && WEXITSTATUS(ended) == EXIT_MEMORY)
        add_error(&made.messages,
                  "gave up on '%s/%s': it needs more than %u MiB of memory (--memory-limit)",
                  tree->path, name, pool->limits.mebibytes);
    else if (WIFSIGNALED(ended))
        add_error(&made.messages, "gave up on '%s/%s': its process was killed by signal %d (%s)%s",
                  tree->path, name, WTERMSIG(ended), strsignal(WTERMSIG(ended)),
                  memory_words(pool, usage));
    else
        add_error(&made.messages, "gave up on '%s/%s': its process ended with status %d",
                  tree->path, name, WIFEXITED(ended) ? WEXITSTATUS(ended) : 0);
    add_result(pool, worker->lessons[0], &made);
}

/* Cleans up after a process that ended. If it ended by itself, it had not begun the lessons it
   still held. */
static void bury(struct course_pool *pool, struct worker *worker)
{
    int ended = 0;
    struct rusage usage = {0};
    while (wait4(worker->process, &ended, 0, &usage) < 0 && errno == EINTR)
        ;
    close(worker->socket);
    size_t first = 0;
    bool willing = worker->late ? worker->count && worker->lessons[0] != worker->late_lesson
                                : WIFEXITED(ended) && WEXITSTATUS(ended) == STATUS_GOOD;
    if (worker->count && !willing) {
        add_failure(pool, worker, ended, &usage);
        first = 1;
    }
    for (size_t i = first; i < worker->count; i++)
        *vector_push(&pool->again, pool->arena) = worker->lessons[i];
    buffer_release(&worker->in);
    worker->process = 0;
    worker->count = 0;
    worker->late = false;
}

/* Each process needs one of our descriptors, and some are left for files. */
static uint32_t most_jobs(void)
{
    enum { FOR_FILES = 32 };
    struct rlimit limit;
    if (getrlimit(RLIMIT_NOFILE, &limit) != 0 || limit.rlim_cur > UINT32_MAX)
        return UINT32_MAX;
    return limit.rlim_cur > FOR_FILES ? (uint32_t)limit.rlim_cur - FOR_FILES : 1;
}

struct course_pool *course_pool_open(const struct course_work *work, struct pool_limits limits)
{
    if (limits.jobs > most_jobs())
        limits.jobs = most_jobs();
    struct course_pool *pool = memory_alloc(sizeof *pool);
    *pool = (struct course_pool){
        .work = work, .limits = limits, .arena = arena_new(), .looked = milliseconds_now()};
    pool->workers = arena_array(pool->arena, limits.jobs, sizeof *pool->workers);
    pool->polled = arena_array(pool->arena, (size_t)limits.jobs + 1, sizeof *pool->polled);
    return pool;
}

void course_pool_close(struct course_pool *pool)
{
    if (!pool)
        return;
    for (uint32_t i = 0; i < pool->limits.jobs; i++)
        if (pool->workers[i].process)
            kill(pool->workers[i].process, SIGKILL);
    for (uint32_t i = 0; i < pool->limits.jobs; i++)
        if (pool->workers[i].process)
            bury(pool, &pool->workers[i]);
    for (size_t i = pool->taken; i < pool->results.count; i++)
        made_lesson_release(&pool->results.items[i].made);
    arena_free(pool->arena);
    memory_free(pool);
}

/* ---- lessons out, results in -------------------------------------------------------------- */

/* The process with the least to do; one that is not started yet has nothing to do. */
static struct worker *idlest(const struct course_pool *pool)
{
    struct worker *best = NULL;
    for (uint32_t i = 0; i < pool->limits.jobs; i++) {
        struct worker *worker = &pool->workers[i];
        if (worker->count < AHEAD && !worker->late && (!best || worker->count < best->count))
            best = worker;
    }
    return best;
}

bool course_pool_room(const struct course_pool *pool)
{
    return pool->again.count == 0 && idlest(pool);
}

static void begin_next(struct course_pool *pool, struct worker *worker)
{
    worker->deadline = milliseconds_now() + (int64_t)pool->limits.seconds * 1000;
}

bool course_pool_give(struct course_pool *pool, size_t lesson)
{
    struct worker *worker = idlest(pool);
    if (!worker->process && !start(pool, worker))
        return false;
    if (worker->count == 0)
        begin_next(pool, worker);
    worker->lessons[worker->count++] = lesson;
    /* if the process is gone, listening to it will show that */
    send_all(worker->socket, (const char *)&lesson, sizeof lesson);
    return true;
}

static void answer(struct course_pool *pool, struct worker *worker)
{
    struct made_lesson made;
    message_take(&worker->in, &made);
    add_result(pool, worker->lessons[0], &made);
    worker->count--;
    memmove(worker->lessons, worker->lessons + 1, worker->count * sizeof *worker->lessons);
    begin_next(pool, worker);
}

static void listen_to(struct course_pool *pool, struct worker *worker)
{
    char bytes[16 * 1024];
    ssize_t got = recv(worker->socket, bytes, sizeof bytes, MSG_DONTWAIT);
    if (got < 0 && (errno == EAGAIN || errno == EWOULDBLOCK || errno == EINTR))
        return;
    if (got <= 0) {
        bury(pool, worker);
        return;
    }
    buffer_add(&worker->in, bytes, (size_t)got);
    for (size_t length; (length = message_length(&worker->in)) && worker->in.length >= length;)
        answer(pool, worker);
}

/* If the last check is long ago, we were stopped (Ctrl-Z) together with the processes: that time
   does not count. */
static void forgive_stop(struct course_pool *pool, int64_t now)
{
    enum { STOPPED = 1000 };
    int64_t away = now - pool->looked;
    for (uint32_t i = 0; away > STOPPED && i < pool->limits.jobs; i++)
        pool->workers[i].deadline += away;
    pool->looked = now;
}

static void end_late(struct course_pool *pool)
{
    int64_t now = milliseconds_now();
    forgive_stop(pool, now);
    for (uint32_t i = 0; i < pool->limits.jobs; i++) {
        struct worker *worker = &pool->workers[i];
        if (worker->process && worker->count && !worker->late && now >= worker->deadline) {
            worker->late = true;
            worker->late_lesson = worker->lessons[0];
            kill(worker->process, SIGKILL);
        }
    }
}

static int time_left(const struct course_pool *pool, int milliseconds)
{
    int64_t now = milliseconds_now(), least = milliseconds;
    for (uint32_t i = 0; i < pool->limits.jobs; i++) {
        const struct worker *worker = &pool->workers[i];
        if (worker->process && worker->count && worker->deadline - now < least)
            least = worker->deadline > now ? worker->deadline - now : 0;
    }
    return (int)least;
}

static void give_again(struct course_pool *pool)
{
    while (pool->again.count && idlest(pool)) {
        size_t lesson = pool->again.items[--pool->again.count];
        if (!course_pool_give(pool, lesson)) {
            pool->again.count++;
            return;
        }
    }
}

/* Only running processes: poll() refuses more entries than a process may have files open. */
static nfds_t list_polled(struct course_pool *pool)
{
    nfds_t count = 0;
    for (uint32_t i = 0; i < pool->limits.jobs; i++)
        if (pool->workers[i].process)
            pool->polled[count++] =
                (struct pollfd){.fd = pool->workers[i].socket, .events = POLLIN};
    return count;
}

static void listen_to_polled(struct course_pool *pool)
{
    nfds_t next = 0;
    for (uint32_t i = 0; i < pool->limits.jobs; i++)
        if (pool->workers[i].process && pool->polled[next++].revents)
            listen_to(pool, &pool->workers[i]);
}

bool course_pool_wait(struct course_pool *pool, int other, int milliseconds)
{
    give_again(pool);
    nfds_t count = list_polled(pool);
    pool->polled[count] = (struct pollfd){.fd = other, .events = POLLIN};
    if (poll(pool->polled, count + 1, time_left(pool, milliseconds)) > 0)
        listen_to_polled(pool);
    end_late(pool);
    return pool->polled[count].revents;
}

bool course_pool_take(struct course_pool *pool, size_t *lesson, struct made_lesson *made)
{
    if (pool->taken == pool->results.count)
        return false;
    *lesson = pool->results.items[pool->taken].lesson;
    *made = pool->results.items[pool->taken].made;
    if (++pool->taken == pool->results.count)
        pool->taken = pool->results.count = 0;
    return true;
}
