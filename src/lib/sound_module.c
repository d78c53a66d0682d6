#include "lib/sound_module.h"

#include <dlfcn.h>
#include <limits.h>
#include <string.h>
#include <unistd.h>

#define MODULE "ratamark-sound.so"

/* Seen from the program's folder: in the build tree, and where both were installed below one
   prefix, wherever that has moved since. */
static const char *const places[] = {"/" MODULE, "/../lib/ratamark/" MODULE};

/* Where systems put General MIDI fonts. The first is the one that .setup/install installs. */
static const char *const fonts[] = {
    "/usr/share/sounds/sf2/TimGM6mb.sf2",         "/usr/share/sounds/sf2/default-GM.sf2",
    "/usr/share/sounds/sf2/FluidR3_GM.sf2",       "/usr/share/sounds/sf3/default-GM.sf3",
    "/usr/share/soundfonts/default.sf2",          "/usr/share/soundfonts/FluidR3_GM.sf2",
    "/usr/local/share/sounds/sf2/FluidR3_GM.sf2", "/usr/share/soundfonts/FluidR3_GM2-2.sf2",
    "/opt/homebrew/share/soundfonts/default.sf2",
};

/* The folder of the program itself; "" if the system does not say. */
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
    buffer_add_text(why, MODULE " is from another version of the program");
    return NULL;
}

/* False where there is no such file. */
static bool load(const char *path, const struct audio_module **module, struct buffer *why)
{
    if (access(path, F_OK) != 0)
        return false;
    void *library = dlopen(path, RTLD_NOW | RTLD_LOCAL);
    if (library)
        *module = module_of(library, why);
    else
        buffer_add_text(why, dlerror());
    return true;
}

const struct audio_module *sound_module(struct buffer *why)
{
    /* two threads that load it at once get the same one from the system */
    static const struct audio_module *_Atomic loaded;
    const struct audio_module *module = loaded;
    if (module)
        return module;
    char folder[PATH_MAX];
    own_folder(folder);
    bool there = false;
    for (size_t i = 0; *folder && !there && i < sizeof places / sizeof *places; i++) {
        struct buffer path = {0};
        buffer_format(&path, "%s%s", folder, places[i]);
        there = load(buffer_text(&path), &module, why);
        buffer_release(&path);
    }
    if (!there && !load(MODULE_FOLDER "/" MODULE, &module, why))
        buffer_add_text(why, "the program was built without it");
    loaded = module;
    return module;
}

const char *sound_font_found(void)
{
    for (size_t i = 0; i < sizeof fonts / sizeof *fonts; i++)
        if (access(fonts[i], R_OK) == 0)
            return fonts[i];
    return NULL;
}
