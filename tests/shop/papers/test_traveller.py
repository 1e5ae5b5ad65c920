"""The traveller as printed: what a luthier reads on it, and that a strange reader of codes and pages agrees.

Page sizes: ISO 216 (A4) and ANSI Y14.1 (letter). The code is read back by an independent reader of ISO/IEC 18004.
"""

from __future__ import annotations

import hashlib
import logging
import re
from dataclasses import dataclass
from math import sqrt
from pathlib import Path
from types import SimpleNamespace

import pypdfium2 as pdfium
import pytest
import zxingcpp
from django.conf import settings
from django.template.loader import render_to_string
from django.utils import timezone
from weasyprint.urls import FatalURLFetchingError

from routing.models import Task
from shop.orders.services import keep_draft, revise_spec
from shop.papers.jobs import file_name, keep, render_traveller
from shop.papers.models import Sheet
from shop.papers.pdf import render
from shop.papers.services import release_order
from shop.papers.steps import steps
from shop.papers.traveller import cautions, traveller
from specs.derived import Derived
from specs.materials import materials
from specs.released import instrument, read_back

pytestmark = [pytest.mark.django_db, pytest.mark.xdist_group("traveller")]

MM = 72 / 25.4
SMALLEST_PT = 8
DIGIT_HEIGHT = 0.7
"""Height of a digit over the type size; DejaVu Sans has 0.73 (measured)."""

KINDS = (
    (4, "bolt-on", "right", "A4"),
    (5, "bolt-on", "right", "A4"),
    (5, "neck-through", "left", "Letter"),
    (6, "neck-through", "left", "A4"),
)
RIGHT_FIVE, LEFT_FIVE = KINDS[1], KINDS[2]


@dataclass(frozen=True)
class Printed:
    """One printed traveller and what it was printed from."""

    content: bytes
    pages: list[str]
    derived: Derived
    serial: str
    tasks: list[str]
    cautions: tuple[tuple[str, str], ...]
    log: str

    @property
    def document(self) -> pdfium.PdfDocument:
        return pdfium.PdfDocument(self.content)

    def part(self, name: str) -> str:
        return " ".join(page for page in self.pages if f"-HANDED {name}" in page)


PRINTED: dict[tuple[int, str, str, str], Printed] = {}


@pytest.fixture
def printed(ready, made, manager, settings, caplog):
    """A printed traveller of that kind, made once in a run of the tests."""

    def get(kind):
        if kind not in PRINTED:
            strings, construction, hand, settings.PAPER = kind
            with caplog.at_level(logging.WARNING):
                sheet = made(
                    release_order(order=ready(strings, construction, hand), person=manager, now=timezone.now())
                )
            PRINTED[kind] = _kept(sheet, caplog.text)
        return PRINTED[kind]

    return get


def _kept(sheet, log):
    content = Path(sheet.file.path).read_bytes()
    assert (hashlib.sha256(content).hexdigest(), len(pdfium.PdfDocument(content))) == (sheet.digest, sheet.pages)
    pages = [" ".join(page.get_textpage().get_text_range().split()) for page in pdfium.PdfDocument(content)]
    tasks = [task.operation for task in sheet.build.tasks.order_by("position")]
    return Printed(content, pages, instrument(sheet.spec), sheet.build.serial, tasks, cautions(sheet.build), log)


@pytest.mark.parametrize("kind", KINDS, ids=str)
def test_every_page_is_complete_in_itself(printed, kind):
    sheets, total = printed(kind), len(printed(kind).pages)
    for number, page in enumerate(sheets.pages, start=1):
        for words in (sheets.serial, "Rev. A", f"{kind[2].upper()}-HANDED", "Legal owner " + settings.OWNER):
            assert words in page
        assert re.search(rf"Sheet {number} of {total}\b", page)
    assert (sheets.log, 8 <= total <= 16) == ("", True)


@pytest.mark.parametrize(("kind", "size"), [(RIGHT_FIVE, (210 * MM, 297 * MM)), (LEFT_FIVE, (8.5 * 72, 11 * 72))])
def test_paper_sizes(printed, kind, size):
    for page in printed(kind).document:
        assert page.get_size() == pytest.approx(size, abs=0.1)


@pytest.mark.parametrize("kind", [RIGHT_FIVE, LEFT_FIVE], ids=str)
def test_the_code_on_every_page_reads_back(printed, kind):
    sheets = printed(kind)
    expected = f"{settings.ORIGIN}/papers/scan/?code={sheets.serial}&rev=A"
    for page in sheets.document:
        picture = page.render(scale=2, grayscale=True).to_numpy()
        assert [code.text for code in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)] == [
            expected
        ]


@pytest.mark.parametrize("kind", [RIGHT_FIVE, LEFT_FIVE], ids=str)
def test_the_fret_tables_carry_the_computed_numbers(printed, kind):
    sheets = printed(kind)
    tables = sheets.part("Fret table")
    for datum in (sheets.derived.frets[7], SimpleNamespace(centre_mm=0.0)):
        for fret in sheets.derived.frets:
            assert _row(fret, datum.centre_mm, sheets.derived) in tables


def _row(fret, datum_mm, derived):
    nut, last = derived.frets[0], derived.frets[-1]
    edges = []
    for side in ("bass_edge", "treble_edge"):
        (x_0, y_0), (x_1, y_1) = getattr(nut, side), getattr(last, side)
        stretch = sqrt(1 + ((y_1 - y_0) / (x_1 - x_0)) ** 2)
        edges.append((getattr(fret, side)[0] - datum_mm) * stretch)
    lengths = (fret.blank_x[0] - datum_mm, edges[0], fret.centre_mm - datum_mm, edges[1], fret.blank_x[1] - datum_mm)
    toward = "square" if abs(fret.angle_deg) < 0.005 else "bridge" if fret.angle_deg > 0 else "nut"
    wire = f"{fret.wire_mm:.1f}" if fret.fret else "–"
    figures = " ".join(f"{length:+.2f}" for length in lengths)
    angle = f"{abs(fret.angle_deg):.2f} {toward}"
    return f"{fret.fret or 'nut'} {figures} {angle} {fret.slot_mm:.1f} {wire} {fret.bend_radius_mm:.0f}"


@pytest.mark.parametrize("kind", [RIGHT_FIVE, LEFT_FIVE], ids=str)
def test_the_centre_line_follows_the_rule_of_the_twelfth_root(printed, kind):
    """Source: equal temperament, 2^(-n/12); the centre lies midway between the outer strings."""
    strings = printed(kind).derived.spec
    rise = (strings.bridge.spread_mm - strings.nut.spread_mm) / 2
    run = (sqrt(strings.scale.bass_mm**2 - rise**2) + sqrt(strings.scale.treble_mm**2 - rise**2)) / 2
    table = printed(kind).part("Fret table")
    for fret in (1, 12, 24):
        centre_mm = run * (2 ** (-7 / 12) - 2 ** (-fret / 12))
        assert re.search(rf" {fret} \S+ \S+ {re.escape(f'{centre_mm:+.2f}')} ", table)


def test_left_is_the_mirror_of_right_in_words_and_picture(printed):
    def bass_above_treble(kind):
        page = printed(kind).document[0].get_textpage()
        (bass,), (treble,) = (_boxes(page, words) for words in ("bass side", "treble side"))
        return bass[1] > treble[1]

    assert (bass_above_treble(RIGHT_FIVE), bass_above_treble(LEFT_FIVE)) == (False, True)
    assert "the BASS side is nearest to you" in printed(RIGHT_FIVE).part("Fret table")
    assert "the BASS side is the far edge" in printed(LEFT_FIVE).part("Fret table")


def _boxes(page, words):
    found = page.search(words)
    boxes = []
    while (hit := found.get_next()) is not None:
        boxes.append(page.get_charbox(hit[0]))
    return boxes


@pytest.mark.parametrize("kind", [RIGHT_FIVE, LEFT_FIVE], ids=str)
def test_datum_wire_and_slots_are_said(printed, kind):
    sheets = printed(kind)
    for words in (
        "Datum: line of fret 7.", "Datum: centre of the nut.", "Never step from fret to fret.",
        "50 mm either side of the centre line", f"{sheets.derived.board.wire_total_mm:.0f} mm in all",
    ):  # fmt: skip
        assert words in sheets.part("Fret table")


def test_every_task_material_and_caution_is_printed(printed):
    sheets = printed(RIGHT_FIVE)
    tasks, picks, first = (sheets.part(name) for name in ("Task list", "Pick list", "Traveller"))
    assert [name for name in sheets.tasks if f"{name}." not in tasks] == []
    items = [line.item[0].upper() + line.item[1:] for line in materials(sheets.derived)]
    assert [item for item in items if item not in picks] == []
    assert [line for _stations, line in sheets.cautions if line not in first] == []
    assert "Local rules, the maker's safety data sheet and licensed practice come first." in first
    assert "HOLD signed by: second person. At stake: a mirrored or wrong fan." in tasks
    assert "Then rest 72 h (3 days)." in tasks


def test_cautions_name_only_the_stations_of_the_build(ready):
    build = ready().build
    named = " ".join(stations for stations, _line in cautions(build))
    assert ("Mill" in named, "Spray booth" in named, "Buff room" in named) == (True, False, False)


@pytest.mark.parametrize("kind", [RIGHT_FIVE, LEFT_FIVE], ids=str)
def test_nothing_leaves_the_page_meets_the_title_block_or_is_tiny(printed, kind):
    for page in printed(kind).document:
        text, (width, height) = page.get_textpage(), page.get_size()
        block_top = _boxes(text, "Legal owner")[0][3]
        for index in range(text.count_chars()):
            letter = text.get_text_range(index, 1)
            if letter.isspace() or not letter:
                continue
            left, bottom, right, top = text.get_charbox(index)
            assert 9 * MM < left < right < width - 9 * MM
            assert 8 * MM < bottom < top < height - 8 * MM
            assert not bottom < block_top + 1 < top
            if letter in "023456789":
                assert max(top - bottom, right - left) > SMALLEST_PT * DIGIT_HEIGHT


def test_what_stands_in_the_title_block_is_the_same_on_every_page(printed):
    def block(page):
        text = page.get_textpage()
        top = _boxes(text, "Legal owner")[0][3] + 1
        return re.sub(r"\d+ of", "n of", " ".join(text.get_text_bounded(top=top).split()))

    (words,) = {block(page) for page in printed(RIGHT_FIVE).document}
    names = ("Legal owner", "Title", "Document type", "Identification", "Rev.", "Creator", "Approved by", "Status",
             "Date of issue", "Sheet")  # fmt: skip
    assert [name for name in names if name not in words] == []


def test_a_sheet_is_made_once_and_then_kept(ready, made, manager):
    sheet = release_order(order=ready(4), person=manager, now=timezone.now())
    keep(sheet, b"as released", 1)
    kept, calls = Path(Sheet.objects.get(pk=sheet.pk).file.path), []
    result = render_traveller(SimpleNamespace(set=calls.append), sheet_id=sheet.pk)
    assert (kept.read_bytes(), calls, result["pages"]) == (b"as released", [], 1)
    assert file_name(sheet) == f"{sheet.build.serial}-A-traveller-{settings.PAPER}.pdf"


def test_stored_numbers_are_printed_even_when_the_program_would_now_compute_others(ready, manager):
    spec = release_order(order=ready(4), person=manager, now=timezone.now()).spec
    spec.answer["frets"][5]["centre_mm"] = 123.456
    spec.answer["strings"][0]["unit_mass_kg_m"] *= 2
    spec.document["strings"]["gauges"][0] = 5.9
    made = read_back(spec.document, spec.answer)
    assert made.frets[5].centre_mm == 123.456
    assert made.strings[0].unit_mass_kg_m == spec.answer["strings"][0]["unit_mass_kg_m"]


def test_a_new_revision_says_what_changed(ready, manager):
    order = ready(4)
    release_order(order=order, person=manager, now=timezone.now())
    order = revise_spec(order=order, person=manager, now=timezone.now())
    entered = {**order.spec.entered, "remarks": "a paler board"}
    order = keep_draft(
        order=order, entered=entered, version=order.spec.entered_version, person=manager, now=timezone.now()
    )
    html = render_to_string(
        "papers/traveller.html", traveller(release_order(order=order, person=manager, now=timezone.now()))
    )
    assert "Changed since revision A; hand that sheet in" in html
    assert '<th scope="row">Remarks</th><td>– → <b>a paler board</b></td>' in html


def test_work_done_before_the_sheet_carries_its_initials_and_date(ready, manager):
    sheet = release_order(order=ready(4), person=manager, now=timezone.now())
    lines = steps(sheet.build, [], sheet.issued_at)
    done = [line for line in lines if line.done_at]
    assert [line.operation for line in done][-1] == "Build sheet and traveller issued, serial number given"
    assert {line.initials for line in done} == {"AV"}
    assert len(lines) == Task.objects.filter(build=sheet.build).count()


def test_the_same_page_gives_the_same_bytes():
    page = '<html lang="en"><link rel="stylesheet" href="static:paper/traveller.css"><p>12.95</p></html>'
    assert render(page, "one").content == render(page, "one").content


@pytest.mark.parametrize(
    "address", ["file:///etc/hostname", "http://127.0.0.1:1/a.png", "static:../settings.py", "data:image/png;base64,AA"]
)
def test_a_sheet_fetches_nothing_but_our_own_files(address):
    with pytest.raises(FatalURLFetchingError):
        render(f'<img src="{address}">', "x")
