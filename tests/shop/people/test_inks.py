"""The inks of the sheet hold against their grounds, light and dark.

**Source**: WCAG 2.2, 1.4.3 (letters 4.5 to 1) and 1.4.11 (parts of a picture 3 to 1).
"""

from __future__ import annotations

import re

import pytest
from django.conf import settings

from specs.drawings.style import ACCENT

SHEET = (settings.BASE_DIR / "shop/static/sheet.css").read_text(encoding="utf-8")
ROOTS = re.findall(r":root \{(.*?)\}", SHEET, re.DOTALL)
LIGHT, DARK = (dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", root)) for root in ROOTS[:2])
TEXT, PARTS = 4.5, 3.0


def luminance(colour: str) -> float:
    """Relative luminance. **Source**: WCAG 2.2, definition of relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_the_published_one():
    """Black on white is 21 to 1 by definition; #767676 on white is the well-known 4.54 (*from memory*)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ink", ["ink", "quiet", "accent", "stop", "caution", "go", "note"])
@pytest.mark.parametrize("ground", ["paper", "wash"])
def test_letters_hold(scheme, ink, ground):
    assert contrast(scheme[ink], scheme[ground]) >= TEXT


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
def test_accent_of_a_drawing_holds(scheme):
    assert contrast(ACCENT["screen"], scheme["paper"]) >= PARTS
