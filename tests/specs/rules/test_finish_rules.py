"""Rules of finish and colour. Thresholds and pairings: common practice, no source."""

import pytest

from tests.specs.rules.pairs import Pair, assert_pair, names

TWO_COMPONENT, NITRO = {"finish.kind": "two-component"}, {"finish.kind": "nitrocellulose"}
BOUND = {"fingerboard.binding": "plastic"}
WALNUT_TOP = {"body.top": "flat", "body.top_wood": "walnut"}
ROASTED_TOP = {"body.top": "flat", "body.top_wood": "roasted maple"}
COCOBOLO_TOP = {"body.top": "flat", "body.top_wood": "cocobolo"}
ASH_GLOSS = {**TWO_COMPONENT, "body.wood": "ash", "finish.sheen": "gloss", "finish.pores": "closed"}
PALE = {**TWO_COMPONENT, "finish.colour": "dyed", "finish.shade": "pale"}
BLUE = {**TWO_COMPONENT, "finish.colour": "dyed", "finish.shade": "blue"}
THROUGH_GLOSS = {**TWO_COMPONENT, "neck.construction": "neck-through", "finish.sheen": "gloss"}

PAIRS = (
    Pair("oil-under-shading", "error", {"finish.colour": "burst"}, "burst",
         {**TWO_COMPONENT, "finish.colour": "burst"}),
    Pair("oil-over-dye", "warning", {"finish.colour": "dyed", "finish.dye": "alcohol dye"}, "alcohol dye",
         {**TWO_COMPONENT, "finish.colour": "dyed"}),
    Pair("solid-colour-needs-film", "error", {"finish.colour": "solid"}, "solid",
         {**TWO_COMPONENT, "finish.colour": "solid"}),
    Pair("dark-satin-repair", "warning", {"finish.colour": "dyed", "finish.shade": "black"}, "satin",
         {"finish.colour": "dyed", "finish.shade": "black", "finish.sheen": "gloss"}),
    Pair("gloss-needs-filling", "warning", ASH_GLOSS, "ash", {**ASH_GLOSS, "body.wood": "alder"}),
    Pair("open-pores-not-gloss", "error", {"finish.sheen": "gloss"}, "gloss", {"finish.sheen": "semi-gloss"}),
    Pair("hard-film-on-oily-wood", "error", {**TWO_COMPONENT, **COCOBOLO_TOP}, "cocobolo",
         {**TWO_COMPONENT, **COCOBOLO_TOP, "body.top": "none"}),
    Pair("nitro-on-oily-wood", "warning", {**NITRO, **COCOBOLO_TOP}, "cocobolo", {**NITRO, **WALNUT_TOP}),
    Pair("nitro-over-plastic-binding", "warning", {**NITRO, **BOUND}, "plastic", {**TWO_COMPONENT, **BOUND}),
    Pair("nitro-adds-weeks", "warning", NITRO, "nitrocellulose", TWO_COMPONENT),
    Pair("nitro-and-rubber", "warning", NITRO, "nitrocellulose", TWO_COMPONENT),
    Pair("pale-over-dark-wood", "error", {**PALE, **WALNUT_TOP}, "walnut", PALE),
    Pair("blue-on-yellow-wood", "warning", {**BLUE, "body.wood": "korina"}, "korina", BLUE),
    Pair("dye-on-roasted-wood", "warning", {**BLUE, **ROASTED_TOP}, "blue",
         {**BLUE, **ROASTED_TOP, "finish.shade": "brown"}),
    Pair("burst-over-sharp-edge", "warning", {"finish.colour": "burst", "body.edge": "bevel"}, "bevel",
         {"finish.colour": "burst"}),
    Pair("metallic-needs-sample", "warning", {"finish.colour": "candy"}, "candy", {"finish.colour": "solid"}),
    Pair("film-on-oily-board", "error", {"fingerboard.finish": "film"}, "Indian rosewood",
         {"fingerboard.finish": "film", "fingerboard.wood": "maple"}),
    Pair("bare-maple-board", "error", {"fingerboard.wood": "maple"}, "maple",
         {"fingerboard.wood": "maple", "fingerboard.finish": "oil"}),
    Pair("finish-line-at-heel", "warning", THROUGH_GLOSS, "oiled", {**THROUGH_GLOSS, "neck.finish": "gloss"}),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)
