"""How the values of a spec document are shown where two of them are compared, and where a finding is said."""

from django import template
from django.utils.translation import gettext

from shop.orders.entries import labelled, worded
from shop.orders.inputs import Asked, slot, slug

register = template.Library()


@register.filter
def at(value: object, path: str) -> str:
    """A value of a completed document as the field at that path would show it."""
    return worded(path, value)


@register.filter
def label(path: str) -> str:
    """What the field at that path is called."""
    return gettext(labelled(path))


@register.filter
def beside(path: str, asked: Asked) -> str:
    """The address within the form of what is said about that path."""
    return f"#problem-{slug(slot(path, asked.fields))}"
