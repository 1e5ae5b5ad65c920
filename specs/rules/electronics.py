"""Rules of the circuit: battery and jack, controls and their room, and pickups that must agree with it."""

from __future__ import annotations

from specs.rules.ordered import Ordered
from specs.rules.rule import ERROR, WARNING, Answer, At, rule

PASSIVE_POT_KOHM = 250
MOST_SHAFTS, SHAFTS_BESIDE_SWITCHES = 5, 3


@rule("two-batteries-two-boxes", ERROR, "electronics.battery_boxes",
      "18 V is two 9 V batteries in series: {figure} of two boxes ordered. Order two; the second battery and its leads "
      "add 90 g.")  # fmt: skip
def two_batteries_two_boxes(order: Ordered) -> Answer:
    electronics = order.spec.electronics
    return electronics.supply == "18 V" and electronics.battery_boxes < 2 and electronics.battery_boxes


@rule("active-needs-stereo-jack", ERROR, "electronics.jack",
      "With a {figure} jack the battery never switches off. Choose a stereo jack.")  # fmt: skip
def active_needs_stereo_jack(order: Ordered) -> Answer:
    jack = order.spec.electronics.jack
    return order.active and jack == "mono" and jack


@rule("active-needs-battery-access", ERROR, "electronics.battery_boxes",
      "Something in this instrument draws current, and {figure} battery boxes are ordered. Order a supply and a "
      "box for it.")  # fmt: skip
def active_needs_battery_access(order: Ordered) -> Answer:
    electronics = order.spec.electronics
    boxless = electronics.battery_boxes == 0 and electronics.supply != "18 V"
    return order.active and boxless and electronics.battery_boxes


@rule("bypass-needs-passive-tone", WARNING, "electronics.passive_tone",
      "The tone control is dead while the preamp is bypassed. Add a passive tone control.")  # fmt: skip
def bypass_needs_passive_tone(order: Ordered) -> Answer:
    electronics = order.spec.electronics
    return electronics.bypass and not electronics.passive_tone


@rule("controls-crowd-cavity", ERROR, "electronics.shafts",
      "{figure} do not fit a standard cavity at 30 mm between shafts. Leave one out, or stack two on one "
      "shaft.")  # fmt: skip
def controls_crowd_cavity(order: Ordered) -> Answer:
    shafts, switches = order.spec.electronics.shafts, switches_ordered(order)
    crowded = shafts > MOST_SHAFTS or (shafts >= SHAFTS_BESIDE_SWITCHES and switches >= 2)
    return crowded and f"{shafts} shafts and {switches} switches"


def switches_ordered(order: Ordered) -> int:
    """How many switches stand beside the shafts."""
    electronics = order.spec.electronics
    flags = (electronics.bypass, electronics.mid_switch, electronics.mute, electronics.coil_switch != "none")
    return sum(flags)


@rule("active-pickups-low-pots", ERROR, "electronics.pot_kohm",
      "Active pickups want a blend pot of 25 to 50 kilohm, not {figure}. Change its value.", unit="kilohm")  # fmt: skip
def active_pickups_low_pots(order: Ordered) -> Answer:
    pot = order.spec.electronics.pot_kohm
    return order.blended and order.active_pickups and pot >= PASSIVE_POT_KOHM and pot


@rule("unequal-pickups-on-blend", WARNING, "pickups",
      "Passive pickups of very different impedance ({figure}) jump in level on one blend. Buffer them, or choose a "
      "matched pair.")  # fmt: skip
def unequal_pickups_on_blend(order: Ordered) -> Answer:
    passive = {pickup.kind for pickup in order.spec.pickups if not pickup.active}
    mixed = "single coil" in passive and passive & {"dual coil", "large dual coil"}
    return order.blended and bool(mixed) and " and ".join(sorted(passive))


@rule("shell-narrower-than-strings", ERROR, "pickups",
      "A {figure} does not reach under every string of this instrument. Choose the shell for its string "
      "count.")  # fmt: skip
def shell_narrower_than_strings(order: Ordered) -> Answer:
    strings = order.spec.strings.count
    for place, pickup in enumerate(order.spec.pickups):
        if pickup.shell[0].isdigit() and int(pickup.shell[0]) < strings:
            return At(f"pickups.{place}.shell", pickup.shell)
    return None


@rule("split-coils-on-a-fan", WARNING, "pickups",
      "The halves of a {figure} pickup must follow the fan line. Rout two separate places; a standard-scale set does "
      "not fit one shell.")  # fmt: skip
def split_coils_on_a_fan(order: Ordered) -> Answer:
    for place, pickup in enumerate(order.spec.pickups):
        if order.on_a_fan and pickup.kind == "split coil":
            return At(f"pickups.{place}.kind", pickup.kind)
    return None


@rule("piezo-needs-preamp", ERROR, "bridge.piezo",
      "Piezo saddles need a buffer and a ground path of their own; {figure} gives neither. Choose an active "
      "circuit.")  # fmt: skip
def piezo_needs_preamp(order: Ordered) -> Answer:
    circuit = order.spec.electronics.circuit
    return order.spec.bridge.piezo and not circuit.startswith("active") and circuit
