# Text in any script, in reading order, in the system's fonts; a character that no font has is
# reported where it is. tests/stress/both-directions.yaml is the lesson; poppler reads the PDF.
. tests/cli/lib.sh
lesson=$top/tests/stress/both-directions.yaml
cd "$work" || exit 1

it 'engraves without a complaint'
run engrave "$lesson" -o sheet.pdf
expect_status 0
expect_text .err "ratamark: wrote 'sheet.pdf'"
qpdf --check sheet.pdf >check || fail "$(cat check)"

# The structure's text is in the order of the file's content, which a screen reader follows: each text
# of the lesson has to stand there as the author wrote it, right-to-left ones with their numbers too.
it 'headings and paragraphs are read in their logical order'
pdfinfo -enc UTF-8 -struct-text sheet.pdf | sed -n 's/^ *"\(.*\)"$/\1/p' >read
python3 - "$lesson" read <<'END' || fail 'order'
import re, sys, unicodedata
lesson, read = (open(name, encoding='utf-8').read() for name in sys.argv[1:])
wanted = re.findall(r'^ *(?:- )?(?:title|subtitle|author|text): "?(.*?)"?$', lesson, re.M)
wanted += [line.strip() for line in
           lesson.split('notes: |\n')[1].split('kit:')[0].split('\n') if line.strip()]
wanted = [re.sub(r'\\u(....)', lambda m: chr(int(m[1], 16)), text) for text in wanted]
# poppler's reader of structure leaves a text where a ligature or a combined letter has words of its
# own (a nested Span, ISO 32000-1, 14.9.4): those are looked for below
wanted = [text for text in wanted if 'أولا' not in text and '\u0301' not in text]
plain = lambda text: unicodedata.normalize('NFC', re.sub(r'\s', '', text))
missed = [text for text in wanted if plain(text) not in plain(read)]
print(*missed, sep='\n')
sys.exit(bool(missed) or len(wanted) < 12)
END

it 'and can be found by searching the page'
pdftotext -enc UTF-8 sheet.pdf words
for word in ξεκίνα каждый ゆっくり始めて استمع لليسرى מקשיבים Βαρέλι колокол tude και; do
    grep -qF "$word" words || fail "$word"
done

it 'letters of other scripts come from fonts embedded in the file'
pdffonts sheet.pdf >fonts
[ "$(awk 'NR > 2 { print $(NF - 4) }' fonts | sort -u)" = yes ] || fail "$(cat fonts)"
grep -q OpenSans fonts || fail 'no Open Sans'
[ "$(grep -vc 'OpenSans\|Ratamark' fonts)" -gt 2 ] || fail 'no other font'

it 'paragraphs that run from right to left begin at the right margin'
run engrave "$lesson" --dump layout
awk '/^size|^page 1/ { next } /^paragraph "/ && /\327|\330|\331/ { print $(NF - 1) }' .out >left
[ "$(wc -l <left)" -ge 3 ] || fail 'three lines'
while read -r x; do
    case $x in 10.29) fail 'flush left' ;; esac
done <left

it 'a character that no font has is reported where it is'
printf 'title: Low \364\217\277\275 Water\nexercises:\n  - title: "On the \363\260\200\200 pad"\n    subdivision: eighths\n    sticking: RL\n' >boxes.yaml
run engrave boxes.yaml -o boxes.pdf
expect_status 0
expect_err_has 'boxes.yaml:1:12: warning: no installed font has'
expect_err_has 'U+10FFFD'
expect_err_has 'boxes.yaml:3:20: warning: no installed font has'
expect_err_has 'U+F0000'

it 'the same lesson twice gives the same bytes'
run engrave "$lesson" -o again.pdf
cmp -s sheet.pdf again.pdf || fail 'differ'

finish
