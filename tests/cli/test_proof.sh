# The proof sheet of the music face: each glyph of the standard's table that the face has
# (tests/font/smufl-glyphs.tsv, SMuFL 1.40) stands on its one page by name and codepoint.
. tests/cli/lib.sh

proof=$build/proof

it 'draws the font on one page'
"$proof" "$top/fonts/Ratamark.otf" "$work/proof.pdf" || fail "ended with $?"
pdfinfo "$work/proof.pdf" | grep -q '^Pages: *1$' || fail 'not one page'

it 'names every glyph of the font with its codepoint'
pdftotext -raw "$work/proof.pdf" "$work/proof.txt"
for drawing in "$top"/fonts/glyphs/*.svg; do
    glyph=$(basename "$drawing" .svg)
    code=$(awk -F '\t' -v glyph="$glyph" '$1 == glyph { print $2 }' "$top/tests/font/smufl-glyphs.tsv")
    [ -n "$code" ] || fail "$glyph is not in the standard's table"
    grep -qx "$glyph" "$work/proof.txt" || fail "$glyph is not named"
    grep -qx "$code" "$work/proof.txt" || fail "$code, $glyph, is not there"
done

it 'says what it cannot read'
"$proof" "$work/none.otf" "$work/none.pdf" 2>"$work/.err" && fail 'took a font that is not there'
grep -q 'none.otf cannot be read' "$work/.err" || fail "said: $(cat "$work/.err")"

finish
