#include "lib/sound_module.h"

#include <dlfcn.h>
#include <limits.h>
#include <string.h>
#include <unistd.h>

#define MODULE "ratamark-sound.so"

/* Beside the program in the build tree; in lib/ratamark where it is installed. */
static const char *const places[] = {"/" MODULE, "/../lib/ratamark/" MODULE};

/* General MIDI fonts where systems put them, the one that set-up installs first. */
static const char *const fonts[] = {
    "/usr/share/sounds/sf2/TimGM6mb.sf2",         "/usr/share/sounds/sf2/default-GM.sf2",
    "/usr/share/sounds/sf2/FluidR3_GM.sf2",       "/usr/share/sounds/sf3/default-GM.sf3",
    "/usr/share/soundfonts/default.sf2",          "/usr/share/soundfonts/FluidR3_GM.sf2",
    "/usr/local/share/sounds/sf2/FluidR3_GM.sf2", "/usr/share/soundfonts/FluidR3_GM2-2.sf2",
    "/opt/homebrew/share/soundfonts/default.sf2",
};

/* The folder of the program itself; "" where the system does not tell. */
static void own_folder(char folder[PATH_MAX])
{
    static const char *const links[] = {"/proc/self/exe", "/proc/curproc/file"};
    ssize_t length = -1;
    for (size_t i = 0; length < 0 && i < sizeof links / sizeof *links; i++)
        length = readlink(links[i], folder, PATH_MAX - 1);
    folder[length < 0 ? 0 : length] = '\0';
    char *slash = strrchr(folder, '/');
    if (slash)
        *slash = '\0';
}

static const struct audio_module *module_of(void *library, struct buffer *why)
{
    const struct audio_module *module = dlsym(library, AUDIO_SYMBOL);
    if (module && module->version == AUDIO_VERSION)
        return module;
    buffer_add_text(why, MODULE " belongs to another version of the program");
    return NULL;
}

const struct audio_module *sound_module(struct buffer *why)
{
    static const struct audio_module *loaded;
    if (loaded)
        return loaded;
    char folder[PATH_MAX];
    own_folder(folder);
    bool there = false;
    for (size_t i = 0; *folder && i < sizeof places / sizeof *places; i++) {
        struct buffer path = {0};
        buffer_format(&path, "%s%s", folder, places[i]);
        there = access(buffer_text(&path), F_OK) == 0;
        void *library = there ? dlopen(buffer_text(&path), RTLD_NOW | RTLD_LOCAL) : NULL;
        buffer_release(&path);
        if (library)
            return loaded = module_of(library, why);
        if (there)
            break;
    }
    buffer_add_text(why, there ? dlerror() : "the program was built without it");
    return NULL;
}

const char *sound_font_found(void)
{
    for (size_t i = 0; i < sizeof fonts / sizeof *fonts; i++)
        if (access(fonts[i], R_OK) == 0)
            return fonts[i];
    return NULL;
}
