#!/usr/bin/python3
"""The music face against its sources and against the SMuFL standard.

Outlines are measured here on their own: each curve of the built font is cut
into short chords, and boxes, distances and windings come from those chords.
Nothing of build.py is imported, so a mistake there is not repeated here.

Unless a check says otherwise its source is the SMuFL 1.40 specification,
chapters "Specification" and "Implementation notes" (w3c/smufl).
"""
import csv
import io
import json
import math
import re
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import fontTools
from fontTools.pens.basePen import BasePen
from fontTools.ttLib import TTFont

HERE = Path(__file__).resolve().parent
FONTS = HERE.parent.parent / "fonts"
SPACE = 250.0  # font units in a staff space: 1000 units an em, an em is four spaces
CHORDS = 12    # chords a curve

# The committed font was written by this version of fontTools. Another version
# may write the same tables in other bytes; then the tables are compared.
FONTTOOLS_OF_THE_FONT = "4.38.0"


class ChordPen(BasePen):
    """Collects every contour as a closed polygon, in staff spaces."""

    def __init__(self, glyphs):
        super().__init__(glyphs)
        self.contours = []

    def _moveTo(self, point):
        self.contours.append([point])

    def _lineTo(self, point):
        self.contours[-1].append(point)

    def _curveToOne(self, b, c, d):
        a = self._getCurrentPoint()
        for step in range(1, CHORDS + 1):
            t = step / CHORDS
            u = 1 - t
            self.contours[-1].append(tuple(
                u ** 3 * a[k] + 3 * u * u * t * b[k] + 3 * u * t * t * c[k] + t ** 3 * d[k] for k in (0, 1)))


class Outline:
    """The polygons of one glyph and what can be measured on them."""

    def __init__(self, font, name):
        glyphs = font.getGlyphSet()
        pen = ChordPen(glyphs)
        glyphs[name].draw(pen)
        self.contours = [self.without_repeats(contour) for contour in pen.contours]

    @staticmethod
    def without_repeats(contour):
        points = [(x / SPACE, y / SPACE) for x, y in contour]
        return [point for k, point in enumerate(points) if point != points[k - 1]]

    def box(self):
        xs = [x for contour in self.contours for x, _ in contour]
        ys = [y for contour in self.contours for _, y in contour]
        return min(xs), min(ys), max(xs), max(ys)

    def edges(self):
        for contour in self.contours:
            for k, end in enumerate(contour):
                yield contour[k - 1], end

    def distance(self, point):
        return min(distance_to_edge(point, start, end) for start, end in self.edges())

    def winding(self, point):
        return sum(contour_winding(contour, point) for contour in self.contours)


def distance_to_edge(point, start, end):
    dx, dy = end[0] - start[0], end[1] - start[1]
    along = ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / (dx * dx + dy * dy)
    along = min(1.0, max(0.0, along))
    return math.hypot(start[0] + along * dx - point[0], start[1] + along * dy - point[1])


def cross(a, b, c):
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def contour_winding(contour, point):
    """How often a contour runs round a point, counter-clockwise positive."""
    turns = 0
    for k, end in enumerate(contour):
        start = contour[k - 1]
        if (start[1] <= point[1]) != (end[1] <= point[1]):
            side = cross(start, end, point)
            if start[1] <= point[1] and side > 0:
                turns += 1
            elif start[1] > point[1] and side < 0:
                turns -= 1
    return turns


def signed_area(contour):
    return sum(contour[k - 1][0] * end[1] - end[0] * contour[k - 1][1] for k, end in enumerate(contour)) / 2


def points_inside(contour, cuts=24):
    """Points on a grid over a contour's box, those that the contour encloses."""
    xs = [x for x, _ in contour]
    ys = [y for _, y in contour]
    for row in range(cuts):
        for column in range(cuts):
            point = (min(xs) + (column + 0.47) / cuts * (max(xs) - min(xs)),
                     min(ys) + (row + 0.47) / cuts * (max(ys) - min(ys)))
            if contour_winding(contour, point) != 0:
                yield point


def crosses_itself(contour):
    """True when two edges that are not neighbours cut each other."""
    edges = [(contour[k - 1], end) for k, end in enumerate(contour)]
    for i, (a, b) in enumerate(edges):
        for c, d in edges[i + 2:len(edges) - (i == 0)]:
            if (max(a[0], b[0]) > min(c[0], d[0]) and max(c[0], d[0]) > min(a[0], b[0])
                    and cross(a, b, c) * cross(a, b, d) < 0 and cross(c, d, a) * cross(c, d, b) < 0):
                return True
    return False


def read_table():
    lines = (HERE / "smufl-glyphs.tsv").read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader((line for line in lines if not line.startswith("#")), delimiter="\t")
    return {row["glyph"]: int(row["codepoint"].removeprefix("U+"), 16) for row in rows}


FONT = TTFont(FONTS / "Ratamark.otf")
METADATA = json.loads((FONTS / "Ratamark.json").read_text(encoding="utf-8"))
STANDARD = read_table()
OUTLINES = {name: Outline(FONT, name) for name in STANDARD if name in FONT.getGlyphOrder()}


def names(*starts, without=()):
    found = [name for name in OUTLINES if name.startswith(starts) and not name.startswith(tuple(without))]
    assert found, starts
    return found


def stem_marks():
    """What the program's stroke marks draw on the stem: rows of STROKE_MARKS, by the names of GLYPHS."""
    model = HERE.parent.parent / "src" / "model"
    glyphs = dict(re.findall(r'X\((\w+), "(\w+)"', (model / "glyph.h").read_text(encoding="utf-8")))
    rows = re.findall(r"-?\d+, +STEM, +(\w+), +(\w+),", (model / "stroke_mark.h").read_text(encoding="utf-8"))
    found = sorted({glyphs[name] for row in rows for name in row})
    assert len(found) >= 4, found
    return found


def heads():
    return names("notehead")


class FaceTest(unittest.TestCase):
    def near(self, value, expected, tolerance, what):
        self.assertLessEqual(abs(value - expected), tolerance + 1e-9, f"{what}: {value:.3f}, expected {expected:.3f}")


class Sources(FaceTest):
    """What is committed is what the sources give."""

    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.fresh = Path(cls.folder.name)
        subprocess.run([sys.executable, FONTS / "build.py", cls.fresh], check=True)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_committed_font_equals_a_fresh_build(self):
        committed, fresh = (path / "Ratamark.otf" for path in (FONTS, self.fresh))
        if committed.read_bytes() == fresh.read_bytes():
            return
        self.assertNotEqual(fontTools.version, FONTTOOLS_OF_THE_FONT, "fonts/Ratamark.otf is not what its sources give")
        print(f"fontTools {fontTools.version} writes other bytes than {FONTTOOLS_OF_THE_FONT}: tables compared", file=sys.stderr)
        self.assertEqual(self.as_text(committed), self.as_text(fresh))

    @staticmethod
    def as_text(path):
        """Every table spelled out, without what only the writing decides."""
        font = TTFont(path, recalcTimestamp=False)
        font["head"].checkSumAdjustment = 0
        text = io.StringIO()
        font.saveXML(text, writeVersion=False)
        return text.getvalue()

    def test_committed_metadata_equals_a_fresh_build(self):
        self.assertEqual((FONTS / "Ratamark.json").read_bytes(), (self.fresh / "Ratamark.json").read_bytes())

    def test_building_twice_gives_the_same_bytes(self):
        with tempfile.TemporaryDirectory() as again:
            subprocess.run([sys.executable, FONTS / "build.py", again], check=True)
            self.assertEqual((Path(again) / "Ratamark.otf").read_bytes(), (self.fresh / "Ratamark.otf").read_bytes())

    def test_every_glyph_has_its_drawing(self):
        drawings = {path.stem for path in (FONTS / "glyphs").glob("*.svg")}
        self.assertEqual(drawings, set(STANDARD))

    def test_a_drawing_shows_its_ink_from_top_to_bottom(self):
        for name, outline in OUTLINES.items():
            view = ElementTree.parse(FONTS / "glyphs" / f"{name}.svg").getroot().get("viewBox").split()
            top, height = float(view[1]), float(view[3])
            _, low, _, high = outline.box()
            with self.subTest(name):
                self.assertLessEqual(top, -high * SPACE)
                self.assertGreaterEqual(top + height, -low * SPACE)


class Names(FaceTest):
    def test_every_codepoint_agrees_with_the_standard(self):
        cmap = FONT.getBestCmap()
        self.assertEqual({name: code for code, name in cmap.items() if name != "space"}, STANDARD)

    def test_every_sign_of_the_page_is_in_the_face(self):
        # The program's own table of signs, written X(NAME, "smuflName", 0xCODE).
        header = (HERE.parent.parent / "src" / "model" / "glyph.h").read_text(encoding="utf-8")
        signs = re.findall(r'X\(\w+, "(\w+)", 0x([0-9A-F]+)\)', header)
        self.assertGreater(len(signs), 50)
        for name, code in signs:
            self.assertEqual(STANDARD.get(name), int(code, 16), name)

    def test_space_and_missing_glyph_exist(self):
        self.assertEqual(FONT.getBestCmap()[0x20], "space")
        self.assertEqual(FONT.getGlyphOrder()[0], ".notdef")

    def test_name_and_licence_are_in_the_font(self):
        self.assertEqual(FONT["name"].getDebugName(1), "Ratamark")
        self.assertIn("SIL Open Font License, Version 1.1", FONT["name"].getDebugName(13))
        self.assertIn(FONT["name"].getDebugName(0), (FONTS / "OFL.txt").read_text(encoding="utf-8"))

    def test_embedding_is_free(self):
        self.assertEqual(FONT["OS/2"].fsType, 0)  # OpenType specification, OS/2 fsType: 0 = installable


class Metadata(FaceTest):
    def test_a_staff_space_is_a_quarter_of_an_em(self):
        self.assertEqual(FONT["head"].unitsPerEm, 4 * SPACE)

    def test_boxes_agree_with_the_outlines(self):
        self.assertEqual(set(METADATA["glyphBBoxes"]), set(STANDARD))
        for name, outline in OUTLINES.items():
            stated = METADATA["glyphBBoxes"][name]
            with self.subTest(name):
                for value, edge in zip(stated["bBoxSW"] + stated["bBoxNE"], outline.box()):
                    self.near(value, edge, 0.006, name)

    def test_advance_widths_agree_with_the_font(self):
        self.assertEqual(set(METADATA["glyphAdvanceWidths"]), set(STANDARD))
        for name in STANDARD:
            self.near(METADATA["glyphAdvanceWidths"][name], FONT["hmtx"][name][0] / SPACE, 0.001, name)

    def test_line_weights_are_those_of_the_house(self):
        # Source: the project's own page design.
        expected = {
            "staffLineThickness": 0.12, "stemThickness": 0.12, "legerLineThickness": 0.16, "legerLineExtension": 0.35,
            "beamThickness": 0.5, "beamSpacing": 0.25, "thinBarlineThickness": 0.16, "thickBarlineThickness": 0.5,
            "barlineSeparation": 0.4, "thinThickBarlineSeparation": 0.4, "repeatBarlineDotSeparation": 0.2,
            "tupletBracketThickness": 0.13, "hairpinThickness": 0.14,
        }
        self.assertEqual(expected, {key: METADATA["engravingDefaults"][key] for key in expected})


class Registration(FaceTest):
    def test_glyphs_start_at_their_leftmost_point(self):
        # Exceptions by the standard: dynamics letters, digits, parentheses,
        # and decorations that sit on the middle of a stem.
        for name in names("", without=("dynamic", "timeSig", "tuplet", "tremolo", *stem_marks())):
            self.near(OUTLINES[name].box()[0], 0, 0.005, name)

    def test_noteheads_are_centred_on_the_baseline(self):
        for name in heads():
            _, low, _, high = OUTLINES[name].box()
            self.near((low + high) / 2, 0, 0.01, name)

    def test_stem_anchors_lie_on_the_outline(self):
        anchored = 0
        for name in heads():
            for anchor, point in METADATA["glyphsWithAnchors"].get(name, {}).items():
                anchored += 1
                self.near(OUTLINES[name].distance(point), 0, 0.01, f"{name} {anchor}")
        self.assertGreater(anchored, 30)

    def test_stems_meet_ink(self):
        # The stem's edge opposite to the anchor, a little inside its end.
        thickness = METADATA["engravingDefaults"]["stemThickness"]
        for name in names("noteheadBlack", "noteheadXBlack", "noteheadDiamondBlack", "noteheadPlusBlack", "noteheadSquareBlack"):
            anchors = METADATA["glyphsWithAnchors"][name]
            up, down = anchors["stemUpSE"], anchors["stemDownNW"]
            self.assertNotEqual(OUTLINES[name].winding((up[0] - thickness * 0.6, up[1] - 0.02)), 0, name)
            self.assertNotEqual(OUTLINES[name].winding((down[0] + thickness * 0.6, down[1] + 0.02)), 0, name)

    def test_up_and_down_stems_mirror_each_other(self):
        for name in names("noteheadBlack", "noteheadHalf", "noteheadX", "noteheadDiamond", without=("noteheadXWhole", "noteheadDiamondWhole")):
            left, _, right, _ = OUTLINES[name].box()
            anchors = METADATA["glyphsWithAnchors"][name]
            self.near(anchors["stemUpSE"][0] + anchors["stemDownNW"][0], left + right, 0.005, name)
            self.near(anchors["stemUpSE"][1], -anchors["stemDownNW"][1], 0.005, name)

    def test_time_digits_are_two_spaces_tall_and_centred(self):
        for name in [f"timeSig{digit}" for digit in range(10)]:
            _, low, _, high = OUTLINES[name].box()
            self.near(high - low, 2.0, 0.04, name)
            self.near((high + low) / 2, 0, 0.02, name)

    def test_the_small_plus_of_a_meter_is_heavy_and_has_air(self):
        # Twice a staff line, or it is lost among the figures' thick strokes; white at both of its sides.
        plus = OUTLINES["timeSigPlusSmall"]
        left, low, right, high = plus.box()
        line = METADATA["engravingDefaults"]["staffLineThickness"]
        self.assertNotEqual(plus.winding((left + 0.1, line * 0.95)), 0)
        self.near((low + high) / 2, 0, 0.005, "plus")
        self.assertGreaterEqual(left, 0.2 - 0.005)
        self.assertGreaterEqual(METADATA["glyphAdvanceWidths"]["timeSigPlusSmall"] - right, 0.2 - 0.005)

    def test_percussion_clef_is_centred_on_the_middle_line(self):
        for name in names("unpitchedPercussionClef"):
            _, low, _, high = OUTLINES[name].box()
            self.near((high + low) / 2, 0, 0.005, name)

    def test_whole_rest_hangs_and_half_rest_sits(self):
        self.near(OUTLINES["restWhole"].box()[3], 0, 0.005, "restWhole")
        self.near(OUTLINES["restHalf"].box()[1], 0, 0.005, "restHalf")

    def test_short_rests_stand_about_the_middle_line(self):
        # common practice: one ball a flag, the first balls in the two middle
        # spaces, the foot on or near the line two balls further down.
        for name, low, high in (("rest8th", -1, 0.7), ("rest16th", -2, 0.7), ("rest32nd", -2, 1.7), ("rest64th", -3, 1.7)):
            box = OUTLINES[name].box()
            self.near(box[1], low, 0.1, f"{name} foot")
            self.near(box[3], high, 0.1, f"{name} top")
        _, low, _, high = OUTLINES["restQuarter"].box()
        self.near(high - low, 2.8, 0.05, "restQuarter height")
        self.near((high + low) / 2, 0, 0.1, "restQuarter middle")

    def test_articulations_sit_on_or_hang_from_the_baseline(self):
        for name in names("artic", "fermata"):
            _, low, _, high = OUTLINES[name].box()
            self.near(low if name.endswith("Above") else high, 0, 0.005, name)
        for name in names("pict", without=stem_marks()):
            self.near(OUTLINES[name].box()[1], 0, 0.01, name)

    def test_flags_begin_at_the_end_of_the_stem(self):
        for name in names("flag"):
            left, low, _, high = OUTLINES[name].box()
            self.near(left, 0, 0.005, name)
            anchor = METADATA["glyphsWithAnchors"][name]["stemUpNW" if name.endswith("Up") else "stemDownSW"]
            self.assertEqual(anchor[0], 0)
            self.near(high if name.endswith("Up") else low, anchor[1], 0.005, name)
        for name in ("flag8thUp", "flag16thUp"):
            self.near(OUTLINES[name].box()[3], 0, 0.005, name)
        for name in ("flag8thDown", "flag16thDown"):
            self.near(OUTLINES[name].box()[1], 0, 0.01, name)

    def test_tails_stay_clear_of_the_head(self):
        # On a down stem of normal length the tail points at the head itself,
        # which begins half a space before the stem's other end.
        clear = 3.5 - 0.5
        for name in names("flag"):
            _, low, _, high = OUTLINES[name].box()
            reach = high if name.endswith("Down") else -low
            self.assertLess(reach, clear - 0.15 if name.endswith("Down") else 3.5 - 0.2, name)

    def test_stem_decorations_have_their_centre_on_the_stem(self):
        for name in {*names("tremolo"), *stem_marks()}:
            left, low, right, high = OUTLINES[name].box()
            self.near((left + right) / 2, 0, 0.005, name)
            self.near((low + high) / 2, 0, 0.005, name)

    def test_metronome_stems_are_three_quarters_of_a_space_short(self):
        for name in ("metNoteHalfUp", "metNoteQuarterUp", "metNote8thUp", "metNote16thUp"):
            self.near(OUTLINES[name].box()[3], 3.5 - 0.75, 0.005, name)

    def test_dynamics_letters_have_the_stated_heights(self):
        for name in ("dynamicMezzo", "dynamicSforzando", "dynamicZ", "dynamicRinforzando"):
            self.near(OUTLINES[name].box()[3], 1.0, 0.1, f"{name} x-height")
        self.near(OUTLINES["dynamicForte"].box()[3], 2.0, 0.35, "dynamicForte height")

    def test_repeat_dots_stand_in_the_middle_spaces(self):
        # y = 0 on the bottom line: the second space is 1.5, the third 2.5.
        middles = sorted((min(y for _, y in c) + max(y for _, y in c)) / 2 for c in OUTLINES["repeatDots"].contours)
        self.near(middles[0], 1.5, 0.005, "lower dot")
        self.near(middles[1], 2.5, 0.005, "upper dot")

    def test_proportions_of_the_house(self):
        # Source: the project's own page design.
        for name, width, height in (
                ("noteheadBlack", 1.18, 1.0), ("noteheadXBlack", 1.18, 1.0), ("noteheadDiamondBlack", 1.0, 1.0),
                ("articAccentAbove", 1.3, 0.9), ("unpitchedPercussionClef1", 1.4, 2.0)):
            left, low, right, high = OUTLINES[name].box()
            self.near(right - left, width, 0.01, f"{name} width")
            self.near(high - low, height, 0.01, f"{name} height")
        for name, height in (("noteheadParenthesisLeft", 1.3), ("flag8thUp", 3.2)):
            _, low, _, high = OUTLINES[name].box()
            self.near(high - low, height, 0.01, f"{name} height")


class Contours(FaceTest):
    """Outlines that fill alike under every renderer: nonzero-safe."""

    def test_no_contour_crosses_itself(self):
        for name, outline in OUTLINES.items():
            for number, contour in enumerate(outline.contours):
                self.assertFalse(crosses_itself(contour), f"{name}, contour {number}")

    def test_holes_are_empty_and_lie_in_ink(self):
        # A hole runs with the clock. Where nothing crosses it the turns add up
        # to 0; a hole that leaves its ink, or ink drawn with the clock, makes -1.
        for name, outline in OUTLINES.items():
            for number, contour in enumerate(outline.contours):
                if signed_area(contour) < 0:
                    least = min(outline.winding(point) for point in points_inside(contour))
                    self.assertEqual(least, 0, f"{name}, contour {number}")

    def test_the_winding_checks_can_fail(self):
        bow = [(0, 0), (1, 1), (1, 0), (0, 1)]
        self.assertTrue(crosses_itself(bow))
        self.assertEqual(contour_winding([(0, 0), (1, 0), (1, 1), (0, 1)], (0.5, 0.5)), 1)
        self.assertEqual(contour_winding([(0, 0), (0, 1), (1, 1), (1, 0)], (0.5, 0.5)), -1)


if __name__ == "__main__":
    unittest.main()
