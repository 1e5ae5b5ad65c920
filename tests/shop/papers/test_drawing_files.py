"""Files of a drawing: the DXF read back by its library, pages counted by another reader, refusals at their fields."""

from __future__ import annotations

from io import StringIO

import ezdxf
import pypdfium2
import pytest
from django.urls import reverse
from django.utils import timezone

from shop.orders.services import start_order
from shop.papers.services import release_order
from specs.models import Pattern
from specs.released import current
from specs.starters import starter

pytestmark = pytest.mark.django_db


@pytest.fixture
def draft(manager):
    def make(hand="right", **document):
        whole = starter(5, hand=hand) | document
        pattern = Pattern.objects.create(name=f"Turnstone {hand}", strings=5, line="custom", document=whole)
        return start_order(pattern=pattern, person=manager, now=timezone.now())

    return make


def board(client, order, **cut):
    return client.get(reverse("papers:dxf", args=[order.number]), cut)


def read(response):
    assert response.status_code == 200
    return ezdxf.read(StringIO(response.content.decode())).modelspace()


def texts(space):
    return " | ".join(text.dxf.text for text in space.query("TEXT"))


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_draft_says_so_and_keeps_its_hand(hand, draft, client_of, bench):
    order = draft(hand)
    response = board(client_of(bench), order)
    space = read(response)
    assert f"{hand.upper()}-HANDED" in texts(space)
    assert f"{order.number}, revision A - NOT RELEASED" in texts(space)
    assert f'"{order.number}-A-board-through-not-released.dxf"' in response["Content-Disposition"]
    bass = current(order.spec).strings[0]
    drawn = next(iter(space.query('POINT[layer=="BRIDGE-POINTS"]')))
    assert (drawn.dxf.location.x, drawn.dxf.location.y) == pytest.approx(bass.bridge)
    assert (bass.bridge[1] < 0) == (hand == "right")


def test_it_holds_windows_rows_and_routs(draft, client_of, bench):
    order = draft()
    space = read(board(client_of(bench), order))
    string = current(order.spec).strings[0]
    window = next(iter(space.query('LINE[layer=="SADDLE-WINDOWS"]')))
    start_mm, end_mm = string.saddle_window_mm
    assert window.dxf.start.distance(window.dxf.end) == pytest.approx(end_mm - start_mm)
    assert len(space.query('LINE[layer=="PICKUP-ROWS"]')) == len(space.query('LWPOLYLINE[layer=="PICKUP-ROUTS"]')) == 2


def test_neck_screws_stand_on_their_layer_with_a_warning(draft, client_of, bench):
    space = read(board(client_of(bench), draft()))
    assert len(space.query('CIRCLE[layer=="SCREW-CENTRES"]')) == 5
    assert "never through the board" in texts(space)


@pytest.mark.parametrize(
    ("measured", "holes", "said"),
    [
        ({}, 0, "bridge screws: measure the unit in hand, then they are drawn"),
        ({"front_screw": "17.5 mm"}, 5, "rear bridge screws: measure the unit in hand, then they are drawn"),
        ({"rear_screw": "31 mm"}, 5, "front bridge screws: measure the unit in hand, then they are drawn"),
        ({"front_screw": "17.5 mm", "rear_screw": "31 mm"}, 10, None),
    ],
)
def test_bridge_screws_are_drawn_from_the_measured_unit_and_words_say_what_is_missing(
    measured, holes, said, draft, client_of, bench
):
    bridge = starter(5)["bridge"] | measured
    space = read(board(client_of(bench), draft(bridge=bridge, neck={"construction": "neck-through"})))
    assert len(space.query('CIRCLE[layer=="SCREW-CENTRES"]')) == holes
    assert [text.dxf.text for text in space.query("TEXT") if "bridge screws" in text.dxf.text] == (
        [said] if said else []
    )


def test_a_released_board_is_drawn_from_the_stored_answer(ready, manager, client_of):
    order = ready(4)
    release_order(order=order, person=manager, now=timezone.now())
    order.refresh_from_db()
    response = board(client_of(manager), order, mode="blind")
    stored = order.spec.answer["frets"][12]
    lines = {line.dxf.start.x for line in read(response).query('LINE[layer=="FRET-LINES"]')}
    assert any(x == pytest.approx(stored["bass_edge"][0]) for x in lines)
    assert "NOT RELEASED" not in response.content.decode()
    assert response["Content-Disposition"] == f'attachment; filename="{order.number}-A-board-blind.dxf"'


@pytest.mark.parametrize(
    ("cut", "said"),
    [
        ({"kerf": "wide"}, "Enter a number."),
        ({"kerf": "nan"}, "Enter a number."),
        ({"kerf": "0"}, "greater than or equal to 0.1"),
        ({"kerf": "0.58", "cutter": "0.6"}, "no wider than the kerf"),
        ({"mode": "sideways"}, "not one of the available choices"),
    ],
)
def test_a_bad_cut_is_refused_at_its_field(cut, said, draft, client_of, bench):
    response = board(client_of(bench), draft(), **cut)
    assert response.status_code == 400
    assert said in response.content.decode()


def test_a_draft_that_is_no_instrument_yet_says_why(draft, client_of, bench):
    order = draft()
    order.spec.entered["scale"]["bass"] = "36"
    order.spec.save()
    response = board(client_of(bench), order)
    assert response.status_code == 409
    assert "add a unit" in response.content.decode()


def test_the_same_file_is_sent_once(draft, client_of, bench):
    order, client = draft(), client_of(bench)
    first = board(client, order)
    again = client.get(reverse("papers:dxf", args=[order.number]), headers={"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize(("paper", "width_mm"), [("A4", 297.0), ("Letter", 279.4)])
def test_true_size_sheets_have_the_papers_own_size(paper, width_mm, draft, client_of, bench):
    """Against ISO 216 and ANSI/ASME Y14.1, read back by another library."""
    order = draft()
    response = client_of(bench).get(reverse("papers:template", args=[order.number, paper]))
    first = pypdfium2.PdfDocument(response.content)[0]
    assert first.get_width() * 25.4 / 72 == pytest.approx(width_mm, abs=0.01)
    assert "NOT RELEASED" in first.get_textpage().get_text_bounded()
    assert f'filename="{order.number}-A-board-{paper}-not-released.pdf"' in response["Content-Disposition"]


def test_one_long_page_and_no_other_paper(draft, client_of, bench):
    order, client = draft(), client_of(bench)
    assert len(pypdfium2.PdfDocument(client.get(f"/papers/drawing/{order.number}-roll.pdf").content)) == 1
    assert client.get(f"/papers/drawing/{order.number}-A3.pdf").status_code == 400
