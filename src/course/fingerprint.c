#define _GNU_SOURCE /* dl_iterate_phdr() */

#include "course/fingerprint.h"

#include "base/vector.h"
#include "draw/draw.h"
#include "lib/sound_module.h"
#include "ratamark.h"
#include "read/read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

/* ---- the program -------------------------------------------------------------------------- */

#ifdef __linux__
#include <elf.h>
#include <link.h>

/* The linker's digest of the program (the note NT_GNU_BUILD_ID), because two builds of one version
   may differ. */
static int add_build(struct dl_phdr_info *object, size_t size, void *closure)
{
    (void)size;
    for (int i = 0; i < object->dlpi_phnum; i++) {
        const ElfW(Phdr) *part = &object->dlpi_phdr[i];
        if (part->p_type == PT_NOTE)
            digester_add(closure, (const void *)(object->dlpi_addr + part->p_vaddr), part->p_memsz);
    }
    return 1; /* only the first, the program: libraries have versions of their own */
}

static void add_program(struct digester *digester)
{
    dl_iterate_phdr(add_build, digester);
}
#else
static void add_program(struct digester *digester)
{
    (void)digester;
}
#endif

static void add_versions(struct digester *digester)
{
    struct buffer versions = {0};
    buffer_format(&versions, "%s\n", ratamark_version());
    read_add_versions(&versions);
    draw_add_versions(&versions);
    digester_add_text(digester, buffer_text(&versions));
    buffer_release(&versions);
    add_program(digester);
}

/* ---- fonts -------------------------------------------------------------------------------- */

/* What the search for fonts depends on besides files: fontconfig's environment variables. */
static struct digest font_settings(const char *music_font)
{
    static const char *const variables[] = {"FONTCONFIG_FILE",    "FONTCONFIG_PATH",
                                            "FONTCONFIG_SYSROOT", "XDG_CONFIG_HOME",
                                            "XDG_DATA_HOME",      "HOME"};
    struct digester digester = digester_begin();
    digester_add_text(&digester, music_font);
    for (size_t i = 0; i < sizeof variables / sizeof *variables; i++)
        digester_add_text(&digester, getenv(variables[i]));
    add_versions(&digester);
    return digester_end(&digester);
}

static struct file_stamp stamp_of(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 ? file_stamp(&status) : (struct file_stamp){0};
}

static bool fonts_known(const struct recorded_fonts *fonts, struct digest settings)
{
    if (!digest_equal(fonts->settings, settings))
        return false;
    for (size_t i = 0; i < fonts->count; i++) {
        struct file_stamp now = stamp_of(fonts->files[i].path);
        if (!file_stamp_equal(&now, &fonts->files[i].stamp))
            return false;
    }
    return fonts->count > 0;
}

struct watching {
    struct arena *arena;
    VECTOR(struct recorded_watch) files;
};

static void watch(void *closure, const char *path)
{
    struct watching *watching = closure;
    *vector_push(&watching->files, watching->arena) = (struct recorded_watch){
        .path = arena_copy_text(watching->arena, path, strlen(path)), .stamp = stamp_of(path)};
}

static struct digest find_fonts(const char *music_font, struct course_record *record)
{
    struct digest settings = font_settings(music_font);
    const struct recorded_fonts *known = course_record_fonts(record);
    if (fonts_known(known, settings))
        return known->digest;
    struct watching watching = {.arena = arena_new()};
    struct recorded_fonts fonts = {.settings = settings};
    fonts.digest = draw_fonts(music_font, watch, &watching);
    fonts.files = watching.files.items;
    fonts.count = watching.files.count;
    course_record_set_fonts(record, &fonts);
    arena_free(watching.arena);
    return fonts.digest;
}

/* ---- audio -------------------------------------------------------------------------------- */

bool course_makes_audio(const struct input *course)
{
    const struct course *keys = input_course_keys(course);
    for (size_t i = 0; i < keys->produce_count; i++)
        if (format_rows[keys->produce[i]].from == FORMAT_FROM_AUDIO)
            return true;
    return false;
}

/* The bytes of the sound font and the versions of the audio libraries; read once a run. A missing
   font has a digest as well. */
static struct digest audio_means(void)
{
    static struct digest digest;
    static bool known;
    const char *path = known ? NULL : sound_font_found();
    FILE *file = path ? fopen(path, "rb") : NULL;
    if (known)
        return digest;
    struct digester digester = digester_begin();
    struct buffer why = {0};
    const struct audio_module *module = sound_module(&why);
    digester_add_text(&digester, module ? module->libraries() : "");
    buffer_release(&why);
    static char bytes[64 * 1024];
    for (size_t got; file && (got = fread(bytes, 1, sizeof bytes, file));)
        digester_add(&digester, bytes, got);
    if (file)
        fclose(file);
    known = true;
    return digest = digester_end(&digester);
}

/* ---- the fingerprint ---------------------------------------------------------------------- */

struct digest fingerprint_of_run(const struct course_options *options, const char *date,
                                 struct course_record *record)
{
    struct digester digester = digester_begin();
    struct digest fonts = find_fonts(options->music_font, record);
    add_versions(&digester);
    digester_add_digest(&digester, fonts);
    digester_add_text(&digester, date);
    digester_add(&digester, &options->dpi, sizeof options->dpi);
    digester_add(&digester, &options->handed, sizeof options->handed);
    digester_add_text(&digester, options->wide[FORMAT_INDEX] ? "pictures" : "");
    return digester_end(&digester);
}

struct digest fingerprint_of_course(struct digest common, const struct input *course)
{
    struct digester digester = digester_begin();
    digester_add_digest(&digester, common);
    for (const struct input *file = course; file; file = file->course) {
        digester_add(&digester, file->source.bytes, file->source.length);
        digester_add_text(&digester, ""); /* a zero byte separates them */
    }
    if (course_makes_audio(course)) {
        struct digest means = audio_means();
        digester_add_digest(&digester, means);
    }
    return digester_end(&digester);
}
