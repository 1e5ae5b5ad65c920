"""Papers on screen: release pressed, progress watched, the file opened, a code scanned."""

from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from routing import jobs
from routing.models import Job, JobState
from shop.orders.services import keep_draft, revise_spec
from shop.papers.codes import read_scan
from shop.papers.jobs import keep
from shop.papers.models import Sheet
from shop.papers.services import release_order

pytestmark = pytest.mark.django_db


@pytest.fixture
def released(ready, manager):
    sheet = release_order(order=ready(4), person=manager, now=timezone.now())
    keep(sheet, b"%PDF-1.7 as released", 12)
    Job.objects.filter(pk=sheet.job_id).update(state=JobState.DONE, progress=100)
    return Sheet.objects.get(pk=sheet.pk)


@pytest.fixture
def press(client_of):
    def pressing(person, name, *args, token=None, **fields):
        return client_of(person).post(reverse(name, args=args), {"press": token or uuid4(), **fields})

    return pressing


def superseded(sheet, manager):
    order = revise_spec(order=sheet.build.order, person=manager, now=timezone.now())
    version, entered = order.spec.entered_version, {**order.spec.entered, "remarks": "paler"}
    order = keep_draft(order=order, entered=entered, version=version, person=manager, now=timezone.now())
    return release_order(order=order, person=manager, now=timezone.now())


def test_release_leads_to_its_sheet_and_a_double_press_to_the_same(ready, manager, press):
    order, token = ready(4), uuid4()
    answers = [press(manager, "papers:release", order.number, token=token) for _ in range(2)]
    sheet = Sheet.objects.get()
    assert [(answer.status_code, answer["Location"]) for answer in answers] == [
        (302, reverse("papers:sheet", args=[sheet.pk]))
    ] * 2


def test_a_release_too_early_shows_what_stands_against_it(placed, manager, press):
    answer = press(manager, "papers:release", placed(4).number)
    assert answer.status_code == 422
    assert "deposit has cleared" in answer.content.decode()


def test_a_release_too_late_shows_the_order_as_it_is(released, manager, press):
    answer = press(manager, "papers:release", released.build.order.number)
    assert answer.status_code == 409
    assert "released already" in answer.content.decode()


def test_the_bench_may_not_release_but_may_print(released, bench, press):
    assert press(bench, "papers:release", released.build.order.number).status_code == 403
    answer = press(bench, "papers:issue", released.build.serial, paper="Letter")
    assert answer["Location"] == reverse("papers:sheet", args=[Sheet.objects.get(paper="Letter").pk])
    assert press(bench, "papers:issue", released.build.serial, paper="A3").status_code == 409


def test_a_sheet_under_way_shows_a_bar_that_htmx_asks_for_again(released, bench, client_of):
    Job.objects.filter(pk=released.job_id).update(state=JobState.RUNNING, progress=40, message="drawing the pages")
    address = reverse("papers:sheet", args=[released.pk])
    page = client_of(bench).get(address).content.decode()
    part = client_of(bench).get(address, headers={"HX-Request": "true"}).content.decode()
    assert '<progress id="done" max="100" value="40">' in page
    assert part.startswith('<div id="progress"')
    assert f'hx-get="{address}"' in part
    assert "Look again" in part


def test_a_finished_sheet_stops_asking_and_offers_its_file(released, bench, client_of):
    page = client_of(bench).get(reverse("papers:sheet", args=[released.pk])).content.decode()
    assert "hx-trigger" not in page
    assert reverse("papers:file", args=[released.pk]) in page
    assert "SUPERSEDED" not in page


def test_the_file_is_the_one_kept(released, bench, client_of):
    answer = client_of(bench).get(reverse("papers:file", args=[released.pk]))
    headers = [answer[name] for name in ("Content-Type", "X-Content-Type-Options", "Content-Disposition")]
    assert b"".join(answer.streaming_content) == b"%PDF-1.7 as released"
    assert headers[:2] == ["application/pdf", "nosniff"]
    assert headers[2] == f'inline; filename="{released.build.serial}-A-traveller-{released.paper}.pdf"'


def test_a_file_not_made_yet_is_not_found(released, bench, client_of):
    Sheet.objects.update(file="")
    assert client_of(bench).get(reverse("papers:file", args=[released.pk])).status_code == 404


def test_a_job_is_cancelled_by_who_asked_and_by_nobody_else_on_the_bench(released, manager, bench, press, client_of):
    asked = jobs.ask("traveller", person=manager, sheet_id=released.pk)
    assert press(bench, "papers:cancel-job", asked.pk).status_code == 403
    assert press(manager, "papers:cancel-job", asked.pk).status_code == 302
    asked.refresh_from_db()
    page = client_of(bench).get(reverse("papers:job", args=[asked.pk])).content.decode()
    assert (asked.state, "Cancelled" in page) == (JobState.CANCELLED, True)


def test_a_scan_leads_the_bench_to_the_work_and_the_desk_to_the_order(released, bench, sales, client_of):
    address = reverse("papers:scan")
    at_bench = client_of(bench).get(address, {"code": released.build.serial, "rev": "A"})
    at_desk = client_of(sales).get(address, {"code": released.build.serial.lower()})
    task = released.build.tasks.filter(state="ready", ready_at__lte=timezone.now()).order_by("position").first()
    assert at_bench["Location"] == reverse("floor:task", args=[task.pk])
    assert at_desk["Location"] == reverse("orders:page", args=[released.build.order.number])


def test_an_old_sheet_says_superseded_and_by_what(released, bench, manager, client_of):
    superseded(released, manager)
    serial = released.build.serial
    whole_code = f"http://anywhere/papers/scan/?code={serial}&rev=A"
    page = client_of(bench).get(reverse("papers:scan"), {"code": whole_code}).content.decode()
    old = client_of(bench).get(reverse("papers:sheet", args=[released.pk])).content.decode()
    assert "This sheet is revision A; the instrument is built to revision B." in page
    assert "SUPERSEDED" in old
    assert client_of(bench).get(reverse("papers:scan"), {"code": serial, "rev": "B"}).status_code == 302


@pytest.mark.parametrize("code", ["", "C99-9999", "x\x00", "http://[bad"])
def test_an_unknown_code_asks_for_another(bench, client_of, code):
    answer = client_of(bench).get(reverse("papers:scan"), {"code": code})
    assert answer.status_code == 404
    assert "Unknown code" in answer.content.decode()


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("c26-0142", ("C26-0142", "")),
        ("http://localhost:8000/papers/scan/?code=C26-0142&rev=B", ("C26-0142", "B")),
        ("https://x/", ("", "")),
    ],
)
def test_what_a_scanner_types_is_read(text, read):
    assert read_scan(text) == read
