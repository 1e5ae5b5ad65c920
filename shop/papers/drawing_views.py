"""Files of an order's drawing: for the saw or the machine, and at true size on paper."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import get_conditional_response
from django.utils.http import content_disposition_header, quote_etag
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.orders.models import Order
from shop.orders.queries import order_or_404
from shop.papers.drawings import CUTTER_MM, KERF_MM, cut_ready, file_name, title_block
from specs.drawings.dxf import write_dxf
from specs.drawings.slots import MODES
from specs.errors import Problem, Refused
from specs.released import current

LEAST_MM, MOST_MM = 0.1, 5.0
CUT_FIELDS = ("kerf", "cutter", "mode")


class CutForm(forms.Form):
    """How the slots are cut; what is left out has its usual value."""

    kerf = forms.FloatField(label=gettext_lazy("Kerf, mm"), min_value=LEAST_MM, max_value=MOST_MM)
    cutter = forms.FloatField(label=gettext_lazy("Cutter, mm"), min_value=LEAST_MM, max_value=MOST_MM)
    mode = forms.ChoiceField(label=gettext_lazy("Slots"), choices=[(mode, mode) for mode in MODES])


def cut_form(given: dict[str, str]) -> CutForm:
    """The form over what was asked, usual values where nothing was."""
    return CutForm({"kerf": f"{KERF_MM:g}", "cutter": f"{CUTTER_MM:g}", "mode": MODES[0]} | given)


def dxf(request: HttpRequest, number: str) -> HttpResponse:
    """The board for the saw or the machine, as a DXF file."""
    order, form = order_or_404(number), cut_form(request.GET.dict())
    if not form.is_valid():
        return _refused(request, order, form, 400)
    cut = form.cleaned_data
    try:
        drawn = cut_ready(
            order, current(order.spec), kerf_mm=cut["kerf"], cutter_mm=cut["cutter"], mode=cut["mode"]
        )  # fmt: skip
    except Refused as refused:
        return _not_cut(request, order, form, refused.problems)
    return _file(request, write_dxf(drawn), file_name(order, cut["mode"], "dxf"), "image/vnd.dxf")


def template(request: HttpRequest, number: str, paper: str) -> HttpResponse:
    """The same drawing at true size on A4, Letter, or one long page."""
    from specs.drawings.template import true_size_pdf  # the PDF writer is loaded by those who draw

    order = order_or_404(number)
    try:
        derived = current(order.spec)
        content = true_size_pdf(cut_ready(order, derived), paper=paper, block=title_block(order, derived), say=_)
    except Refused as refused:
        return _not_cut(request, order, cut_form({}), refused.problems)
    return _file(request, content, file_name(order, paper, "pdf"), "application/pdf")


def _not_cut(request: HttpRequest, order: Order, form: CutForm, problems: Iterable[Problem]) -> HttpResponse:
    """Problems of what was asked stand at their fields; those of the order's own spec are told above."""
    form.is_valid()
    others = []
    for problem in problems:
        if problem.field in CUT_FIELDS:
            form.add_error(problem.field, problem.message)
        else:
            others.append(problem)
    asked = all(problem.field == "paper" for problem in others)
    return _refused(request, order, form, 400 if asked else 409, others)


def _refused(
    request: HttpRequest, order: Order, form: CutForm, status: int, problems: Iterable[Problem] = ()
) -> HttpResponse:
    context = {"order": order, "form": form, "problems": problems}
    return render(request, "papers/not_drawn.html", context, status=status)


def _file(request: HttpRequest, content: bytes, name: str, kind: str) -> HttpResponse:
    """The file under its content's hash, so that the same file is sent once."""
    etag = quote_etag(hashlib.sha256(content).hexdigest())
    headers = {
        "Content-Disposition": content_disposition_header(True, name),
        "ETag": etag,
        "Cache-Control": "private, no-cache",
        "X-Content-Type-Options": "nosniff",
    }
    return get_conditional_response(request, etag, None, HttpResponse(content, content_type=kind, headers=headers))
