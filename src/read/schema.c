/*
 * The JSON Schema of lessons and course files, made from the reader's tables: which keys stand
 * where, and the words that are their values. What no table says is a row of `described`: the shape
 * of other values, and a line of help. A key without a row is accepted with any value, and a test
 * fails by its name.
 *
 * Shapes are JSON with single quotes. Scalars of YAML are text for the reader, so `96` and `yes`
 * are numbers and booleans here and text there.
 */
#include "model/counting.h"
#include "model/format.h"
#include "model/rudiment.h"
#include "model/subdivision.h"
#include "read/schema_beside.h"
#include "read/schema_patterns.h"
#include "read/scope.h"

#include <assert.h>
#include <jansson.h>

/* A shape that stands under $defs. */
#define DEF(name) "{'$ref':'#/$defs/" name "'}"
#define LIST_OF(shape) "{'anyOf':[" shape ",{'type':'array','minItems':1,'items':" shape "}]}"
/* Text may not contain characters that can only be written as escapes. */
#define TEXT                                                                                       \
    "{'type':['string','number','boolean'],'pattern':"                                             \
    "'^[^\\\\u0000-\\\\u0009\\\\u000b-\\\\u001f\\\\u007f]*$'}"
#define NUMBER(least, most) "{'type':'integer','minimum':" least ",'maximum':" most "}"
#define BPM "[0-9]{1,3}([.][0-9]{1,2}|,[0-9])?"
#define UP_TO_64 "0*(6[0-4]|[1-5][0-9]|[1-9])"
#define VOICES_TO_CHOOSE                                                                           \
    "{'type':'array','minItems':2,'maxItems':8,'uniqueItems':true,'items':{'allOf':[" DEF(         \
        "limb-voicing") ",{'not':" DEF("foot-voice") "}]}}"
#define CHOICE "{'anyOf':[" DEF("vary-choice") "," DEF("bars-of-counts") "]}"
#define DECIMAL(least, most) "{'type':'number','minimum':" least ",'maximum':" most "}"

static const struct described {
    const struct key_table *table;
    const char *name;
    const char *shape; /* NULL: the words of the key's row */
    const char *about;
} described[] = {
    {&all_table, "title", TEXT, "Text of one line."},
    {&all_table, "subtitle", TEXT, "Text of one line."},
    {&all_table, "author", TEXT, "Who wrote it."},
    {&all_table, "copyright", TEXT, "The copyright notice."},
    {&all_table, "date", TEXT, "The date, as it is to be printed."},
    {&all_table, "language", "{'type':'string','pattern':'^[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*$'}",
     "The language of the texts: en, de, zh-Hant."},
    {&all_table, "page-words",
     "{'type':'object','propertyNames':" DEF("page-word") ",'additionalProperties':" TEXT "}",
     "Your own wording of what the sheet prints: {Key: Legend}."},
    {&all_table, "notes", LIST_OF(TEXT), "Paragraphs of text, with blank lines between them."},
    {&all_table, "text", LIST_OF(TEXT), "Paragraphs of text for the exercise."},
    {&all_table, "id", "{'type':['string','number'],'pattern':'^[^ *]+$'}",
     "A word by which a later sequence names the exercise."},
    {&all_table, "levels",
     "{'type':'object','additionalProperties':{'anyOf':[" TEXT "," DEF("level-limits") "]}}",
     "Levels of your own, each like a built-in one, with other figures."},
    {&all_table, "level", "{'anyOf':[" DEF("level") ",{'type':'string'}]}",
     "Who it is for: sets what hands and feet can do."},
    {&all_table, "kit", DEF("kit"), "Voices of your own, short names, and how the kit stands."},
    {&all_table, "patterns", "{'type':'object','additionalProperties':" DEF("strokes") "}",
     "Names for stroke lines: {crate: RLLRRL}."},
    {&all_table, "time",
     "{'type':'string','pattern':'^" UP_TO_64 "(\\\\+" UP_TO_64 ")*/(1|2|4|8|16|32)$'}",
     "The meter: 4/4, 6/8, 2+2+3/8."},
    {&all_table, "tempo",
     LIST_OF(
         "{'type':['number','string'],'exclusiveMinimum':0,'maximum':999,'pattern':'^ *((1|2|4|8|"
         "16|32)[.]{0,2} *= *)?" BPM "( *(-|\u2013) *" BPM "| +to +" BPM "|( *, *| +)" BPM "(( *, "
         "*| +)" BPM ")*)? *$'}"),
     "Beats a minute: 96, 72.5, a range 60-110, a list 60 72 84, or a note value in front: 8.=72."},
    {&all_table, "subdivision", DEF("subdivision-list"),
     "How the beat is divided; a list gives each beat its own."},
    {&all_table, "counting",
     "{'anyOf':[" DEF("counting") ",{'type':'object','propertyNames':" DEF(
         "subdivision-text") ",'additionalProperties':" TEXT "}]}",
     "How beats are counted; or syllables of your own: {sixteenths: '# ka ti ka'}."},
    {&all_table, "swing", "{'type':'string','pattern':'^(straight|([0-9]+)/(?!\\\\2$)[0-9]+)$'}",
     "The first note's share of a pair: straight, 2/3."},
    {&all_table, "handed", NULL, "The player's strong hand."},
    {&all_table, "lead", NULL, "Which hand leads; both prints the exercise twice."},
    {&all_table, "show", "{'anyOf':[" DEF("show") "," LIST_OF(DEF("show-word")) "]}",
     "What the page shows."},
    {&all_table, "page", DEF("page"), "The size of the page and of what stands on it."},
    {&all_table, "stems", NULL, "Hands up and feet down, or one stem for both."},
    {&all_table, "beams", NULL, "Level or sloped beams."},
    {&all_table, "sticking", DEF("sticking"),
     "A stroke line such as RLRR LRLL, a pattern, a rudiment, auto or none."},
    {&all_table, "play", DEF("play"), "What each limb plays: {R: ride, L: snare ghost}."},
    {&all_table, "rhythm", DEF("rhythm"), "A rhythm line: 4 8 8 | 3(8*3) | _4."},
    {&all_table, "rudiment", "{'anyOf':[" DEF("rudiment") ",{'type':'string'}]}",
     "A rudiment with its rhythm, hands and accents."},
    {&all_table, "voices", DEF("voices"),
     "A voice for each stroke: snare*4 high-tom crash+bass-drum."},
    {&all_table, "at",
     "{'type':'object','propertyNames':" DEF("counts") ",'additionalProperties':" DEF(
         "voicing") "}",
     "Changes by count: {2: snare accent, 4: rest}."},
    {&all_table, "accents", DEF("bars-of-counts"),
     "Counts with an accent; a list has one entry a bar."},
    {&all_table, "ghosts", DEF("bars-of-counts"),
     "Counts with a ghost; a list has one entry a bar."},
    {&all_table, "kick", DEF("bars-of-counts"), "Counts of the bass drum."},
    {&all_table, "hat-foot", DEF("bars-of-counts"), "Counts of the hi-hat foot."},
    {&all_table, "feet", DEF("feet"), "A line of their own for the feet."},
    {&all_table, "right", DEF("right"), "The right hand's line, where the hands' rhythms differ."},
    {&all_table, "left", DEF("left"), "The left hand's line."},
    {&all_table, "figures", DEF("figures"), "Figures of the other players, over the bar."},
    {&all_table, "dynamics",
     "{'type':'object','propertyNames':" DEF("counts") ",'additionalProperties':" DEF(
         "dynamic") "}",
     "Dynamics by count: {1: p, 3: f}."},
    {&all_table, "pace",
     "{'type':'object','propertyNames':" DEF(
         "counts") ",'additionalProperties':{'enum':['accel','rit',"
                   "'a-tempo']}}",
     "Changes of tempo by bar: {1: accel, 4: rit}."},
    {&all_table, "roll",
     "{'anyOf':[" NUMBER("3", "64") ",{'type':'object','propertyNames':" DEF(
         "counts") ",'additionalProperties':" NUMBER("3", "64") "}]}",
     "The number of strokes of a roll, or by count: {1: 5, 3: 7}."},
    {&all_table, "pulse", "{'type':'string','pattern':'^ *[0-9(.)]+ *= *[0-9(.)]+ *$'}",
     "Which old note lasts as long as which new one: 4=4., 8=8."},
    {&all_table, "mark", "{'type':['string','number','boolean'],'maxLength':24}",
     "A letter or short name in a box over the bar."},
    {&all_table, "words",
     "{'anyOf':[" TEXT
     ",{'type':'object','propertyNames':" DEF("counts") ",'additionalProperties':" TEXT "}]}",
     "Words over the bar, or over its counts."},
    {&all_table, "same", "{'enum':[1,2]}", "Repeats the bar before, or the two bars before."},
    {&all_table, "rest", NUMBER("1", "999"), "Bars of rest."},
    {&all_table, "slashes", NULL, "Beat slashes: play what the words or the bars before say."},
    {&all_table, "segno", DEF("flag"), "Where D.S. goes back to."},
    {&all_table, "coda", DEF("flag"), "Where the coda begins."},
    {&all_table, "fine", DEF("flag"), "Where the piece ends after a jump."},
    {&all_table, "to", "{'enum':['coda']}", "The bar after which the player goes to the coda."},
    {&all_table, "jump",
     "{'anyOf':[{'enum':['D.C.','D.S.','D.C. al Fine','D.S. al Fine','D.C. al Coda','D.S. al "
     "Coda']},"
     "{'type':'string','pattern':'^[dD][. ]*([cC]|[sS]|[aA][. ]*[cC]|[aA][lL])'}]}",
     "Back to the beginning, or to the segno."},
    {&all_table, "times", NUMBER("1", "999"), "How often the bar is played."},
    {&all_table, "repeat", NUMBER("1", "999"), "How many times to play it."},
    {&all_table, "pickup", DEF("pickup"), "A bar that is shorter than the meter; it has a rhythm."},
    {&all_table, "bars",
     "{'anyOf':[" NUMBER(
         "1",
         "16384") ",{'const':'resolve'},{'type':'array','minItems':1,'items':" DEF("bar") "}]}",
     "A number, resolve, or a list of bars."},
    {&all_table, "endings",
     "{'type':'object','propertyNames':{'pattern':'^[0-9][0-9., ]*([\\u2013-] *[0-9]+|to "
     "[0-9]+)?$'},"
     "'additionalProperties':{'anyOf':[" DEF("bar") ",{'type':'array','items':" DEF("bar") "}]}}",
     "Bars for numbered times through: {1 2: {...}, 3: {...}}."},
    {&all_table, "sequence",
     LIST_OF("{'type':['string','number'],'pattern':'^([^*]|[*]0*[1-9][0-9]{0,2}(?![^ \\n]))*$'}"),
     "A practice form: ids of earlier exercises, such as groove*3 fill."},
    {&all_table, "vary", DEF("vary"), "What may change in the exercise's variations."},
    {&vary_table, "R", VOICES_TO_CHOOSE,
     "The voices that each stroke of the right hand can be on."},
    {&vary_table, "L", VOICES_TO_CHOOSE, "The voices that each stroke of the left hand can be on."},
    {&vary_table, "accents", CHOICE, "Where accents can be, and how many."},
    {&vary_table, "ghosts", CHOICE, "Where ghosts can be, and how many."},
    {&vary_table, "kick", CHOICE, "Where the bass drum can be, and how often."},
    {&vary_table, "hat-foot", CHOICE, "Where the hi-hat's foot can be, and how often."},
    {&vary_table, "rotate", NULL, "Whether the sticking begins at any of its strokes."},
    {&vary_table, "permute",
     "{'type':['string','integer'],'pattern':'^[ ,]*[0-9]+([ ,]+[0-9]+)+[ ,]*$'}",
     "The lengths of the sticking's pieces, which come in every order: 3 3 2."},
    {&vary_table, "keep",
     "{'type':'object','propertyNames':" DEF("counts") ",'additionalProperties':" DEF(
         "voicing") "}",
     "What every variation has: {4: snare accent}."},
    {&vary_table, "distinct", NULL, "Whether variations that only begin elsewhere are the same."},
    {&vary_table, "playable", NUMBER("1", "999"),
     "Only what can be played at this many quarters a minute."},
    {&vary_choice_table, "from",
     "{'allOf':[" DEF("bars-of-counts") ",{'not':{'type':'string','pattern':'stroke'}}]}",
     "The counts to choose from."},
    {&vary_choice_table, "count",
     "{'type':['integer','string'],'minimum':0,'maximum':4096,'pattern':'^ *[0-9]{1,4}( "
     "*(-|\u2013) "
     "*[0-9]{1,4}| +to +[0-9]{1,4})? *$'}",
     "How many, in all bars together: 3, 2-4."},
    {&all_table, "order", LIST_OF(TEXT), "The course's lesson files and folders in order."},
    {&all_table, "leave-out", LIST_OF(TEXT), "Files and folders that are not part of the course."},
    {&all_table, "produce", LIST_OF(DEF("format")), "The formats to make of each lesson."},
    {&all_table, "strict", DEF("flag"), "Whether warnings are errors."},
    {&all_table, "allow", LIST_OF(DEF("warning")), "Warnings that are only notes."},
    {&all_table, "exercises", "{'type':'array','minItems':1,'items':" DEF("exercise") "}",
     "The exercises, at least one."},
    {&show_table, "sticking", NULL, "The letters of the hands."},
    {&show_table, "counts", NULL, "Counts of what is struck, of every slot, or none."},
    {&show_table, "key", NULL, "The drum key."},
    {&show_table, "plan", NULL, "The kit seen from above."},
    {&show_table, "ladder", "{'const':'limit'}", "Tick boxes for practice tempos."},
    {&show_table, "feet-rests", NULL, "Rests of the feet."},
    {&show_table, "bar-numbers", NULL, "Numbers at the left of the lines."},
    {&show_table, "form", NULL, "How a practice form is printed."},
    {&show_table, "bars", NULL, "How repeated bars are printed."},
    {&show_table, "tempo", NULL, "The tempo of each exercise, or each tempo once."},
    {&show_table, "tuplet-numbers", NULL,
     "The numbers of all tuplets, or of the first of equal ones."},
    {&page_table, "size", NULL, "The paper."},
    {&page_table, "margin", DECIMAL("5", "60"), "Millimetres on all sides."},
    {&page_table, "staff", DECIMAL("3", "20"), "The height of five lines in millimetres."},
    {&page_table, "bars-per-line", NUMBER("1", "32"), "Bars on each line of music."},
    {&page_table, "columns", "{'enum':[1,2]}", "Columns of exercises on a page."},
    {&page_table, "staff-lines", NULL, "Lines of the staff."},
    {&page_table, "fit", NULL, "one: shrink the lesson to one page."},
    {&page_table, "side-by-side", NULL, "Whether two exercises may share a line."},
    {&kit_table, "handed", NULL, "The drummer's strong hand."},
    {&kit_table, "hats", NULL, "Whether the foot or a clutch holds the hats closed."},
    {&kit_table, "voices",
     "{'type':'object','propertyNames':" DEF("voice-name") ",'additionalProperties':{'anyOf':[" TEXT
                                                           "," DEF("own-voice") "]}}",
     "Voices of your own: {bell: {like: ride}}."},
    {&kit_table, "short", "{'type':'object','additionalProperties':{'type':'string'}}",
     "Short names for voices: {h: hi-hat}."},
    {&voice_table, "like", "{'anyOf':[" DEF("voice") ",{'type':'string'}]}",
     "The voice it is like, apart from what follows."},
    {&voice_table, "line", "{'type':'number','minimum':-3,'maximum':10,'multipleOf':0.5}",
     "Its place: 1 is the bottom line, 1.5 the space above."},
    {&voice_table, "head", "{'anyOf':[" DEF("head") ",{'type':'string','pattern':'^notehead'}]}",
     "Its notehead."},
    {&voice_table, "sign", DEF("sign"), "A sign above its note."},
    {&voice_table, "player", NULL, "Who plays it."},
    {&voice_table, "midi", NUMBER("0", "127"), "Its General MIDI key."},
    {&voice_table, "at", "{'type':'array','minItems':2,'maxItems':3,'items':{'type':'number'}}",
     "Centimetres right of and in front of the snare, and up."},
    {&voice_table, "label", TEXT, "Its name in the drum key."},
    {&voice_table, "size", DECIMAL("1", "60"), "Its diameter in inches."},
    {&level_table, "like", DEF("level"), "The level that it starts from."},
};

/* ---- pieces ------------------------------------------------------------------------------- */

static json_t *shape_of(const char *quoted)
{
    struct buffer text = {0};
    for (const char *byte = quoted; *byte; byte++)
        buffer_add(&text, *byte == '\'' ? "\"" : byte, 1);
    json_t *shape = json_loads(buffer_text(&text), 0, NULL);
    buffer_release(&text);
    assert(shape);
    return shape;
}

/* A word as YAML's core schema reads it. */
static void add_word(json_t *list, const char *word)
{
    json_array_append_new(list, json_string(word));
    if (strcmp(word, "true") == 0 || strcmp(word, "false") == 0)
        json_array_append_new(list, json_boolean(*word == 't'));
    else if (*word && strspn(word, "0123456789") == strlen(word))
        json_array_append_new(list, json_integer(atoi(word)));
}

static json_t *enum_of(const char *const *words)
{
    json_t *list = json_array();
    for (; *words; words++)
        add_word(list, *words);
    return json_pack("{s:o}", "enum", list);
}

/* The words of some other table, one by one; NULL after the last. */
typedef const char *word_at(size_t index);

static json_t *enum_from(word_at *words)
{
    json_t *list = json_array();
    const char *word;
    for (size_t i = 0; (word = words(i)); i++)
        if (*word)
            add_word(list, word);
    return json_pack("{s:o}", "enum", list);
}

static const char *subdivision_word(size_t i)
{
    return i < SUBDIVISION_COUNT ? subdivision_name((enum subdivision)i) : NULL;
}

static const char *counting_word(size_t i)
{
    return counting_names[i];
}

static const char *rudiment_word(size_t i)
{
    return i < RUDIMENT_COUNT ? rudiment_get((int)i + 1)->name : NULL;
}

static const char *voice_word(size_t i)
{
    return i < VOICE_BUILTIN_COUNT ? voice_builtin((enum voice_builtin)i)->name : NULL;
}

static const char *foot_voice_word(size_t i)
{
    bool foot =
        i < VOICE_BUILTIN_COUNT && voice_builtin((enum voice_builtin)i)->player != PLAYER_HANDS;
    return i >= VOICE_BUILTIN_COUNT ? NULL : foot ? voice_word(i) : "";
}

static const char *head_name(size_t i)
{
    return i < HEAD_KINDS ? head_word((enum head)i) : NULL;
}

static const char *sign_word(size_t i)
{
    if (i >= MARK_COUNT)
        return i == MARK_COUNT ? "none" : NULL;
    return stroke_marks[i].bit & MARKS_OF_HATS ? stroke_marks[i].word : "";
}

static const char *level_word(size_t i)
{
    return i < LEVEL_COUNT ? limits_builtin((enum player_level)i)->name : NULL;
}

static const char *format_name(size_t i)
{
    if (i >= FORMAT_COUNT)
        return NULL;
    return i && format_rows[i].commands & FORMAT_BY_COURSE ? format_rows[i].word : "";
}

static const char *warning_word(size_t i)
{
    if (i >= DIAG_CODE_COUNT)
        return NULL;
    enum diag_code code = (enum diag_code)i;
    return diag_usual_severity(code) == DIAG_SEVERITY_WARNING ? diag_word(code) : "";
}

static const char *flag_word(size_t i)
{
    return no_or_yes[i];
}

static const char *dynamic_word(size_t i)
{
    return dynamic_words[i];
}

static const char *show_word(size_t i)
{
    return show_words[i];
}

static const struct {
    const char *name;
    word_at *words;
} lists[] = {
    {"subdivision", subdivision_word},
    {"counting", counting_word},
    {"rudiment", rudiment_word},
    {"voice", voice_word},
    {"foot-voice", foot_voice_word},
    {"head", head_name},
    {"sign", sign_word},
    {"level", level_word},
    {"format", format_name},
    {"warning", warning_word},
    {"flag", flag_word},
    {"dynamic", dynamic_word},
    {"show-word", show_word},
    {"page-word", page_word_number},
};

/* ---- the little languages ----------------------------------------------------------------- */

static json_t *pattern_of(add_pattern *add)
{
    struct buffer pattern = {0};
    add(&pattern);
    json_t *shape =
        json_pack("{s:[s,s], s:s}", "type", "string", "integer", "pattern", buffer_text(&pattern));
    buffer_release(&pattern);
    return shape;
}

/* A rudiment, a pattern's name, or strokes. */
static json_t *sticking_of(add_pattern *strokes, const char *words)
{
    return json_pack("{s:[o,o,o,o]}", "anyOf", shape_of(DEF("rudiment")), shape_of(words),
                     pattern_of(strokes), pattern_of(schema_add_names));
}

static const struct {
    const char *name;
    add_pattern *add;
} languages[] = {
    {"counts", schema_add_counts},
    {"strokes", schema_add_strokes},
    {"rhythm", schema_add_rhythm},
    {"figures", schema_add_figures},
    {"voices", schema_add_voices},
    {"limb-voicing", schema_add_limb_voicing},
    {"voicing", schema_add_at_voicing},
    {"voice-name", schema_add_voice_name},
    {"subdivision-text", schema_add_subdivision},
};

static void add_languages(json_t *defs)
{
    for (size_t i = 0; i < sizeof languages / sizeof *languages; i++)
        json_object_set_new(defs, languages[i].name, pattern_of(languages[i].add));
    json_object_set_new(defs, "sticking",
                        sticking_of(schema_add_strokes, "{'enum':['auto','none']}"));
    json_object_set_new(defs, "feet-sticking",
                        sticking_of(schema_add_feet_strokes, "{'const':'auto'}"));
    json_object_set_new(defs, "right-sticking",
                        sticking_of(schema_add_right_strokes, "{'const':'auto'}"));
    json_object_set_new(defs, "left-sticking",
                        sticking_of(schema_add_left_strokes, "{'const':'auto'}"));
    json_object_set_new(
        defs, "subdivision-list",
        json_pack("{s:[o,o,o]}", "anyOf", shape_of(DEF("subdivision")),
                  shape_of(DEF("subdivision-text")),
                  shape_of("{'type':'array','minItems':1,'maxItems':64,'items':" DEF(
                      "subdivision-list") "}")));
}

/* ---- maps --------------------------------------------------------------------------------- */

static const struct described *find_described(const struct key_table *table, const char *name)
{
    if (table == &limb_table || table == &feet_limb_table) {
        static const struct described limb = {
            NULL, NULL, LIST_OF(DEF("limb-voicing")),
            "What this limb plays; the voices of a list take turns."};
        return &limb;
    }
    for (size_t i = 0; i < sizeof described / sizeof *described; i++)
        if (described[i].table == table && strcmp(described[i].name, name) == 0)
            return &described[i];
    return NULL;
}

static json_t *limit_shape(const char *name)
{
    enum limit_key key;
    if (!limit_from_word(name, &key))
        return NULL;
    struct limit_range range = limit_range(key);
    return json_pack("{s:s, s:i, s:i, s:s}", "type", "integer", "minimum", (int)range.least,
                     "maximum", (int)range.most, "description", limit_about(key));
}

/* What a key's value can be, and its line of help; NULL: nothing says. */
static json_t *value_shape(const struct key_table *table, const struct key *key)
{
    json_t *limit = table == &level_table ? limit_shape(key->name) : NULL;
    const struct described *row = find_described(table, key->name);
    if (limit || !row)
        return limit;
    json_t *shape = row->shape ? shape_of(row->shape) : NULL;
    if (key->words && shape)
        shape = json_pack("{s:[o,o]}", "anyOf", enum_of(key->words), shape);
    else if (key->words)
        shape = enum_of(key->words);
    if (shape)
        json_object_set_new(shape, "description", json_string(row->about));
    return shape;
}

/* Voices with their counts. Voices that only the author knows, and those with marks, are known by
   their values. */
static void add_voices(json_t *map, json_t *elsewhere, unsigned where)
{
    const char *counts = where == IN_BAR ? DEF("counts") : DEF("bars-of-counts");
    json_t *properties = json_object_get(map, "properties");
    struct buffer names = {0};
    schema_add_voice_key(&names);
    for (int i = 0; i < VOICE_BUILTIN_COUNT; i++) {
        const struct voice *voice = voice_builtin((enum voice_builtin)i);
        json_t *shape = shape_of(counts);
        json_object_set_new(shape, "description", json_sprintf("Counts of the %s.", voice->spoken));
        json_object_set_new(properties, voice->name, shape);
    }
    json_object_set_new(
        map, "propertyNames",
        json_pack("{s:s, s:{s:o}}", "pattern", buffer_text(&names), "not", "enum", elsewhere));
    json_object_set_new(map, "additionalProperties", shape_of(counts));
    buffer_release(&names);
}

/* The shapes of some keys at some levels. */
static const struct {
    const char *key;
    unsigned where;
    const char *shape;
} at_levels[] = {
    {"sticking", IN_FEET, DEF("feet-sticking")},
    {"sticking", IN_RIGHT, DEF("right-sticking")},
    {"sticking", IN_LEFT, DEF("left-sticking")},
    {"play", IN_FEET, DEF("feet-play")},
    {"play", IN_RIGHT, "{'anyOf':[" DEF("right-play") "," LIST_OF(DEF("limb-voicing")) "]}"},
    {"play", IN_LEFT, "{'anyOf':[" DEF("left-play") "," LIST_OF(DEF("limb-voicing")) "]}"},
    {"accents", IN_BAR, DEF("counts")},
    {"ghosts", IN_BAR, DEF("counts")},
    {"kick", IN_BAR, DEF("counts")},
    {"hat-foot", IN_BAR, DEF("counts")},
};

/* The shape of a key at this level, in place of its usual one. */
static json_t *shape_at(json_t *usual, const char *key, unsigned where)
{
    for (size_t i = 0; i < sizeof at_levels / sizeof *at_levels; i++) {
        if (at_levels[i].where != where || strcmp(at_levels[i].key, key) != 0)
            continue;
        json_t *shape = shape_of(at_levels[i].shape);
        json_object_set(shape, "description", json_object_get(usual, "description"));
        json_decref(usual);
        return shape;
    }
    return usual;
}

static json_t *map_of(const struct key_table *table, unsigned where)
{
    json_t *properties = json_object(), *elsewhere = json_array();
    bool others = false;
    for (size_t i = 0; i < table->count; i++) {
        const struct key *key = &table->keys[i];
        others |= !*key->name && (key->where & where);
        if (!(key->where & where))
            json_array_append_new(elsewhere, json_string(key->name));
        if (!*key->name || !(key->where & where))
            continue;
        json_t *shape = value_shape(table, key);
        shape = table == &all_table ? shape_at(shape, key->name, where) : shape;
        if (!shape)
            shape = json_object();
        if (key->idle & where && table == &all_table)
            json_object_set_new(shape, "deprecated", json_true());
        json_object_set_new(properties, key->name, shape);
    }
    json_t *map = json_pack("{s:s, s:o}", "type", "object", "properties", properties);
    if (others)
        add_voices(map, elsewhere, where);
    else
        json_decref(elsewhere);
    if (!others)
        json_object_set_new(map, "additionalProperties", json_false());
    if (table == &all_table)
        schema_add_beside(map, where);
    if (table == &vary_table)
        schema_add_vary(map);
    return map;
}

static const struct {
    const char *name;
    const struct key_table *table;
    unsigned where;
} maps[] = {
    {"exercise", &all_table, IN_EXERCISE},
    {"bar", &all_table, IN_BAR},
    {"feet", &all_table, IN_FEET},
    {"right", &all_table, IN_RIGHT},
    {"left", &all_table, IN_LEFT},
    {"show", &show_table, ~0u},
    {"page", &page_table, ~0u},
    {"kit", &kit_table, ~0u},
    {"own-voice", &voice_table, ~0u},
    {"level-limits", &level_table, ~0u},
    {"vary", &vary_table, OF_VARY},
    {"vary-choice", &vary_choice_table, OF_CHOICE},
    {"play", &limb_table, OF_HANDS},
    {"feet-play", &feet_limb_table, OF_FEET},
    {"right-play", &limb_table, OF_RIGHT},
    {"left-play", &limb_table, OF_LEFT},
};

static json_t *all_defs(void)
{
    json_t *defs = json_object();
    for (size_t i = 0; i < sizeof maps / sizeof *maps; i++)
        json_object_set_new(defs, maps[i].name, map_of(maps[i].table, maps[i].where));
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++)
        json_object_set_new(defs, lists[i].name, enum_from(lists[i].words));
    add_languages(defs);
    json_object_set_new(defs, "bars-of-counts", shape_of(LIST_OF(DEF("counts"))));
    json_object_set_new(defs, "pickup", schema_pickup());
    return defs;
}

void read_schema(bool course, struct buffer *out)
{
    json_t *schema = map_of(&all_table, course ? IN_COURSE : IN_LESSON);
    json_t *head =
        json_pack("{s:s, s:s, s:s}", "$schema", "https://json-schema.org/draft/2020-12/schema",
                  "title", course ? "Course of drum lessons" : "Drum lesson", "description",
                  course ? "What the lessons of a folder share: ratamark-lesson(5)."
                         : "A drum lesson: ratamark-lesson(5).");
    json_object_update(head, schema);
    if (!course)
        json_object_set_new(head, "required", json_pack("[s]", "exercises"));
    json_object_set_new(head, "$defs", all_defs());
    char *text = json_dumps(head, JSON_INDENT(1));
    buffer_add_text(out, text);
    buffer_add_text(out, "\n");
    free(text);
    json_decref(schema);
    json_decref(head);
}

bool read_undescribed(size_t index, struct known_key *key)
{
    for (size_t m = 0; m < sizeof maps / sizeof *maps; m++)
        for (size_t i = 0; i < maps[m].table->count; i++) {
            const struct key *row = &maps[m].table->keys[i];
            json_t *shape = *row->name ? value_shape(maps[m].table, row) : json_object();
            bool lacks = !shape;
            json_decref(shape);
            if (!lacks || index-- > 0)
                continue;
            *key = (struct known_key){row->name, maps[m].name};
            return true;
        }
    return false;
}
