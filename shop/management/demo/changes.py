"""A document with values written at dotted paths."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from copy import deepcopy
from typing import Any


def changed(document: Mapping[str, Any], changes: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    """The document with values written at dotted paths."""
    copy = deepcopy(dict(document))
    for path, value in changes:
        *sections, key = path.split(".")
        place = copy
        for section in sections:
            place = place.setdefault(section, {})
        place[key] = value
    return copy
