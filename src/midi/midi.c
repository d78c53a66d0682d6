/*
 * After "Standard MIDI-File Format Spec. 1.1, updated"; channels and keys: General MIDI level 1.
 *
 *     the division, in ticks of a quarter: that of the performance, if it fits
 *     the conductor's track: title, meters, tempos, markers           write_conductor()
 *     a track for each part that has strokes                         write_part()
 *         each stroke begins a note, which ends after its length,
 *         or when its key is struck again                            begin_note(), end_note()
 *     a track's events, sorted by tick, with the time since the
 *         event before                                               write_track()
 */
#include "midi/midi.h"

#include "base/vector.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    QUANTITY_MAX = 0x0FFFFFFF,
    TEMPO_MAX = 0xFFFFFF,
    PERCUSSION = 9, /* channel 10, counted from 0 */
    NOTE_ON = 0x90 | PERCUSSION,
    NOTE_OFF = 0x80 | PERCUSSION,
    RELEASE = 64 /* velocity of a note-off: the usual one */
};
enum meta {
    META_TEXT = 0x01,
    META_COPYRIGHT = 0x02,
    META_TRACK_NAME = 0x03,
    META_MARKER = 0x06,
    META_END = 0x2F,
    META_TEMPO = 0x51,
    META_METER = 0x58
};

/* The division if none is exact: most numbers of strokes in a beat divide it. */
enum { DIVISION_INEXACT = 30240 };

static void add_number(struct buffer *out, uint32_t number, int bytes)
{
    while (bytes-- > 0) {
        unsigned char byte = (unsigned char)(number >> (8 * bytes));
        buffer_add(out, &byte, 1);
    }
}

void midi_add_quantity(struct buffer *out, uint32_t number)
{
    for (int group = 3; group >= 0; group--) {
        uint32_t rest = number >> (7 * group);
        if (rest || group == 0)
            add_number(out, (rest & 0x7F) | (group ? 0x80 : 0), 1);
    }
}

/* ---- events --------------------------------------------------------------------------------- */

/* In this order at one tick: notes end before others begin. */
enum event_order { EVENT_OFF, EVENT_META, EVENT_ON };

struct event {
    int64_t tick;
    uint8_t order; /* enum event_order */
    uint8_t status, first, second;
    enum meta meta;
    const void *data; /* of a meta event; NULL: they are in `own` */
    unsigned char own[4];
    uint32_t length;
    size_t index; /* ties keep their order */
};

typedef VECTOR(struct event) event_row; /* on the heap */

static struct event *add_event(event_row *track, int64_t tick, enum event_order order)
{
    size_t index = track->count;
    struct event *event = vector_push(track, NULL);
    event->tick = tick;
    event->order = (uint8_t)order;
    event->index = index;
    return event;
}

static struct event *add_meta(event_row *track, int64_t tick, enum meta meta, size_t length)
{
    struct event *event = add_event(track, tick, EVENT_META);
    event->meta = meta;
    event->length = (uint32_t)(length > QUANTITY_MAX ? QUANTITY_MAX : length);
    return event;
}

static void add_bytes(event_row *track, int64_t tick, enum meta meta, const unsigned char *bytes,
                      size_t length)
{
    memcpy(add_meta(track, tick, meta, length)->own, bytes, length);
}

static void add_text(event_row *track, int64_t tick, enum meta meta, const char *text)
{
    if (text)
        add_meta(track, tick, meta, strlen(text))->data = text;
}

static int earlier(const void *left, const void *right)
{
    const struct event *a = left, *b = right;
    if (a->tick != b->tick)
        return a->tick < b->tick ? -1 : 1;
    if (a->order != b->order)
        return a->order - b->order;
    return (a->index > b->index) - (a->index < b->index);
}

/* A wait that is too long for one delta time is divided by empty text events. */
static void add_wait(struct buffer *out, int64_t ticks)
{
    for (; ticks > QUANTITY_MAX; ticks -= QUANTITY_MAX) {
        midi_add_quantity(out, QUANTITY_MAX);
        add_number(out, 0xFF00u | META_TEXT, 2);
        add_number(out, 0, 1);
    }
    midi_add_quantity(out, (uint32_t)ticks);
}

static void write_track(event_row *track, int64_t end, struct buffer *out)
{
    vector_sort(track, earlier);
    struct buffer body = {0};
    int64_t now = 0;
    for (size_t i = 0; i < track->count; i++) {
        const struct event *event = &track->items[i];
        add_wait(&body, event->tick - now);
        now = event->tick;
        if (event->order == EVENT_META) {
            add_number(&body, 0xFF00u | event->meta, 2);
            midi_add_quantity(&body, event->length);
            buffer_add(&body, event->data ? event->data : event->own, event->length);
        } else {
            add_number(&body, event->status, 1);
            add_number(&body, event->first, 1);
            add_number(&body, event->second, 1);
        }
    }
    add_wait(&body, end > now ? end - now : 0);
    add_number(&body, 0xFF00u | META_END, 2);
    add_number(&body, 0, 1);
    buffer_add_text(out, "MTrk");
    add_number(out, (uint32_t)body.length, 4);
    buffer_add(out, buffer_text(&body), body.length);
    buffer_release(&body);
    vector_release(track);
}

/* ---- what the performance has ---------------------------------------------------------------- */

struct midi_writer {
    const struct performance *performance;
    struct midi_report report;
};

/* The nearest tick. The report keeps the largest distance from it. */
static int64_t tick_of(struct midi_writer *writer, struct fraction at)
{
    int64_t division = writer->report.division;
    struct fraction ticks = fraction_multiply(at, fraction_make(4 * division, 1));
    if (ticks.denominator == 1)
        return ticks.numerator;
    int64_t tick = fraction_ok(ticks) ? fraction_floor(fraction_add(ticks, fraction_make(1, 2)))
                                      : llround(fraction_to_double(at) * 4 * (double)division);
    double seconds = performance_seconds(writer->performance, at) -
                     performance_seconds(writer->performance, fraction_make(tick, 4 * division));
    if (fabs(seconds) > writer->report.worst_seconds)
        writer->report.worst_seconds = fabs(seconds);
    writer->report.exact = false;
    return tick;
}

static void add_tempos(struct midi_writer *writer, event_row *track)
{
    for (size_t i = 0; i < writer->performance->tempo_count; i++) {
        const struct tempo_change *tempo = &writer->performance->tempos[i];
        double exact = 60e6 / (4 * fraction_to_double(tempo->wholes));
        writer->report.tempo_bound |= exact > TEMPO_MAX;
        uint32_t number = exact > TEMPO_MAX ? TEMPO_MAX : exact < 1 ? 1 : (uint32_t)lround(exact);
        unsigned char data[] = {(unsigned char)(number >> 16), (unsigned char)(number >> 8),
                                (unsigned char)number};
        add_bytes(track, tick_of(writer, tempo->at), META_TEMPO, data, sizeof data);
    }
}

static void add_meters(struct midi_writer *writer, event_row *track)
{
    for (size_t i = 0; i < writer->performance->meter_count; i++) {
        const struct meter_change *meter = &writer->performance->meters[i];
        int log2 = __builtin_ctz(meter->unit);
        double clocks = 96 * fraction_to_double(meter->beat);
        unsigned char data[] = {(unsigned char)(meter->count > 255 ? 255 : meter->count),
                                (unsigned char)log2,
                                (unsigned char)(clocks > 255 ? 255
                                                : clocks < 1 ? 1
                                                             : clocks),
                                8};
        add_bytes(track, tick_of(writer, meter->at), META_METER, data, sizeof data);
    }
}

static void write_conductor(struct midi_writer *writer, int64_t end, struct buffer *out)
{
    const struct performance *performance = writer->performance;
    event_row track = {0};
    add_text(&track, 0, META_COPYRIGHT, performance->copyright);
    add_text(&track, 0, META_TRACK_NAME, performance->title ? performance->title : "");
    add_meters(writer, &track);
    add_tempos(writer, &track);
    for (size_t i = 0; i < performance->marker_count; i++)
        add_text(&track, tick_of(writer, performance->markers[i].at), META_MARKER,
                 performance->markers[i].text);
    write_track(&track, end, out);
}

/* The notes that sound now, by key. */
struct sounding {
    int64_t on[128], off[128]; /* ticks; on < 0: none sounds */
    unsigned limbs[128];       /* how many limbs struck it at once */
};

static void end_note(event_row *track, struct sounding *sounding, uint8_t key, int64_t latest)
{
    if (sounding->on[key] < 0)
        return;
    int64_t tick = sounding->off[key] < latest ? sounding->off[key] : latest;
    if (tick <= sounding->on[key])
        tick = sounding->on[key] + 1;
    for (; sounding->limbs[key]; sounding->limbs[key]--) {
        struct event *event = add_event(track, tick, EVENT_OFF);
        event->status = NOTE_OFF;
        event->first = key;
        event->second = RELEASE;
    }
    sounding->on[key] = -1;
}

static void begin_note(struct midi_writer *writer, event_row *track, struct sounding *sounding,
                       const struct strike *strike)
{
    int64_t tick = tick_of(writer, strike->at);
    struct fraction length =
        fraction_multiply(strike->length, fraction_make(4 * (int64_t)writer->report.division, 1));
    int64_t ticks = fraction_ok(length) ? fraction_floor(length) : 1;
    if (sounding->on[strike->key] != tick)
        end_note(track, sounding, strike->key, tick);
    struct event *event = add_event(track, tick, EVENT_ON);
    event->status = NOTE_ON;
    event->first = strike->key;
    event->second = strike->velocity;
    sounding->on[strike->key] = tick;
    sounding->off[strike->key] = tick + (ticks > 0 ? ticks : 1);
    sounding->limbs[strike->key]++;
}

/* Returns false and writes nothing if the part has no strokes. */
static bool write_part(struct midi_writer *writer, enum sound_part part, int64_t end,
                       struct buffer *out)
{
    static const char *const names[] = {
        [SOUND_HANDS] = "Hands", [SOUND_FEET] = "Feet", [SOUND_CLICK] = "Click"};
    const struct performance *performance = writer->performance;
    event_row track = {0};
    struct sounding sounding = {.limbs = {0}};
    for (int key = 0; key < 128; key++)
        sounding.on[key] = -1;
    add_text(&track, 0, META_TRACK_NAME, names[part]);
    for (size_t i = 0; i < performance->strike_count; i++)
        if (performance->strikes[i].part == part)
            begin_note(writer, &track, &sounding, &performance->strikes[i]);
    for (int key = 0; key < 128; key++)
        end_note(&track, &sounding, (uint8_t)key, end);
    bool strikes = track.count > 1; /* besides the name */
    if (strikes)
        write_track(&track, end, out);
    vector_release(&track);
    return strikes;
}

struct midi_report midi_write(const struct performance *performance, struct buffer *out)
{
    struct midi_writer writer = {.performance = performance, .report = {.exact = true}};
    writer.report.division = performance->division ? performance->division : DIVISION_INEXACT;
    struct buffer body = {0};
    uint32_t tracks = 1;
    int64_t end = tick_of(&writer, performance->length);
    write_conductor(&writer, end, &body);
    for (int part = 0; part < SOUND_PART_COUNT; part++)
        tracks += write_part(&writer, (enum sound_part)part, end, &body);
    buffer_add_text(out, "MThd");
    add_number(out, 6, 4);
    add_number(out, 1, 2); /* format */
    add_number(out, tracks, 2);
    add_number(out, writer.report.division, 2);
    buffer_add(out, buffer_text(&body), body.length);
    buffer_release(&body);
    return writer.report;
}
