"""One look for every picture: colours that survive print and colour blindness, our typefaces, quiet axes.

The colours of the endings are ordered by lightness (CIE L about 20, 39, 58, 80), so that a photocopy still
tells them apart; no two of them differ by red against green only.
"""

import altair

SANS = "Unsnag Sans, system-ui, sans-serif"
SERIF = "Unsnag Serif, Georgia, serif"

INK = "#12262d"
MUTED = "#4a5d63"
HAIRLINE = "#d5dfe0"
MIST = "#eef4f4"
WATER = "#0b6470"
FLOAT = "#c06a1b"
PALE = "#c3ced1"
EDGE = "#7b8f95"  # drawn round what is pale, so that it shows on white

ENDING_COLOURS = {
    "released": "#0b6470",
    "died": "#33213f",
    "euthanased": "#c06a1b",
    "unresolved": "#c3ced1",
    "other": "#7b8f95",
    "dead_on_arrival": "#5c6b70",
}
ENDING_WORDS = {
    "released": "Released",
    "died": "Died",
    "euthanased": "Euthanased",
    "unresolved": "No ending known yet",
    "other": "Other ending",
    "dead_on_arrival": "Dead on arrival",
}
# For words and thin lines in these colours, which need more contrast on white than a filled mark does.
ENDING_INKS = ENDING_COLOURS | {"euthanased": "#98500f", "unresolved": MUTED, "other": MUTED}
# Light to dark, one hue: for shares of a whole, where darker is more.
STEPS = ["#eef4f4", "#cfe0e1", "#a3c5c8", "#6ba3a8", "#35808a", "#0b6470"]

PHONE = 348
DESK = 760
TEXT_SIZE = 14


def is_phone(width: int) -> bool:
    """Whether a picture of this width (pixels) is laid out for a phone."""
    return width < 520


CONFIG = {
    "font": SANS,
    "background": "transparent",
    "padding": 2,
    "view": {"stroke": None},
    "axis": {
        "labelColor": MUTED,
        "labelFontSize": 13,
        "titleColor": MUTED,
        "titleFontSize": 13,
        "titleFontWeight": "normal",
        "titlePadding": 8,
        "gridColor": HAIRLINE,
        "domainColor": MUTED,
        "tickColor": MUTED,
        "domain": False,
        "ticks": False,
        "labelPadding": 6,
    },
    "header": {
        "labelColor": INK,
        "labelFontSize": TEXT_SIZE,
        "labelFontWeight": 600,
        "labelAnchor": "start",
        "labelPadding": 6,
        "title": None,
    },
    "text": {"color": INK, "fontSize": TEXT_SIZE, "lineBreak": "\n"},
    "legend": {"disable": True},
}


def specification(chart: altair.TopLevelMixin) -> dict:
    """The chart as Vega-Lite, with the look inside it, so that the specification alone draws the picture."""
    spec = chart.to_dict(validate=False)  # the tests validate each chart; doing so here doubles the time
    spec["config"] = CONFIG
    return spec
