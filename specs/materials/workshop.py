"""What the benches use up: glue by joint and abrasives by stage."""

from __future__ import annotations

from specs.derived import Derived, Material
from specs.materials.consumables import usual
from specs.materials.lumber import body_boards, neck_length_mm, neck_thickness_mm


def glue(derived: Derived) -> list[Material]:
    """Grams of glue for every joint of the instrument, by joint."""
    return [*_body_joints(derived), *_top(derived), *_neck_joints(derived), *_small(derived)]


def joint_grams(area_m2: float, kind: str) -> float:
    """Grams for an edge or face joint in clamps, squeeze-out included: area × spread. **Source**: the rate's row."""
    return area_m2 * usual("epoxy_joint" if kind == "epoxy" else "pva_joint")


def _joint(item: str, joints: int, length_mm: float, depth_mm: float, kind: str) -> Material:
    area_m2 = joints * length_mm * depth_mm / 1e6
    rate = usual("epoxy_joint" if kind == "epoxy" else "pva_joint")
    how = f"{joints} × {length_mm:.0f} × {depth_mm:.1f} mm = {area_m2:.4f} m² × {rate:g} g/m²"
    return Material("glue", f"{kind}, {item}", joint_grams(area_m2, kind), "g", how)


def _body_joints(derived: Derived) -> list[Material]:
    boards, through = body_boards(derived), derived.spec.neck.construction == "neck-through"
    joints = 2 if through else boards.pieces - 1
    item = "wings to core" if through else "body joints"
    return [_joint(item, joints, boards.length_mm, boards.thickness_mm, "PVA")] if joints else []


def _top(derived: Derived) -> list[Material]:
    body = derived.spec.body
    layers = 0 if body.top == "none" else 1 + (body.accent != "none")
    area, rate = usual("body_face_area"), usual("pva_face")
    how = f"{layers} × {area:g} m² × {rate:g} g/m²"
    return [Material("glue", "PVA, top", layers * area * rate, "g", how)] if layers else []


def _neck_joints(derived: Derived) -> list[Material]:
    neck, spec = derived.spec.neck, derived.spec
    bought = []
    if neck.pieces > 1:
        depth_mm = neck_thickness_mm(spec) + usual("neck_strip_over")
        bought.append(_joint("neck laminates", neck.pieces - 1, neck_length_mm(derived), depth_mm, neck.glue))
    width_mm = (derived.board.width_nut_mm + derived.board.width_end_mm) / 2
    return [*bought, _joint("fingerboard", 1, derived.board.length_mm, width_mm, spec.fingerboard.glue)]


def _small(derived: Derived) -> list[Material]:
    neck, board = derived.spec.neck, derived.spec.fingerboard
    glued_head = neck.headstock == "angled" or (neck.headstock == "flat" and (neck.ears or neck.headplate))
    counted = [
        ("PVA, headstock", "scarf_glue", glued_head),
        ("epoxy, stiffening bars", "epoxy_for_bars", neck.stiffening_bars),
        ("epoxy, face inlay", "epoxy_for_inlay", board.inlay not in ("none", "side only")),
        ("cyanoacrylate, frets", "cyanoacrylate_for_frets", board.frets_kind == "fretted"),
        ("cyanoacrylate, side dots", "cyanoacrylate_for_dots", True),
    ]
    how = "usual for one instrument"
    return [Material("glue", item, usual(row), "g", how) for item, row, needed in counted if needed]


def abrasives(derived: Derived) -> list[Material]:
    """Discs and sheets by stage, and compound where gloss is buffed."""
    finish, fretted = derived.spec.finish, derived.spec.fingerboard.frets_kind == "fretted"
    film, gloss = finish.kind != "oil", finish.kind != "oil" and finish.sheen in ("gloss", "semi-gloss")
    stages = [
        ("discs P120-P320, white wood", "sanding_discs", "pieces", True),
        ("sheets P120-P320, white wood", "sanding_sheets", "pieces", True),
        ("sheets P320-P2000, frets", "fret_sheets", "pieces", fretted),
        ("sheets, sealer", "sealer_sheets", "pieces", film),
        ("sheets and discs, level sanding", "level_sheets", "pieces", gloss),
        ("buffing compound", "buffing_compound", "g", gloss),
    ]
    how = "usual for one instrument"
    return [Material("abrasives", item, usual(row), unit, how) for item, row, unit, needed in stages if needed]
