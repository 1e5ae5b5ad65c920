"""How a request's body is read: as strictly as a spec document, and never without a bound."""

from __future__ import annotations

from collections.abc import Mapping
from typing import IO, Any

from django.utils.translation import gettext as _
from rest_framework.parsers import BaseParser

from specs.errors import Refused
from specs.parsing import read_json

LONGEST_BYTES = 1_000_000
"""A spec document has a few thousand."""


class StrictJSON(BaseParser):
    """One JSON object; repeated keys, NaN and broken characters are refused, each at its path."""

    media_type = "application/json"

    def parse(self, stream: IO[bytes], media_type: str | None = None, parser_context: Mapping | None = None) -> Any:
        body = stream.read(LONGEST_BYTES + 1)
        if len(body) > LONGEST_BYTES:
            raise Refused.one("document", "too-long", _("Send at most a million bytes."))
        return read_json(body)
