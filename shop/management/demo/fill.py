"""The demo's workshop written into an empty database by the same services that people's presses go through."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from routing.building import stations_by_name
from routing.estimating import propose
from routing.models import Holiday, Qualification
from routing.planning.rota import shop_calendar
from shop.backlog.jobs import TIMED
from shop.management.demo.attendance import attend
from shop.management.demo.batches import CONSIGNMENTS, live_batch
from shop.management.demo.changes import changed
from shop.management.demo.designs import blanks_made_ahead, designs_in_hand
from shop.management.demo.history import History
from shop.management.demo.wishes import WISHES, Wish
from shop.management.demo.workshop import BUYERS, CLOSED_DAYS, DESIGNS, HANDS, PASSWORD, Buyer, Design, Hand
from shop.orders.models import Customer
from shop.orders.services import make_customer
from shop.people.models import Person
from specs.models import Pattern
from specs.starters import starter


@transaction.atomic
def fill(now: datetime, say: Callable[[str], None]) -> None:
    """People, patterns, customers, a partner's batches and forty orders, replayed day by day up to ``now``."""
    people = {hand.sign_in: _person(hand) for hand in HANDS}
    _closed_days(now.year)
    attend(people, timezone.localdate(now))
    patterns = {design.name: _pattern(design) for design in DESIGNS}
    customers = [_customer(buyer) for buyer in BUYERS]
    for one in CONSIGNMENTS:
        live_batch(one, patterns[one.design], people, now)
        say(f"a batch of {one.pieces} {one.design}")
    history = History(people, shop_calendar(), now)
    for number, wish in enumerate(_oldest_first(WISHES), start=1):
        history.live(wish, patterns[wish.design], customers[wish.buyer])
        say(f"order {number} of {len(WISHES)}")
    history.set_up_stock()
    designs_in_hand(patterns, people["maren"], now)
    blanks_made_ahead(patterns, people["maren"], history.calendar, now)
    history.open_the_day()
    for operation in TIMED:
        propose(operation, history.calendar, now)


def _oldest_first(wishes: Iterable[Wish]) -> list[Wish]:
    return sorted(wishes, key=lambda wish: -wish.days_ago)


def _person(hand: Hand) -> Person:
    person = Person.objects.create_user(
        hand.sign_in,
        password=PASSWORD,
        first_name=hand.first,
        last_name=hand.last,
        role=hand.role,
        initials=hand.initials,
    )
    stations = stations_by_name()
    Qualification.objects.bulk_create(
        Qualification(person=person, station=stations[name], weekly_hours=hours)
        for name, hours in hand.stations.items()
    )
    return person


def _closed_days(year: int) -> None:
    Holiday.objects.bulk_create(
        Holiday(date=date(year + ahead, month, day), name=name)
        for ahead in (-1, 0, 1)
        for month, day, name in CLOSED_DAYS
    )


def _pattern(design: Design) -> Pattern:
    document = changed(starter(design.strings, design.construction), design.changes)
    return Pattern.objects.create(
        name=design.name, strings=design.strings, line=design.line, about=design.about, document=document
    )


def _customer(buyer: Buyer) -> Customer:
    return make_customer(**vars(buyer))
