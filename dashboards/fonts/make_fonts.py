"""Make the four font files of the report from their upstream packages (run by hand, the result is committed).

    pip install fonttools
    pip download --no-deps -d upstream fontpkg-source-sans-3==3.52 fontpkg-vollkorn==5.1
    (cd upstream && for wheel in *.whl; do unzip -qo "$wheel"; done)
    python dashboards/fonts/make_fonts.py upstream

The faces are cut to Latin letters and made static, because the drawing program measures text with
static faces only. They are renamed, as the Open Font License asks of a changed font with a reserved name.
"""

import sys
from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

SANS = "fontpkg_source_sans_3/files/SourceSans3"
SERIF = "fontpkg_vollkorn/files/Vollkorn"
FACES = [
    # file, source, weight, family, style
    ("unsnag-sans-regular.ttf", f"{SANS}[wght].ttf", 400, "Unsnag Sans", "Regular"),
    ("unsnag-sans-semibold.ttf", f"{SANS}[wght].ttf", 600, "Unsnag Sans", "SemiBold"),
    ("unsnag-sans-italic.ttf", f"{SANS}-Italic[wght].ttf", 400, "Unsnag Sans", "Italic"),
    ("unsnag-serif-semibold.ttf", f"{SERIF}[wght].ttf", 600, "Unsnag Serif", "SemiBold"),
]
# Latin, Latin-1 and Latin Extended-A, then the punctuation, arrows and signs that a report needs.
LETTERS = [*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x2007, 0x2023)]
SIGNS = [
    0x2026,
    0x202F,
    0x2030,
    0x2032,
    0x2033,
    0x20AC,
    0x2190,
    0x2192,
    0x2212,
    0x2248,
    0x2260,
    0x2264,
    0x2265,
]
FEATURES = ["kern", "liga", "lnum", "onum", "tnum", "pnum", "mark", "mkmk", "ccmp", "locl"]
FIXED_TIME = 3_000_000_000  # seconds since 1904: the same bytes on every run


def _rename(font: TTFont, family: str, style: str) -> None:
    names = font["name"]
    full = f"{family} {style}"
    kept = {0, 5, 7, 8, 9, 11, 13, 14}
    names.names = [record for record in names.names if record.nameID in kept]
    for name_id, text in {
        1: family if style in ("Regular", "Italic") else full,
        2: style if style == "Italic" else "Regular",
        3: f"{full} (unsnag subset)",
        4: full,
        6: full.replace(" ", "") if style == "Regular" else f"{family.replace(' ', '')}-{style}",
        16: family,
        17: style,
    }.items():
        names.setName(text, name_id, 3, 1, 0x409)


def make(upstream: Path, target: Path) -> None:
    """Write one static, subset, renamed face per line of FACES into ``target``."""
    for file, source, weight, family, style in FACES:
        font = TTFont(upstream / source, recalcTimestamp=False)
        font = instantiateVariableFont(font, {"wght": weight})
        options = Options(hinting=False, layout_features=FEATURES, name_IDs=["*"], notdef_outline=True)
        subsetter = Subsetter(options)
        subsetter.populate(unicodes=[*LETTERS, *SIGNS])
        subsetter.subset(font)
        _rename(font, family, style)
        font["head"].modified = font["head"].created = FIXED_TIME
        font["OS/2"].usWeightClass = weight
        font.save(target / file)


if __name__ == "__main__":
    make(Path(sys.argv[1]), Path(__file__).parent)
