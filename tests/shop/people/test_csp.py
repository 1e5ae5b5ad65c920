"""Only our own files style and script a page, and no template tries otherwise."""

from __future__ import annotations

import re

import pytest
from django.conf import settings
from django.urls import reverse

TEMPLATES = sorted((settings.BASE_DIR / "templates").rglob("*.html"))
INLINE = re.compile(r"""\sstyle=|<style|<script(?![^>]*\ssrc=)|\son[a-z]+=|javascript:|hx-on""", re.IGNORECASE)


@pytest.mark.parametrize("address", [reverse("people:sign-in"), "/no/such/sheet/"])
def test_every_answer_carries_the_policy(client_of, address, db):
    policy = dict(part.strip().split(" ", 1) for part in client_of().get(address)["Content-Security-Policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == "'self'"


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_no_template_styles_or_scripts_inline(template):
    assert INLINE.findall(template.read_text(encoding="utf-8")) == []


def test_pattern_finds_what_the_policy_forbids():
    for inline in ('<p style="x">', "<style>", "<script>", '<a onclick="x">', '<a href="javascript:x">'):
        assert INLINE.search(inline)
