"""Sheets rendered in the background: each once, kept as released."""

from __future__ import annotations

import hashlib
from typing import Any

from django.conf import settings
from django.core.files.base import ContentFile
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from routing.jobs import Progress, job
from shop.papers.models import Sheet
from shop.papers.traveller import traveller


@job("traveller")
def render_traveller(progress: Progress, *, sheet_id: int) -> dict[str, Any]:
    """The PDF of a sheet, made where there is none yet and never again."""
    sheet = Sheet.objects.select_related("build", "spec").get(pk=sheet_id)
    if not sheet.file:
        with translation.override(settings.LANGUAGE_CODE):
            _make(sheet, progress)
    return {"sheet": sheet.pk, "pages": sheet.pages, "digest": sheet.digest}


def _make(sheet: Sheet, progress: Progress) -> None:
    from shop.papers.pdf import render  # the typesetter is loaded by workers, not by every web process

    progress.set(10, _("computing"))
    html = render_to_string("papers/traveller.html", traveller(sheet))
    progress.set(40, _("drawing the pages"))
    rendered = render(html, file_name(sheet))
    progress.set(90, _("filing"))
    keep(sheet, rendered.content, rendered.pages)


def keep(sheet: Sheet, content: bytes, pages: int) -> None:
    """Keep the file; where another worker was first, its file stays and ours is thrown away."""
    storage = Sheet._meta.get_field("file").storage
    sheet.digest, sheet.pages = hashlib.sha256(content).hexdigest(), pages
    name = storage.save(sheet.file.field.generate_filename(sheet, file_name(sheet)), ContentFile(content))
    first = Sheet.objects.filter(pk=sheet.pk, file="").update(file=name, digest=sheet.digest, pages=pages)
    if not first:
        storage.delete(name)
        sheet.refresh_from_db()


def file_name(sheet: Sheet) -> str:
    """What the file is called: C26-0142-B-traveller-A4.pdf."""
    return f"{sheet.build.serial}-{sheet.spec.revision}-{sheet.kind}-{sheet.paper}.pdf"
