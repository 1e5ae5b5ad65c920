"""Rules of circuit and pickups. Common practice, no source."""

import pytest

from tests.specs.rules.pairs import Pair, assert_pair, names, told

ACTIVE = {"electronics.circuit": "active two-band", "electronics.supply": "9 V", "electronics.jack": "stereo",
          "electronics.battery_boxes": 1}  # fmt: skip
BLEND = {"electronics.blend": True}


def pickups(**changes):
    plain = {"rows": [{"strings": [1, 2, 3, 4, 5]}], "angle": "aligned"}
    return {"pickups": [{"name": "neck", "fraction": 0.15, **plain}, {"name": "bridge", "fraction": 0.06, **plain,
                                                                      **changes}]}  # fmt: skip


PAIRS = (
    Pair("two-batteries-two-boxes", "error", {**ACTIVE, "electronics.supply": "18 V"}, 1,
         {**ACTIVE, "electronics.supply": "18 V", "electronics.battery_boxes": 2}),
    Pair("active-needs-stereo-jack", "error", {**ACTIVE, "electronics.jack": "mono"}, "mono", ACTIVE),
    Pair("active-needs-battery-access", "error", {**ACTIVE, "electronics.battery_boxes": 0}, 0, ACTIVE),
    Pair("bypass-needs-passive-tone", "warning", {"electronics.bypass": True, "electronics.passive_tone": False}, None,
         {"electronics.bypass": True}),
    Pair("controls-crowd-cavity", "error", {"electronics.shafts": 6}, "6 shafts and 0 switches",
         {"electronics.shafts": 5}),
    Pair("active-pickups-low-pots", "error", {**BLEND, **pickups(active=True)}, 500,
         {**BLEND, **pickups(active=True), "electronics.pot_kohm": 50}),
    Pair("unequal-pickups-on-blend", "warning", {**BLEND, **pickups(kind="single coil")}, "dual coil and single coil",
         {**BLEND, **pickups(kind="large dual coil")}),
    Pair("shell-narrower-than-strings", "error", pickups(shell="4-string soapbar"), "4-string soapbar",
         pickups(shell="5-string soapbar")),
    Pair("split-coils-on-a-fan", "warning", pickups(kind="split coil"), "split coil",
         {**pickups(kind="split coil"), "scale.bass": "34 in"}),
    Pair("piezo-needs-preamp", "error", {"bridge.piezo": True}, "passive volume and tone",
         {**ACTIVE, "bridge.piezo": True}),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)


def test_two_switches_crowd_three_shafts_but_not_two():
    switches = {"electronics.mute": True, "electronics.mid_switch": True}
    two_shafts = {**switches, "electronics.shafts": 2}
    assert_pair(Pair("controls-crowd-cavity", "error", switches, "3 shafts and 2 switches", two_shafts))


def test_a_finding_points_at_the_pickup_it_means():
    (finding,) = told("shell-narrower-than-strings", pickups(shell="4-string soapbar"))
    assert finding.field == "pickups.1.shell"
