"""What every rule must carry, the order findings are told in, and that ordinary instruments pass."""

import csv
from pathlib import Path

import pytest

from routing.catalogue import OPERATIONS
from specs.derive import derive
from specs.document import BuildSpec
from specs.facts import OrderFacts
from specs.fields import declared
from specs.parsing import parse
from specs.rules import RULES, check
from specs.rules.rule import SEVERITIES, over, under
from specs.starters import USUAL_PAIRS, starter, with_pair
from specs.tables import load_tables
from specs.vocabulary import CONSTRUCTIONS, HANDS
from tests.specs.documents import derived

TRADE_RULES = Path(__file__).parents[2] / "reference" / "trade_rules.csv"
NAMES = {operation.name for operation in OPERATIONS}


def paths(section, before=""):
    """Every dotted path of the spec document, sections included."""
    for item in declared(section):
        yield before + item.key
        if item.is_section:
            yield from paths(item.kind, f"{before}{item.key}.")


def test_slugs_are_unique():
    slugs = [rule.slug for rule in RULES]
    assert sorted(set(slugs)) == sorted(slugs)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.slug)
def test_every_rule_says_why_what_to_do_and_whose_word_it_is(rule):
    assert rule.severity in SEVERITIES
    assert rule.why.endswith(".")
    assert rule.source
    assert rule.field in set(paths(BuildSpec))


@pytest.mark.parametrize("rule", [rule for rule in RULES if rule.severity == "note"], ids=lambda rule: rule.slug)
def test_every_note_prints_on_operations_of_the_catalogue(rule):
    assert rule.operations
    assert set(rule.operations) <= NAMES


def test_every_rule_has_its_pair():
    tables = "".join(path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("test_*_rules.py"))
    assert [rule.slug for rule in RULES if f'"{rule.slug}"' not in tables] == []


def test_only_notes_print_on_tasks():
    assert [rule.slug for rule in RULES if rule.operations and rule.severity != "note"] == []


def test_findings_come_gravest_first_and_then_in_the_order_of_the_rules():
    found = check(derived({"finish.colour": "burst", "hand": "left", "body.wood": "maple"}), OrderFacts(export=True))
    place = {rule.slug: number for number, rule in enumerate(RULES)}
    told = [(SEVERITIES.index(finding.severity), place[finding.rule]) for finding in found]
    assert told == sorted(told)
    assert {severity for severity, _ in told} == {0, 1, 2}


def test_messages_give_the_figure_with_its_unit():
    (finding,) = [f for f in check(derived({"neck.truss_rod": 510}), OrderFacts()) if f.severity == "error"]
    assert (finding.rule, finding.field, finding.figure) == ("rod-short-of-fret-15", "neck.truss_rod", 510)
    assert "510 mm" in finding.message


@pytest.mark.parametrize("pair", USUAL_PAIRS, ids=str)
@pytest.mark.parametrize("hand", HANDS)
@pytest.mark.parametrize("construction", CONSTRUCTIONS)
def test_ordinary_instruments_raise_no_error(pair, hand, construction):
    document = with_pair(
        starter(pair.strings, construction, hand), f"{pair.bass_in} in", f"{pair.treble_in} in", pair.perpendicular_fret
    )
    found = check(derive(parse(document), load_tables()), OrderFacts(export=True))
    assert [finding for finding in found if finding.severity != "note"] == []


def test_the_example_of_the_public_format_raises_no_error():
    assert [finding for finding in check(derived(), OrderFacts()) if finding.severity == "error"] == []


def test_a_limit_fires_only_beyond_a_hundredth():
    assert [over(figure, 42) for figure in (42.0, 42.009, 42.02)] == [False, False, True]
    assert [under(figure, 3.5) for figure in (3.5, 3.491, 3.48)] == [False, False, True]


def test_every_trade_rule_is_implemented_as_gravely():
    """**Source**: ``trade_rules.csv``, the 102 rules of the trade with whose word each is; the first slug is the rule
    itself, others are its further limits."""
    with TRADE_RULES.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    severities = {rule.slug: rule.severity for rule in RULES}
    assert len({row["title"] for row in rows}) == 102
    assert [row["title"] for row in rows if not row["source"]] == []
    assert [slug for row in rows for slug in row["slugs"].split() if slug not in severities] == []
    assert [row["title"] for row in rows if severities[row["slugs"].split()[0]] != row["severity"]] == []


ODD = (
    {"fingerboard.frets": 7, "neck.pocket": 150}, {"fingerboard.frets": 1, "scale.perpendicular_fret": 0},
    {"neck.tuner_layout": "6+0"}, {"neck.tuner_pitch": 15, "neck.tuner_outward": 40},
    {"body.thickness": 25, "body.top": "carved"}, {"fingerboard.frets": 36, "fingerboard.overhang": 0},
    {"body.chambering": "chambered", "fingerboard.frets": 8}, {"neck.truss_rod": 700, "neck.pocket": 50},
    {"scale.bass": "16 in", "scale.treble": "16 in"},
    {"bridge.anchor": 100, "body.chambering": "semi-hollow", "electronics.battery_boxes": 2},
)  # fmt: skip


@pytest.mark.parametrize("changes", ODD, ids=str)
@pytest.mark.parametrize("hand", HANDS)
def test_what_cannot_be_drawn_is_no_traceback(changes, hand):
    found = check(derived(changes | {"hand": hand}), OrderFacts(line="series"))
    assert {finding.severity for finding in found} <= set(SEVERITIES)
