"""Which choices make each word of the operations table true (the public format's own list of words)."""

from __future__ import annotations

import pytest

from routing.catalogue import OPERATIONS
from routing.conditions import WORDS, holds
from specs.facts import OrderFacts
from specs.vocabulary import BODY_WOODS, COLOURS, FINISH_KINDS, FRETS_KINDS, INLAYS, SHEENS

CUSTOM = OrderFacts()

PAIRS = [
    ("bolt-on", {"neck.construction": "bolt-on"}, {"neck.construction": "neck-through"}),
    ("neck-through", {"neck.construction": "neck-through"}, {"neck.construction": "bolt-on"}),
    ("headstock", {"neck.headstock": "flat"}, {"neck.headstock": "headless"}),
    ("headless", {"neck.headstock": "headless"}, {"neck.headstock": "angled"}),
    ("headstock glue-up", {"neck.headstock": "angled"}, {"neck.headstock": "flat"}),
    ("headstock glue-up", {"neck.headstock": "flat", "neck.ears": True}, {"neck.headstock": "headless"}),
    (
        "headstock glue-up",
        {"neck.headstock": "flat", "neck.headplate": True},
        {"neck.headstock": "headless", "neck.headplate": True},
    ),
    ("stiffening bars", {"neck.stiffening_bars": True}, {"neck.stiffening_bars": False}),
    ("oiled neck", {"neck.finish": "oil"}, {"neck.finish": "satin"}),
    ("film neck", {"neck.finish": "gloss"}, {"neck.finish": "oil"}),
    ("joined body", {"body.pieces": 2}, {"body.pieces": 1}),
    ("chambered", {"body.chambering": "semi-hollow"}, {"body.chambering": "solid"}),
    ("top wood", {"body.top": "veneer"}, {"body.top": "none"}),
    ("binding", {"fingerboard.binding": "plastic"}, {"fingerboard.binding": "none"}),
    ("lacquered board", {"fingerboard.finish": "film"}, {"fingerboard.finish": "oil"}),
    ("stainless wire", {"fingerboard.wire_metal": "stainless"}, {"fingerboard.wire_metal": "nickel silver"}),
]


@pytest.mark.parametrize(("word", "true_of", "false_of"), PAIRS)
def test_word_holds_and_does_not(order, word, true_of, false_of):
    assert holds([word], order(true_of), CUSTOM)
    assert not holds([word], order(false_of), CUSTOM)


@pytest.mark.parametrize(
    ("path", "choices", "word", "expected"),
    [
        ("finish.kind", FINISH_KINDS, "oil finish", {"oil"}),
        ("finish.kind", FINISH_KINDS, "film finish", set(FINISH_KINDS) - {"oil"}),
        ("finish.kind", FINISH_KINDS, "2K", {"two-component", "partner polyester"}),
        ("finish.kind", FINISH_KINDS, "nitro", {"nitrocellulose"}),
        ("finish.kind", FINISH_KINDS, "water-borne", {"water-borne"}),
        ("finish.sheen", SHEENS, "gloss", {"gloss", "semi-gloss"}),
        ("finish.sheen", SHEENS, "satin", {"satin", "matt"}),
        ("finish.colour", COLOURS, "dyed", {"dyed", "burst"}),
        ("finish.colour", COLOURS, "burst", {"burst"}),
        ("finish.colour", COLOURS, "colour", {"solid", "metallic", "candy", "fade", "custom art"}),
        ("fingerboard.inlay", INLAYS, "face inlay", {"dots", "offset dots", "blocks", "custom"}),
        ("fingerboard.frets_kind", FRETS_KINDS, "fretted", {"fretted"}),
        ("fingerboard.frets_kind", FRETS_KINDS, "fretless", {"lined fretless", "unlined fretless"}),
        ("fingerboard.frets_kind", FRETS_KINDS, "slotted board", {"fretted", "lined fretless"}),
    ],
)
def test_word_over_a_whole_list(order, path, choices, word, expected):
    assert {choice for choice in choices if holds([word], order({path: choice}), CUSTOM)} == expected


def test_open_pored_wood_needs_a_film_closed_pores_and_such_a_wood(order):
    def woods(**finish):
        choices = {f"finish.{name}": value for name, value in finish.items()}
        return {wood for wood in BODY_WOODS if holds(["open-pored wood"], order(choices | {"body.wood": wood}), CUSTOM)}

    assert woods(kind="nitrocellulose", pores="closed") == {
        "ash", "light ash", "mahogany", "khaya", "okoume", "sapele", "walnut", "wenge", "korina",
    }  # fmt: skip
    assert woods(kind="nitrocellulose", pores="open") == set()
    assert woods(kind="oil", pores="closed") == set()


def test_facts_of_the_order(order):
    spec = order({})
    abroad = OrderFacts(line="series", export=True, permit=True)
    words = ("custom", "series", "export", "listed wood needing permit")
    assert [holds([word], spec, CUSTOM) for word in words] == [True, False, False, False]
    assert [holds([word], spec, abroad) for word in words] == [False, True, True, True]


def test_all_words_must_hold(order):
    assert holds([], order({}), CUSTOM)
    assert not holds(["custom", "bolt-on"], order({"neck.construction": "neck-through"}), CUSTOM)


def test_the_table_uses_no_other_words():
    assert {word for operation in OPERATIONS for word in operation.when} <= WORDS.keys()
