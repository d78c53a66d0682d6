# Messages that once misled: each points to the slip and says what to change.
. tests/cli/lib.sh
cd "$work" || exit 1

# wrong PLACE MESSAGE HELP: the lesson on standard input gets this as its first message.
wrong() {
    cat >lesson.yaml
    run check lesson.yaml
    expect_status 1
    head -n 1 "$work/.err" | grep -qF "lesson.yaml:$1: error: $2" || fail "$(head -n 1 "$work/.err")"
    grep -m 1 '^    help: ' "$work/.err" | grep -qF "$3" || fail "$(grep help: "$work/.err")"
}

it 'asks for the colon on the line that lacks it'
wrong 4:5 "no colon after 'repeat'" "'repeat: ...'" <<'END'
subdivision: eighths
exercises:
  - sticking: R L
    repeat 4
  - sticking: L R
END

it 'asks for the dash of an item'
wrong 4:1 'this line is not aligned with the keys above it' "a dash, '- ', in front of an item" <<'END'
subdivision: eighths
exercises:
  - sticking: R L
   sticking: L R
END

it 'asks for the brace where it was opened'
wrong 4:11 "a bracket that is never closed: '{'" "'}' at the end of what it opens" <<'END'
subdivision: eighths
exercises:
  - sticking: R L
    play: {R: hi-hat, L: snare
    ghosts: 1 2
END

it 'asks for a space after the colon'
wrong 4:12 "no space after the colon of 'R'" 'R: hi-hat' <<'END'
subdivision: eighths
exercises:
  - sticking: R L
    play: {R:hi-hat, L: snare}
END

it 'asks for quotes around a question mark'
wrong 3:15 "text that starts with '? ' needs quotes" '"? L"' <<'END'
subdivision: eighths
exercises:
  - sticking: ? L
END

it 'names curly quotes'
wrong 2:15 "not a stroke: '“'" 'straight quotes (") instead of curly ones' <<'END'
exercises:
  - sticking: “R L”
    subdivision: eighths
END
wrong 1:14 "'subdivision' cannot be '“eighths”'" 'straight quotes (") instead of curly ones' <<'END'
subdivision: “eighths”
exercises: [{sticking: RL}]
END
wrong 4:15 "there is no voice called '‘ride’'" "straight quotes (') instead of curly ones" <<'END'
subdivision: eighths
exercises:
  - sticking: R L
    play: {L: ‘ride’}
END

it 'names non-breaking spaces'
printf 'subdivision: eighths\nexercises:\n  - sticking: R\302\240L\n' >spaces
wrong 3:16 'not a stroke:' 'an ordinary space instead of the non-breaking one' <spaces
printf 'subdivision: eighths\nexercises:\n  - sticking: RL\n    tempo:\302\24060\n' >spaces
wrong 4:11 'a non-breaking space after the colon' 'an ordinary space' <spaces
printf 'subdivision: eighths\nexercises:\n  - sticking: RL\n  \302\240 kick: 1\n' >spaces
wrong 4:3 'a non-breaking space at the start of a line' 'ordinary spaces' <spaces

it 'asks for a stroke where a voice is set on an empty slot'
wrong 4:10 "no stroke falls on '1trip'" "a stroke there: 'snare: 1trip' adds one" <<'END'
exercises:
  - subdivision: eighth triplets
    sticking: R . L | R . L | R . L | R . L
    at: {1trip: snare}
END
expect_err_lacks 'did you mean'

it 'does not offer an ambiguous count'
wrong 4:13 "'1let' is not counted in beat 1 here" "expected '1let of eighth triplets' or '1let of sixteenth triplets', or a count of this beat: 1, 1&" <<'END'
exercises:
  - subdivision: eighths
    sticking: R L
    kick: 1 1let
END
for count in 1trip 1let; do
    if grep -q "help:.* $count\(,\|'\|$\)" "$work/.err"; then fail "offers $count"; fi
done

it 'names a slot as a count does'
cat >lesson.yaml <<'END'
tempo: 200
exercises:
  - subdivision: sixteenth triplets
    sticking: R . . . R R | . . . . . . | . . . . . . | . . . . . .
END
run check lesson.yaml
expect_err_has '(bar 1 at 1&let)'

it 'leads from a number to a subdivision'
wrong 2:18 "'subdivision' cannot be '16'" "did you mean 'sixteenths'?" <<'END'
exercises:
  - subdivision: 16
    sticking: R L
END

it 'leads from F in a sticking to K and H'
wrong 3:19 "not a stroke: 'F'" 'K for the bass drum or H for the hi-hat with the foot' <<'END'
subdivision: eighths
exercises:
  - sticking: R L F
END

it 'says once that the rhythm of four bars is short'
wrong 2:18 'the bar is a quarter short' 'expected 4 quarters' <<'END'
exercises:
  - rhythm: 4 4 4
    bars: 4
    sticking: R L R
END
expect_err_has '1 file checked: 1 error, 0 warnings'

it 'reads a range with an en dash or "to"'
ranges() { # TEMPO COUNTS PASSES
    printf 'tempo: %s\nexercises:\n  - subdivision: sixteenths\n    sticking: RLRL\n    accents: %s\n' \
        "$1" "$2"
    printf '    repeat: 4\n    endings: {%s: {sticking: RLRL}, 4: {sticking: RL}}\n' "$3"
}
ranges 60-80 '1..2a 3..3& 4' 1..3 >dots.yaml
ranges 60–80 '1–2a 3 – 3& 4' 1–3 >dashes.yaml
ranges '60 – 80' '1 to 2a 3 to 3& 4' '1 to 3' >words.yaml
run grid dots.yaml
expect_status 0
expect_out_has 'ending 1, 2, 3'
cp "$work/.out" dots
for lesson in dashes words; do
    run grid $lesson.yaml
    expect_status 0
    expect_same dots "$work/.out"
done

it 'reads a fraction of a beat a minute with a comma or a point'
for tempo in 72,5 72.5; do
    printf 'tempo: %s\nsubdivision: eighths\nexercises: [{sticking: RL}]\n' $tempo >fraction.yaml
    run grid fraction.yaml
    expect_out_has 'tempo 72.5'
done
for tempo in '72, 50' '72 84' 60,72,84; do
    printf 'tempo: %s\nsubdivision: eighths\nexercises: [{sticking: RL}]\n' "$tempo" >list.yaml
    run check list.yaml
    expect_status 0
done

it 'leads from --format to --as'
good_lesson good.yaml
run engrave good.yaml --format svg
expect_status 2
expect_err_has 'the format of a sheet is --as svg'
run engrave good.yaml --format json
expect_err_has "'engrave' has no option --format; the format of a sheet is --as"

it 'knows other names of options'
run sound good.yaml --tempo 60
expect_status 2
expect_err_has "unknown option '--tempo'; did you mean '--at'?"
run grid good.yaml --tempo 60
expect_err_lacks 'did you mean'
run engrave good.yaml --out made.pdf
[ -s made.pdf ] || expect_err_has "did you mean '--output'?"

it 'finds a rudiment without its "single"'
run rudiments paradidle
expect_status 2
expect_err_has "did you mean 'paradiddle'?"
run rudiments ratamacu
expect_err_has "did you mean 'ratamacue'?"

it 'says that a folder is not there'
run engrave good.yaml -o nodir/
expect_status 2
expect_err_has "there is no folder 'nodir/'"

it 'counts only files that were checked'
mkdir course
echo 'title: A course' >course/course.yaml
run check course/nofile.yaml
expect_err_has '1 file checked: 1 error'

it 'takes .yml for a lesson'
mkdir short
good_lesson short/one.yml
run check short
expect_status 0
expect_err_has '1 file checked: 0 errors'
run course -o made short
expect_status 0
[ -s made/one.pdf ] || fail "$(ls made)"

it 'does not call a note an error'
run check --explain playable
expect_status 0
expect_out_has 'A lesson that gets it:'
if grep -q 'Wrong' "$work/.out"; then fail 'calls a right lesson wrong'; fi
run check --explain bar-length
expect_out_has 'Wrong:'

it 'explains in text or JSON, not in SARIF'
run check --explain playable --format sarif
expect_status 2
expect_err_has '--explain takes --format text or json'


it 'names the grace notes of a foot and where its letter stands'
wrong 4:14 'a flam on K, a stroke of the foot' 'R or L in the sticking here, or no flam' <<'EOF'
exercises:
  - subdivision: sixteenths
    sticking: RLKK
    at: {1&: flam}
EOF
wrong 3:5 'a drag for a foot' 'a voice of the hands, or no drag' <<'EOF'
exercises:
  - hi-hat: eighths
    kick drag: 1
EOF

it 'puts a bare value behind the key that it belongs to'
wrong 2:12 "'right' needs keys with values" "right: {rhythm: 4 4 4 4}" <<'EOF'
exercises:
  - right: 4 4 4 4
EOF
wrong 2:12 "'right' needs keys with values" "right: {subdivision: eighths}" <<'EOF'
exercises:
  - right: eighths
EOF
wrong 2:11 "'feet' needs keys with values" "feet: {sticking: R L}" <<'EOF'
exercises:
  - feet: R L
EOF
wrong 5:9 "a bar needs keys with values" "{rhythm: 4 4 2}" <<'EOF'
exercises:
  - subdivision: eighths
    sticking: R L
    bars:
      - 4 4 2
EOF

it 'leads from the words of a chart to its keys'
for word in 'to coda|to: coda' 'to-coda|to: coda' 'D.S. al coda|jump: D.S. al coda' \
    'D.C.|jump: D.S. al coda' 'simile|same: 1'; do
    wrong 4:13 "a bar has no key '${word%|*}'" "'${word#*|}'" <<EOF
exercises:
  - hi-hat: eighths
    title: A
    bars: [{${word%|*}: yes}]
EOF
done
wrong 3:22 "'slashes' cannot be '4'" "yes: a slash for each beat of the bar, and 'times' for" <<'EOF'
exercises:
  - hi-hat: eighths
    bars: [{slashes: 4}]
EOF

it 'offers no other hand for a rudiment that is named'
cat >lesson.yaml <<'EOF'
tempo: 200
exercises:
  - rudiment: single ratamacue
EOF
run check lesson.yaml
expect_err_has 'help: expected at most 111.1 bpm'
expect_err_lacks 'the left hand for'

finish
