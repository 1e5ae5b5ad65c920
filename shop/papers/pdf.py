"""How a page of HTML becomes a PDF: our own style files only, the same bytes for the same page."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from django.contrib.staticfiles import finders
from django.core.exceptions import SuspiciousFileOperation
from weasyprint import HTML
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

SCHEME = "static:"
TYPES = {".css": "text/css", ".svg": "image/svg+xml", ".png": "image/png"}


class OwnFiles(URLFetcher):
    """Fetches ``static:`` names among the project's static files; anything else ends the rendering."""

    def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
        found = self._found(url)
        if found is None:
            raise FatalURLFetchingError(f"a sheet may not fetch {url}")
        kind = TYPES[Path(found).suffix]
        return URLFetcherResponse(url, Path(found).read_bytes(), {"Content-Type": f"{kind}; charset=utf-8"})

    @staticmethod
    def _found(url: str) -> str | None:
        try:
            return finders.find(url.removeprefix(SCHEME)) if url.startswith(SCHEME) else None
        except SuspiciousFileOperation:
            return None


@dataclass(frozen=True)
class Rendered:
    """A finished document and how many pages it has."""

    content: bytes
    pages: int


def render(html: str, identifier: str) -> Rendered:
    """The page as PDF. Raises ``FatalURLFetchingError`` where it asks for anything but our static files."""
    document = HTML(string=html, base_url=SCHEME, url_fetcher=OwnFiles()).render()
    return Rendered(document.write_pdf(pdf_identifier=identifier.encode()), len(document.pages))
