"""The colours: readable on white, told apart in greyscale and with colour-blind eyes."""

from itertools import combinations
from math import dist

import pytest
from unsnag_charts import ladder, theme
from unsnag_charts.animals import animals_per_dot

# Machado, Oliveira & Fernandes (2009), full deuteranopia and protanopia, on linear RGB. From memory.
DEUTERANOPIA = [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.011820, 0.042940, 0.968881],
]
PROTANOPIA = [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
]
PAIRS = list(combinations(["released", "died", "euthanased", "unresolved"], 2))


def linear(colour):
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    return [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]


def luminance(rgb):
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), rgb, strict=True))


def contrast_on_white(colour):
    """Contrast ratio against white, WCAG 2.2."""
    return 1.05 / (luminance(linear(colour)) + 0.05)


def lightness(rgb):
    """CIE L* of linear RGB, 0 to 100."""
    y = luminance(rgb)
    return 116 * y ** (1 / 3) - 16 if y > 0.008856 else 903.3 * y


def lab(rgb):
    """CIE L*a*b* of linear RGB under D65."""
    to_xyz = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    xyz = [sum(a * b for a, b in zip(row, rgb, strict=True)) for row in to_xyz]
    x, y, z = (part / white for part, white in zip(xyz, (0.9505, 1, 1.089), strict=True))
    x, y, z = (t ** (1 / 3) if t > 0.008856 else 7.787 * t + 16 / 116 for t in (x, y, z))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def seen_with(matrix, colour):
    rgb = linear(colour)
    return [max(0.0, sum(a * b for a, b in zip(row, rgb, strict=True))) for row in matrix]


@pytest.mark.parametrize("colour", [theme.INK, theme.MUTED, theme.WATER, *theme.ENDING_INKS.values()])
def test_words_have_the_contrast_of_wcag_on_white(colour):
    assert contrast_on_white(colour) >= 4.5


@pytest.mark.parametrize("colour", [theme.EDGE, ladder.QUIET, theme.ENDING_COLOURS["euthanased"]])
def test_marks_have_the_contrast_of_wcag_on_white(colour):
    assert contrast_on_white(colour) >= 3


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_endings_differ_in_greyscale(pair):
    one, other = (lightness(linear(theme.ENDING_COLOURS[ending])) for ending in pair)
    assert abs(one - other) >= 12


@pytest.mark.parametrize("matrix", [DEUTERANOPIA, PROTANOPIA], ids=["deuteranopia", "protanopia"])
@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_endings_differ_for_colour_blind_eyes_from_memory(pair, matrix):
    one, other = (lab(seen_with(matrix, theme.ENDING_COLOURS[ending])) for ending in pair)
    assert dist(one, other) >= 20  # some ten times what is just seen as different


def test_steps_darken_one_after_the_other():
    shades = [lightness(linear(colour)) for colour in theme.STEPS]
    assert shades == sorted(shades, reverse=True)


@pytest.mark.parametrize(("animals", "each"), [(150, 1), (1200, 1), (1201, 2), (1_000_000, 1000)])
def test_dots_of_a_large_year_stand_for_more_animals(animals, each):
    assert animals_per_dot(animals) == each


def test_label_is_broken_at_blanks_only():
    assert ladder.wrap("Otter, platypus or water rat", 16) == "Otter, platypus\nor water rat"
    assert ladder.wrap("Unbreakablyverylongword", 5) == "Unbreakablyverylongword"
