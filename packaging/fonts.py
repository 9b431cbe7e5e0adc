"""Make resources/fonts from the woff2 subsets of the two Atkinson Hyperlegible families; run once, by hand.

    npm pack @fontsource/atkinson-hyperlegible-next @fontsource/atkinson-hyperlegible-mono
    python packaging/fonts.py FOLDER        (where both are unpacked; needs fonttools and brotli)

Each weight comes as a latin and a latin-ext subset. They are joined into one TrueType file, given the micro sign
that the face lacks, and named so that Qt sees one family with weights 400, 700 and 800 and a PDF can embed each file.
"""

import sys
import tempfile
from pathlib import Path

from fontTools.merge import Merger
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

FONTS = Path(__file__).resolve().parent.parent / "resources" / "fonts"
FAMILIES = {
    "Atkinson Hyperlegible Next": {"Regular": 400, "Bold": 700, "ExtraBold": 800},
    "Atkinson Hyperlegible Mono": {"Regular": 400, "Bold": 700},
}
MICRO = (0x00B5, 0x03BC)


def subset(source: Path, leave_out: set[int], target: Path) -> set[int]:
    """Keep what `leave_out` does not name, as plain TrueType without hints; the code points kept."""
    font = TTFont(source)
    kept = set(font.getBestCmap()) - leave_out
    subsetter = Subsetter(Options(layout_features=["*"], glyph_names=True, notdef_outline=True, hinting=False))
    subsetter.populate(unicodes=kept)
    subsetter.subset(font)
    for table in {"STAT", "prep", "gasp"} & set(font.keys()):
        del font[table]
    font.flavor = None
    font.save(target)
    return kept


def add_micro(font: TTFont) -> None:
    """The micro sign: the letter u with its left stem drawn down as far as the stem of p."""
    glyphs = font.getGlyphSet()
    pen, drawn = TTGlyphPen(None), DecomposingRecordingPen(glyphs)
    glyphs["u"].draw(drawn)
    drawn.replay(pen)
    u, bottom = font["glyf"]["u"], font["glyf"]["p"].yMin
    left, right = sorted({x for x, y in u.getCoordinates(font["glyf"])[0] if y == u.yMax})[:2]
    top = u.yMax // 2
    pen.moveTo((left, bottom))
    for corner in ((left, top), (right, top), (right, bottom)):
        pen.lineTo(corner)
    pen.closePath()
    font.setGlyphOrder([*font.getGlyphOrder(), "mu"])
    font["glyf"]["mu"] = pen.glyph()
    font["hmtx"]["mu"] = font["hmtx"]["u"]
    for table in font["cmap"].tables:
        table.cmap.update(dict.fromkeys(MICRO, "mu"))


def name(font: TTFont, family: str, style: str, weight: int) -> None:
    """Four styles to a family by the old names; the typographic names (16, 17) hold all weights together."""
    old_family, old_style = (family, style) if style in ("Regular", "Bold") else (f"{family} {style}", "Regular")
    postscript = f"{family.replace(' ', '')}-{style}"
    for number, text in {
        1: old_family,
        2: old_style,
        4: f"{family} {style}",
        6: postscript,
        16: family,
        17: style,
    }.items():
        font["name"].setName(text, number, 3, 1, 0x409)
    font["OS/2"].usWeightClass = weight
    font["OS/2"].fsSelection = 1 << 5 if old_style == "Bold" else 1 << 6
    font["head"].macStyle = int(old_style == "Bold")


def make(folder: Path) -> None:
    """Write every font file, and the license text beside them."""
    for family, styles in FAMILIES.items():
        slug = family.lower().replace(" ", "-")
        for style, weight in styles.items():
            latin, extended = (
                next(folder.rglob(f"{slug}-{part}-{weight}-normal.woff2")) for part in ("latin", "latin-ext")
            )
            with tempfile.TemporaryDirectory() as work:
                parts = [Path(work, "latin.ttf"), Path(work, "extended.ttf")]
                subset(extended, subset(latin, set(), parts[0]), parts[1])
                font = Merger().merge([str(part) for part in parts])
            add_micro(font)
            name(font, family, style, weight)
            font.save(FONTS / f"{family.replace(' ', '')}-{style}.ttf")
    texts = [
        next(path.parent for path in folder.rglob(f"{slug}-latin-400-normal.woff2"))
        .parent.joinpath("LICENSE")
        .read_text()
        for slug in (family.lower().replace(" ", "-") for family in FAMILIES)
    ]
    owners = [text.splitlines()[0].split(" AtkinsonHyperlegible")[0] for text in texts]
    rest = texts[0].partition("\n")[2]
    FONTS.joinpath("OFL.txt").write_text("\n".join(owners) + "\n" + rest)


if __name__ == "__main__":
    make(Path(sys.argv[1]))
