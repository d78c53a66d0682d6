# What teachers write from habit: the message names what a lesson calls it, --fix leaves it alone.
. tests/cli/lib.sh
cd "$work" || exit 1

# hint PLACE HELP: the lesson on standard input gets its first message there, with that help.
hint() {
    cat >lesson.yaml
    run check lesson.yaml
    head -n 1 "$work/.err" | grep -qE "^lesson.yaml:$1: (error|warning): " || fail "$(head -n 1 "$work/.err")"
    grep -m 1 '^    help: ' "$work/.err" | grep -qF -- "$2" || fail "$(grep help: "$work/.err")"
}

# key_hint KEY HELP, word_hint VOICES HELP, count_hint COUNTS COLUMN HELP
key_hint() {
    hint 3:5 "$2" <<END
exercises:
  - hi-hat: eighths
    $1: 2 4
END
    cp lesson.yaml before.yaml
    run check --fix lesson.yaml
    expect_same before.yaml lesson.yaml
}
word_hint() {
    hint 4:13 "$2" <<END
exercises:
  - subdivision: eighths
    sticking: RL
    voices: $1
END
}
count_hint() {
    hint "3:$2" "$3" <<END
exercises:
  - hi-hat: eighths
    snare: $1
END
    expect_err_has '1 error,'
}

it 'leads from drum words to voices, and from words of music to keys'
while read -r word help; do
    key_hint "$word" "expected $help"
done <<'END'
bass 'bass-drum'; as a key also 'kick'
bd 'bass-drum'
BD 'bass-drum'
sd 'snare'
rim 'rim-shot', or 'cross-stick'
tom 'high-tom', 'mid-tom' or 'floor-tom'
hats 'hi-hat'
stick 'cross-stick'
feel 'swing'
times 'repeat'
meter 'time'
END
key_hint 'bd accent' "'bass-drum'"

it 'leads to voices in voices, play and at'
word_hint kick "expected 'bass-drum'; as a key also 'kick'"
word_hint hats "expected 'hi-hat'"
word_hint stick "'cross-stick' or 'stick-click'"
hint 4:15 "'bass-drum'" <<'END'
exercises:
  - subdivision: eighths
    sticking: RL
    play: {R: kick}
END
hint 4:13 "'hi-hat-foot'" <<'END'
exercises:
  - subdivision: eighths
    sticking: RL
    at: {1: hat-foot}
END

it 'leads from what nearly works to what does'
# line_hint LINE PLACE HELP: the same for this line of an exercise
line_hint() {
    hint "$2" "$3" <<END
exercises:
  - subdivision: eighths
    sticking: RL
    $1
END
}
line_hint 'play: {R: ride, L: snare gost}' 4:30 "did you mean 'ghost'?"
line_hint 'play: {R: ride, L: snare crash}' 4:30 'expected a + between voices'
line_hint 'play: {right: ride, L: snare}' 4:12 "did you mean 'R'?"
line_hint 'play: {R: ride, left: snare}' 4:21 "did you mean 'L'?"
line_hint 'at: {2, 4: snare accent}' 4:10 "no comma between counts that share a value: '2 4:'"
line_hint 'play: R: ride, L: snare' 4:12 "'{R: ride, L: snare}'"
line_hint 'at: 2: snare accent # loud' 4:10 "'{2: snare accent}'"
line_hint 'show: sticking, counts' 4:11 'expected a list in brackets: [sticking, counts]'
line_hint 'dynamics: {1: p f}' 4:19 'expected only one of ppp, pp, p,'
line_hint 'notes: Slowly' 4:5 "expected 'text' in an exercise"
hint 1:1 "expected 'notes' in a lesson" <<'END'
text: Slowly
exercises:
  - hi-hat: eighths
END
hint 2:15 "capitals for strokes, 'RLRR LRLL'" <<'END'
exercises:
  - sticking: rlrr lrll
END
printf 'title: A\nproduce: pdf, index\n' >course.yaml
run check course.yaml
expect_err_has 'expected a list in brackets: [pdf, index]'
rm course.yaml

it 'still mends a slip that can mean only one thing'
printf 'exercises:\n  - hi-hat: eighths\n    snair: 2 4\n    acents: 2\n' >lesson.yaml
run check --fix lesson.yaml
expect_status 0
expect_text lesson.yaml "$(printf 'exercises:\n  - hi-hat: eighths\n    snare: 2 4\n    accents: 2\n')"
# fixed LINE WANTED: what --fix makes of this line of an exercise
fixed() {
    printf 'exercises:\n  - %s\n    kick: 1\n' "$1" >lesson.yaml
    printf 'exercises:\n  - %s\n    kick: 1\n' "$2" >wanted.yaml
    run check --fix lesson.yaml
    expect_same lesson.yaml wanted.yaml
}
fixed 'subdivision: sixtenths' 'subdivision: sixteenths'
fixed 'subdivision: sixteenth tripets' 'subdivision: sixteenth triplets'
fixed 'hi-hat: eights' 'hi-hat: eighths'
fixed 'hi-hat: sixtenths, 4' 'hi-hat: sixteenths, 4'
fixed 'hi-hat: eigth triplets' 'hi-hat: eighth triplets'
fixed 'hi-hat: eahc beat' 'hi-hat: each beat'
fixed 'hi-hat: each baet' 'hi-hat: each beat'
fixed 'hi-hat: each 2 storkes' 'hi-hat: each 2 strokes'
fixed 'hi-hat: 1 1ee' 'hi-hat: 1 1e'
fixed 'rudiment: paradidle' 'rudiment: paradiddle'
fixed "rudiment: 'drag paradidle #2'" "rudiment: 'drag paradiddle #2'"
fixed 'hihat gost: 1' 'hi-hat ghost: 1'
fixed 'snair accent: 1' 'snare accent: 1'
fixed 'floor tom ghost: 1' 'floor-tom ghost: 1'
fixed 'hatfoot: 2' 'hat-foot: 2'
fixed 'floortom: 2' 'floor-tom: 2'
fixed 'hi-hat: each8' 'hi-hat: each8'
fixed 'hi-hat: beat' 'hi-hat: beat'

it 'joins the two words of a voice with a hyphen'
hint 3:12 "did you mean 'hi-hat-foot'?" <<'END'
exercises:
  - hi-hat: eighths
    hi-hat foot: 2
END
hint 4:20 "did you mean 'ride-bell'?" <<'END'
exercises:
  - subdivision: eighths
    sticking: RL
    play: {R: ride bell}
END

hint 4:15 "did you mean 'floor-tom'?" <<'END'
exercises:
  - subdivision: eighths
    sticking: RL
    play: {R: floor tom accent, L: snare}
END
run check --fix lesson.yaml
expect_status 0
grep -qF 'play: {R: floor-tom accent, L: snare}' lesson.yaml || fail "$(cat lesson.yaml)"

it 'reads what is written in digits, in notes or with a word too many'
hint 2:15 "did you mean 'five stroke roll'?" <<'END'
exercises:
  - rudiment: 5 stroke roll
END
hint 2:18 "did you mean 'sixteenths'?" <<'END'
exercises:
  - subdivision: 16th notes
    sticking: RL
END
hint 5:10 "did you mean 'same'?" <<'END'
exercises:
  - hi-hat: eighths
    bars:
      - {}
      - {same as: 1}
END

it 'puts the mark behind its voice'
word_hint accent+snare 'the voice first, then its mark'
expect_err_lacks 'did you mean'

it 'offers a voice by count on an empty slot'
hint 4:13 "'snare ghost: 2&' adds one there" <<'END'
exercises:
  - subdivision: eighths
    sticking: R.R.
    ghosts: 2&
END

it 'understands spoken counts well enough to say how to write them'
count_hint '2 and 4' 14 "'2 4' for two beats, '2&' for the count between them"
count_hint '1 & 2 &' 14 'right behind its beat, such as 1& 2&'
count_hint '1 e & a' 14 'right behind its beat'
count_hint '2+' 12 "did you mean '2&'?"
count_hint '2+4' 12 'a space between two counts'
count_hint '1e&a' 12 'each count with its beat: 1e 1& 1a'
count_hint 'every beat' 12 "'each beat'"
count_hint 'beats 2 and 4' 12 'the counts alone'
count_hint 'backbeat' 12 'such as 2 4'

it 'tells a ghost from a grace note'
hint 3:18 '(L) is a ghost stroke' <<'END'
exercises:
  - subdivision: eighths
    sticking: R (l) R L
END

it 'warns of a grace note by the hand of its stroke'
hint 3:15 "'lR'" <<'END'
exercises:
  - subdivision: quarters
    sticking: rR L llL lrlR
END
grep -q "'rrL'" "$work/.err" || fail "$(cat "$work/.err")"
[ "$(grep -c 'warning:' "$work/.err")" = 2 ] || fail 'a ruff alternates'

it 'says that a line belongs to the value above'
hint 5:5 'the bracket, quote or indentation that ends the value above' <<'END'
exercises:
  - subdivision: eighths
    sticking: RLRL
    play: {R: snare
    backbeat}
END

it 'points to the voice that asks for too much'
hint 3:17 'a stroke of one hand under the grace notes' <<'END'
exercises:
  - hi-hat: eighths
    snare flam: 2
END
hint 4:12 'bpm' <<'END'
exercises:
  - tempo: 500
    crash: 1
    snare: sixteenths
END

it 'gives the tempos of the move and of the exercise where they differ'
hint 4:13 'at most' <<'END'
exercises:
  - tempo: 120
    level: beginner
    hi-hat: sixteenths
    kick: 1 1& 2
END
grep -q 'at most [0-9.]* bpm for this move.*; [0-9.]* bpm for the whole exercise' "$work/.err" ||
    fail "$(grep help: "$work/.err")"

it 'cuts a long name in the table, so that the columns stay aligned'
cat >lesson.yaml <<'END'
exercises:
  - title: A name that is much too long for its column in the table, 太鼓 by far
    hi-hat: eighths
  - title: Short
    hi-hat: eighths
END
run check lesson.yaml
[ "$(grep -o '^.*bpm' "$work/.out" | sed 's/[0-9.]* bpm$//; s/./ /g' | sort -u | wc -l)" = 1 ] ||
    fail "$(cat "$work/.out")"


it '--fix changes the slip and no other byte'
slip() { printf 'title: Ü 漢字   \n# a comment  \nexercises:\n  - subdivison: eighths\n    sticking: RL  # kept  '; }
long() { slip; printf '\n    text: '; head -c 40000 /dev/zero | tr '\0' x; }
marked() { printf '\357\273\277'; slip; }
windows() { marked | sed 's/$/\r/' | head -c -1; }
paged() { printf -- '---\n'; slip; printf '\n...\n'; }
for kind in slip long marked windows paged; do
    $kind >lesson.yaml
    sed 's/subdivison/subdivision/' lesson.yaml >wanted.yaml
    run check --fix lesson.yaml
    expect_status 0
    expect_same lesson.yaml wanted.yaml
done
slip >kept.yaml
chmod 640 kept.yaml
ln -sf kept.yaml lesson.yaml
rm -f wanted.yaml
run check --fix lesson.yaml
[ -L lesson.yaml ] || fail 'the link is gone'
[ "$(stat -c %a kept.yaml)" = 640 ] || fail "mode $(stat -c %a kept.yaml)"
grep -q subdivision kept.yaml || fail 'not mended'
rm -f lesson.yaml
for bad in 'tab\there' 'title: &a name' 'title: *a'; do
    { printf "$bad\n"; slip; } >lesson.yaml
    cp lesson.yaml before.yaml
    run check --fix lesson.yaml
    expect_status 1
    sed 's/subdivison/subdivision/' before.yaml | cmp -s - lesson.yaml || expect_same before.yaml lesson.yaml
done

it 'says how a practice form is repeated'
printf '%s\n' 'exercises:' '  - {id: a, subdivision: eighths, sticking: RLRL RLRL}' \
    '  - {id: b, subdivision: eighths, sticking: RRLL RRLL}' '  - {sequence: a*3 b, repeat: 4}' >form.yaml
run check form.yaml
expect_status 0
expect_err_has "the parts once more in 'sequence', such as groove*3 fill groove*3 fill"

finish
