# One layout for all files: the music, the data and the comments stay; a second time changes nothing.
# The data and the comments are read with PyYAML.
. tests/cli/lib.sh
cd "$work" || exit 1
tools=$top/tests/cli/tidy.py

mkdir before
cp -R "$top/examples" before/examples
rm -R before/examples/wrong before/examples/embed
for folder in stress golden/layout effects; do
    mkdir "before/$(basename $folder)"
    cp "$top/tests/$folder"/*.yaml "before/$(basename $folder)"
done
cp -R before after

tidy_all() { # FOLDER
    run tidy -q "$1"
    expect_status 0
    expect_no_err
    run tidy --check "$1"
    expect_status 0
    expect_no_err
}

it 'every lesson keeps its data and its comments, and is tidy once it was tidied'
tidy_all after
python3 "$tools" same before after >count || fail 'other data or comments'
read -r files _ comments _ <count
[ "$files" -ge 70 ] && [ "$comments" -ge 30 ] || fail "only $(cat count)"
cmp -s before/effects/settings.yaml after/effects/settings.yaml && fail 'nothing was tidied'

it 'the course of the examples is tidy, and so is what init writes'
run init -q fresh
run tidy --check before/examples fresh
expect_status 0
expect_no_err

# all FOLDER TO: every sheet, and what every lesson sounds like
all() {
    mkdir "$2"
    for folder in "$1"/*; do
        mkdir "$2/$(basename "$folder")"
        (cd "$folder" && "$RATAMARK" engrave -q [!c]*.yaml c[!o]*.yaml --as svg -o "$work/$2/$(basename "$folder")") 2>>"$work/.err2"
        for lesson in "$folder"/*.yaml; do
            [ "$(basename "$lesson")" = course.yaml ] ||
                "$RATAMARK" sound -q "$lesson" -o "$2/$(basename "$folder")/$(basename "$lesson" .yaml).mid" 2>>"$work/.err2"
        done
    done
}

it 'every sheet and every MIDI file is the same'
all before old
all after new
diff -rq old new >differ || fail "$(cat differ)"
[ "$(find old -name '*.svg' | wc -l)" -ge 75 ] && [ "$(find old -name '*.mid' | wc -l)" -ge 70 ] ||
    fail "only $(find old -type f | wc -l) files"

"$RATAMARK" schema lesson >schema
for seed in 1 2 3; do
    it "keys in another order come back to one text ($seed)"
    python3 "$tools" shuffle after "shuffled$seed" $seed schema || fail 'shuffle'
    diff -rq after "shuffled$seed" >differ
    [ "$(wc -l <differ)" -ge 70 ] || fail 'hardly anything was shuffled'
    tidy_all "shuffled$seed"
    diff -r after "shuffled$seed" >differ || fail "$(head -n 40 differ)"
done

for style in block flow quoted; do
    it "files as a program writes them keep their data ($style)"
    python3 "$tools" dump before "dump-$style" $style || fail 'dump'
    cp -R "dump-$style" "tidy-$style"
    tidy_all "tidy-$style"
    python3 "$tools" same "dump-$style" "tidy-$style" >count || fail 'other data'
done

it 'comments go with what they are about'
cat >odd.yaml <<'END'
# the head stays


exercises:   # all of them
# in a list without indentation

- sticking:   "R L R L"   # sticks
  # about the title
  title:    'It''s # no comment'
  at: { 2 : snare accent,1: "snare",
     3: snare ghost }
  play: { L: snare,R: hi-hat }
  text: plain text
     that goes on
       for three lines # behind it
  # left: out

-
  # inside
  title: B
  play:
   LF: hi-hat-foot
   R:
   - hi-hat
   # second turn
   - ride # ting
   L: snare
  show: {
     sticking: yes, # keep
     # a line
     counts: off }
  bars:
      - {kick: 1 3, sticking: RLRL RLRL}
      - {sticking: RLRLRLRL, kick: 1 2& 3}   # second
      - {accents: 1, sticking: RLRL RLRL, kick: 4}
      - sticking: R R R R
# further left
        kick: 1
- title: >
      Folded
      title # no comment

  text: |2
       indented

      more
  sticking: "R L
    R L"
  kick:
    1 3
  hat-foot:   # the foot
    # really
    2 4
# about the title

# heads all below

title:  Odd
subdivision: eighths
notes: |
        deep
          deeper

        end



subtitle: "double \
   continued"
# the end
END
cat >wanted.yaml <<'END'
# the head stays

exercises: # all of them
  # in a list without indentation

  # about the title
  - title: 'It''s # no comment'
    text: plain text
      that goes on
      for three lines # behind it
    sticking: "R L R L" # sticks
    play: {R: hi-hat, L: snare}
    at: {2: snare accent, 1: "snare",
         3: snare ghost}
    # left: out

  # inside
  - title: B
    show: {
       sticking: yes, # keep
       # a line
       counts: off }
    play:
      R:
        - hi-hat
        # second turn
        - ride # ting
      L: snare
      LF: hi-hat-foot
    bars:
      - {sticking: RLRL RLRL, kick: 1 3}
      - {sticking: RLRLRLRL,  kick: 1 2& 3} # second
      - {sticking: RLRL RLRL, accents: 1, kick: 4}
      - sticking: R R R R
        # further left
        kick: 1

  - title: >
      Folded
      title # no comment

    text: |2
         indented

        more
    sticking: "R L
      R L"
    kick: 1 3
    hat-foot: # the foot
      # really
      2 4
# about the title

# heads all below

title: Odd

subtitle: "double \
  continued"
subdivision: eighths
notes: |
  deep
    deeper

  end
# the end
END
run tidy - <odd.yaml
expect_status 0
expect_no_err
expect_same .out wanted.yaml
run tidy --check wanted.yaml
expect_status 0

it 'bars stand in columns without holes'
cat >bars.yaml <<'END'
exercises:
  - title: Columns
    hi-hat: eighths
    bars:
      - {kick: 1 3, snare: 2 4}
      - {times: 2, kick: 1 2& 3, snare: 2 4}
      - {kick: 1 1& 2 2& 3 3&}
      - {times: 3, mark: A, kick: 1, snare: 2 4}
      - {fine: yes, times: 2, same: 1}
      - {jump: D.C. al fine, times: 4, slashes: yes}
END
cat >wanted-bars.yaml <<'END'
exercises:
  - title: Columns
    hi-hat: eighths
    bars:
      - {kick: 1 3,    snare: 2 4}
      - {kick: 1 2& 3, snare: 2 4, times: 2}
      - {kick: 1 1& 2 2& 3 3&}
      - {mark: A, kick: 1, snare: 2 4, times: 3}
      - {same: 1, times: 2, fine: yes}
      - {slashes: yes, times: 4, jump: D.C. al fine}
END
run tidy - <bars.yaml
expect_status 0
expect_same .out wanted-bars.yaml

it 'the manual has the order of keys that the reader has'
"$RATAMARK" schema course >course-schema
python3 - schema course-schema "$top/man/ratamark-lesson.5" <<'END' || fail 'another order'
import json, re, sys
lesson, course = (json.load(open(path)) for path in sys.argv[1:3])
manual = open(sys.argv[3]).read()
manual = manual[manual.index(".Sh TIDY FILES"):]
voices = set(lesson["$defs"]["voice"]["enum"]) - {"kick", "hat-foot"}
def written(what):
    text = manual[manual.index(f"The order of keys in {what}:"):]
    lines = text[:text.index(".Pp")].split("\n")
    return [word for line in lines if line.startswith(".Ic") for word in re.findall(r"[a-z-]+", line[4:])]
def known(schema):
    return [key for key in schema["properties"] if key not in voices]
both = written("a lesson or course file")
assert [key for key in both if key in lesson["properties"]] == known(lesson), known(lesson)
assert [key for key in both if key in course["properties"]] == known(course), known(course)
assert set(both) == set(known(lesson)) | set(known(course))
for what, name in ("an exercise", "exercise"), ("a bar", "bar"):
    assert written(what) == known(lesson["$defs"][name]), known(lesson["$defs"][name])
END

it 'the lines of the manual become what it shows'
awk '/^\.Sh TIDY FILES/ {on = 1} /^\.Ed/ {in_display = 0} on && in_display {print >"shown" n}
    on && /^\.Bd/ {in_display = 1; n++} /^\.Sh EXAMPLES/ {exit}' "$top/man/ratamark-lesson.5"
run tidy - <shown1
expect_status 0
expect_same .out shown2

it '--check names what is not tidy and writes nothing'
mkdir course
cp wanted.yaml course/a.yaml
cp odd.yaml course/b.yaml
printf 'tempo: 90\ntitle:   Course\n' >course/course.yaml
run tidy --check course
expect_status 1
expect_no_out
expect_err_has "'course/b.yaml' is not tidy"
expect_err_has "'course/course.yaml' is not tidy"
expect_err_lacks "'course/a.yaml'"
expect_same course/b.yaml odd.yaml
run tidy --check -q course
expect_status 1
expect_no_err

it 'writes only the files that change, and says which'
run tidy course
expect_status 0
expect_err_has "wrote 'course/b.yaml'"
expect_err_has "wrote 'course/course.yaml'"
expect_err_lacks "'course/a.yaml'"
expect_same course/b.yaml wanted.yaml
expect_text course/course.yaml "title: Course
tempo: 90"
expect_no_parts course

it 'a file with errors is left alone; the others are tidied'
wrong_lesson course/c.yaml
cp course/c.yaml kept.yaml
cp odd.yaml course/b.yaml
run tidy course/c.yaml course/b.yaml
expect_status 1
expect_err_has "course/c.yaml:4:13: error: there is no voice called 'snair'"
expect_err_has "'course/c.yaml' is left as it is, because of its errors"
expect_same course/c.yaml kept.yaml
expect_same course/b.yaml wanted.yaml
printf 'title: Course\ntempoo: 90\n' >course/course.yaml
run tidy --check course/course.yaml
expect_status 1
expect_err_has "no key 'tempoo'"

it 'a construct that cannot be moved leaves the file as it is'
printf '? title\n: Low Water\nexercises: [{subdivision: eighths, sticking: RL}]\n' >marked.yaml
cp marked.yaml kept.yaml
run tidy marked.yaml
expect_status 1
expect_err_has "'marked.yaml' is left as it is"
expect_same marked.yaml kept.yaml

it 'line ends, a byte order mark and the lines of a document stay'
printf '\357\273\277--- # all\r\nexercises:\r\n- sticking:  RL\r\n  subdivision: eighths\r\n  title: |\r\n     A\r\n...\r\n' >lines.yaml
printf '\357\273\277--- # all\r\nexercises:\r\n  - title: |\r\n      A\r\n    subdivision: eighths\r\n    sticking: RL\r\n...\r\n' >wanted-lines.yaml
run tidy -q lines.yaml
expect_status 0
expect_same lines.yaml wanted-lines.yaml

it 'writes to another file or to standard output, and finds the course of a named input'
run tidy odd.yaml -o other.yaml
expect_status 0
expect_same other.yaml wanted.yaml
run tidy other.yaml -o -
expect_status 0
expect_same .out wanted.yaml
printf 'subdivision: eighths\n' >course/course.yaml
printf 'exercises:\n- {sticking: RL,title: A}\n' >bare.yaml
run tidy - --name course/new.yaml <bare.yaml
expect_status 0
expect_text .out 'exercises:
  - {title: A, sticking: RL}'
run tidy - <bare.yaml
expect_status 1
printf 'tempo: 90\ntitle: C\n' >bare.yaml
run tidy - --name course/course.yaml <bare.yaml
expect_status 0
expect_text .out 'title: C
tempo: 90'

it 'options that do not go together'
run tidy --check -o other.yaml odd.yaml
expect_status 2
expect_err_has '--check writes nothing'
run tidy -o other.yaml odd.yaml wanted.yaml
expect_status 2
expect_err_has '-o takes one file'
run tidy course -o other.yaml
expect_status 2
run tidy
expect_status 2
run tidy missing.yaml
expect_status 3
finish
