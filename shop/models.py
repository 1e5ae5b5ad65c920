"""Every model of the workshop's floor, gathered for Django."""

from shop.orders.models import Customer, Initialled, Order, OrderEvent
from shop.papers.models import Sheet
from shop.people.models import Person, Press

__all__ = ["Customer", "Initialled", "Order", "OrderEvent", "Person", "Press", "Sheet"]
