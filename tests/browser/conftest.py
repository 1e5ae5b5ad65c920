"""A real Chromium on the pages of a live server."""

from __future__ import annotations

import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, sync_playwright

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.fixture
def page(live_server, monkeypatch) -> Iterator[Page]:
    """An open page; its addresses are relative to the server's."""
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        yield browser.new_page(base_url=live_server.url)
        browser.close()


@pytest.fixture
def signed_in(page, client_of, live_server):
    """The page, signed in as that person."""

    def sign_in(person) -> Page:
        cookie = client_of(person).cookies["sessionid"]
        page.context.add_cookies([{"name": "sessionid", "value": cookie.value, "url": live_server.url}])
        return page

    return sign_in
