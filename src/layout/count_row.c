#include "layout/count_row.h"

#include "base/buffer.h"
#include "layout/layout_state.h"

static enum text_style count_style(const struct count *count, bool tight)
{
    if (!count->struck)
        return tight ? TEXT_COUNT_SILENT_TIGHT : TEXT_COUNT_SILENT;
    if (count->beat_number)
        return tight ? TEXT_COUNT_BEAT_TIGHT : TEXT_COUNT_BEAT;
    return tight ? TEXT_COUNT_TIGHT : TEXT_COUNT;
}

struct short_label count_label(const struct layout *layout, const struct count *count, bool tight)
{
    enum text_style style = count_style(count, tight);
    if (count->struck)
        return label_short(layout->metrics, style, count->text);
    struct buffer text = {0};
    buffer_format(&text, "(%s)", count->text);
    struct short_label label = label_short(layout->metrics, style, buffer_text(&text));
    buffer_release(&text);
    return label;
}
