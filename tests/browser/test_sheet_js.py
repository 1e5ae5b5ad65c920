"""What a sheet does beyond its forms, in a real Chromium."""

from __future__ import annotations

import pytest

from shop.people.models import Press

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SLOWER_THAN_A_SCANNER_MS = 90
SCAN = """code => {
  const field = document.activeElement;
  for (const key of [...code, "Enter"]) {
    const event = new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true });
    if (field.dispatchEvent(event) && key !== "Enter" && "value" in field) field.value += key;
  }
}"""
"""A scanner's keys, all within one turn of the page, so that a busy machine cannot slow them."""


def test_a_scanner_is_heard_from_any_page(signed_in, bench):
    page = signed_in(bench)
    page.goto("/preferences/")
    with page.expect_request(lambda asked: asked.url.endswith("/papers/scan/?code=C26-0142")) as asked:
        page.evaluate(SCAN, "C26-0142")
    assert asked.value.method == "GET"


def test_a_scan_leaves_the_field_it_fell_into_as_it_was(signed_in, bench):
    page = signed_in(bench)
    page.goto("/orders/")
    page.route("**/papers/scan/**", lambda route: route.fulfill(status=204))
    page.fill("#text", "low tide")
    page.wait_for_timeout(SLOWER_THAN_A_SCANNER_MS)
    page.evaluate(SCAN, "C26-0142")
    assert page.input_value("#text") == "low tide"


def test_what_a_person_types_is_no_scan(signed_in, bench):
    page = signed_in(bench)
    page.goto("/orders/")
    page.focus("#text")
    page.keyboard.type("C26-0142", delay=SLOWER_THAN_A_SCANNER_MS)
    page.keyboard.press("Enter")
    page.wait_for_url("**/orders/?text=C26-0142**")


def test_a_double_press_is_one_press(signed_in, bench):
    page = signed_in(bench)
    page.goto("/preferences/")
    page.locator("main button").dblclick()
    page.wait_for_selector(".messages")
    assert Press.objects.count() == 1


def test_a_lost_connection_is_said(signed_in, bench):
    page = signed_in(bench)
    page.goto("/preferences/")
    assert not page.is_visible("#lost")
    page.context.set_offline(True)
    page.wait_for_selector("#lost", state="visible")
    page.context.set_offline(False)
    page.wait_for_selector("#lost", state="hidden")


@pytest.mark.parametrize("width", [390, 768, 1280])
@pytest.mark.parametrize("address", ["/sign-in/", "/preferences/", "/orders/", "/bench/", "/no/such/sheet/"])
def test_no_page_scrolls_sideways_or_breaks_the_policy(signed_in, bench, address, width):
    page, said = signed_in(bench), []
    page.on("console", lambda message: said.append(message.text))
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(address)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert [text for text in said if "Content Security Policy" in text] == []
