"""The code printed on a sheet: the address that opens the build's work, or says the sheet is out of date."""

from __future__ import annotations

from urllib.parse import parse_qs, urlencode

import segno
from django.conf import settings
from django.urls import reverse

QUIET_MODULES = 2
"""Empty modules around the code; the sheet's own white ground adds the rest. **Source**: ISO/IEC 18004 asks for 4."""


def scan_address(serial: str, revision: str) -> str:
    """What the code of a sheet says."""
    return f"{settings.ORIGIN}{reverse('papers:scan')}?{urlencode({'code': serial, 'rev': revision})}"


def code_picture(text: str) -> str:
    """An ``<svg>`` element with presentation attributes only, for screen and paper."""
    code = segno.make(text, error="m", micro=False)
    return code.svg_inline(border=QUIET_MODULES, omitsize=True, svgclass=None, lineclass=None, dark="#000000")


def read_scan(text: str, revision: str = "") -> tuple[str, str]:
    """Serial or number and revision of a scan, whether the scanner typed the number or the whole address."""
    if "://" in text:
        asked = parse_qs(text.partition("?")[2])
        text, revision = asked.get("code", [""])[0], asked.get("rev", [""])[0]
    return _plain(text), _plain(revision)


def _plain(typed: str) -> str:
    """What was typed without what no serial holds."""
    return "".join(filter(str.isprintable, typed)).strip().upper()
