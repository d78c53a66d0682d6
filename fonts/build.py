#!/usr/bin/python3
"""Build Ratamark.otf and its SMuFL metadata Ratamark.json.

Sources: glyphs/NAME.svg (one drawing a glyph) and face.json (names,
codepoints, stem anchors, line weights). README.md beside this file states
the conventions of the drawings. The same sources give the same bytes: no
date, machine or tool version enters the font.

usage: build.py [OUTPUT-FOLDER]     (default: the folder of this script)
"""
import json
import math
import re
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

from fontTools.fontBuilder import FontBuilder
from fontTools.misc.roundTools import otRound
from fontTools.misc.transform import Identity, Transform
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.recordingPen import RecordingPen
from fontTools.pens.reverseContourPen import ReverseContourPen
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.pens.transformPen import TransformPen
from fontTools.svgLib.path import parse_path

SOURCES = Path(__file__).resolve().parent
SVG = "{http://www.w3.org/2000/svg}"
UNITS_PER_EM = 1000
STAFF_SPACE = UNITS_PER_EM / 4  # SMuFL: four staff spaces make one em
# Seconds from 1904 to 2026-01-01: a date that changes only by hand.
FONT_DATE = 3850070400
SPACE_WIDTH = 250


class DrawingError(Exception):
    """A drawing or the table holds something that cannot become a glyph."""


def parse_transform(text):
    """The SVG transform list of a <use>, as one affine matrix."""
    matrix = Identity
    for name, arguments in re.findall(r"(\w+)\s*\(([^)]*)\)", text):
        values = [float(value) for value in re.split(r"[\s,]+", arguments.strip())]
        if name == "translate":
            matrix = matrix.translate(*values)
        elif name == "scale":
            matrix = matrix.scale(*values)
        elif name == "rotate" and len(values) == 1:
            matrix = matrix.rotate(math.radians(values[0]))
        elif name == "skewX":
            matrix = matrix.skew(math.radians(values[0]))
        else:
            raise DrawingError(f"transform '{name}' is not one of translate, scale, rotate, skewX")
    return matrix


class Drawing:
    """One SVG file: its paths, the drawings it borrows, its advance width."""

    def __init__(self, path):
        root = ElementTree.parse(path).getroot()
        group = root.find(f"{SVG}g[@id='outline']")
        if group is None or root.get("viewBox") is None:
            raise DrawingError(f"{path.name}: needs a viewBox and a <g id=\"outline\">")
        view = [float(value) for value in root.get("viewBox").split()]
        self.advance = otRound(view[0] + view[2])
        self.parts = []  # ("path", d) or ("use", name, transform)
        for element in group:
            if element.tag == f"{SVG}path":
                self.parts.append(("path", element.get("d")))
            elif element.tag == f"{SVG}use":
                name = element.get("href").removesuffix(".svg#outline")
                self.parts.append(("use", name, parse_transform(element.get("transform", ""))))
            else:
                raise DrawingError(f"{path.name}: only <path> and <use> make an outline, found {element.tag}")


def draw(drawings, name, pen, matrix):
    """Draw one glyph onto a pen; mirrored parts keep their winding."""
    if name not in drawings:
        raise DrawingError(f"a drawing borrows '{name}', which does not exist")
    for part in drawings[name].parts:
        if part[0] == "use":
            draw(drawings, part[1], pen, matrix.transform(part[2]))
            continue
        # A mirroring matrix turns contours round. Flipping y from SVG to
        # font space mirrors too, but there the picture itself stays as seen.
        mirrored = matrix[0] * matrix[3] - matrix[1] * matrix[2] > 0
        target = ReverseContourPen(pen) if mirrored else pen
        parse_path(part[1], TransformPen(target, matrix))


def rounded(recording):
    """The same outline with every point on a whole font unit."""
    result = RecordingPen()
    result.value = [
        (operator, tuple((otRound(x), otRound(y)) for x, y in points))
        for operator, points in recording.value
    ]
    return result


def outline(drawings, name):
    recording = RecordingPen()
    draw(drawings, name, recording, Transform(1, 0, 0, -1, 0, 0))
    return rounded(recording)


def notdef():
    """A hollow box: a missing glyph must be seen, not vanish."""
    pen = RecordingPen()
    for box in (((0, -125), (250, -125), (250, 125), (0, 125)), ((20, -105), (20, 105), (230, 105), (230, -105))):
        pen.moveTo(box[0])
        for point in box[1:]:
            pen.lineTo(point)
        pen.closePath()
    return pen


def bounds(recording):
    pen = BoundsPen(None)
    recording.replay(pen)
    return pen.bounds


def charstring(recording, advance):
    pen = T2CharStringPen(advance, None)
    recording.replay(pen)
    return pen.getCharString()


def load_sources():
    """The table, and its drawings; both must name the same glyphs."""
    table = json.loads((SOURCES / "face.json").read_text(encoding="utf-8"))
    files = {path.stem: path for path in sorted((SOURCES / "glyphs").glob("*.svg"))}
    astray = set(files) ^ set(table["glyphs"])
    if astray:
        raise DrawingError(f"in only one of face.json and glyphs/: {', '.join(sorted(astray))}")
    return table, {name: Drawing(path) for name, path in files.items()}


def codepoint(entry):
    return int(entry["codepoint"].removeprefix("U+"), 16)


def build_font(table, outlines, advances, path):
    names = sorted(outlines, key=lambda name: codepoint(table["glyphs"][name]))
    recordings = {".notdef": notdef(), "space": RecordingPen(), **{name: outlines[name] for name in names}}
    widths = {".notdef": 250, "space": SPACE_WIDTH, **advances}
    order = list(recordings)
    boxes = {name: bounds(recording) for name, recording in recordings.items()}
    ink = [box for box in boxes.values() if box]

    builder = FontBuilder(UNITS_PER_EM, isTTF=False)
    builder.setupGlyphOrder(order)
    builder.setupCharacterMap({0x20: "space", 0xA0: "space", **{codepoint(table["glyphs"][name]): name for name in names}})
    builder.setupCFF(
        table["fontName"],
        {"version": table["version"], "FullName": table["fontName"], "FamilyName": table["fontName"], "Weight": "Regular"},
        {name: charstring(recordings[name], widths[name]) for name in order},
        {},
    )
    builder.setupHorizontalMetrics({name: (widths[name], otRound(boxes[name][0]) if boxes[name] else 0) for name in order})
    builder.setupHorizontalHeader(ascent=UNITS_PER_EM, descent=-UNITS_PER_EM // 2)
    builder.setupNameTable({
        "copyright": table["copyright"],
        "familyName": table["fontName"],
        "styleName": "Regular",
        "uniqueFontIdentifier": f"{table['fontName']} {table['version']}",
        "fullName": table["fontName"],
        "version": f"Version {table['version']}",
        "psName": table["fontName"],
        "licenseDescription": "This font is licensed under the SIL Open Font License, Version 1.1.",
        "licenseInfoURL": "https://openfontlicense.org",
    }, mac=False)
    builder.setupOS2(
        sTypoAscender=UNITS_PER_EM, sTypoDescender=-UNITS_PER_EM // 2, sTypoLineGap=0,
        usWinAscent=otRound(max(box[3] for box in ink)), usWinDescent=otRound(-min(box[1] for box in ink)),
        fsType=0, achVendID="NONE", ulUnicodeRange2=1 << 28,  # bit 60: private use area
    )
    builder.setupPost(keepGlyphNames=True)
    builder.updateHead(
        created=FONT_DATE, modified=FONT_DATE, fontRevision=float(table["version"]),
        xMin=otRound(min(box[0] for box in ink)), yMin=otRound(min(box[1] for box in ink)),
        xMax=otRound(max(box[2] for box in ink)), yMax=otRound(max(box[3] for box in ink)),
    )
    builder.font.recalcTimestamp = False
    builder.save(path)


def in_spaces(units):
    return round(units / STAFF_SPACE, 3)


def build_metadata(table, outlines, advances, path):
    """SMuFL font metadata; all measures in staff spaces."""
    boxes = {name: bounds(recording) for name, recording in outlines.items()}
    metadata = {
        "fontName": table["fontName"],
        "fontVersion": float(table["version"]),
        "engravingDefaults": table["engravingDefaults"],
        "glyphAdvanceWidths": {name: in_spaces(advances[name]) for name in sorted(outlines)},
        "glyphBBoxes": {
            name: {
                "bBoxNE": [in_spaces(boxes[name][2]), in_spaces(boxes[name][3])],
                "bBoxSW": [in_spaces(boxes[name][0]), in_spaces(boxes[name][1])],
            }
            for name in sorted(outlines)
        },
        "glyphsWithAnchors": {
            name: entry["anchors"] for name, entry in sorted(table["glyphs"].items()) if "anchors" in entry
        },
    }
    path.write_text(json.dumps(metadata, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


def main(arguments):
    if len(arguments) > 1:
        sys.exit(__doc__.strip())
    target = Path(arguments[0]) if arguments else SOURCES
    table, drawings = load_sources()
    outlines = {name: outline(drawings, name) for name in drawings}
    advances = {name: drawing.advance for name, drawing in drawings.items()}
    build_font(table, outlines, advances, target / f"{table['fontName']}.otf")
    build_metadata(table, outlines, advances, target / f"{table['fontName']}.json")


if __name__ == "__main__":
    try:
        main(sys.argv[1:])
    except (DrawingError, OSError, ElementTree.ParseError) as error:
        sys.exit(f"build.py: {error}")
