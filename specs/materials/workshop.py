"""What the benches use up: glue by joint, abrasives by stage, cutters, tape and polish, drawings and labels."""

from __future__ import annotations

from specs.derived import Derived, Material
from specs.materials.consumables import usual
from specs.materials.lumber import body_boards, neck_length_mm, neck_strips, neck_thickness_mm
from specs.materials.sizes import face_area_m2
from specs.vocabulary import OILY_WOODS
from specs.wood.faces import seen_wood

EACH = "usual for one instrument"
WIPED = (*OILY_WOODS, "wenge", "bubinga", "padauk")
"""Woods wiped before glue. **Source**: a glue maker's guide, and common practice."""

GLOSSY = ("gloss", "semi-gloss")


def glue(derived: Derived) -> list[Material]:
    """Grams of glue for every joint of the instrument, by joint."""
    return [*_body_joints(derived), *_top(derived), *_neck_joints(derived), *_small(derived)]


def joint_grams(area_m2: float, rate_row: str) -> float:
    """Grams for an edge or face joint in clamps, squeeze-out included: area × spread. **Source**: the rate's row."""
    return area_m2 * usual(rate_row)


def _joint(item: str, joints: int, length_mm: float, depth_mm: float, rate_row: str) -> Material:
    area_m2 = joints * length_mm * depth_mm / 1e6
    how = f"{joints} × {length_mm:.0f} × {depth_mm:.1f} mm = {area_m2:.4f} m² × {usual(rate_row):g} g/m²"
    kind = "epoxy" if rate_row.startswith("epoxy") else "PVA"
    return Material("glue", f"{kind}, {item}", joint_grams(area_m2, rate_row), "g", how)


def _rate(kind: str) -> str:
    return "epoxy_joint" if kind == "epoxy" else "pva_joint"


def _body_joints(derived: Derived) -> list[Material]:
    boards, through = body_boards(derived), derived.spec.neck.construction == "neck-through"
    if through:
        return [_joint("wings to core", 2, boards.length_mm, boards.thickness_mm, "pva_wings")]
    kind = "epoxy" if derived.spec.body.wood in WIPED else "PVA"
    joints = boards.pieces - 1
    return [_joint("body joints", joints, boards.length_mm, boards.thickness_mm, _rate(kind))] if joints else []


def _top(derived: Derived) -> list[Material]:
    body, oily = derived.spec.body, seen_wood(derived.spec) in WIPED
    if body.top == "none":
        return []
    layers, rate_row = 1 + (body.accent != "none"), "epoxy_face" if oily else "pva_face"
    area, rate = face_area_m2(derived), usual(rate_row)
    how = f"{layers} × {area:.4f} m² of the outline × {rate:g} g/m²"
    bought = [Material("glue", f"{'epoxy' if oily else 'PVA'}, top", layers * area * rate, "g", how)]
    return bought + ([] if body.top == "veneer" else [_used("glue", "PVA, joint of the top", "top_joint_glue", "g")])


def _neck_joints(derived: Derived) -> list[Material]:
    neck, spec = derived.spec.neck, derived.spec
    bought = []
    if neck.pieces > 1:
        depth_mm = neck_thickness_mm(spec) + usual("neck_strip_over")
        bought.append(_joint("neck laminates", neck.pieces - 1, neck_length_mm(derived), depth_mm, _rate(neck.glue)))
    width_mm = (derived.board.width_nut_mm + derived.board.width_end_mm) / 2
    return [*bought, _joint("fingerboard", 1, derived.board.length_mm, width_mm, _rate(spec.fingerboard.glue))]


def _small(derived: Derived) -> list[Material]:
    spec, neck, board = derived.spec, derived.spec.neck, derived.spec.fingerboard
    glued_head = neck.headstock == "angled" or (neck.headstock == "flat" and (neck.ears or neck.headplate))
    inserts = neck.construction == "bolt-on" and not neck.bolts[0].isdigit()
    wiped = {spec.body.wood, seen_wood(spec), board.wood, *neck.wood.split(" and ")} & {*WIPED}
    counted = [
        ("PVA, headstock", "scarf_glue", "g", glued_head),
        ("epoxy, stiffening bars", "epoxy_for_bars", "g", neck.stiffening_bars),
        ("epoxy, face inlay", "epoxy_for_inlay", "g", board.inlay not in ("none", "side only")),
        ("epoxy, threaded inserts", "epoxy_for_inserts", "g", inserts),
        ("binding glue", "binding_glue", "g", board.binding != "none"),
        ("cyanoacrylate, frets", "cyanoacrylate_for_frets", "g", board.frets_kind == "fretted"),
        ("cyanoacrylate, side dots", "cyanoacrylate_for_dots", "g", True),
        ("silicone on the rod", "rod_silicone", "g", True),
        ("nut glue", "nut_glue", "ml", True),
        ("acetone", "acetone", "ml", bool(wiped)),
    ]
    return [_used("glue", item, row, unit) for item, row, unit, needed in counted if needed]


def _used(group: str, item: str, row: str, unit: str) -> Material:
    return Material(group, item, usual(row), unit, EACH)


def abrasives(derived: Derived) -> list[Material]:
    """Discs and sheets by stage, and compound where gloss is buffed."""
    finish, fretted = derived.spec.finish, derived.spec.fingerboard.frets_kind == "fretted"
    film, gloss = finish.kind != "oil", finish.kind != "oil" and finish.sheen in GLOSSY
    final = gloss and finish.kind == "two-component"
    neck_film = derived.spec.neck.finish != "oil"
    stages = [
        ("discs P80, body blank", "surfacing_discs", "pieces", True),
        ("sheets P60-P150, edges and carves", "shaping_sheets", "pieces", True),
        ("sheets P80-P320, fingerboard", "board_sheets", "pieces", True),
        ("sheets P80-P220, back of the neck", "neck_sheets", "pieces", True),
        ("discs P120-P320, white wood", "sanding_discs", "pieces", True),
        ("sheets P120-P320, white wood", "sanding_sheets", "pieces", True),
        ("sheets P320-P2000, frets", "fret_sheets", "pieces", fretted),
        ("sheets, sealer", "sealer_sheets", "pieces", film),
        ("sheets, flatting back", "final_clear_sheets", "pieces", final),
        ("sheets and discs, level sanding", "level_sheets", "pieces", gloss),
        ("sheets, neck film", "neck_level_sheets", "pieces", neck_film),
        ("buffing compound", "buffing_compound", "g", gloss),
        ("swirl remover", "swirl_remover", "ml", gloss),
        ("polish without silicone", "polish", "ml", True),
    ]
    return [_used("abrasives", item, row, unit) for item, row, unit, needed in stages if needed]


def bench(derived: Derived) -> list[Material]:
    """Cutters, tape, boards that are cut into, drawings, cards and labels."""
    spec = derived.spec
    slotted = spec.fingerboard.frets_kind != "unlined fretless"
    counted = [
        ("fret slotting cutter", "slotting_cutter", "pieces", slotted),
        ("sacrificial board", "sacrificial_board", "pieces", True),
        ("low-tack tape, joint of the top", "top_joint_tape", "m", spec.body.top not in ("none", "veneer")),
        ("tape, frets", "fret_tape", "m", spec.fingerboard.frets_kind == "fretted"),
        ("tape, dry assembly", "dry_assembly_tape", "m", True),
        ("drawing film", "drawing_film", "sheets", True),
        ("traveller card", "traveller_card", "pieces", True),
        ("finish sample board", "finish_sample", "pieces", spec.finish.colour != "natural"),
        ("inspection sheet", "inspection_sheets", "sheets", True),
        ("document folder", "folder", "pieces", True),
        ("despatch label", "labels", "pieces", True),
    ]
    bought = [_used("bench", item, row, unit) for item, row, unit, needed in counted if needed]
    return [*bought, _bar_labels(derived)]


def _bar_labels(derived: Derived) -> Material:
    """One label a piece of wood that carries the serial."""
    tops = 0 if derived.spec.body.top == "none" else 2
    pieces = body_boards(derived).pieces + tops + sum(blank.pieces for blank in neck_strips(derived)) + 1
    return Material("bench", "serial labels on the wood", pieces, "pieces", "one a board, strip, plate and blank")
