# The manual pages are well formed, complete and true: options, codes, tables, and every lesson in
# them.
. tests/cli/lib.sh

for page in ratamark.1 ratamark-lesson.5 ratamark-phrases.7; do
    it "$page is well formed"
    mandoc -T lint "man/$page" >"$work/lint"
    # That the other page is not installed says nothing about this one.
    if grep -v 'referenced manual not found' "$work/lint" >&2; then fail 'lint'; fi
done

it 'the manual lists the options that exist, and no others'
for command in check engrave course grid sound stick rudiments; do
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
for word in 'pdf|svg|png|text' 'text|json|sarif' 'auto|always|never'; do
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
# The tables of keys: rows such as {"title", IN_FILES | IN_EXERCISE, read_title}.
grep -ho '{"[a-z-]*", \(IN\|OF\)_[A-Z_| ]*, read_' src/read/*.c | sed 's/{"\([a-z-]*\)".*/\1/' | sort -u >"$work/keys"
[ "$(wc -l <"$work/keys")" -ge 60 ] || fail "only $(wc -l <"$work/keys") keys found"
while read -r key; do
    grep -q "^\.\(It \)\{0,1\}\(Ic\|Li\).* \{0,1\}$key\>" man/ratamark-lesson.5 || fail "no key '$key'"
done <"$work/keys"

it 'the table of voices is of the program'
sed -n 's/^    VOICE([A-Z_]*, "\([a-z-]*\)".*/\1/p' src/model/voice.c | sort >"$work/voices"
[ "$(wc -l <"$work/voices")" = 26 ] || fail 'twenty-six'
sed -n '/^\.Sh VOICES/,/^\.El/s/^\.It \([a-z-]*\) Ta [0-9].*/\1/p' man/ratamark-lesson.5 | sort >"$work/man.voices"
diff "$work/voices" "$work/man.voices" >&2 || fail 'voices'

it 'the table of levels is of the program'
sed -n '/define LIMIT_KEYS/,/^enum/p' src/model/limits.h | { tr -d '\n\\'; echo; } | sed 's/X(/\n/g' |
    sed -n 's/^[A-Z_]*, "\([a-z-]*\)", [A-Z]*, \([0-9]*\), \([0-9]*\), \([0-9]*\), *"\([^"]*\)".*/\1 \2 \3 \4 \5/p' >"$work/levels"
[ "$(wc -l <"$work/levels")" = 18 ] || fail 'eighteen'
sed -n '/^\.Sh LEVELS/,/^\.El/s/^\.It \([a-z-]*\) Ta \([0-9]*\) Ta \([0-9]*\) Ta \([0-9]*\) Ta [a-z%]* *Ta \(.*\)/\1 \2 \3 \4 \5/p' man/ratamark-lesson.5 >"$work/man.levels"
diff "$work/levels" "$work/man.levels" >&2 || fail 'levels'

it 'limits are those of the program'
# Without what makes letters bold in a terminal: each written over itself.
mandoc -T ascii man/ratamark-lesson.5 | sed "s/.$(printf '\b')//g" | tr -s ' \n' ' ' >"$work/plain"
for limit in "4 MiB" "depth of 16" "4,096 exercises" "65,536 bars" "1,048,576 strokes"; do
    grep -qF "$limit" "$work/plain" || fail "$limit"
done
for pair in BYTES_MAX:'4 \* 1024 \* 1024' DEPTH_MAX:16 EXERCISES_MAX:4096 BARS_MAX:65536 STROKES_MAX:1048576; do
    grep -q "LESSON_${pair%%:*} = ${pair#*:}" src/model/lesson.h || fail "$pair"
done

# A literal block under a comment `.\" lesson good` or `.\" lesson CODE` is a whole lesson, one under
# `.\" exercise good` or CODE the inside of an exercise.
awk -v folder="$work" '
    /^\.\\" (lesson|exercise) / { what = $2; code = $3; next }
    /^\.Bd / && what { count++; file = sprintf("%s/%03d.%s.%s.yaml", folder, count, what, code)
                       if (what == "exercise") printf "exercises:\n" >file
                       lead = what == "exercise" ? "  - " : ""; on = 1; next }
    /^\.Ed/ { if (on) close(file); on = 0; what = ""; next }
    on { line = $0; gsub(/\\e/, "\\", line); gsub(/^\\&/, "", line)
         print lead line >file; if (what == "exercise") lead = "    " }' man/ratamark-lesson.5

for file in "$work"/*.yaml; do
    code=${file%.yaml}
    code=${code##*.}
    number=$(basename "$file" | cut -d. -f1)
    it "example $number of the manual ($code)"
    run check "$file"
    if [ "$code" = good ]; then
        expect_status 0
        expect_err_has '0 errors, 0 warnings'
        run engrave "$file" -o "$work/example.pdf"
        expect_status 0
    else
        expect_status 1
        expect_err_has "[$code]"
    fi
    [ -z "$wrong" ] || cat "$file" >&2
done
it 'the manual has examples'
[ "$(ls "$work"/*.yaml | wc -l)" -ge 20 ] || fail "only $(ls "$work"/*.yaml | wc -l)"

finish
