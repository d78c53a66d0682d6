#include "course/course_syncer.h"

#include "course/lesson_make.h"

#include <errno.h>
#include <signal.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

/* Up to this many files are synced one by one: syncing the whole disk also waits for other
 * programs. */
enum { FEW = 8 };

struct batch {
    size_t count;
    char names[FEW][STAGED_NAME_ROOM]; /* of the first few */
};

struct course_syncer {
    struct course_out *out;
    struct batch batch;
    pid_t process; /* 0: none */
    int socket;
    int problem; /* errno of a batch that this process synced itself */
};

/* 0, or errno. */
static int sync_batch(struct course_out *out, const struct batch *batch)
{
    if (batch->count > FEW)
        return course_out_sync(out) ? 0 : errno;
    for (size_t i = 0; i < batch->count; i++)
        if (!course_out_sync_one(out, batch->names[i]))
            return errno;
    return 0;
}

_Noreturn static void serve(struct course_out *out, int socket)
{
    struct batch batch;
    signal(SIGINT, SIG_IGN);
    signal(SIGHUP, SIG_IGN);
    signal(SIGTERM, SIG_DFL);
    while (recv(socket, &batch, sizeof batch, 0) == (ssize_t)sizeof batch) {
        int problem = sync_batch(out, &batch);
        if (send(socket, &problem, sizeof problem, MSG_NOSIGNAL) != (ssize_t)sizeof problem)
            break;
    }
    _exit(0);
}

static void start(struct course_syncer *syncer)
{
    int pair[2];
    if (socketpair(AF_UNIX, SOCK_SEQPACKET | SOCK_CLOEXEC, 0, pair) != 0)
        return;
    pid_t process = fork();
    if (process == 0) {
        close(pair[0]);
        serve(syncer->out, pair[1]);
    }
    close(pair[1]);
    if (process < 0) {
        close(pair[0]);
        return;
    }
    syncer->process = process;
    syncer->socket = pair[0];
}

static void end_process(struct course_syncer *syncer)
{
    if (!syncer->process)
        return;
    close(syncer->socket);
    while (waitpid(syncer->process, NULL, 0) < 0 && errno == EINTR)
        ;
    syncer->process = 0;
}

struct course_syncer *course_syncer_open(struct course_out *out)
{
    struct course_syncer *syncer = memory_alloc(sizeof *syncer);
    *syncer = (struct course_syncer){.out = out};
    start(syncer);
    return syncer;
}

void course_syncer_close(struct course_syncer *syncer)
{
    if (!syncer)
        return;
    end_process(syncer);
    memory_free(syncer);
}

void course_syncer_add(struct course_syncer *syncer, const char *name)
{
    struct batch *batch = &syncer->batch;
    if (batch->count < FEW) {
        memset(batch->names[batch->count], 0, STAGED_NAME_ROOM);
        memcpy(batch->names[batch->count], name, strlen(name));
    }
    batch->count++;
}

void course_syncer_begin(struct course_syncer *syncer)
{
    if (syncer->process && send(syncer->socket, &syncer->batch, sizeof syncer->batch,
                                MSG_NOSIGNAL) != (ssize_t)sizeof syncer->batch)
        end_process(syncer);
    if (!syncer->process)
        syncer->problem = sync_batch(syncer->out, &syncer->batch);
}

int course_syncer_descriptor(const struct course_syncer *syncer)
{
    return syncer->process ? syncer->socket : -1;
}

bool course_syncer_end(struct course_syncer *syncer)
{
    int problem = syncer->problem;
    ssize_t got = 0;
    if (syncer->process) {
        while ((got = recv(syncer->socket, &problem, sizeof problem, 0)) < 0 && errno == EINTR)
            ;
        if (got != (ssize_t)sizeof problem) { /* the process is gone */
            end_process(syncer);
            problem = sync_batch(syncer->out, &syncer->batch);
        }
    }
    syncer->batch.count = 0;
    errno = problem;
    return problem == 0;
}
