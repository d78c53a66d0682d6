#include "draw/faces.h"

#include "base/arena.h"
#include "draw/text_font.h"

struct faces *faces_open(const struct faces_options *options, struct diags *diags)
{
    struct music_face *music =
        options->music_font ? music_face_load(options->music_font, diags) : music_face_own();
    if (!music)
        return NULL;
    if (!text_family_possible(diags)) {
        music_face_free(music);
        return NULL;
    }
    struct faces *faces = memory_alloc(sizeof *faces);
    *faces = (struct faces){.music = music, .space_mm = options->space_mm};
    faces->labels = text_labels_open(options->space_mm, &faces->missing, diags);
    return faces;
}

void faces_close(struct faces *faces)
{
    if (!faces)
        return;
    text_labels_close(faces->labels);
    vector_release(&faces->missing);
    music_face_free(faces->music);
    memory_free(faces);
}

void faces_resize(struct faces *faces, double space_mm)
{
    faces->space_mm = space_mm;
    text_labels_resize(faces->labels, space_mm);
}

void faces_renew(struct faces *faces, double space_mm)
{
    faces->space_mm = space_mm;
    faces->missing.count = 0;
    text_labels_renew(faces->labels, space_mm);
}

size_t faces_missing(const struct faces *faces, const uint32_t **characters)
{
    *characters = faces->missing.items;
    return faces->missing.count;
}

struct metrics faces_metrics(struct faces *faces)
{
    struct metrics metrics = {.space_mm = faces->space_mm};
    music_face_measures(faces->music, &metrics);
    text_labels_measures(faces->labels, &metrics);
    return metrics;
}

const char *faces_label_text(void *faces, label_id label)
{
    return text_labels_text(((struct faces *)faces)->labels, label);
}

double faces_points_per_sp(const struct faces *faces)
{
    return faces->space_mm * 72 / 25.4 / 1000;
}
