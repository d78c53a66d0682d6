# The PDF is tagged, and says in words what its pictures show. Poppler tells its structure, qpdf
# whether every byte is where it should be, and what the dictionaries hold.
. tests/cli/lib.sh

# FILE: headings and figures of the structure, a line each.
outline() { pdfinfo -struct-text "$1" | awk '/^ *(H1|H2|Figure)/ { kind = $1; next } kind { print kind, $0; kind = "" }'; }

# WHAT FILE: the values of a key in all dictionaries, one JSON text a line.
values() {
    qpdf --json --json-key=qpdf "$2" | python3 -c '
import json, sys
wanted = sys.argv[1]
def walk(node):
    if isinstance(node, dict):
        for key, value in node.items():
            if key == wanted:
                print(json.dumps(value))
            walk(value)
    elif isinstance(node, list):
        for item in node:
            walk(item)
walk(json.load(sys.stdin))' "$1"
}

# READING LAYOUT PDF CATALOGUE: compares the words of the structure, as poppler reads them, with those
# of the lesson's reading and with the labels of the page. The reading is English; the page's own
# words come from the catalogue of the lesson's language, or an empty file.
compare_words() {
    pdfinfo -enc UTF-8 -struct-text "$3" | python3 -c '
import collections, re, sys
reading, layout, catalogue = (open(name, encoding="utf-8").read() for name in sys.argv[1:])
words = dict(re.findall(r"^msgid \"(.+)\"\nmsgstr \"(.+)\"$", catalogue, re.M))
in_language = lambda text: words.get(text, text)
kind, elements = "", []
for line in sys.stdin.read().splitlines():
    text = re.fullmatch(r" *\"(.*)\"", line)
    if text:
        elements.append((kind, text[1]))
    else:
        kind = line.split()[0]
outside = [text for kind, text in elements if kind != "Figure"]
lines = {in_language(line) for line in reading.splitlines()}
course = re.search(r"^Course: (.*)", reading, re.M)
level = re.search(r"^Level: (.*)", reading, re.M)
handed = re.search(r"^For a (.*-handed) player", reading, re.M)
lines.add(" · ".join(in_language(part[1]) for part in (course, level, handed) if part))
titles = re.findall(r"^Exercise (\d+): (.*)", reading, re.M)
lines.update(title for _, title in titles)
wanted = reading.splitlines()[:1] + [" ".join(title) for title in titles]
wrong = [title for title in wanted if title not in outside]
unsaid = tuple(in_language(label) for label in ("Key", "Kit", "Practice ladder"))
for text in set(outside) - set(wanted): # every sentence of the page is one of the reading
    if len(text.split()) > 4 and not text.startswith(unsaid):
        if re.sub(r" × \d+$", "", text) not in lines:
            wrong.append(text)
drawn, others = collections.Counter(), collections.Counter()
for role, label in re.findall(r"^([a-z-]+)(?: [a-z][0-9]+)* \"(.*)\" at ", layout, re.M):
    if role not in ("foot", "running-head"): # the reading has the tempo
        (others if role == "tempo" else drawn).update(label.split())
told = collections.Counter(word for _, text in elements for word in text.split())
wrong += list((drawn - told) + (told - drawn - others))
print(*wrong, sep="\n")
sys.exit(bool(wrong) or sum(told.values()) < 50)' "$1" "$2" "$4"
}

for path in examples/[0-9]*.yaml; do
    lesson=$(basename "$path" .yaml)
    it "$lesson: title, headings, figures"
    run engrave "$path" -o "$work/sheet.pdf"
    expect_status 0
    qpdf --check "$work/sheet.pdf" >"$work/check" 2>&1 || fail "$(cat "$work/check")"
    grep -q 'No syntax or stream encoding errors' "$work/check" || fail "$(cat "$work/check")"
    pdfinfo "$work/sheet.pdf" >"$work/info"
    grep -q '^Tagged: *yes' "$work/info" || fail 'not tagged'
    outline "$work/sheet.pdf" >"$work/outline"
    grep -q "^H1 *\"$(sed -n 's/^title: //p' "$path")\"" "$work/outline" || fail 'H1'
    "$RATAMARK" engrave "$path" --as text -o - >"$work/words"
    sed -n 's/^Exercise \([0-9]*\): /\1 /p' "$work/words" >"$work/headings"
    sed -n 's/^H2 *"\(.*\)"$/\1/p' "$work/outline" >"$work/H2"
    expect_same "$work/H2" "$work/headings"

    it "$lesson: its words are parted"
    "$RATAMARK" engrave "$path" --dump layout >"$work/layout"
    language=$(sed -n 's/^language: //p' "$path")
    catalogue=/dev/null
    [ ! -f "src/words/$language.po" ] || catalogue=src/words/$language.po
    compare_words "$work/words" "$work/layout" "$work/sheet.pdf" "$catalogue" >"$work/wrong" ||
        fail "$(cat "$work/wrong")"

    it "$lesson: language, and what is read in place of each figure"
    values /Lang "$work/sheet.pdf" | sort -u >"$work/languages" # the readings stay English
    case $language in
    '' | en*) printf '"u:%s"\n' "${language:-en}" ;;
    *) printf '"u:%s"\n' "$language" en ;;
    esac | sort >"$work/expected"
    expect_same "$work/languages" "$work/expected"
    values /Alt "$work/sheet.pdf" >"$work/alt"
    # The music of each exercise, as one JSON text a line; a practice form has a figure only where
    # it is drawn as music.
    python3 -c '
import json, re, sys
words, alt = open(sys.argv[1]).read(), open(sys.argv[2]).read().splitlines()
for part in ("\n" + words).split("\nExercise ")[1:]:
    for block in part.split("\n\n"): # the ladder behind it is text of the page
        block = re.sub(r"^Practice ladder, .*", "", block, flags=re.M)
        text = json.dumps("u:" + block.rstrip("\n") + "\n")
        if re.search(r"^(Bars? |Pickup)", block, re.M) or ("Practice form" in block and text in alt):
            print(text)' "$work/words" "$work/alt" >"$work/expected"
    grep -v ', continued\."$' "$work/alt" >"$work/begun"
    expect_same "$work/begun" "$work/expected"
    [ "$(grep -c '^Figure' "$work/outline")" = "$(wc -l <"$work/alt")" ] || fail 'a figure without words'
done

it 'a file of many pages, which is handed on in parts'
run engrave tests/stress/two-hundred.yaml -o "$work/many.pdf"
expect_status 0
qpdf --check "$work/many.pdf" >"$work/check" 2>&1 || fail "$(cat "$work/check")"
[ "$(tail -n 1 "$work/many.pdf")" = '%%EOF' ] || fail 'its end'
[ "$(values /Alt "$work/many.pdf" | wc -l)" -ge 200 ] || fail 'two hundred readings'

it 'the language and the title are said'
[ "$(values /Lang "$work/sheet.pdf")" = '"u:en"' ] || fail "$(values /Lang "$work/sheet.pdf")"
[ "$(values /DisplayDocTitle "$work/sheet.pdf")" = true ] || fail 'DisplayDocTitle'

it "a lesson's own language; its readings are English all the same"
printf 'title: Raeder\nlanguage: de-AT\nexercises:\n  - {title: Faesser, subdivision: eighths, sticking: RL}\n' >"$work/lesson.yaml"
run engrave "$work/lesson.yaml" -o "$work/sheet.pdf"
expect_status 0
[ "$(values /Lang "$work/sheet.pdf" | sort | tr '\n' ' ')" = '"u:de-AT" "u:en" ' ] || fail "$(values /Lang "$work/sheet.pdf")"
run engrave "$work/lesson.yaml" -o "$work/sheet.svg"
[ "$(xmllint --xpath 'string(/*/@*[name()="xml:lang"])' "$work/sheet.svg")" = de-AT ] || fail 'svg'
[ "$(xmllint --xpath 'string(//*[@role="img"]/*[local-name()="desc"]/@*[name()="xml:lang"])' "$work/sheet.svg")" = en ] || fail 'desc'

it 'words beyond ASCII'
cat >"$work/lesson.yaml" <<'END'
title: Räder
kit: {voices: {barrel: {like: snare, label: "Öltonne (groß) \\ 🛢"}}}
exercises:
  - {title: Fässer, subdivision: eighths, sticking: RL, play: {R: barrel, L: barrel}}
END
run engrave "$work/lesson.yaml" -o "$work/sheet.pdf"
expect_status 0
qpdf --check "$work/sheet.pdf" >/dev/null || fail 'check'
values /Alt "$work/sheet.pdf" >"$work/alt"
python3 -c 'import json, sys
sys.exit("Öltonne (groß) \\ 🛢" not in json.load(open(sys.argv[1])))' "$work/alt" || fail "$(cat "$work/alt")"

it 'a picture without a letter is a figure, too'
cat >"$work/lesson.yaml" <<'END'
show: {counts: off, sticking: no, key: no}
exercises:
  - {subdivision: quarters, sticking: RL}
  - {subdivision: eighths, sticking: RL}
END
run engrave "$work/lesson.yaml" -o "$work/sheet.pdf"
expect_status 0
qpdf --check "$work/sheet.pdf" >/dev/null || fail 'check'
[ "$(pdfinfo -struct "$work/sheet.pdf" | grep -c Figure)" = 2 ] || fail 'two figures'
[ "$(values /Alt "$work/sheet.pdf" | wc -l)" = 2 ] || fail 'two readings'

finish
