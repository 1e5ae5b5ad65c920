"""One navigation on all pages of the backlog, with the page one is on marked."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db
PAGES = (
    "page", "chart", "load", "plan", "forecast", "trials", "floor", "lead-times", "capacity", "designs", "head-starts",
    "estimates",
)  # fmt: skip
LINK = re.compile(r'<a href="([^"]+)"( aria-current="page")?>')


@pytest.mark.parametrize("name", PAGES)
def test_every_page_leads_to_all_and_says_which_it_is(client_of, manager, name):
    page = client_of(manager).get(reverse(f"backlog:{name}")).content.decode()
    links = LINK.findall(page.split('id="further"')[1].split("</nav>")[0])
    assert sorted(address for address, _here in links) == sorted(reverse(f"backlog:{each}") for each in PAGES)
    assert [address for address, here in links if here] == [reverse(f"backlog:{name}")]
