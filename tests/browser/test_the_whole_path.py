"""One order from the first call to its case, by the buttons of sales, bench and manager in a real Chromium.

Only the clock is helped: what rests or cures has its moment moved into the past, in the database.
"""

from __future__ import annotations

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.contrib.sessions.models import Session
from django.utils import timezone
from playwright.sync_api import Page, expect

from routing import jobs
from routing.building import stations_by_name
from routing.errors import NotAllowed
from routing.models import Build, EventKind, Job, JobState, Qualification, Task, TaskEvent, TaskState
from routing.services import done_task, start_task
from shop.orders.models import Customer, Order
from shop.papers.models import Sheet
from specs.models import Pattern
from specs.starters import starter

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
TABLET = {"width": 768, "height": 1024}
DESK = {"width": 1280, "height": 900}


@pytest.fixture
def workshop(flushable, sales, bench, manager) -> Pattern:
    """Stations, who may work at them, and one pattern."""
    for station in stations_by_name().values():
        for person in (sales, bench):
            Qualification.objects.create(person=person, station=station, weekly_hours=8)
    return Pattern.objects.create(name="Turnstone", strings=5, line="custom", document=starter(5))


def test_from_the_first_call_to_the_case(workshop, at_the_desk, sales, bench, manager):
    desk = at_the_desk(sales, viewport=DESK)
    new_customer(desk)
    number = start_from_the_pattern(desk)
    desk.select_option("#id_customer", label="Corin Saltby")
    type_a_scale(desk)
    type_in_the_middle(desk)
    choose_what_takes_longer(desk)
    place(desk, number)
    clear_the_deposit(desk, number)
    build = Build.objects.get(serial=number)
    office_tasks(desk, build)
    answer_for_the_cautions(desk, number)
    release(desk, number)
    tablet = at_the_desk(bench, viewport=TABLET)
    first_task_at_a_station(tablet, build)
    what_rests_cannot_be_started(tablet, build)
    the_manager_sees_it(at_the_desk(manager, viewport=DESK), number)
    bring_to(build, "Casing and packing", (manager, sales, bench))
    into_the_case(tablet, desk, build)


# the desk


def new_customer(desk: Page) -> None:
    desk.goto("/orders/customers/")
    desk.fill("[name=name]", "Corin Saltby")
    desk.fill("[name=country]", "pt")
    desk.get_by_role("button", name=re.compile("keep|add|make|write", re.I)).first.click()
    expect(desk.get_by_role("row", name="Corin Saltby")).to_be_visible()
    assert Customer.objects.get().country == "PT"


def start_from_the_pattern(desk: Page) -> str:
    desk.goto("/orders/")
    desk.get_by_role("link", name="New order").first.click()
    desk.locator("button[name=pattern]").click()
    desk.wait_for_url("**/form/")
    return Order.objects.get().number


def type_a_scale(desk: Page) -> None:
    """A wrong scale is told beside its field while typing; put right, drawing and tension follow."""
    drawn, told = desk.inner_html("#answer svg"), desk.inner_text("#answer .told")
    show(desk, "#in-scale-bass")
    desk.fill("#in-scale-bass", "")
    desk.locator("#in-scale-bass").press_sequentially("37 inches long")
    expect(desk.locator("#problem-scale-bass .problem")).to_be_visible()
    expect(desk.locator("#in-scale-bass")).to_be_focused()
    assert desk.input_value("#in-scale-bass") == "37 inches long"
    desk.fill("#in-scale-bass", "")
    desk.locator("#in-scale-bass").press_sequentially("36 in")
    expect(desk.locator("#problem-scale-bass .problem")).to_have_count(0)
    expect(desk.locator("#answer svg").first).to_be_visible()
    assert desk.inner_html("#answer svg") != drawn
    assert desk.inner_text("#answer .told") != told


def type_in_the_middle(desk: Page) -> None:
    """The answer comes while the caret stands in the middle of a word, and leaves it there."""
    field = desk.locator("#in-scale-bass")
    field.evaluate("field => { field.focus(); field.setSelectionRange(2, 2); }")
    with desk.expect_response("**/check/") as answered:
        desk.keyboard.type(".5")
    assert answered.value.ok
    expect(desk.locator(".htmx-request")).to_have_count(0)
    expect(field).to_be_focused()
    assert (field.input_value(), field.evaluate("field => field.selectionStart")) == ("36.5 in", 4)


def choose_what_takes_longer(desk: Page) -> None:
    """Another finish moves the first date; black hardware is worth a caution."""
    before = first_dates(desk)
    chosen = {
        "finish-kind": "nitrocellulose", "finish-sheen": "satin", "finish-colour": "dyed", "finish-shade": "green",
        "body-wood": "light ash", "neck-finish": "satin", "hardware-colour": "black", "hardware-bridge_colour": "black",
    }  # fmt: skip
    for field, value in chosen.items():
        choose(desk, f"#in-{field}", value)
    expect(desk.locator("#follows")).not_to_contain_text(before[0])
    assert first_dates(desk) != before


def first_dates(desk: Page) -> list[str]:
    return re.findall(r"\w{3} \d\d \w{3} \d{4}", desk.inner_text("#follows"))


def place(desk: Page, number: str) -> None:
    expect(desk.locator(".htmx-request")).to_have_count(0)
    desk.get_by_role("button", name="Place order").click()
    desk.wait_for_url(f"**/orders/{number}/")
    assert Order.objects.get(number=number).state == "placed"


def clear_the_deposit(desk: Page, number: str) -> None:
    desk.get_by_role("button", name="Deposit cleared").click()
    expect(desk.locator("#path")).to_contain_text("here now")


def office_tasks(desk: Page, build: Build) -> None:
    for operation in ("Scale and layout drawing", "Specification sign-off by customer"):
        task = build.tasks.get(operation=operation)
        let_the_clock_run(build)
        desk.goto(f"/bench/task/{task.pk}/")
        desk.get_by_role("button", name="Start", exact=True).click()
        desk.get_by_role("button", name="Done", exact=True).click()
        expect(desk.locator("#buttons .signal.go")).to_contain_text("Done")
    let_the_clock_run(build)


def answer_for_the_cautions(desk: Page, number: str) -> None:
    """An open caution stops the release; initials and a reason let it pass."""
    desk.goto(f"/orders/{number}/")
    asked = desk.locator("#initial form").count()
    assert asked
    for left in range(asked, 0, -1):
        desk.fill("#reason-1", "the customer owns such a set")
        desk.get_by_role("button", name="Initial it").first.click()
        expect(desk.locator("#initial form")).to_have_count(left - 1)


def release(desk: Page, number: str) -> None:
    """Frozen, and the traveller is made by a really run job while the page looks on."""
    desk.get_by_role("button", name="Release").click()
    expect(desk.locator("h1")).to_contain_text(f"Traveller {number}")
    job = Job.objects.get(kind="traveller")
    jobs.run(job.pk)
    job.refresh_from_db()
    assert (job.state, job.message) == (JobState.DONE, "")
    link = desk.get_by_role("link", name="Open the sheet")
    expect(link).to_be_visible()
    answer = desk.request.get(link.get_attribute("href"))
    assert (answer.headers["content-type"], answer.body()[:5]) == ("application/pdf", b"%PDF-")
    assert Sheet.objects.get().pages > 1


# the bench and the manager


def first_task_at_a_station(tablet: Page, build: Build) -> None:
    """Start, undo, start; a double click on Done is one Done; Done undone and done again."""
    tablet.goto("/bench/timber-store/")
    expect(tablet.locator("#card h2").first).to_have_text("Wood selection and customer approval")
    assert tablet.evaluate("document.documentElement.scrollWidth <= innerWidth")
    task = build.tasks.get(operation="Wood selection and customer approval")
    press(tablet, "Start", task, TaskState.ON_BENCH)
    press(tablet, "Undo (for a minute)", task, TaskState.READY)
    press(tablet, "Start", task, TaskState.ON_BENCH)
    tablet.get_by_role("button", name="Done", exact=True).dblclick()
    wait_until(tablet, task, TaskState.DONE)
    assert events(task) == 1
    press(tablet, "Undo (for a minute)", task, TaskState.ON_BENCH)
    press(tablet, "Done", task, TaskState.DONE)
    assert events(task) == 2


def what_rests_cannot_be_started(tablet: Page, build: Build) -> None:
    """No button offers it, and a press sent all the same is refused with the fresh card."""
    task = build.tasks.get(operation="Timber acclimation in shop")
    tablet.goto(f"/bench/task/{task.pk}/")
    expect(tablet.locator("#buttons")).to_contain_text("Waiting")
    expect(tablet.get_by_role("button", name="Start", exact=True)).to_have_count(0)
    token = tablet.locator("[name=csrfmiddlewaretoken]").first.input_value()
    sent = {"csrfmiddlewaretoken": token, "press": str(uuid4())}
    refused = tablet.request.post(f"/bench/task/{task.pk}/start/", form=sent)
    assert refused.status == 409
    assert "Nothing was changed" in refused.text()
    assert build.tasks.get(pk=task.pk).state == TaskState.READY


def the_manager_sees_it(office: Page, number: str) -> None:
    office.goto("/backlog/")
    expect(office.locator("main")).to_contain_text(number)
    office.get_by_role("link", name=re.compile(number)).first.click()
    expect(office.locator("h1")).to_have_text(number)


def into_the_case(tablet: Page, desk: Page, build: Build) -> None:
    task = build.tasks.get(operation="Casing and packing")
    tablet.goto("/bench/packing/")
    expect(tablet.locator("#card h2").first).to_have_text("Casing and packing")
    press(tablet, "Start", task, TaskState.ON_BENCH)
    press(tablet, "Done", task, TaskState.DONE)
    desk.goto(f"/orders/{build.serial}/")
    expect(desk.locator("#path [aria-current]")).to_contain_text("Packing")
    assert set(build.tasks.exclude(state=TaskState.DONE).values_list("operation", flat=True)) == {
        "Despatch and delivery", "Follow-up after delivery",
    }  # fmt: skip


# other ways to the same form


def test_the_form_works_without_javascript(workshop, at_the_desk, sales):
    Customer.objects.create(name="Corin Saltby", country="PT")
    desk = at_the_desk(sales, java_script_enabled=False)
    number = start_from_the_pattern(desk)
    desk.select_option("#id_customer", label="Corin Saltby")
    desk.fill("#in-scale-bass", "37 inches long")
    desk.get_by_role("button", name="Check").last.click()
    expect(desk.locator("#problem-scale-bass .problem")).to_be_visible()
    assert desk.input_value("#in-scale-bass") == "37 inches long"
    desk.fill("#in-scale-bass", "36 in")
    desk.get_by_role("button", name="Place order").click()
    expect(desk.locator("#buttons")).to_contain_text("Deposit cleared")
    order = Order.objects.get(number=number)
    assert (order.state, order.spec.entered["scale"]["bass"]) == ("placed", "36 in")


def test_an_expired_session_leads_to_the_sign_in_page(workshop, at_the_desk, sales):
    desk = at_the_desk(sales)
    start_from_the_pattern(desk)
    settled(desk)
    Session.objects.all().delete()
    desk.locator("#in-scale-bass").press_sequentially("1")
    desk.wait_for_url("**/sign-in/**")
    expect(desk.locator("#id_username")).to_have_count(1)
    expect(desk.locator("#answer")).to_have_count(0)


def test_a_second_window_with_a_stale_draft_is_told(workshop, at_the_desk, sales):
    one = at_the_desk(sales)
    number = start_from_the_pattern(one)
    settled(one)
    other = one.context.new_page()
    other.goto(f"/orders/{number}/form/")
    kept_by(one, "36 in")
    other.fill("#in-scale-bass", "35 in")
    expect(other.locator("#version [role=alert]")).to_contain_text("another window")
    assert other.input_value("#in-scale-bass") == "35 in"
    assert Order.objects.get().spec.entered["scale"]["bass"] == "36 in"


# by hand


def show(page: Page, field: str) -> None:
    """Open whatever folded section the field stands in."""
    page.locator(field).evaluate(
        "field => { for (let at = field; at; at = at.parentElement) if (at.tagName === 'DETAILS') at.open = true; }"
    )


def choose(page: Page, field: str, value: str) -> None:
    show(page, field)
    with page.expect_response("**/check/"):
        page.select_option(field, value)


def settled(page: Page) -> None:
    """Nothing is on its way any more."""
    page.wait_for_load_state("networkidle")
    expect(page.locator(".htmx-request")).to_have_count(0)


def kept_by(page: Page, scale: str) -> None:
    with page.expect_response("**/check/"):
        page.fill("#in-scale-bass", scale)
    settled(page)


def press(page: Page, button: str, task: Task, state: str) -> None:
    page.get_by_role("button", name=button, exact=True).first.click()
    wait_until(page, task, state)


def wait_until(page: Page, task: Task, state: str) -> None:
    """The press has been answered and counted."""
    page.wait_for_load_state("networkidle")
    for _ in range(50):
        if Task.objects.get(pk=task.pk).state == state:
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"{task} is {Task.objects.get(pk=task.pk).state}, not {state}")


def events(task: Task) -> int:
    return TaskEvent.objects.filter(task=task, kind=EventKind.DONE).count()


def let_the_clock_run(build: Build) -> None:
    """Every cure and rest of the build is out."""
    build.tasks.filter(state=TaskState.DONE).update(done_at=timezone.now() - timedelta(days=60))
    build.tasks.filter(state=TaskState.READY).update(ready_at=timezone.now() - timedelta(days=1))


def bring_to(build: Build, operation: str, people: tuple) -> None:
    """Do everything before that operation, each task by the first who may."""
    last = build.tasks.get(operation=operation).position
    for task in build.tasks.filter(position__lt=last).exclude(state=TaskState.DONE).order_by("position"):
        let_the_clock_run(build)
        done_by_whoever_may(task, people)
    let_the_clock_run(build)


def done_by_whoever_may(task: Task, people: tuple) -> None:
    for person in people:
        try:
            start_task(task_id=task.pk, person=person, now=timezone.now())
        except NotAllowed:
            continue
        done_task(task_id=task.pk, person=person, now=timezone.now())
        return
    raise AssertionError(f"nobody may do {task}")
