"""A real Chromium on the pages of a live server; what a page complains of fails the test."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PATIENCE_MS = 10_000


@pytest.fixture
def browser(monkeypatch) -> Iterator[Browser]:
    """A Chromium from the system's packages; where there is none the test fails."""
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    assert CHROMIUM, "no Chromium on this machine: the package is called chromium"
    with sync_playwright() as playwright:
        yield playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])


@pytest.fixture
def page(browser, live_server) -> Page:
    """An open page; its addresses are relative to the server's."""
    return browser.new_page(base_url=live_server.url)


@pytest.fixture
def signed_in(page, client_of, live_server):
    """The page, signed in as that person."""

    def sign_in(person) -> Page:
        cookie = client_of(person).cookies["sessionid"]
        page.context.add_cookies([{"name": "sessionid", "value": cookie.value, "url": live_server.url}])
        return page

    return sign_in


@pytest.fixture
def at_the_desk(browser, live_server) -> Iterator[Callable[..., Page]]:
    """Open a window of its own and sign in by the form; at the end no window may have complained of anything."""
    complaints: list[str] = []

    def open_window(person, **options) -> Page:
        window = browser.new_context(base_url=live_server.url, **options).new_page()
        window.set_default_timeout(PATIENCE_MS)
        listen(window, complaints)
        window.goto("/sign-in/")
        window.fill("#id_username", person.username)
        window.fill("#id_password", "low tide 4")
        window.click("main button")
        return window

    yield open_window
    assert complaints == []


def listen(window: Page, complaints: list[str]) -> None:
    """Note script errors, console errors and broken policies of a window."""
    window.on("pageerror", lambda error: complaints.append(str(error)))
    window.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
