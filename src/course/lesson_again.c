#include "course/lesson_again.h"

void lesson_again_open(struct lesson_again *again, const struct course_tree *tree, size_t number,
                       enum handed handed)
{
    const struct course_lesson *lesson = &tree->lessons[number];
    struct buffer path = {0};
    again->input = input_read_plain(course_tree_path(tree, lesson->name, &path));
    again->input->course = lesson->course;
    pipeline_init(&again->work, again->input->source);
    again->work.handed = handed;
    again->work.course = lesson->course ? lesson->course->context : NULL;
    buffer_release(&path);
}

bool lesson_again_run(struct lesson_again *again, enum stage last, struct buffer *problem)
{
    const struct input *input = again->input;
    bool good =
        input->source.bytes && course_usable(input->course) && pipeline_run(&again->work, last);
    if (!good)
        buffer_format(problem, "'%s' has errors", input->source.name);
    return good;
}

void lesson_again_release(struct lesson_again *again)
{
    pipeline_release(&again->work);
    input_close(again->input);
}
