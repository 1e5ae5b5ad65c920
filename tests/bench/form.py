"""The order form under a stopwatch in a real Chromium: from the last keystroke to the answer on the screen."""

from __future__ import annotations

import shutil
from statistics import median
from time import perf_counter

from ready import django_ready, project

project()
django_ready()

from django.utils import timezone  # noqa: E402
from filling import PASSWORD, filled  # noqa: E402
from playwright.sync_api import Page, sync_playwright  # noqa: E402
from serving import p95, served  # noqa: E402

from shop.orders.models import Order, OrderState  # noqa: E402

KEYSTROKES = 20
BAR_MS = 300
WATCH = """() => {
  window.answered = 0;
  document.addEventListener("htmx:afterSettle", () => requestAnimationFrame(() => { window.answered += 1; }));
  document.querySelector("#in-scale-bass").addEventListener("keydown", () => { window.pressed = performance.now(); });
}"""
SHOWN = """before => new Promise(done => {
  const look = () => window.answered > before ? done(performance.now() - window.pressed) : setTimeout(look, 1);
  look();
})"""


def main() -> None:
    filled(timezone.now(), orders=40)
    number = Order.objects.filter(state=OrderState.DRAFT).values_list("number", flat=True).first()
    with served() as port, sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium") or shutil.which("chromium-browser"), args=["--no-sandbox"]
        )
        took = _stopped(_opened(browser.new_page(base_url=f"http://localhost:{port}"), number))
        browser.close()
    print(f"{KEYSTROKES} keystrokes, typing delay included: median {median(took):.0f} ms, p95 {p95(took):.0f} ms")
    print(f"bar: p95 under {BAR_MS} ms")


def _opened(page: Page, number: str) -> Page:
    page.goto("/sign-in/")
    page.fill("#id_username", "sanderling")
    page.fill("#id_password", PASSWORD)
    page.click("main button")
    page.goto(f"/orders/{number}/form/")
    page.evaluate(WATCH)
    return page


def _stopped(page: Page) -> list[float]:
    """Milliseconds of every keystroke: another last digit of the bass scale each time."""
    page.fill("#in-scale-bass", "36.5")
    page.wait_for_timeout(1500)
    took = []
    for at in range(KEYSTROKES):
        page.focus("#in-scale-bass")
        page.keyboard.press("End")
        before = page.evaluate("window.answered")
        page.keyboard.press(str(at % 10) if at % 2 == 0 else "Backspace")
        took.append(page.evaluate(SHOWN, before))
        page.wait_for_timeout(200)
    return took


if __name__ == "__main__":
    began = perf_counter()
    main()
    print(f"({perf_counter() - began:.0f} s in all)")
