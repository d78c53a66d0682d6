#!/bin/sh
# `course --index`: a page of HTML for the whole course. HTML Tidy says whether it is well formed,
# Python's parser what is in it; tests/browser/test_index looks at it in a browser.
. tests/cli/lib.sh

course=$work/course out=$work/out page=$work/out/index.html

lesson() { # FILE TITLE [LINE]
    mkdir -p "$(dirname "$1")"
    printf 'title: %s\n%s\nexercises:\n  - {title: Waves, subdivision: eighths, sticking: RLLR}\n' "$2" "${3:-}" >"$1"
}

lesson "$course/low.yaml" '"Low <i>Water</i> & \"tide\" '"'"' </script><script>alert(1)</script>"' 'tempo: 60-90'
lesson "$course/week 2/fill #1?.yaml" 'גאות ושפל (Tide)' 'tempo: 8.=72'
lesson "$course/week 2/plain.yaml" 'Plain'
lesson "$course/deep/one.yaml" 'Deep one'
printf 'title: "Deep & <End>"\nlevel: advanced\n' >"$course/deep/course.yaml"
printf 'title: Harbour <Course>\nauthor: Wharf & Lane\nlevel: beginner\norder: [low.yaml, week 2]\nproduce: [pdf, svg, index]\n' >"$course/course.yaml"

# What the page contains, a line a fact, as a parser of HTML reads it.
facts() {
    python3 - "$page" <<'END'
import sys
from html.parser import HTMLParser
class Facts(HTMLParser):
    inside = None
    def handle_starttag(self, tag, given):
        given = dict(given)
        if tag in ("h1", "h2", "h3", "title", "script"):
            self.inside, self.text = tag, ""
        if tag == "a": print("href", given["href"])
        if tag == "img": print("img", given["src"], given["width"], given["height"], given["alt"])
        if tag == "html": print("lang", given["lang"])
        if tag in ("header", "nav", "main", "footer"): print("landmark", tag)
        for name in given:
            if name.startswith("on"): print("handler", name)
    def handle_data(self, data):
        if self.inside: self.text += data
    def handle_endtag(self, tag):
        if tag == self.inside:
            print(tag, self.text)
            self.inside = None
Facts(convert_charrefs=True).feed(open(sys.argv[1], encoding="utf-8").read())
END
}
lacks() { facts >"$work/facts"; ! grep -qF -- "$1" "$work/facts" || fail "'$1' in $(cat "$work/facts")"; }
has() { grep -qxF -- "$1" "$work/facts" || fail "no '$1' in $(cat "$work/facts")"; }

it 'is made where the course file asks for it'
run course "$course" -o "$out"
expect_status 0
expect_file "$page"
facts >"$work/facts"

it 'is valid HTML'
# Tidy is of 2021 and does not know the one attribute that it complains of.
tidy -e -q "$page" 2>&1 | grep -v 'proprietary attribute "loading"' >"$work/tidy"
[ ! -s "$work/tidy" ] || fail "$(cat "$work/tidy")"
# It does see a mistake.
sed 's/<\/section>//' "$page" | tidy -e -q >"$work/tidy" 2>&1
grep -q section "$work/tidy" || fail 'Tidy sees nothing'

it 'has a language, landmarks, and headings in order'
has 'lang en'
[ "$(grep '^landmark' "$work/facts" | tr '\n' ' ')" = 'landmark header landmark nav landmark main landmark footer ' ] ||
    fail "$(grep landmark "$work/facts")"
grep -E '^h[1-6] ' "$work/facts" | cut -c1-2 | tr '\n' ' ' >"$work/levels"
[ "$(cat "$work/levels")" = 'h1 h2 h3 h2 h3 h3 h2 h3 ' ] || fail "$(cat "$work/levels")"

it 'treats a title as plain text'
has 'title Harbour <Course>'
has 'h1 Harbour <Course>'
has "h3 Low <i>Water</i> & \"tide\" ' </script><script>alert(1)</script>"
has 'h3 גאות ושפל (Tide)'
has 'h2 Deep & <End>'
has 'h2 week 2'
! grep -q '^handler' "$work/facts" || fail 'there is a handler'
[ "$(grep -c '^script' "$work/facts")" = 1 ] || fail 'there is a script beside the one that finds lessons'
python3 - "$page" "$top/src/course/find.js" "$work/bare.html" <<'EOF' || fail 'the script is another'
import sys
page, script = (open(path, newline="").read() for path in sys.argv[1:3])
own = "<script>" + script + "</script>"
assert page.count(own) == 1
open(sys.argv[3], "w", newline="").write(page.replace(own, ""))
EOF
! grep -qi '<script\|javascript:\|http:\|https:\|<link\|@import\|url(' "$work/bare.html" ||
    fail 'something from elsewhere'

it 'says which language a text is in, where that is not the page'"'"'s'
! grep -q 'lang="he"' "$page" || fail 'a language that nobody named'
sed -i 's/^title:.*/&\nlanguage: he/' "$course/week 2/fill #1?.yaml"
run course "$course" -o "$out"
expect_status 0
grep -q '<h3 dir="auto" lang="he">' "$page" || fail 'no language'
facts >"$work/facts"

it 'links to every file that was made, and to no other'
grep '^href ' "$work/facts" | grep -v '#' | cut -d' ' -f2 | python3 -c '
import sys, urllib.parse
for line in sys.stdin: print(urllib.parse.unquote(line.strip()))' | sort -u >"$work/led"
(cd "$out" && find . -name '*.pdf' -o -name '*.svg' ! -name '*.line.svg') | sed 's/^..//' | sort >"$work/made"
diff "$work/made" "$work/led" >&2 || fail 'links'
has 'href week%202/fill%20%231%3F.pdf'

it 'shows the first line of each lesson at its size, described in words'
[ "$(grep -c '^img ' "$work/facts")" = 4 ] || fail "$(grep -c '^img ' "$work/facts") pictures"
has "img $(sed -n 's/^img \(low.line.svg [0-9]* [0-9]*\) .*/\1/p' "$work/facts") First line of exercise 1, Waves. Its first bar: R L L R R L L R"
xmllint --noout "$out/low.line.svg" || fail 'the picture is no XML'
grep -q '>Wa' "$out/low.line.svg" && fail 'the heading is in the picture'
# four fifths of the size on paper: 96 pixels an inch, 72 points
wide=$(sed -n 's/.* width="\([0-9]*\)\..*pt" height=.*/\1/p' "$out/low.line.svg" | head -n 1)
shown=$(sed -n 's/^img low.line.svg \([0-9]*\) .*/\1/p' "$work/facts")
[ "$((shown * 10))" -ge $((wide * 106 / 10)) ] && [ "$((shown * 10))" -le $((wide * 108 / 10 + 10)) ] || fail "$wide points, $shown pixels"

it 'shows level and tempo'
tr -d '\n' <"$page" >"$work/flat"
grep -q 'Level</span> beginner</li><li><span class="quiet">Tempo</span> 60–90<' "$work/flat" || fail 'quarters'
grep -q 'Tempo</span> dotted eighths 72<' "$work/flat" || fail 'dotted eighths'
grep -q 'Level</span> advanced<' "$work/flat" || fail 'level of the inner course'
grep -q 'Stop at pain' "$page" || fail 'no caution beside tempos'

it 'links to the booklet if there is one'
run course "$course" -o "$out" --booklet
expect_status 0
facts >"$work/facts"
has 'href booklet.pdf'
run course "$course" -o "$out" --prune
lacks 'booklet.pdf'

it 'has the same bytes, however the lessons were made'
run course "$course" -o "$work/again" --jobs 1
expect_same "$page" "$work/again/index.html"

it 'is left alone while nothing in it changed'
stamp() { stat -c '%i %Y %Z' "$page"; }
before=$(stamp)
run course "$course" -o "$out"
[ "$(stamp)" = "$before" ] || fail 'written again'

it 'follows a lesson, and stays as it was while one has errors'
lesson "$course/week 2/plain.yaml" 'Plainer'
run course "$course" -o "$out"
expect_status 0
facts >"$work/facts"
has 'h3 Plainer'
cp "$page" "$work/before.html"
lesson "$course/week 2/plain.yaml" 'Plainest' 'tempo: fast'
run course "$course" -o "$out"
expect_status 1
expect_err_has 'the index was not updated: 1 lesson could not be made'
expect_same "$page" "$work/before.html"
rm "$course/week 2/plain.yaml"
run course "$course" -o "$out" --prune
expect_status 0
lacks 'Plain'
expect_none "$out/week 2/plain.line.svg"

it 'needs no course file'
mkdir "$work/bare"
lesson "$work/bare/a.yaml" 'A'
run course "$work/bare" -o "$work/bare-out" --index
expect_status 0
page=$work/bare-out/index.html
facts >"$work/facts"
has 'h1 bare'
has 'h2 Lessons'
tidy -e -q "$page" 2>&1 | grep -v 'proprietary attribute "loading"' >"$work/tidy"
[ ! -s "$work/tidy" ] || fail "$(cat "$work/tidy")"

it 'is named after its folder, wherever the command is run'
mkdir -p "$work/low.water/part.one"
lesson "$work/low.water/part.one/a.yaml" 'A'
echo 'author: Quay' >"$work/low.water/part.one/course.yaml"
for from in . low.water low.water/part.one; do
    cd "$work/$from" || exit 1
    case $from in .) folder=low.water ;; low.water) folder=. ;; *) folder=.. ;; esac
    run course "$folder" -o "$work/called" --index --booklet
    expect_status 0
    grep -q '<h1[^>]*>low.water</h1>' "$work/called/index.html" || fail "the index from $from"
    pdfinfo "$work/called/booklet.pdf" | grep -q '^Title: *low.water$' || fail "the booklet from $from"
    [ "$folder" = low.water ] || expect_err_has '0 built, 1 up to date'
done
pdftotext -f 2 -l 2 "$work/called/booklet.pdf" - | grep -q '^part.one$' || fail 'the part'

finish
