"""A spec as one fixed document: every default written, lengths in mm, and the bytes and digest that stand for it."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any, cast

import rfc8785

from specs.document import BuildSpec
from specs.fields import declared


def complete(spec: BuildSpec) -> dict[str, Any]:
    """The completed document: every key in document order, lengths numbers in mm; parsing it gives the spec back."""
    return cast(dict[str, Any], written(spec))


def written(given: Any) -> Any:
    """A value, list or section of a spec as the document writes it."""
    if isinstance(given, tuple):
        return [written(item) for item in given]
    if hasattr(given, "__dataclass_fields__"):
        return {item.key: written(getattr(given, item.attribute)) for item in declared(type(given))}
    return given


def canonical_bytes(document: Mapping[str, Any]) -> bytes:
    """The one UTF-8 text of a document, whatever the order of its keys. **Source**: RFC 8785."""
    return rfc8785.dumps(dict(document))


def digest(document: Mapping[str, Any]) -> str:
    """SHA-256 of the canonical bytes, 64 hexadecimal digits."""
    return hashlib.sha256(canonical_bytes(document)).hexdigest()
