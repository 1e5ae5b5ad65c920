"""Compatibility: every rule an order is checked against, in the order its findings are told."""

from __future__ import annotations

from collections.abc import Iterable

from specs.derived import Derived, Finding
from specs.facts import OrderFacts
from specs.rules import (
    board,
    body,
    chambers,
    electronics,
    fan,
    finish,
    hardware,
    joint,
    line,
    neck,
    papers,
    pickups,
)
from specs.rules.ordered import Ordered
from specs.rules.rule import SEVERITIES

RULES = (
    fan.bass_shorter_than_treble,
    fan.equal_scales,
    fan.fan_too_steep,
    fan.fan_steep,
    fan.perpendicular_fret_outside,
    fan.nut_too_steep,
    fan.nut_steep,
    fan.nut_longer_on_the_slant,
    fan.bridge_needs_single_units,
    fan.low_tuning_needs_length,
    fan.high_c_wants_short_scale,
    fan.single_strings_for_wide_pair,
    fan.acute_fret_ends,
    fan.stainless_on_extreme_fan,
    fan.bound_slanted_frets,
    board.edge_margin_at_last_fret,
    board.many_frets_two_soapbars,
    board.wood_under_slot,
    board.soft_fretless_board,
    board.fretless_takes_no_wire,
    board.blocks_follow_the_fan,
    board.composite_board_needs_epoxy,
    board.strings_too_close_at_nut,
    board.strings_close_at_nut,
    neck.bars_for_long_or_wide_neck,
    neck.roasted_neck_is_brittle,
    neck.roasted_wood_glue_up,
    neck.dense_laminates_glue_prep,
    neck.flat_sawn_one_piece_neck,
    neck.neck_through_waits_for_bridge,
    neck.headless_without_headstock_options,
    neck.headless_needs_its_units,
    neck.tuners_match_strings,
    neck.six_tuners_in_line,
    neck.left_handed_mirrors_everything,
    joint.rod_short_of_fret_15,
    joint.rod_through_heel,
    joint.rod_near_neck_screw,
    joint.rod_pocket_under_nut,
    joint.string_clears_posts,
    joint.string_turns_at_nut,
    joint.flat_headstock_needs_retainers,
    joint.heel_stops_upper_frets,
    joint.short_pocket_under_overhang,
    body.one_piece_too_wide,
    body.one_piece_moves,
    body.over_weight_ceiling,
    body.heavy_wood_not_chambered,
    body.neck_dive,
    body.hangs_neck_down,
    body.carve_through_top,
    body.carved_veneer,
    body.natural_edge_thin_top,
    body.natural_edge_dark_wood,
    body.punky_top,
    body.soft_top_under_bridge,
    body.thin_body_two_boxes,
    body.face_over_pot_shaft,
    chambers.chamber_skin_too_thin,
    chambers.chamber_skin_thin,
    chambers.solid_wood_round_screws,
    chambers.battery_box_over_chamber,
    finish.oil_under_shading,
    finish.oil_over_dye,
    finish.solid_colour_needs_film,
    finish.dark_satin_repair,
    finish.gloss_needs_filling,
    finish.open_pores_not_gloss,
    finish.hard_film_on_oily_wood,
    finish.nitro_on_oily_wood,
    finish.nitro_over_plastic_binding,
    finish.nitro_adds_weeks,
    finish.nitro_and_rubber,
    finish.pale_over_dark_wood,
    finish.blue_on_yellow_wood,
    finish.dye_on_roasted_wood,
    finish.burst_over_sharp_edge,
    finish.metallic_needs_sample,
    finish.film_on_oily_board,
    finish.bare_maple_board,
    finish.finish_line_at_heel,
    pickups.no_room_for_pickups,
    pickups.pickup_under_board,
    pickups.pickup_coverage,
    pickups.pickup_off_the_fan,
    electronics.two_batteries_two_boxes,
    electronics.active_needs_stereo_jack,
    electronics.active_needs_battery_access,
    electronics.bypass_needs_passive_tone,
    electronics.controls_crowd_cavity,
    electronics.active_pickups_low_pots,
    electronics.unequal_pickups_on_blend,
    electronics.shell_narrower_than_strings,
    electronics.split_coils_on_a_fan,
    electronics.piezo_needs_preamp,
    hardware.through_body_adds_length,
    hardware.single_units_need_common_ground,
    hardware.one_metal_colour,
    hardware.plating_wears,
    hardware.gauge_over_tuner_slot,
    hardware.gauge_over_anchor,
    hardware.set_needs_its_own_nut,
    hardware.flat_or_tape_and_pickups,
    hardware.scale_too_long_for_winding,
    hardware.radius_without_saddle_travel,
    hardware.strings_overlap_at_bridge,
    papers.appendix_one_never_offered,
    papers.listed_wood_export,
    papers.listed_wood_papers,
    papers.shell_inlay_export,
    papers.case_too_short,
    papers.gig_bag_is_not_freight,
    line.series_options_closed,
    line.white_wood_is_fixed,
    line.water_borne_has_no_operations,
)


WEIGHING = (body.over_weight_ceiling, body.heavy_wood_not_chambered, body.neck_dive, body.hangs_neck_down)
"""Rules whose answer is another once the planks are weighed."""


def check(derived: Derived, facts: OrderFacts) -> tuple[Finding, ...]:
    """Every finding about an instrument as ordered: errors, then warnings, then notes, each in the order of RULES."""
    order = Ordered(derived, facts)
    found = [finding for rule in RULES if (finding := rule.finding(order))]
    return _gravest_first(found)


def reweighed(kept: Iterable[Finding], derived: Derived, facts: OrderFacts) -> tuple[Finding, ...]:
    """The findings of a release, what concerns weight and balance found anew once planks are weighed."""
    if not facts.planks:
        return tuple(kept)
    order = Ordered(derived, facts)
    found = [finding for finding in kept if finding.rule not in {rule.slug for rule in WEIGHING}]
    found += [finding for rule in WEIGHING if (finding := rule.finding(order))]
    return _gravest_first(found)


_PLACE = {rule.slug: place for place, rule in enumerate(RULES)}


def _gravest_first(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """In the order of RULES, errors first; what no rule says any more comes last."""
    return tuple(sorted(found, key=lambda one: (SEVERITIES.index(one.severity), _PLACE.get(one.rule, len(RULES)))))
