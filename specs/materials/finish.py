"""Oil, film, colour and filler: the drawn area, build, solids, what of a spray lands, and what stays in the gun."""

from __future__ import annotations

from specs.derived import Derived, Material
from specs.document import BuildSpec
from specs.materials.consumables import usual
from specs.materials.sizes import coated_body_m2
from specs.vocabulary import OPEN_PORED_WOODS

SPRAYED_AT_HOME = ("two-component", "nitrocellulose", "water-borne")
PIGMENTED = ("solid", "metallic", "candy", "fade", "custom art")
GLOSSY = ("gloss", "semi-gloss")


def sprayed_ml(area_m2: float, film_micron: float, solids_pct: float, transfer_pct: float) -> float:
    """Millilitres to spray for a dry film: area × film, over the solids by volume and the share that lands.

    **Source**: common practice in coating; one micron on one square metre is one millilitre.
    """
    return area_m2 * film_micron / (solids_pct / 100) / (transfer_pct / 100)


def oil_ml(area_m2: float, coats: float, coverage_m2_l: float) -> float:
    """Millilitres of oil: area × coats ÷ square metres a litre covers."""
    return 1000 * area_m2 * coats / coverage_m2_l


def finish(derived: Derived) -> list[Material]:
    """Everything of the finish in ml and g; a partner's polyester is the partner's to buy."""
    return [*_stain(derived.spec), *_body(derived), *_neck(derived.spec), *_board(derived.spec)]


def _body(derived: Derived) -> list[Material]:
    if derived.spec.finish.kind == "oil":
        return [_oil("body", coated_body_m2(derived)), _small("wax", "wax", "g")]
    return _body_film(derived) if derived.spec.finish.kind in SPRAYED_AT_HOME else []


def _stain(spec: BuildSpec) -> list[Material]:
    return [_small(spec.finish.dye, "dye", "ml")] if spec.finish.colour in ("dyed", "burst") else []


def _small(item: str, row: str, unit: str) -> Material:
    return Material("finish", item, usual(row), unit, "usual for one instrument")


def _oil(part: str, area: float) -> Material:
    coats, coverage = usual("oil_coats"), usual("oil_coverage")
    how = f"{area:.3f} m² × {coats:g} coats ÷ {coverage:g} m² a litre"
    return Material("finish", f"drying oil, {part}", oil_ml(area, coats, coverage), "ml", how)


def _body_film(derived: Derived) -> list[Material]:
    spec, area = derived.spec, coated_area_m2(derived)
    finish, clear = spec.finish, _film(spec.finish.kind, spec.finish.sheen)
    filled = finish.pores == "closed" and spec.body.wood in OPEN_PORED_WOODS
    bought = [_small("grain filler", "grain_filler", "g")] if filled else []
    bought.append(_sprayed("sealer", "sealer", area))
    bought += [_sprayed(f"{finish.colour} {finish.shade} colour", "colour", area)] if finish.colour in PIGMENTED else []
    bought += [_small("burst toner", "burst_toner", "ml")] if finish.colour == "burst" else []
    bought.append(_sprayed(f"{finish.kind} {finish.sheen} clear", clear, area))
    if finish.sheen in GLOSSY and finish.kind == "two-component":
        bought.append(_sprayed(f"{finish.kind} {finish.sheen} final coats", "final_clear", area))
    return [*bought, _strainers(clear), _small("masking tape", "masking_tape", "m")]


def _strainers(clear: str) -> Material:
    coats = usual(f"{clear}_coats") + usual("sealer_coats")
    each = usual("strainers_each_coat")
    return Material("finish", "paint strainers", coats * each, "pieces", f"{coats:g} coats × {each:g}")


def coated_area_m2(derived: Derived) -> float:
    """Square metres sprayed with the body: a film on a neck-through's neck goes on with it."""
    neck = derived.spec.neck
    with_neck = neck.construction == "neck-through" and neck.finish != "oil"
    return coated_body_m2(derived) + (usual("neck_coated_area") if with_neck else 0.0)


def _film(kind: str, sheen: str) -> str:
    if kind != "two-component":
        return kind
    return "two_component_gloss" if sheen in GLOSSY else "two_component_satin"


def _sprayed(item: str, film: str, area_m2: float) -> Material:
    micron, solids, transfer = usual(f"{film}_film"), usual(f"{film}_solids"), usual("transfer_efficiency")
    coats, left = usual(f"{film}_coats"), usual("left_in_gun")
    how = (
        f"{area_m2:.3f} m² × {micron:g} micron dry ÷ {solids:g} % solids ÷ {transfer:g} % landing, "
        f"and {left:g} ml left in the gun at each of {coats:g} coats"
    )
    return Material("finish", item, sprayed_ml(area_m2, micron, solids, transfer) + coats * left, "ml", how)


def _neck(spec: BuildSpec) -> list[Material]:
    if spec.neck.finish == "oil":
        return [_oil("neck", usual("neck_coated_area"))]
    if spec.neck.construction == "neck-through":
        return []
    return [_sprayed(f"two-component {spec.neck.finish} clear, neck", "neck_film", usual("neck_coated_area"))]


def _board(spec: BuildSpec) -> list[Material]:
    board = spec.fingerboard
    if board.finish == "film":
        return [_sprayed("two-component clear, fingerboard", "board_film", usual("board_face_area"))]
    hard = board.frets_kind != "fretted" and board.finish == "bare"
    coat = [_small("hard coat for the fretless board", "hard_coat", "g")] if hard else []
    return [*coat, _small("board oil", "board_oil", "ml")]
