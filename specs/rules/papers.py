"""Rules of listed woods, shell, case and carrier: what an order must carry before it leaves."""

from __future__ import annotations

from specs.geometry.headstock import headstock_length_mm
from specs.rules.ordered import Ordered
from specs.rules.rule import ERROR, NOTE, WARNING, Answer, At, over, rule
from specs.wood.faces import LISTED, NEVER_OFFERED, woods_used

HEADSTOCK_TO_TAIL_MM = 320.0
"""Overall length less the bass scale, at least: a 37 in bass is 1230 to 1260 mm long (common practice)."""
CASE_ROOM_MM = 15.0
HEADLESS_PAST_NUT_MM = 30.0
"""What a headless anchor stands out past the nut. **Source**: common practice."""


@rule("appendix-one-never-offered", ERROR, "fingerboard.wood",
      "{figure} is CITES Appendix I: a finished instrument has no exemption. It is not offered; choose another wood.",
      source="CITES Appendix I; published travel guidance")  # fmt: skip
def appendix_one_never_offered(order: Ordered) -> Answer:
    return next((At(field, wood) for field, wood in woods_used(order.spec) if wood == NEVER_OFFERED), None)


@rule("listed-wood-export", ERROR, "fingerboard.wood",
      "{figure} going abroad needs a CITES permit, or the order is refused. Rules change: verify with the CITES "
      "authority before anything moves.",
      source="CITES text; Appendix I always, Appendix II where unfinished")  # fmt: skip
def listed_wood_export(order: Ordered) -> Answer:
    needs = order.facts.export and not order.facts.permit
    return appendix_one_never_offered.decide(order) if needs else None


@rule("listed-wood-papers", NOTE, "fingerboard.wood",
      "{figure}: a finished instrument is understood to be exempt, boards and unfinished necks are not. Keep Latin "
      "name, lot, quantity and the exemption's ground with the papers. Rules change: verify with the CITES authority.",
      source="CITES annotations, partly from memory; verify with the authority",
      operations=("Moisture, weight and origin recorded for the serial", "Document pack"))  # fmt: skip
def listed_wood_papers(order: Ordered) -> Answer:
    listed = ((field, wood) for field, wood in woods_used(order.spec) if wood in LISTED)
    return next((At(field, f"{wood} ({LISTED[wood]})") for field, wood in listed if order.facts.export), None)


@rule("shell-inlay-export", WARNING, "fingerboard.inlay_material",
      "Some countries ask a wildlife declaration for {figure}. Offer plastic or wood, and verify with the authority of "
      "the country it goes to.", source="from memory; verify with the authority")  # fmt: skip
def shell_inlay_export(order: Ordered) -> Answer:
    board = order.spec.fingerboard
    shell = board.inlay != "none" and board.inlay_material in ("mother-of-pearl", "abalone")
    return order.facts.export and shell and board.inlay_material


@rule("case-too-short", ERROR, "case.inside_length",
      "The instrument is about {figure} long and needs 15 mm of room. Order a longer case; many are 1200 to 1220 mm "
      "inside.", unit="mm")  # fmt: skip
def case_too_short(order: Ordered) -> Answer:
    case, overall = order.spec.case, overall_mm(order)
    return case.kind != "double carton" and over(overall, case.inside_length_mm - CASE_ROOM_MM) and overall


def overall_mm(order: Ordered) -> float:
    """Length of the instrument: as drawn, and with a headstock no less than is usual for the scale."""
    tail = max((x for x, _ in order.body or ()), default=0.0)
    head = HEADLESS_PAST_NUT_MM if order.headless else headstock_length_mm(order.derived, order.posts)
    usual = 0.0 if order.headless else order.spec.scale.bass_mm + HEADSTOCK_TO_TAIL_MM
    return max(tail + head, usual)


@rule("gig-bag-is-not-freight", WARNING, "case.kind",
      "A {figure} alone does not protect an instrument with a carrier. Add a hard case, or an outer "
      "carton.")  # fmt: skip
def gig_bag_is_not_freight(order: Ordered) -> Answer:
    case = order.spec.case
    return order.facts.carrier and case.kind == "gig bag" and not case.double_carton and case.kind
