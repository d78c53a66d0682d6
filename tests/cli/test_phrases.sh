# ratamark-phrases(7): every phrase can be pasted from the terminal as it stands there, passes check,
# and sounds as tests/outside/phrases.txt says.
. tests/cli/lib.sh
. tests/cli/displays.sh
page=man/ratamark-phrases.7
table=tests/outside/phrases.txt
python=$(for p in /usr/bin/python3 python3; do $p -c 'import mido' 2>/dev/null && echo $p && break; done)
export COLUMNS=1000

it 'a terminal of either kind shows the same phrases'
displays $page utf8 "$work/pasted"
displays $page ascii "$work/ascii"
diff -r "$work/pasted" "$work/ascii" >&2 || fail 'ascii and utf8 differ'

it 'every phrase is in the table, and every row of the table is a phrase'
for phrase in "$work"/pasted/*; do sed -n 's/^ *- title: //p' "$phrase" | head -n 1; done | sort >"$work/titles"
$python tests/midi/phrases.py $table | sort | diff - "$work/titles" >&2 || fail 'titles'
[ "$(wc -l <"$work/titles")" -ge 30 ] || fail "only $(wc -l <"$work/titles") phrases"
[ "$(uniq -d "$work/titles")" = '' ] || fail "twice: $(uniq -d "$work/titles")"

for phrase in "$work"/pasted/*; do
    title=$(sed -n 's/^ *- title: //p' "$phrase" | head -n 1)
    it "phrase: $title"
    run check "$phrase"
    expect_status 0
    expect_err_has '0 errors, 0 warnings'
    dedent "$phrase" >"$work/phrase.yaml"
    run check "$work/phrase.yaml"
    expect_err_has '0 errors, 0 warnings'
    run engrave "$work/phrase.yaml" -o "$work/phrase.pdf"
    expect_status 0
    run sound "$work/phrase.yaml" --no-click --count-in 0 -o "$work/phrase.mid"
    expect_status 0
    run grid "$work/phrase.yaml"
    expect_status 0
    $python tests/midi/phrases.py $table tests/reference/gm-percussion.tsv "$title" "$work/phrase.mid" "$work/.out" >&2 ||
        fail 'does not sound as the table says'
    [ -z "$wrong" ] || cat "$work/phrase.yaml" "$work/.out" >&2
done

finish
