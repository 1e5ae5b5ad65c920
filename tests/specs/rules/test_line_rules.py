"""Rules of series models, of white wood and of a finish without operations. Common practice, no source."""

import pytest

from routing.expand import expand
from specs.document import BuildSpec
from specs.errors import Refused
from specs.facts import OrderFacts
from specs.fields import Choice, declared
from specs.rules.line import series_options
from tests.specs.documents import derived
from tests.specs.rules.pairs import HOME, Pair, assert_pair, names, told

SERIES = OrderFacts(line="series")
LATE = OrderFacts(past_white_wood=True, changed=("strings.gauges", "scale.bass"))
STILL_OPEN = ("strings.gauges", "finish.colour", "hardware.straps", "hardware.knobs", "case.kind", "setup.taste")
OPEN = OrderFacts(past_white_wood=True, changed=STILL_OPEN)
WALNUT = {"body.wood": "walnut"}
WATER = {"finish.kind": "water-borne"}

PAIRS = (
    Pair("series-options-closed", "error", WALNUT, "walnut", WALNUT, SERIES, HOME),
    Pair("white-wood-is-fixed", "error", {}, "scale.bass", {}, LATE, OPEN),
    Pair("water-borne-has-no-operations", "error", WATER, "Water-borne", WATER, HOME, SERIES),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)


@pytest.mark.parametrize("changes", [
    {"strings.gauges": [".125 in", ".100 in", ".080 in", ".060 in", ".040 in"]}, {"setup.taste": "low"},
    {"nut.material": "brass"}, {"hardware.straps": "locks"}, {"finish.kind": "partner polyester"}, {"hand": "left"},
])  # fmt: skip
def test_what_is_done_at_home_stays_open_on_a_series_model(changes):
    assert told("series-options-closed", changes, SERIES) == []


def test_a_finding_points_at_the_option():
    (finding,) = told("series-options-closed", {"fingerboard.frets": 26}, SERIES)
    assert (finding.field, finding.figure) == ("fingerboard.frets", "26")


def test_before_white_wood_everything_may_change():
    assert told("white-wood-is-fixed", {}, OrderFacts(changed=("body.wood",))) == []


def test_the_rule_says_what_planning_refuses():
    with pytest.raises(Refused, match=r"finish\.kind"):
        expand(derived(WATER).spec, HOME)


def test_the_series_list_names_real_options():
    sections = {section.key: declared(section.kind) for section in declared(BuildSpec) if section.is_section}
    for path, allowed in series_options().items():
        section, key = path.split(".")
        (field,) = [field for field in sections[section] if field.key == key]
        if isinstance(field.kind, Choice):
            assert set(allowed) <= set(field.kind.values), path
