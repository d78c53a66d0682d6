/* The module's one symbol. */
#include "audio/audio_int.h"

#include <ebur128.h>
#include <fluidsynth.h>
#include <math.h>
#include <sndfile.h>
#include <stdio.h>

static bool render_to(struct sink *sink, struct bank *bank, const struct audio_order *order,
                      struct audio_report *report)
{
    struct arena *arena = arena_new();
    struct mix *mix = mix_new(arena, order, bank, report);
    bool played = level_play(mix, order, report, sink_take, sink);
    arena_free(arena);
    return played;
}

static bool render(const struct audio_order *order, struct audio_report *report)
{
    *report = (struct audio_report){.loudness = NAN};
    memory_on_exhaustion(order->exhausted);
    struct bank *bank = bank_open(order->font, report);
    if (!bank)
        return false;
    struct sink *sink = sink_open(order, report);
    bool done = sink && render_to(sink, bank, order, report);
    bank_close(bank);
    if (done)
        return sink_close(sink, report);
    if (sink)
        sink_abandon(sink);
    return false;
}

static const char *libraries(void)
{
    static char text[256];
    int major, minor, patch;
    ebur128_get_version(&major, &minor, &patch);
    snprintf(text, sizeof text, "fluidsynth %s\n%s\nlibebur128 %d.%d.%d\n", fluid_version_str(),
             sf_version_string(), major, minor, patch);
    return text;
}

extern const struct audio_module ratamark_audio;
__attribute__((visibility("default")))
const struct audio_module ratamark_audio = {AUDIO_VERSION, render, libraries};
