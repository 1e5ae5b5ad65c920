"""Oil, film, colour and filler: area, build, solids and what of a spray lands on the wood."""

from __future__ import annotations

from specs.derived import Derived, Material
from specs.document import BuildSpec
from specs.materials.consumables import usual
from specs.vocabulary import OPEN_PORED_WOODS

SPRAYED_AT_HOME = ("two-component", "nitrocellulose", "water-borne")
PIGMENTED = ("solid", "metallic", "candy", "fade", "custom art")


def sprayed_ml(area_m2: float, film_micron: float, solids_pct: float, transfer_pct: float) -> float:
    """Millilitres to mix for a dry film: area × film, over the solids by volume and the share that lands.

    **Source**: common practice in coating; one micron on one square metre is one millilitre.
    """
    return area_m2 * film_micron / (solids_pct / 100) / (transfer_pct / 100)


def oil_ml(area_m2: float, coats: float, coverage_m2_l: float) -> float:
    """Millilitres of oil: area × coats ÷ square metres a litre covers."""
    return 1000 * area_m2 * coats / coverage_m2_l


def finish(derived: Derived) -> list[Material]:
    """Everything of the finish in ml and g; a partner's polyester is the partner's to buy."""
    spec = derived.spec
    return [*_stain(spec), *_body(spec), *_neck(spec), *_board(spec)]


def _body(spec: BuildSpec) -> list[Material]:
    if spec.finish.kind == "oil":
        return [*_oil("body", "body_coated_area"), _wax()]
    return _body_film(spec) if spec.finish.kind in SPRAYED_AT_HOME else []


def _stain(spec: BuildSpec) -> list[Material]:
    dyed = spec.finish.colour in ("dyed", "burst")
    return [Material("finish", spec.finish.dye, usual("dye"), "ml", "usual for one body")] if dyed else []


def _wax() -> Material:
    return Material("finish", "wax", usual("wax"), "g", "usual for one instrument")


def _oil(part: str, area_name: str) -> list[Material]:
    area, coats, coverage = usual(area_name), usual("oil_coats"), usual("oil_coverage")
    how = f"{area:g} m² × {coats:g} coats ÷ {coverage:g} m² a litre"
    return [Material("finish", f"drying oil, {part}", oil_ml(area, coats, coverage), "ml", how)]


def _body_film(spec: BuildSpec) -> list[Material]:
    finish, area = spec.finish, coated_area_m2(spec)
    filled = finish.pores == "closed" and spec.body.wood in OPEN_PORED_WOODS
    bought = [Material("finish", "grain filler", usual("grain_filler"), "g", "usual for one body")] if filled else []
    bought.append(_sprayed("sealer", "sealer", area))
    bought += [_sprayed(f"{finish.colour} {finish.shade} colour", "colour", area)] if finish.colour in PIGMENTED else []
    if finish.colour == "burst":
        bought.append(Material("finish", "burst toner", usual("burst_toner"), "ml", "usual for one body"))
    bought.append(_sprayed(f"{finish.kind} {finish.sheen} clear", _film(finish.kind, finish.sheen), area))
    return [*bought, Material("finish", "masking tape", usual("masking_tape"), "m", "usual for one body")]


def coated_area_m2(spec: BuildSpec) -> float:
    """Square metres sprayed with the body: a film on a neck-through's neck goes on with it."""
    with_neck = spec.neck.construction == "neck-through" and spec.neck.finish != "oil"
    return usual("body_coated_area") + (usual("neck_coated_area") if with_neck else 0.0)


def _film(kind: str, sheen: str) -> str:
    if kind != "two-component":
        return kind
    return "two_component_gloss" if sheen in ("gloss", "semi-gloss") else "two_component_satin"


def _sprayed(item: str, film: str, area_m2: float) -> Material:
    micron, solids, transfer = usual(f"{film}_film"), usual(f"{film}_solids"), usual("transfer_efficiency")
    needed = sprayed_ml(area_m2, micron, solids, transfer)
    how = f"{area_m2:g} m² × {micron:g} micron dry ÷ {solids:g} % solids ÷ {transfer:g} % landing"
    mixed = max(needed, usual("gun_fill"))
    how += f" = {needed:.0f} ml, but no less than {mixed:g} ml is mixed" if mixed > needed else ""
    return Material("finish", item, mixed, "ml", how)


def _neck(spec: BuildSpec) -> list[Material]:
    if spec.neck.finish == "oil":
        return _oil("neck", "neck_coated_area")
    if spec.neck.construction == "neck-through":
        return []
    film = _film("two-component", spec.neck.finish)
    return [_sprayed(f"two-component {spec.neck.finish} clear, neck", film, usual("neck_coated_area"))]


def _board(spec: BuildSpec) -> list[Material]:
    board = spec.fingerboard
    if board.finish == "film":
        return [_sprayed("two-component clear, fingerboard", "two_component_satin", usual("board_face_area"))]
    hard = board.frets_kind != "fretted" and board.finish == "bare"
    return [Material("finish", "hard coat for the fretless board", usual("hard_coat"), "g", "usual")] if hard else []
