"""The task network of one build against an expansion written a second time, as contraction of a graph in networkx."""

from __future__ import annotations

import functools
import itertools
import json

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.catalogue import DATA, operation
from routing.dates import total_touch
from routing.expand import as_json, build_rows, expand
from routing.network import critical_path
from specs import vocabulary as v
from specs.errors import Refused
from specs.facts import OrderFacts

ROWS = json.loads((DATA / "operations.json").read_text(encoding="utf-8"))
CUSTOM = OrderFacts()
SERIES = OrderFacts(line="series")
YES_NO = (False, True)
ALL_FACTS = [SERIES, *(OrderFacts("custom", export, permit) for export in YES_NO for permit in YES_NO)]
SPRAYED_OR_OILED = [kind for kind in v.FINISH_KINDS if kind != "water-borne"]


def true_words(spec, facts):
    """The words true of an order, read a second time from the public format's list of words."""
    neck, body, board, finish = spec.neck, spec.body, spec.fingerboard, spec.finish
    words = {facts.line, neck.construction, f"{'oiled' if neck.finish == 'oil' else 'film'} neck"}
    words |= {"export"} if facts.export else set()
    words |= {"listed wood needing permit"} if facts.permit else set()
    words |= {"headless"} if neck.headstock == "headless" else {"headstock"}
    glued = {"angled": True, "flat": neck.ears or neck.headplate, "headless": False}[neck.headstock]
    words |= {"headstock glue-up"} if glued else set()
    words |= {"stiffening bars"} if neck.stiffening_bars else set()
    words |= {"joined body"} if body.pieces > 1 else set()
    words |= {"solid": set(), "chambered": {"chambered"}, "semi-hollow": {"chambered"}}[body.chambering]
    words |= {"top wood"} if body.top in ("veneer", "flat", "carved") else set()
    words |= {"fretted": {"fretted", "slotted board"}, "lined fretless": {"fretless", "slotted board"}}.get(
        board.frets_kind, {"fretless"}
    )
    words |= {"binding"} if board.binding in ("wood", "plastic") else set()
    words |= {"face inlay"} if board.inlay in ("dots", "offset dots", "blocks", "custom") else set()
    words |= {"lacquered board"} if board.finish == "film" else set()
    words |= {
        "oil": {"oil finish"},
        "two-component": {"film finish", "2K"},
        "partner polyester": {"film finish", "2K"},
        "nitrocellulose": {"film finish", "nitro"},
    }[finish.kind]
    words |= {"gloss"} if finish.sheen in ("gloss", "semi-gloss") else {"satin"}
    words |= {"natural": set(), "dyed": {"dyed"}, "burst": {"dyed", "burst"}}.get(finish.colour, {"colour"})
    if finish.kind != "oil" and finish.pores == "closed" and body.wood in v.OPEN_PORED_WOODS:
        words |= {"open-pored wood"}
    return words


@functools.cache
def contracted(kept):
    """The whole table as a graph; every dropped row joined through and taken out."""
    graph = nx.DiGraph()
    graph.add_nodes_from(row["name"] for row in ROWS)
    graph.add_edges_from((before, row["name"]) for row in ROWS for before in row["after"])
    for name in [row["name"] for row in ROWS if row["name"] not in kept]:
        graph.add_edges_from(itertools.product(list(graph.predecessors(name)), list(graph.successors(name))))
        graph.remove_node(name)
    return {name: set(graph.predecessors(name)) for name in graph}


def expected(spec, facts):
    words = true_words(spec, facts)
    return contracted(frozenset(row["name"] for row in ROWS if words.issuperset(row["when"])))


def found(tasks):
    return {task.operation: set(task.after) for task in tasks}


@pytest.mark.parametrize("construction", v.CONSTRUCTIONS)
@pytest.mark.parametrize("kind", SPRAYED_OR_OILED)
def test_every_combination_equals_the_second_expansion(order, construction, kind):
    lists = (v.SHEENS, v.COLOURS, v.HEADSTOCKS, v.FRETS_KINDS)
    for sheen, colour, headstock, frets_kind in itertools.product(*lists):
        spec = order({
            "neck.construction": construction, "finish.kind": kind, "finish.sheen": sheen, "finish.colour": colour,
            "neck.headstock": headstock, "fingerboard.frets_kind": frets_kind,
        })  # fmt: skip
        for facts in ALL_FACTS:
            assert found(expand(spec, facts)) == expected(spec, facts)


ROUTED = {
    "neck.construction": v.CONSTRUCTIONS, "neck.headstock": v.HEADSTOCKS, "neck.ears": (False, True),
    "neck.headplate": (False, True), "neck.stiffening_bars": (False, True), "neck.finish": v.NECK_FINISHES,
    "body.wood": v.BODY_WOODS, "body.pieces": (1, 2, 3), "body.chambering": v.CHAMBERINGS, "body.top": v.TOPS,
    "finish.kind": SPRAYED_OR_OILED, "finish.sheen": v.SHEENS, "finish.colour": v.COLOURS, "finish.pores": v.PORES,
    "fingerboard.frets_kind": v.FRETS_KINDS, "fingerboard.binding": v.BINDINGS, "fingerboard.inlay": v.INLAYS,
    "fingerboard.finish": v.BOARD_FINISHES, "fingerboard.wire_metal": v.WIRE_METALS,
}  # fmt: skip
CHOICES = st.fixed_dictionaries({path: st.sampled_from(values) for path, values in ROUTED.items()})
FACTS = st.builds(OrderFacts, st.sampled_from(["custom", "series"]), st.booleans(), st.booleans())


@settings(derandomize=True, deadline=None, max_examples=300)
@given(CHOICES, FACTS)
def test_any_order_makes_one_network_from_first_to_last(order, choices, facts):
    spec = order(choices)
    tasks = expand(spec, facts)
    assert found(tasks) == expected(spec, facts)
    for rows in (tasks, build_rows(spec, facts)):
        graph = nx.DiGraph()
        graph.add_nodes_from(task.operation for task in rows)
        graph.add_edges_from((before, task.operation) for task in rows for before in task.after)
        assert len(graph) == len(rows)
        assert nx.is_directed_acyclic_graph(graph)
        assert [sum(degree == 0 for _, degree in degrees) for degrees in (graph.in_degree, graph.out_degree)] == [1, 1]


def test_what_stands_before_keeps_table_order_and_names_each_once(order):
    tasks = {task.operation: task for task in expand(order({"neck.headstock": "flat"}), CUSTOM)}
    assert tasks["Truss rod and bar channels routed"].after == (
        "Scale and layout drawing",
        "Neck blank flattening and rest",
    )


def test_unlined_fretless_board_is_not_slotted_and_lined_is(order):
    def slotted(kind):
        return "Fret slotting" in found(expand(order({"fingerboard.frets_kind": kind}), CUSTOM))

    assert [slotted(kind) for kind in v.FRETS_KINDS] == [True, True, False]


def test_water_borne_is_not_offered_on_a_custom_build(order):
    spec = order({"finish.kind": "water-borne"})
    for rows in (expand, build_rows):
        with pytest.raises(Refused) as caught:
            rows(spec, CUSTOM)
        assert [problem.field for problem in caught.value.problems] == ["finish.kind"]
    assert len(expand(spec, SERIES)) == 15


def test_a_series_build_starts_at_receiving_without_rows_counted_per_batch(order):
    rows = build_rows(order({}), SERIES)
    assert [(task.operation, task.after) for task in rows[:4]] == [
        ("Batch receiving and count", ()),
        ("Batch acclimation in cartons then open", ("Batch receiving and count",)),
        ("Batch sampling inspection", ("Batch acclimation in cartons then open",)),
        ("Series unboxing and first look", ("Batch sampling inspection",)),
    ]
    assert not any(operation(task.operation).per_batch for task in rows)


def test_a_custom_build_stores_every_row(order):
    assert build_rows(order({}), CUSTOM) == expand(order({}), CUSTOM)


def test_stainless_wire_adds_30_to_50_percent_to_fretwork(order):
    """**Source**: common practice; 1.3, 1.4 and 1.5 times the table's hours."""
    plain = {task.operation: task.touch_h for task in expand(order({}), CUSTOM)}
    stainless = {
        task.operation: task.touch_h for task in expand(order({"fingerboard.wire_metal": "stainless"}), CUSTOM)
    }
    assert {name: hours for name, hours in stainless.items() if hours != plain[name]} == {
        "Fretting": (1.95, 3.5, 7.5),
        "Fret end bevel and dressing": (0.65, 1.4, 3.0),
        "First fret level and crown": (0.975, 1.75, 3.0),
        "Final fret level under tension": (1.3, 2.8, 6.0),
    }


def test_printed_as_the_route_command_prints(order):
    assert as_json(expand(order({}), CUSTOM))[1] == {
        "operation": "Specification draft and compatibility check",
        "station": "Sales desk",
        "after": ["Enquiry and consultation"],
        "touch_h": [0.5, 1, 2],
        "wait_h": 0,
    }


SPRAYED = {"finish.kind": "two-component"}
THROUGH = {"neck.construction": "neck-through", "body.top": "flat", "finish.colour": "burst", "finish.sheen": "gloss"}
TRADE_TOTALS = [
    ({"neck.stiffening_bars": False}, (33, 62, 129), 58),
    (SPRAYED | {"body.chambering": "chambered", "body.top": "flat", "finish.colour": "dyed"}, (37, 70, 142), 58),
    (
        SPRAYED | {"body.wood": "ash", "finish.pores": "closed", "finish.colour": "solid", "finish.sheen": "gloss"},
        (40, 75, 151),
        69,
    ),
    (SPRAYED | THROUGH, (41, 76, 153), 69),
    (
        THROUGH | {"finish.kind": "nitrocellulose", "fingerboard.binding": "wood", "fingerboard.inlay": "dots"},
        (43, 81, 166),
        82,
    ),
]
TOTALS_TOLERANCE = 0.04
CLOCK_H_OF_A_TOUCH_H = 168 / 40


@pytest.mark.parametrize(("choices", "touch_h", "days"), TRADE_TOTALS)
def test_totals_of_the_trade_table(order, choices, touch_h, days):
    """Internal consistency with the trade's table of totals, which comes from the same rows: it rounds to whole
    hours and does not name every option, hence the tolerance. Days: build sheet to final inspection, in a week of
    40 working hours."""
    tasks = expand(order(choices), CUSTOM)
    assert total_touch(tasks) == pytest.approx(touch_h, rel=TOTALS_TOLERANCE)
    assert release_to_inspection_days(tasks) == pytest.approx(days, rel=TOTALS_TOLERANCE)


def release_to_inspection_days(tasks):
    begin, end = "Build sheet and traveller issued, serial number given", "Final measured inspection"
    graph = nx.DiGraph((before, task.operation) for task in tasks for before in task.after)
    between = ({begin} | nx.descendants(graph, begin)) & ({end} | nx.ancestors(graph, end))
    rows = [
        (task.operation, CLOCK_H_OF_A_TOUCH_H * task.touch_h.usual + task.wait_h, set(task.after) & between)
        for task in tasks
        if task.operation in between
    ]
    return critical_path(rows).length / 24


def test_series_total_of_the_trade_table(order):
    """Internal consistency again; the table prints 3 / 4.5 / 10 h for one instrument."""
    assert total_touch(build_rows(order({}), SERIES)) == pytest.approx((3, 4.5, 10), abs=0.5)
