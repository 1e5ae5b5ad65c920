"""Backlogs of the measured family, invented from a seed: the same shop, routes, waits and loads as the files' ones.

Statistics read off the instance files of ``tests/reference``: 14 stations; body, neck and board lines that meet at
the dry fit, then finish with cures of 1, 2, 5 or 14 days; work times within a quarter of their mean; orders past the
first ones released when about 80 working days are left; dates that run ahead of the bottleneck.
"""

from __future__ import annotations

from random import Random
from typing import Any

Document = dict[str, Any]

STATIONS = {
    "stock": 1, "mill": 1, "cnc": 1, "glue": 2, "body": 2, "neck": 2, "board": 2, "fret": 2, "sand": 3, "spray": 1,
    "buff": 2, "wire": 2, "assembly": 4, "setup": 2,
}  # fmt: skip
DAY = 32
AT_BOTTLENECK = 19.3
"""Ticks at the CNC machine between two due dates."""

OPERATIONS = [
    # name, station, mean ticks, one day, chance, after: {name: hours}
    ("pick_body", "stock", 2, False, 1.0, {}),
    ("mill_body", "mill", 4, False, 1.0, {"pick_body": 168}),
    ("glue_body", "glue", 4, True, 1.0, {"mill_body": 0}),
    ("plane_body", "mill", 3, False, 1.0, {"glue_body": 24}),
    ("cnc_body", "cnc", 8, False, 1.0, {"plane_body": 0}),
    ("carve_body", "body", 16, False, 1.0, {"cnc_body": 0}),
    ("chamber_top", "body", 8, False, 0.3, {"cnc_body": 0}),
    ("sand_body", "sand", 12, False, 1.0, {"cnc_body": 0, "carve_body": 0, "chamber_top": 0}),
    ("pick_neck", "stock", 1, False, 1.0, {}),
    ("mill_neck", "mill", 4, False, 1.0, {"pick_neck": 168}),
    ("glue_neck", "glue", 4, True, 1.0, {"mill_neck": 0}),
    ("plane_neck", "mill", 2, False, 1.0, {"glue_neck": 24}),
    ("truss_rod", "cnc", 6, False, 1.0, {"plane_neck": 0}),
    ("pick_board", "stock", 1, False, 1.0, {}),
    ("slot_board", "cnc", 5, False, 1.0, {"pick_board": 72}),
    ("radius", "board", 6, False, 1.0, {"slot_board": 0}),
    ("inlay", "board", 12, False, 0.58, {"radius": 0}),
    ("glue_board", "glue", 3, True, 1.0, {"truss_rod": 0, "radius": 0, "inlay": 0}),
    ("carve_neck", "neck", 20, False, 1.0, {"glue_board": 24}),
    ("bind", "board", 4, False, 0.7, {"carve_neck": 0}),
    ("fret", "fret", 12, False, 1.0, {"carve_neck": 0, "bind": 0}),
    ("sand_neck", "sand", 8, False, 1.0, {"fret": 0}),
    ("dry_fit", "assembly", 8, False, 1.0, {"sand_body": 0, "sand_neck": 0}),
    ("final_sand", "sand", 8, False, 1.0, {"dry_fit": 0}),
    ("seal", "spray", 3.5, True, 1.0, {"final_sand": 0}),
    ("colour", "spray", 6, True, 0.6, {"seal": 48}),
    ("clear", "spray", 7.3, True, 1.0, {"seal": 48, "colour": 24}),
    ("level", "sand", 10, False, 1.0, {"clear": 336}),
    ("buff", "buff", 10, False, 0.77, {"level": 0}),
    ("prewire", "wire", 8, False, 1.0, {}),
    ("wire", "wire", 10, False, 1.0, {"level": 0, "buff": 0, "prewire": 0}),
    ("assemble", "assembly", 12, False, 1.0, {"wire": 0}),
    ("dress", "fret", 10, False, 1.0, {"assemble": 0}),
    ("setup", "setup", 8, False, 1.0, {"dress": 0}),
    ("qc_pack", "setup", 4, False, 1.0, {"setup": 0}),
]
PART_FINISHED = 40
LEAD_DAYS = 80


def backlog(orders: int, seed: int) -> Document:
    """An instance of that many orders, as ``plan-file`` reads it."""
    dice = Random(seed * 100003 + orders)
    days = int(orders * AT_BOTTLENECK / DAY * 1.15) + 250
    tasks: list[Document] = []
    rows = []
    for number in range(orders):
        due = round(12 + max(0, number - 20) * AT_BOTTLENECK / DAY + dice.gauss(4, 4))
        due = max(11, due - (dice.randrange(60) if dice.random() < 0.03 else 0))
        release = max(0, (due - LEAD_DAYS) * DAY + dice.randrange(DAY)) if number > PART_FINISHED else 0
        rows.append({"release": release, "due": due * DAY, "weight": dice.choices([1, 2, 4], [60, 30, 10])[0]})
        _add_route(dice, tasks, number, release)
    return {
        "tick_minutes": 15, "ticks_per_day": DAY, "open": "08:00", "close": "16:00",
        "working_days": _working_days(dice, days),
        "stations": [{"name": name, "places": places} for name, places in STATIONS.items()],
        "absences": _absences(dice, days),
        "orders": rows,
        "tasks": tasks,
    }  # fmt: skip


def _working_days(dice: Random, days: int) -> list[int]:
    return [day for day in range(days * 3) if day % 7 < 5 and dice.random() > 0.035][:days]


def _absences(dice: Random, days: int) -> list[list[int]]:
    several = [number for number, places in enumerate(STATIONS.values()) if places > 1]
    return [list(each) for each in sorted({(dice.choice(several), dice.randrange(days), 1) for _ in range(days // 5)})]


def _add_route(dice: Random, tasks: list[Document], order: int, release: int) -> None:
    """The tasks of one order; early orders are some way on, and a first task of theirs may still have to wait."""
    route = [each for each in OPERATIONS if dice.random() < each[4]]
    done = set()
    if order < PART_FINISHED and dice.random() < 0.6:
        done = {each[0] for each in route[: dice.randrange(1, len(route) - 1)]}
    numbers: dict[str, int] = {}
    for name, station, mean, one_day, _, after in route:
        if name in done:
            continue
        waits = [[numbers[each], _hours(dice, each, hours)] for each, hours in after.items() if each in numbers]
        left = dice.randrange(160) if done and not waits and after else 0
        numbers[name] = len(tasks)
        tasks.append(
            {
                "order": order, "name": name, "station": list(STATIONS).index(station),
                "ticks": max(1, round(mean * dice.lognormvariate(-0.031, 0.25))), "one_day": one_day,
                "earliest": max(release, left), "after": waits,
            }
        )  # fmt: skip


def _hours(dice: Random, before: str, hours: int) -> int:
    """Waits as listed; a quarter of the clear coats cure in five days."""
    return 120 if before == "clear" and dice.random() < 0.23 else hours
