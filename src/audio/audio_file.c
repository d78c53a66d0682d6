/* The file, written by libsndfile. It seeks as it writes, so it writes to a temporary file without
   a name, whose bytes are handed on at the end. It does not tell every write that fails when it
   closes a file: so its bytes go through functions of ours, which remember. */
#include "audio/audio_int.h"

#include <errno.h>
#include <math.h>
#include <sndfile.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

struct sink {
    const struct audio_order *order;
    FILE *scratch;
    SNDFILE *file;
};

/* ---- the scratch file ------------------------------------------------------------------------ */

static sf_count_t scratch_seek(sf_count_t offset, int whence, void *scratch)
{
    return fseeko(scratch, (off_t)offset, whence) == 0 ? (sf_count_t)ftello(scratch) : -1;
}

static sf_count_t scratch_tell(void *scratch)
{
    return (sf_count_t)ftello(scratch);
}

static sf_count_t scratch_length(void *scratch)
{
    off_t at = ftello(scratch);
    sf_count_t end = scratch_seek(0, SEEK_END, scratch);
    return fseeko(scratch, at, SEEK_SET) == 0 ? end : -1;
}

static sf_count_t scratch_read(void *bytes, sf_count_t count, void *scratch)
{
    return (sf_count_t)fread(bytes, 1, (size_t)count, scratch);
}

/* Write errors are sticky: scratch_is_whole() reports them. */
static sf_count_t scratch_write(const void *bytes, sf_count_t count, void *scratch)
{
    return (sf_count_t)fwrite(bytes, 1, (size_t)count, scratch);
}

/* Rewinds for reading; false with errno if any write failed. */
static bool scratch_is_whole(FILE *scratch)
{
    errno = 0;
    if (fflush(scratch) == 0 && !ferror(scratch) && fseeko(scratch, 0, SEEK_SET) == 0)
        return true;
    errno = errno ? errno : EIO;
    return false;
}

/* ---- writing --------------------------------------------------------------------------------- */

static const int formats[FORMAT_COUNT] = {[FORMAT_WAV] = SF_FORMAT_WAV | SF_FORMAT_PCM_16,
                                          [FORMAT_FLAC] = SF_FORMAT_FLAC | SF_FORMAT_PCM_16,
                                          [FORMAT_OGG] = SF_FORMAT_OGG | SF_FORMAT_VORBIS};
#define VORBIS_QUALITY 0.6

static void set_text(SNDFILE *file, int which, const char *text)
{
    if (text && *text)
        sf_set_string(file, which, text);
}

/* Title, author, copyright, and "Tempo: 60 to 96 quarter notes a minute. ...". */
static void set_tags(SNDFILE *file, const struct performance *performance)
{
    double slow = HUGE_VAL, fast = 0;
    for (size_t i = 0; i < performance->tempo_count; i++) {
        double quarters = 4 * fraction_to_double(performance->tempos[i].wholes);
        slow = fmin(slow, quarters);
        fast = fmax(fast, quarters);
    }
    char comment[160];
    int length = snprintf(comment, sizeof comment, "Tempo: %.6g", slow);
    if (fast > slow)
        length += snprintf(comment + length, sizeof comment - (size_t)length, " to %.6g", fast);
    snprintf(comment + length, sizeof comment - (size_t)length,
             " quarter notes a minute. Begin at a low volume.");
    set_text(file, SF_STR_TITLE, performance->title);
    set_text(file, SF_STR_ARTIST, performance->author);
    set_text(file, SF_STR_COPYRIGHT, performance->copyright);
    set_text(file, SF_STR_COMMENT, comment);
}

struct sink *sink_open(const struct audio_order *order, struct audio_report *report)
{
    struct sink *sink = memory_alloc(sizeof *sink);
    *sink = (struct sink){.order = order, .scratch = tmpfile()};
    SF_INFO info = {
        .samplerate = AUDIO_RATE, .channels = AUDIO_CHANNELS, .format = formats[order->format]};
    SF_VIRTUAL_IO through = {scratch_length, scratch_seek, scratch_read, scratch_write,
                             scratch_tell};
    if (sink->scratch)
        sink->file = sf_open_virtual(&through, SFM_WRITE, &info, sink->scratch);
    if (!sink->file) {
        snprintf(report->problem, sizeof report->problem, "%s",
                 sink->scratch ? sf_strerror(NULL) : strerror(errno));
        sink_abandon(sink);
        return NULL;
    }
    double quality = VORBIS_QUALITY;
    if (order->format == FORMAT_OGG)
        sf_command(sink->file, SFC_SET_VBR_ENCODING_QUALITY, &quality, sizeof quality);
    set_tags(sink->file, order->performance);
    return sink;
}

bool sink_take(void *closure, const float *samples, size_t frames)
{
    struct sink *sink = closure;
    if (sink->order->format == FORMAT_OGG)
        return sf_writef_float(sink->file, samples, (sf_count_t)frames) == (sf_count_t)frames;
    short whole[BLOCK_FRAMES * AUDIO_CHANNELS];
    for (size_t i = 0; i < frames * AUDIO_CHANNELS; i++)
        whole[i] = (short)lrintf(samples[i] * 32767);
    return sf_writef_short(sink->file, whole, (sf_count_t)frames) == (sf_count_t)frames;
}

/* ---- the number of an Ogg stream ------------------------------------------------------------- */

/*
 * libsndfile gives each Ogg stream a random number, but the same lesson must give the same bytes:
 * so every page gets number 1 and a new checksum. A page (RFC 3533) has the number at byte 14, the
 * checksum at 22, the count of its segments at 26, and their lengths from 27 on.
 */
enum { OGG_FLAGS = 5, OGG_LAST = 4 }; /* OGG_LAST: the flag of a stream's last page */
enum { OGG_HEAD = 27, OGG_SERIAL = 14, OGG_SUM = 22, OGG_SEGMENTS = 26, OGG_PAGE_MAX = 65307 };

static uint32_t ogg_sum(const unsigned char *page, size_t length)
{
    uint32_t sum = 0;
    for (size_t i = 0; i < length; i++) {
        sum ^= (uint32_t)page[i] << 24;
        for (int bit = 0; bit < 8; bit++)
            sum = sum & 0x80000000u ? (sum << 1) ^ 0x04C11DB7u : sum << 1;
    }
    return sum;
}

static void put_little(unsigned char *at, uint32_t number)
{
    for (int i = 0; i < 4; i++)
        at[i] = (unsigned char)(number >> (8 * i));
}

/* Reads the next page and returns its length; 0 if there is no whole one. */
static size_t read_page(FILE *file, unsigned char *page)
{
    if (fread(page, 1, OGG_HEAD, file) != OGG_HEAD || memcmp(page, "OggS", 4) != 0)
        return 0;
    size_t segments = page[OGG_SEGMENTS], length = OGG_HEAD + segments;
    if (fread(page + OGG_HEAD, 1, segments, file) != segments)
        return 0;
    size_t body = 0;
    for (size_t i = 0; i < segments; i++)
        body += page[OGG_HEAD + i];
    if (fread(page + length, 1, body, file) != body)
        return 0;
    return length + body;
}

static bool hand_on_pages(struct sink *sink)
{
    unsigned char *page = memory_alloc(OGG_PAGE_MAX);
    size_t length;
    bool written = true, last = false;
    while (written && (length = read_page(sink->scratch, page)) > 0) {
        last = page[OGG_FLAGS] & OGG_LAST;
        put_little(page + OGG_SERIAL, 1);
        put_little(page + OGG_SUM, 0);
        put_little(page + OGG_SUM, ogg_sum(page, length));
        written = sink->order->write(sink->order->closure, page, length);
    }
    memory_free(page);
    return written && last && feof(sink->scratch) && !ferror(sink->scratch);
}

static bool hand_on_bytes(struct sink *sink)
{
    char bytes[32768];
    size_t length;
    bool written = true;
    while (written && (length = fread(bytes, 1, sizeof bytes, sink->scratch)) > 0)
        written = sink->order->write(sink->order->closure, bytes, length);
    return written && !ferror(sink->scratch);
}

bool sink_close(struct sink *sink, struct audio_report *report)
{
    int problem = sf_close(sink->file);
    sink->file = NULL;
    bool good = scratch_is_whole(sink->scratch) && problem == 0;
    if (!good)
        snprintf(report->problem, sizeof report->problem, "%s",
                 problem ? sf_error_number(problem) : strerror(errno));
    if (good)
        good = sink->order->format == FORMAT_OGG ? hand_on_pages(sink) : hand_on_bytes(sink);
    sink_abandon(sink);
    return good;
}

void sink_abandon(struct sink *sink)
{
    if (sink->file)
        sf_close(sink->file);
    if (sink->scratch)
        fclose(sink->scratch);
    memory_free(sink);
}
