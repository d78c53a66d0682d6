#include "read/trade_words.h"

#include <ctype.h>
#include <string.h>

static const char bass_drum[] = "'bass-drum'; as a key also 'kick'";
static const char hat_foot[] = "'hi-hat-foot'; as a key also 'hat-foot'";
static const char toms[] = "'high-tom', 'mid-tom' or 'floor-tom'";
static const char cymbals[] = "'crash', 'ride', 'splash' or 'china'";
static const char rims[] = "'rim-shot', or 'cross-stick' with the stick laid across the drum";
static const char marked[] =
    "a voice with this mark, such as 'snare flam: 2 4', or 'at: {2: flam}'";
static const char words[] = "'text' in an exercise, 'notes' in a lesson";
static const char meter[] = "'time', such as 'time: 4/4'";
static const char tempo[] = "'tempo', such as 'tempo: 96'";
static const char jump[] = "'jump' in a bar, such as 'jump: D.S. al coda'";
static const char times[] = "'repeat' for how often; the meter is 'time'";
static const char by_voice[] = "voices with their counts, such as 'snare: 2 4' and 'kick: 1 3'";

/* Written without capitals, hyphens, full stops and blanks. Common practice. */
static const struct {
    const char *word, *pointer;
} trade_words[] = {
    {"bd", bass_drum},
    {"bass", bass_drum},
    {"kd", bass_drum},
    {"k", bass_drum},
    {"kick", bass_drum},
    {"kickdrum", bass_drum},
    {"sd", "'snare'"},
    {"sn", "'snare'"},
    {"side", "'snare'"},
    {"sidedrum", "'snare'"},
    {"snaredrum", "'snare'"},
    {"rim", rims},
    {"rimclick", "'cross-stick'"},
    {"rimknock", "'cross-stick'"},
    {"sidestick", "'cross-stick'"},
    {"xstick", "'cross-stick'"},
    {"rs", rims},
    {"stick", "'cross-stick' or 'stick-click'; hands are 'sticking'"},
    {"sticks", "'stick-click'; hands are 'sticking'"},
    {"click", "'stick-click'"},
    {"hat", "'hi-hat'"},
    {"hats", "'hi-hat'"},
    {"hh", "'hi-hat'"},
    {"hihats", "'hi-hat'"},
    {"chh", "'hi-hat', or 'closed-hi-hat' with its sign"},
    {"ch", "'hi-hat', or 'closed-hi-hat' with its sign"},
    {"closedhat", "'hi-hat', or 'closed-hi-hat' with its sign"},
    {"ohh", "'open-hi-hat'"},
    {"oh", "'open-hi-hat'"},
    {"openhat", "'open-hi-hat'"},
    {"hhf", hat_foot},
    {"hf", hat_foot},
    {"ph", hat_foot},
    {"pedal", "'hat-foot' or 'kick' as a key; the voices are 'hi-hat-foot' and 'bass-drum'"},
    {"pedalhat", hat_foot},
    {"foothat", hat_foot},
    {"hatfoot", hat_foot},
    {"hatpedal", hat_foot},
    {"foot", "'hat-foot' or 'kick' as a key; the voices are 'hi-hat-foot' and 'bass-drum'"},
    {"tom", toms},
    {"toms", toms},
    {"racktom", "'high-tom' or 'mid-tom'"},
    {"smalltom", "'high-tom'"},
    {"ht", "'high-tom'"},
    {"tom1", "'high-tom'"},
    {"mt", "'mid-tom'"},
    {"tom2", "'mid-tom'"},
    {"middletom", "'mid-tom'"},
    {"lt", "'floor-tom'"},
    {"ft", "'floor-tom'"},
    {"tom3", "'floor-tom'"},
    {"lowtom", "'floor-tom'"},
    {"floor", "'floor-tom'"},
    {"cymbal", cymbals},
    {"cymbals", cymbals},
    {"cym", cymbals},
    {"cr", "'crash'"},
    {"cc", "'crash'"},
    {"rd", "'ride'"},
    {"rc", "'ride'"},
    {"rb", "'ride-bell'"},
    {"bell", "'ride-bell'"},
    {"cup", "'ride-bell'"},
    {"cb", "'cowbell'"},
    {"block", "'woodblock'"},
    {"pad", "'practice-pad'"},
    {"feel", "'swing' for a shuffle, such as 'swing: 2/3'; words go under 'text'"},
    {"shuffle", "'swing', such as 'swing: 2/3'"},
    {"swung", "'swing', such as 'swing: 2/3'"},
    {"times", times},
    {"repeats", times},
    {"loop", times},
    {"plays", times},
    {"meter", meter},
    {"metre", meter},
    {"signature", meter},
    {"timesignature", meter},
    {"bpm", tempo},
    {"mm", tempo},
    {"speed", tempo},
    {"metronome", tempo},
    {"grid", "'subdivision', such as 'subdivision: eighths'"},
    {"hand", "'sticking', such as 'sticking: RLRR LRLL'"},
    {"hands", "'sticking', such as 'sticking: RLRR LRLL'"},
    {"pattern", "'sticking', or 'patterns' in the lesson for lines with names"},
    {"slash", "'slashes: yes' in a bar"},
    {"simile", "'same: 1' in a bar"},
    {"repeatbar", "'same: 1' in a bar"},
    {"tocoda", "'to: coda' in a bar"},
    {"alcoda", jump},
    {"alfine", jump},
    {"dc", jump},
    {"dcalcoda", jump},
    {"dcalfine", jump},
    {"dacapo", jump},
    {"ds", jump},
    {"dsalcoda", jump},
    {"dsalfine", jump},
    {"dalsegno", jump},
    {"letter", "'mark' in a bar, such as 'mark: A'"},
    {"rehearsal", "'mark' in a bar, such as 'mark: A'"},
    {"beat", by_voice},
    {"beats", by_voice},
    {"backbeat", by_voice},
    {"groove", by_voice},
    {"measure", "'bars'"},
    {"measures", "'bars'"},
    {"flams", marked},
    {"drags", marked},
    {"buzz", marked},
    {"rest", "'at: {4: rest}', '_8' in a rhythm, or '.' in a sticking"},
    {"rests",
     "'rest: 4' for bars of rest, 'at: {4: rest}', '_8' in a rhythm, or '.' in a sticking"},
    {"count", "'counting' for the syllables, 'show: {counts: grid}' for what is printed"},
    {"counts", "'counting' for the syllables, 'show: {counts: grid}' for what is printed"},
    {"comment", words},
    {"description", words},
    {"instructions", words},
    {"tip", words},
    {"tips", words},
    {"name", "'title', or 'id' for a 'sequence'"},
    {"teacher", "'author'"},
    {"composer", "'author'"},
    {"loud", "'dynamics', such as 'dynamics: {1: p, 3: f}'"},
    {"volume", "'dynamics', such as 'dynamics: {1: p, 3: f}'"},
};

/* Whether `word` is the row's; ignores case, hyphens, full stops and blanks. */
static bool is_spelled(const char *row, const char *word, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        if (word[i] == '-' || word[i] == ' ' || word[i] == '_' || word[i] == '.')
            continue;
        if (*row == '\0' || *row != tolower((unsigned char)word[i]))
            return false;
        row++;
    }
    return *row == '\0';
}

const char *trade_word_pointer(const char *word, size_t length)
{
    for (size_t i = 0; i < sizeof trade_words / sizeof *trade_words; i++)
        if (is_spelled(trade_words[i].word, word, length))
            return trade_words[i].pointer;
    return NULL;
}

const char *trade_limb(const char *word, size_t length)
{
    static const struct {
        const char *word, *key;
    } limbs[] = {{"right", "R"},    {"righthand", "R"}, {"rh", "R"},         {"left", "L"},
                 {"lefthand", "L"}, {"lh", "L"},        {"rightfoot", "RF"}, {"leftfoot", "LF"}};
    for (size_t i = 0; i < sizeof limbs / sizeof *limbs; i++)
        if (is_spelled(limbs[i].word, word, length))
            return limbs[i].key;
    return NULL;
}

const char *trade_word(size_t index)
{
    return index < sizeof trade_words / sizeof *trade_words ? trade_words[index].word : NULL;
}
