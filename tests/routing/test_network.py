"""The critical path against three published networks and networkx' longest path.

**Source** of the networks: ``tests/reference/networks.json``, each with its own citation.
"""

from __future__ import annotations

import json
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.network import Activity, critical_path, critical_path_figure
from specs.errors import Refused

NETWORKS = json.loads((Path(__file__).parents[1] / "reference" / "networks.json").read_text(encoding="utf-8"))
PRINTED_TO_HUNDREDTHS = 0.006
THREE_POINTS_ROUNDED = 1e-5


def given_as(network):
    return [Activity(row["id"], row["duration"], tuple(row["predecessors"])) for row in network["activities"]]


@pytest.mark.parametrize("network", NETWORKS, ids=lambda network: network["name"])
def test_published_network(network):
    path = critical_path(given_as(network))
    assert path.length == pytest.approx(network["length"], abs=THREE_POINTS_ROUNDED)
    assert list(path.chain) == network["chain"]
    printed = {row["id"]: row["published"] for row in network["activities"] if row["published"]}
    computed = {name: path.activities[name]._asdict() | {"slack": path.activities[name].slack} for name in printed}
    for name, times in printed.items():
        assert computed[name] == pytest.approx(times, abs=PRINTED_TO_HUNDREDTHS), name


def test_three_point_means_of_the_published_network_are_its_durations():
    rows = [row for network in NETWORKS for row in network["activities"] if "three_points" in row]
    assert len(rows) == 14
    for row in rows:
        low, usual, high = row["three_points"]
        assert row["duration"] == pytest.approx((low + 4 * usual + high) / 6, abs=THREE_POINTS_ROUNDED)


@st.composite
def networks(draw):
    count = draw(st.integers(1, 12))
    rows = []
    for place in range(count):
        before = draw(st.sets(st.integers(0, place - 1), max_size=3)) if place else set()
        rows.append(Activity(str(place), draw(st.integers(0, 9)), tuple(map(str, sorted(before)))))
    return draw(st.permutations(rows))


@settings(derandomize=True, deadline=None)
@given(networks())
def test_times_are_longest_paths(rows):
    """networkx: a duration lies on every edge out of its activity, so longest paths are earliest starts and tails."""
    duration = {row.id: row.duration for row in rows}
    graph = nx.DiGraph()
    graph.add_nodes_from([*duration, "end"])
    graph.add_weighted_edges_from((before, row.id, duration[before]) for row in rows for before in row.predecessors)
    graph.add_weighted_edges_from((row.id, "end", row.duration) for row in rows)
    path = critical_path(rows)
    assert path.length == nx.dag_longest_path_length(graph)
    for row in rows:
        head = nx.dag_longest_path_length(graph.subgraph(nx.ancestors(graph, row.id) | {row.id}))
        tail = nx.dag_longest_path_length(graph.subgraph(nx.descendants(graph, row.id) | {row.id}))
        times = path.activities[row.id]
        assert times == (head, head + row.duration, path.length - tail, path.length - tail + row.duration)
    assert sum(duration[name] for name in path.chain) == path.length
    assert all(path.activities[name].slack == 0 for name in path.chain)


def test_nothing_to_do_takes_no_time():
    assert critical_path_figure({"activities": []}) == {"length": 0, "activities": {}}


def test_figure_prints_the_four_times():
    rows = [
        {"id": "b", "duration": 2.5, "predecessors": ["a"]},
        {"id": "a", "duration": 1, "predecessors": []},
        {"id": "c", "duration": 1, "predecessors": ["a"]},
    ]
    assert critical_path_figure({"activities": rows}) == {
        "length": 3.5,
        "activities": {
            "b": {"es": 1, "ef": 3.5, "ls": 1, "lf": 3.5},
            "a": {"es": 0, "ef": 1, "ls": 0, "lf": 1},
            "c": {"es": 1, "ef": 2, "ls": 2.5, "lf": 3.5},
        },
    }


def row(name="a", duration=1, predecessors=(), **more):
    return {"id": name, "duration": duration, "predecessors": list(predecessors), **more}


@pytest.mark.parametrize(
    ("args", "fields"),
    [
        ([], ["document"]),
        ({}, ["activities"]),
        ({"activities": {}}, ["activities"]),
        ({"activities": [], "unit": "h"}, ["unit"]),
        ({"activities": [3]}, ["activities.0"]),
        ({"activities": [row(name="")]}, ["activities.0.id"]),
        ({"activities": [row(name=7)]}, ["activities.0.id"]),
        ({"activities": [row(), row()]}, ["activities.1.id"]),
        ({"activities": [row(colour="red")]}, ["activities.0.colour"]),
        ({"activities": [{"id": "a"}]}, ["activities.0.duration", "activities.0.predecessors"]),
        ({"activities": [row(duration=-1)]}, ["activities.0.duration"]),
        ({"activities": [row(duration=float("nan"))]}, ["activities.0.duration"]),
        ({"activities": [row(duration=float("inf"))]}, ["activities.0.duration"]),
        ({"activities": [row(duration=10**400)]}, ["activities.0.duration"]),
        ({"activities": [row(duration="1")]}, ["activities.0.duration"]),
        ({"activities": [row(duration=True)]}, ["activities.0.duration"]),
        ({"activities": [row(), row("b", 1, ["a", "x"])]}, ["activities.1.predecessors.1"]),
        ({"activities": [row(), row("b", 1, ["a", 4])]}, ["activities.1.predecessors.1"]),
        ({"activities": [row(predecessors=["a"])]}, ["activities.0.predecessors.0"]),
        ({"activities": [row("s"), row("a", 1, ["s", "b"]), row("b", 1, ["a"])]}, ["activities.1.predecessors.1"]),
        (
            {"activities": [row(duration=-1), row("b", 1, ["x"])]},
            ["activities.0.duration", "activities.1.predecessors.0"],
        ),
    ],
)  # fmt: skip
def test_bad_arguments_are_refused_by_field(args, fields):
    with pytest.raises(Refused) as caught:
        critical_path_figure(args)
    assert [problem.field for problem in caught.value.problems] == fields


def test_a_circle_is_told_in_its_order():
    rows = [Activity("d", 1, ("c",)), Activity("a", 1, ("c",)), Activity("b", 1, ("a",)), Activity("c", 1, ("b",))]
    with pytest.raises(Refused, match=r"activities\.1\.predecessors\.0: .*a before b before c before a"):
        critical_path(rows)
