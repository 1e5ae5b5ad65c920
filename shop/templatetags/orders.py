"""How the values of a spec document are shown where two of them are compared."""

from django import template

from shop.orders.inputs import shown

register = template.Library()
register.filter("inwords", shown)
