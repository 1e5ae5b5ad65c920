"""The closed lists a customer chooses from, in the words of the trade; the first value is the usual one.

The words are common practice (no source); the groups of woods that rules speak of stand beside them.
"""

from __future__ import annotations

HANDS = ("right", "left")
WINDINGS = ("nickel-plated round", "stainless round", "flat", "tape", "plain")
SPACINGS = ("equal-centres", "equal-gaps")

NUT_KINDS = ("cut", "zero fret")
NUT_MATERIALS = ("bone", "graphite-filled", "brass", "composite")

BRIDGE_KINDS = ("single units", "single units through body", "headless single units", "one-piece plate")
BRIDGE_METALS = ("brass", "steel", "aluminium")

FRETS_KINDS = ("fretted", "lined fretless", "unlined fretless")
BOARD_WOODS = (
    "Indian rosewood", "ebony", "maple", "roasted maple", "wenge", "pau ferro", "ziricote",
    "paper-resin composite", "Brazilian rosewood",
)  # fmt: skip
BINDINGS = ("none", "wood", "plastic")
INLAYS = ("none", "side only", "dots", "offset dots", "blocks", "custom")
INLAY_MATERIALS = ("plastic", "wood", "mother-of-pearl", "abalone")
BOARD_FINISHES = ("bare", "oil", "film")
WIRE_SIZES = ("medium", "narrow", "jumbo")
WIRE_METALS = ("nickel silver", "stainless")
GLUES = ("PVA", "epoxy")

PICKUP_KINDS = ("dual coil", "single coil", "split coil", "large dual coil")
PICKUP_SHELLS = ("fits the strings", "4-string soapbar", "5-string soapbar", "6-string soapbar", "slanted shell")

CONSTRUCTIONS = ("bolt-on", "neck-through")
HEADSTOCKS = ("angled", "flat", "headless")
NECK_WOODS = (
    "hard maple", "roasted maple", "maple and walnut", "maple and wenge", "wenge", "mahogany",
)  # fmt: skip
NECK_PIECES = (5, 1, 3, 7, 11)
GRAINS = ("quarter-sawn", "flat-sawn")
PROFILES = ("C", "D", "flat C", "V", "asymmetric")
NECK_FINISHES = ("oil", "satin", "gloss")
TUNER_LAYOUTS = ("2+2", "3+1", "4+0", "3+2", "4+1", "5+0", "3+3", "4+2", "6+0", "at the bridge")
ADJUSTERS = ("body-end wheel", "headstock")
BOLTS = ("4 screws", "5 screws", "6 screws", "inserts with machine screws")

BODY_WOODS = (
    "alder", "light ash", "ash", "mahogany", "khaya", "okoume", "sapele", "walnut", "basswood", "obeche",
    "wenge", "korina", "maple", "paulownia", "bubinga", "purpleheart",
)  # fmt: skip
BODY_SHAPES = ("slanted tail", "round tail")
CHAMBERINGS = ("solid", "chambered", "semi-hollow")
TOPS = ("none", "veneer", "flat", "carved")
TOP_WOODS = (
    "none", "flame maple", "quilt maple", "walnut", "koa", "maple burl", "poplar burl", "buckeye", "spalted maple",
    "ziricote", "redwood", "cedar", "Indian rosewood", "cocobolo", "bocote", "padauk", "ebony", "wenge", "korina",
    "roasted maple", "Brazilian rosewood",
)  # fmt: skip
ACCENTS = ("none", "maple veneer", "black veneer", "walnut veneer")
EDGES = ("round-over", "bevel", "natural-edge", "bound")
FOREARMS = ("carved", "bent veneer", "none")

FINISH_KINDS = ("oil", "two-component", "nitrocellulose", "water-borne", "partner polyester")
SHEENS = ("satin", "matt", "semi-gloss", "gloss")
COLOURS = ("natural", "dyed", "burst", "solid", "metallic", "candy", "fade", "custom art")
SHADES = ("wood", "pale", "amber", "red", "green", "blue", "brown", "dark", "black", "white")
PORES = ("open", "closed")
DYES = ("water dye", "oil-soluble dye", "alcohol dye")
SEALERS = ("usual for the finish", "isolating epoxy", "vinyl", "shellac")
HEADSTOCK_FACES = ("natural", "matched", "veneer matched to top")

CIRCUITS = ("passive volume and tone", "passive blend", "active two-band", "active three-band")
SUPPLIES = ("none", "9 V", "18 V")
BATTERY_PLACES = ("beside the controls", "bass side of the bridge")
JACKS = ("mono", "stereo", "locking stereo", "barrel stereo")
POT_KOHM = (250, 500, 25, 50)
COIL_SWITCHES = ("none", "series and parallel", "series, single, parallel")

TUNERS = ("standard", "ultralight")
METAL_COLOURS = ("chrome", "nickel", "black", "gold", "satin")
KNOBS = ("metal", "wood")
STRAPS = ("buttons", "locks")
RESTS = ("none", "ramp", "thumb rest")

TASTES = ("medium", "low", "high")
ATTACKS = ("medium", "light", "heavy")
PLAYING = ("fingers", "pick", "slap", "mixed")

CASES = ("hard case", "flight case", "gig bag", "double carton")
MONOGRAMS = ("none", "headplate", "cavity cover")

OPEN_PORED_WOODS = (
    "ash", "light ash", "mahogany", "khaya", "okoume", "sapele", "walnut", "wenge", "korina",
)  # fmt: skip
ROSEWOOD_FAMILY = ("Indian rosewood", "Brazilian rosewood", "cocobolo")
OILY_WOODS = (*ROSEWOOD_FAMILY, "bocote", "ziricote", "ebony")
