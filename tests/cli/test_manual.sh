# The manual pages are well formed, complete and true: options, codes, tables, and every lesson in
# them.
. tests/cli/lib.sh
. tests/cli/displays.sh

for page in ratamark.1 ratamark-lesson.5 ratamark-phrases.7; do
    it "$page is well formed"
    mandoc -T lint "man/$page" >"$work/lint"
    # That the other page is not installed says nothing about this one.
    if grep -v 'referenced manual not found' "$work/lint" >&2; then fail 'lint'; fi

    it "$page fits a terminal of 80 columns"
    # Displays are left out: they show files and output as they are. mandoc keeps two columns free.
    sed '/^\.Bd -literal/,/^\.Ed/d' "man/$page" | mandoc -T ascii -O width=78 |
        sed "s/.$(printf '\b')//g" | awk 'length > 78' >"$work/wide"
    [ ! -s "$work/wide" ] || { cat "$work/wide" >&2; fail 'wide lines'; }
done

it 'the manual lists the options that exist, and no others'
for command in check engrave course grid sound stick vary tidy rudiments; do
    "$RATAMARK" $command --help | grep -o '^ *\(-., \)\{0,1\}--[a-z-]*' | sed 's/.*--//' | sort \
        >"$work/help.$command"
    # The synopsis of a command: from its .Cm to the next .Nm, help and version left out.
    awk -v command=$command '
        /^\.Sh DESCRIPTION/ { exit }
        /^\.Nm/ { on = 0 }
        $0 == ".Cm " command { on = 1 }
        { sub(/^\./, "") }
        on && /Fl Fl/ { for (i = 1; i < NF; i++) if ($i == "Fl" && $(i - 1) == "Fl") print $(i + 1) }
        on && / Fl o / { print "output" }
        on && / Fl q$/ { print "quiet" }' man/ratamark.1 | sort -u >"$work/man.$command"
    case $command in
    rudiments) continue ;; # takes what all take, and its synopsis is short of them
    esac
    grep -vx -e help -e version "$work/help.$command" | diff - "$work/man.$command" >&2 ||
        fail "synopsis of $command"
done
cat "$work"/help.* | sort -u >"$work/help"
sed -n 's/^\.It .*Fl Fl \([a-z-]*\).*/\1/p' man/ratamark.1 | grep -vx explain | sort -u >"$work/listed"
grep -vx explain "$work/help" | diff - "$work/listed" >&2 || fail 'list of options'

it 'choices are written as in the option table'
for word in 'text|json|sarif' 'auto|always|never'; do
    grep -q "Ar $word" man/ratamark.1 || fail "$word"
    for command in check engrave; do "$RATAMARK" $command --help; done | grep -qF " $word" || fail "$word in help"
done

it 'the manual lists every code, and no others'
"$RATAMARK" check --explain all --format json |
    python3 -c 'import json, sys; [print(e["code"], e["severity"]) for e in json.load(sys.stdin)]' |
    sort >"$work/codes"
sed -n 's/^\.It Li \([a-z-]*\) (\([a-z]*\))$/\1 \2/p' man/ratamark.1 | sort >"$work/man.codes"
diff "$work/codes" "$work/man.codes" >&2 || fail 'codes'

it 'the manual names the forty rudiments as the program does'
"$RATAMARK" rudiments | sed 's/^ *\([0-9]*\)  \(.*[a-z0-9]\)  *\(roll\|diddle\|flam\|drag\) .*/\1 \2/; s/  *$//' >"$work/rudiments"
[ "$(wc -l <"$work/rudiments")" = 40 ] || fail 'forty'
awk '/^\.Sh RUDIMENTS/ { on = 1 } /^\.Sh/ && !/RUDIMENTS/ { on = 0 }
     on && /^[0-9]+ / { print }' man/ratamark-lesson.5 | sed 's/  */ /g' >"$work/man.rudiments"
diff "$work/rudiments" "$work/man.rudiments" >&2 || fail 'rudiments'

it 'the manual has every key of the reader'
# The tables of keys: rows such as KEY("time", IN_ALL, read_time).
grep -ho '\(KEY\|SWITCH\)("[a-z-]*",' src/read/*.c | sed 's/.*("\([a-z-]*\)",/\1/' | sort -u >"$work/keys"
[ "$(wc -l <"$work/keys")" -ge 60 ] || fail "only $(wc -l <"$work/keys") keys found"
while read -r key; do
    grep -q "^\.\(It \)\{0,1\}\(Ic\|Li\).* \{0,1\}$key\>" man/ratamark-lesson.5 || fail "no key '$key'"
done <"$work/keys"

it 'the table of voices is that of the program'
sed -n '/define VOICES/,/^$/s/^ *ROW([A-Z_]*, *"\([a-z-]*\)".*/\1/p' src/model/voice.h | sort >"$work/voices"
[ "$(wc -l <"$work/voices")" -ge 26 ] || fail 'twenty-six'
sed -n '/^\.Sh VOICES$/,/^\.El/s/^\.It \([a-z-]*\) Ta [0-9].*/\1/p' man/ratamark-lesson.5 | sort >"$work/man.voices"
diff "$work/voices" "$work/man.voices" >&2 || fail 'voices'

it 'the table of levels is that of the program'
sed -n '/define LIMIT_KEYS/,/^enum/p' src/model/limits.h | { tr -d '\n\\'; echo; } | sed 's/X(/\n/g' |
    sed -n 's/^[A-Z_]*, "\([a-z-]*\)", [A-Z]*, \([0-9]*\), \([0-9]*\), \([0-9]*\), *"\([^"]*\)".*/\1 \2 \3 \4 \5/p' >"$work/levels"
[ "$(wc -l <"$work/levels")" = 18 ] || fail 'eighteen'
sed -n '/^\.Sh LEVELS/,/^\.El/s|^\.It \([a-z-]*\) Ta \([0-9]*\) / \([0-9]*\) / \([0-9]*\)[ a-z%]* Ta \(.*\)|\1 \2 \3 \4 \5|p' man/ratamark-lesson.5 >"$work/man.levels"
diff "$work/levels" "$work/man.levels" >&2 || fail 'levels'

it 'the limits are those of the program'
# Without what makes letters bold in a terminal: each written over itself.
mandoc -T ascii man/ratamark-lesson.5 | sed "s/.$(printf '\b')//g" | tr -s ' \n' ' ' >"$work/plain"
for limit in "4 MiB" "depth of 16" "4,096 exercises" "16,384 bars" "262,144 strokes" "4,000 characters" "1,000 steps" "128 voices by count" "1,048,576, each"; do
    grep -qF "$limit" "$work/plain" || fail "$limit"
done
for pair in BYTES_MAX:'4 \* 1024 \* 1024' DEPTH_MAX:16 EXERCISES_MAX:4096 BARS_MAX:16384 STROKES_MAX:262144 LINE_MAX:4000 STEPS_MAX:1000 KEYED_MAX:128 COUNTS_MAX:1048576; do
    grep -q "LESSON_${pair%%:*} = ${pair#*:}" src/model/lesson.h || fail "$pair"
done

# Every display of the lesson's manual is a file that can be pasted as it stands, blanks at the left
# included; one that begins with "# course.yaml" is a course file.
displays man/ratamark-lesson.5 utf8 "$work/pasted"
displays man/ratamark-lesson.5 ascii "$work/ascii"

it 'a terminal of either kind shows the same examples'
diff -r "$work/pasted" "$work/ascii" >&2 || fail 'ascii and utf8 differ'
[ "$(ls "$work/pasted" | wc -l)" -ge 17 ] || fail "only $(ls "$work/pasted" | wc -l)"
[ "$(grep -c '^\.Bd -literal' man/ratamark-lesson.5)" = "$(ls "$work/pasted" | wc -l)" ] || fail 'a display is missed'

for pasted in "$work"/pasted/*; do
    number=$(basename "$pasted")
    mkdir "$work/example-$number"
    name=example.yaml
    case $(head -n 1 "$pasted") in *'# course.yaml') name=course.yaml ;; esac
    example=$work/example-$number/$name
    it "example $number of the lesson's manual"
    cp "$pasted" "$example"
    run check "$example"
    expect_status 0
    expect_err_has '0 errors, 0 warnings'
    dedent "$pasted" >"$example"
    run check "$example"
    expect_status 0
    expect_err_has '0 errors, 0 warnings'
    if [ $name = example.yaml ]; then
        run engrave "$example" -o "$work/example.pdf"
        expect_status 0
    fi
    [ -z "$wrong" ] || cat "$example" >&2
done

# Under a value a comment may say what would be an error in its place: "# VALUE would be an error: CODE".
would='^ *# \(.*\) would be an error: \([a-z-]*\)$'
count=0
for example in "$work"/example-*/*.yaml; do
    for line in $(grep -n "$would" "$example" | cut -d: -f1); do
        count=$((count + 1))
        code=$(sed -n "${line}s/$would/\2/p" "$example")
        value=$(sed -n "${line}s/$would/\1/p" "$example")
        it "example $(basename "$(dirname "$example")" | cut -d- -f2): $value would be an error ($code)"
        awk -v above=$((line - 1)) -v value="$value" '
            NR == above { sub(/: .*/, ": "); $0 = $0 value } { print }' "$example" >"$work/wrong.yaml"
        run check "$work/wrong.yaml"
        expect_status 1
        expect_err_has "[$code]"
        [ -z "$wrong" ] || cat "$work/wrong.yaml" >&2
    done
done
it 'the manual shows errors'
[ $count -ge 12 ] || fail "only $count"

# Before each display of the other manual a comment says what it holds.
displays man/ratamark.1 utf8 "$work/shown"
sed -n 's/^\.\\" display \([a-z]*\)$/\1/p; s/^\.\\" reading$/reading/p' man/ratamark.1 >"$work/kinds"
it 'each display of the manual has a known kind'
[ "$(wc -l <"$work/kinds")" = "$(ls "$work/shown" | wc -l)" ] || fail "$(ls "$work/shown" | wc -l) displays"
number=0
while read -r kind; do
    number=$((number + 1))
    dedent "$work/shown/$(printf %03d $number)" >"$work/display"
    it "display $number of the manual ($kind)"
    case $kind in
    lesson)
        run check "$work/shown/$(printf %03d $number)"
        expect_err_has '0 errors, 0 warnings'
        cp "$work/display" "$work/lesson.yaml"
        ;;
    grid) # of the lesson before it
        run grid "$work/lesson.yaml"
        expect_status 0
        sed '/./,$!d' "$work/.out" | diff "$work/display" - >&2 || fail 'the grid differs'
        ;;
    shell) sh -n "$work/display" || fail 'no shell script' ;;
    yaml)
        run check "$work/display"
        expect_err_lacks '[syntax]'
        ;;
    json) # every key that the program writes
        printf 'exercises:\n  - voices: snair\n  - {subdivision: eighths, sticking: RL}\n' >"$work/json.yaml"
        run check "$work/json.yaml" --format json
        python3 - "$work/.out" "$work/display" >&2 <<'END' || fail 'keys'
import json, sys
def keys(value):
    if isinstance(value, dict):
        return set(value).union(*map(keys, value.values()))
    return set().union(*map(keys, value)) if isinstance(value, list) else set()
written, shown = (keys(json.load(open(path))) for path in sys.argv[1:])
sys.exit(f"not shown: {written - shown}" if written - shown else 0)
END
        ;;
    reading) ;; # tests/cli/test_reading.sh compares it
    *) fail 'unknown kind' ;;
    esac
done <"$work/kinds"

finish
