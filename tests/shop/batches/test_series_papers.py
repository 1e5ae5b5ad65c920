"""What is printed of the series: the batch's sheet for the partner and an instrument's traveller, read back."""

from __future__ import annotations

import logging

import pypdfium2 as pdfium
import pytest
import zxingcpp

from routing import jobs
from routing.models import Build, Kind
from shop.papers.services import issue_sheet
from tests.shop.batches.made import NOW, counted

pytestmark = [pytest.mark.django_db, pytest.mark.xdist_group("traveller")]
PAGE_MM = {"A4": (210, 297), "Letter": (215.9, 279.4)}
"""**Source**: ISO 216 and ANSI Y14.1."""


def printed(build, paper, person, caplog, spec=None) -> pdfium.PdfDocument:
    """The sheet as a worker makes it, without a word in the log."""
    sheet = issue_sheet(build=build, paper=paper, person=person, now=NOW, spec=spec)
    with caplog.at_level(logging.WARNING):
        jobs.run(sheet.job_id)
    sheet.refresh_from_db()
    assert [record.message for record in caplog.records if record.name.startswith("weasyprint")] == []
    with sheet.file.open("rb") as kept:
        return pdfium.PdfDocument(kept.read())


def text_of(document) -> str:
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in document)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_batch_sheet_orders_from_the_partner(batch, manager, caplog, paper):
    document = printed(batch.builds.get(kind=Kind.BATCH), paper, manager, caplog)
    text = text_of(document)
    wanted = (
        "B26-0001", "Batch sheet", "What is ordered", "Farshore Works", "3 pieces, of them 1 LEFT-HANDED",
        "RIGHT-HANDED S26-0002, S26-0003", "LEFT-HANDED S26-0001", "draws the RIGHT-HANDED pieces",
        "Partner pre-shipment report", "Transit and customs entry", "Batch disposition", "Fret table",
    )  # fmt: skip
    assert [word for word in wanted if word not in text] == []
    assert "Series unboxing and first look" not in text
    width, height = document[0].get_size()
    assert (width / 72 * 25.4, height / 72 * 25.4) == pytest.approx(PAGE_MM[paper], abs=0.1)


def test_the_traveller_of_an_instrument_starts_at_receiving(batch, manager, caplog):
    counted(batch, manager)
    document = printed(Build.objects.get(serial="S26-0001"), "A4", manager, caplog)
    text = text_of(document)
    wanted = (
        "S26-0001", "LEFT-HANDED", "Batch B26-0001 of Farshore Works", "Batch receiving and count",
        "Batch acclimation in cartons then open", "Series stringing and setup", "Series stock or despatch",
    )  # fmt: skip
    assert [word for word in wanted if word not in text] == []
    absent = ("Partner pre-shipment report", "in the neck pocket", "body boards", "Fretting.")
    assert [word for word in absent if word in text] == []
    code = zxingcpp.read_barcodes(document[0].render(scale=4).to_pil())
    assert [one.text.rpartition("?")[2] for one in code] == ["code=S26-0001&rev=A"]


def test_the_left_handed_pieces_have_a_sheet_of_their_own(batch, manager, caplog):
    text = text_of(printed(batch.builds.get(kind=Kind.BATCH), "A4", manager, caplog, batch.left_spec))
    assert "draws the LEFT-HANDED pieces" in text
    assert "LEFT-HANDED: face up, nut at your left hand, the BASS side is the far edge" in text
