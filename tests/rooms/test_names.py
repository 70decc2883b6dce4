"""The vocabulary of room names."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from cordpath.model import RoomEntry
from cordpath.rooms.names.kinds import Draft, settle_kinds
from cordpath.rooms.names.tags import Tag
from cordpath.rooms.names.vocabulary import is_stop, is_weak, meaning, protects
from cordpath.rooms.names.words import CORES
from cordpath.rules.facts import ROOM_FLOOR

EXPECTED = {
    "bathroom": (
        "BATH|BATHROOM|BA|M. BATH|MSTR BATH|PRIMARY BATH|OWNER'S BATH|HALL BATH|J&J BATH|3/4 BATH|"
        "1/2 BATH|ENSUITE|ENS|WASH ROOM|PDR|PWDR|POWDER|PDR RM|W.C.|WC|TOILET|BATH 2|BATH - UPSTAIRS|Kid's Bath|"
        "SHOWER RM|STEAM RM|BTHRM|BATH2|BATH-2|W/C|WASH RM"
    ),
    "kitchen": "KIT|KIT.|KITCHEN|2ND KIT.|Kitchen|KTCH",
    "food area": "WET BAR|W. BAR|COFFEE BAR|BUTLER'S PANTRY|SCULLERY|MORNING KIT.|KITCHENETTE|K'ETTE|BACK KITCHEN",
    "dining": "DIN|DINING RM|NOOK|BRKFST|BKFST NOOK|B'FAST|EATING AREA|MORNING RM",
    "laundry": "LAUN.|LAU.|LAUNDRY|LNDRY|W/D|LAUN/MUD|LAUNDRY CL.|STACK W/D|LAUNDRY NICHE",
    "garage": "GAR.|GARAGE|2-CAR GAR.|3 CAR GARAGE|TWO CAR GARAGE|RV GAR.|GARAGE 303",
    "accessory building": "SHOP|WORKSHOP|SHED|STOR. BLDG|BARN|PUMP HOUSE",
    "basement": "BSMT|BSMNT|BSM'T|BASEM'T|UNFIN. BSMNT|UNFINISHED|FIN. BSMT|LOWER LEVEL|L.L.|CELLAR|ROOT CELLAR",
    "crawl space": "CRAWL|CRAWL SPACE|C.S.",
    "utility": "MECH|MECH RM|FURN.|HVAC|W.H.|ELEC. RM|UTIL CL.",
    "outdoors": (
        "PORCH|FRONT PORCH|COV. PORCH|SCR. PORCH|DECK|PATIO|FRONT PATIO|BALC|LANAI|BREEZEWAY|OUTDOOR KIT.|CARPORT"
    ),
    "bedroom": "BR 2|BEDROOM #3|MBR|M. BR|MSTR|MASTER|PRIMARY BR|OWNER'S SUITE|NURSERY|BEDROOM - WEST|GUEST",
    "living": (
        "LIV|LR|LIVING ROOM|GREAT RM|FAM|DEN|STUDY|OFC|GAME ROOM|LOFT|SUN RM|REC. ROOM|EXERCISE/GYM|TV ROOM|LOFT/TV"
    ),
    "hall": "HALL|FOYER|FOYER - GARAGE|ENTRY FOYER|STAIR|MUD RM|VEST.|LANDING",
    "closet": "CL|CLO|W.I.C.|W.I. CL.|LIN|LINEN|COATS|CLOSET - WALK-IN|DEN STORAGE|PANTRY|WIP|BATH CLOSET",
    "boathouse": "BOAT HOUSE",
    "attic": "ATTIC|ATTIC STOR.|KNEE WALL",
}


@pytest.mark.parametrize(("kind", "name"), [(k, n) for k, names in EXPECTED.items() for n in names.split("|")])
def test_names_of_plans(kind: str, name: str) -> None:
    found = meaning(name)
    assert found is not None and found.kind == kind


@pytest.mark.parametrize(
    "text",
    ["OPEN TO BELOW", "UP", "DN", "REF", "DW", "9'-0\" CLG", "12'-0\" x 14'-6\"", "R&S", "PROVIDE GFCI IN GARAGE",
     "DOOR TO GARAGE", "STAIRS TO BEDROOM", "STAIR TO BONUS ROOM", "OPEN TO LIVING", "TO LIVING ROOM",
     "ACCESS TO ATTIC", "UP TO LOFT", "SECOND FLOOR PLAN", "KITCHEN FLOOR PLAN", "A-301", "SLOPE", "LOREM", "C",
     "TV", "T.V.", "(TV)", "TV 2", "6 MIL VAPOR BARRIER"],
)  # fmt: skip
def test_text_that_names_no_room(text: str) -> None:
    assert meaning(text) is None


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("KITCHEN & NOOK", "kitchen"),
        ("MUD/LAUNDRY", "laundry"),
        ("BATH/LAUNDRY", "bathroom"),
        ("LAUNDRY AND PANTRY", "laundry"),
    ],
)
def test_two_uses_in_a_name_take_the_stricter_and_say_so(text: str, kind: str) -> None:
    found = meaning(text)
    assert found is not None and found.kind == kind
    assert found.doubt is not None and "several uses" in found.doubt


def test_upper_in_short_changes_no_name() -> None:
    """UPR HALL was only partly known, and each of its outlets a question."""
    found = meaning("UPR HALL")
    assert found is not None and found.kind == "hall" and found == meaning("UPPER HALL")


@pytest.mark.parametrize(("text", "finished"), [("UNFIN. BSMT", False), ("FIN. BSMT", True), ("BSMT", None)])
def test_finished(text: str, finished: bool | None) -> None:
    found = meaning(text)
    assert found is not None and found.finished is finished


@pytest.mark.parametrize(
    ("text", "kind"),
    [("GARAGE STORAGE", "garage"), ("GARAGE CLOSET", "garage"), ("GARAGE OFFICE", "garage"),
     ("KITCHEN DINING", "kitchen"), ("KITCHEN LIVING", "kitchen"), ("COVERED PATIO DINING", "outdoors"),
     ("PORCH STORAGE", "outdoors"), ("LAUNDRY HALL", "laundry"), ("BASEMENT STAIR", "basement")],
)  # fmt: skip
def test_a_part_of_a_place_is_the_place_and_says_so(text: str, kind: str) -> None:
    found = meaning(text)
    assert found is not None and found.kind == kind and found.doubt is not None and found.stem


@pytest.mark.parametrize(
    ("text", "kind", "finished"),
    [("BASEMENT OFFICE", "basement", True), ("BASEMENT STORAGE", "basement", None),
     ("UNFINISHED BASEMENT STORAGE", "basement", False), ("COVERED ENTRY", "outdoors", None),
     ("COV'D FRONT ENTRY", "outdoors", None), ("SCREENED DINING", "outdoors", None),
     ("CAR STORAGE", "garage", None), ("RV BAY", "garage", None)],
)  # fmt: skip
def test_parts_that_are_surely_the_place(text: str, kind: str, finished: bool | None) -> None:
    found = meaning(text)
    assert found is not None and (found.kind, found.finished, found.doubt) == (kind, finished, None)


@pytest.mark.parametrize(
    ("text", "kind"),
    [("GARAGE ENTRY", "hall"), ("KITCHEN HALL", "hall"), ("BATH CLOSET", "closet"), ("BASEMENT BATH", "bathroom"),
     ("ENTRY PORCH", "outdoors"), ("LAUNDRY CLOSET", "laundry")],
)  # fmt: skip
def test_what_leads_to_a_place_or_belongs_to_it_is_no_part_of_it(text: str, kind: str) -> None:
    found = meaning(text)
    assert found is not None and found.kind == kind and found.doubt is None


def test_basin_test_names() -> None:
    assert all(meaning(n).basin_test for n in ("POWDER", "PDR", "WC", "TOILET"))  # type: ignore[union-attr]
    assert not meaning("HALL BATH").basin_test  # type: ignore[union-attr]


def test_labels_of_parts_are_weak() -> None:
    assert is_weak("SHOWER") and is_weak("LIN.") and not is_weak("BATH") and not is_weak("KITCHEN")


def test_every_core_is_known_by_its_own_words() -> None:
    for row in CORES:
        names = row.names
        while "(" in names:
            names = re.sub(r"\([^()]*\)\??", "", names)
        for name in names.split("|"):
            if name.isalpha() and name.isupper():
                found = meaning(name)
                assert found is not None, name


@given(st.text(max_size=60))
def test_any_text_is_read_without_failing(text: str) -> None:
    meaning(text)
    is_stop(text)
    is_weak(text)


@given(st.sampled_from(["KITCHEN", "BATH", "GARAGE", "DEN"]), st.integers(1, 999))
def test_a_number_changes_nothing(name: str, number: int) -> None:
    plain, numbered = meaning(name), meaning(f"{name} {number}")
    assert plain is not None and numbered is not None and plain.kind == numbered.kind


def test_user_entries_match_whole_names_without_case() -> None:
    entries = (RoomEntry("LAB.*", "kitchen"),)
    assert meaning("Lab 3", entries).kind == "kitchen"  # type: ignore[union-attr]
    assert meaning("COLLAB", entries) is None


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("SLEEPING PORCH", "outdoors"), ("PORCH BEDROOM", "outdoors"), ("SUN PORCH", "outdoors"),
        ("ENCLOSED PORCH", "outdoors"), ("ENCL. PATIO", "outdoors"), ("GLASSED-IN PORCH", "outdoors"),
        ("3-SEASON", "outdoors"), ("THREE SEASON ROOM", "outdoors"), ("3-SEASON PORCH", "outdoors"),
        ("SPA", "outdoors"), ("MASTER SPA", "outdoors"), ("WINE CELLAR", "basement"),
        ("WORK ROOM", "accessory building"), ("WORK AREA", "accessory building"),
        ("TOOL ROOM", "accessory building"),
        ("POOL STORAGE", "accessory building"), ("BOAT STORAGE", "accessory building"),
        ("MOWER STORAGE", "accessory building"), ("KAYAK STOR.", "accessory building"),
        ("UNCONDITIONED STORAGE", "accessory building"), ("EXT. STORAGE", "outdoors"),
        ("GARDEN STORAGE", "accessory building"), ("BAR LOUNGE", "food area"), ("BAR STORAGE", "food area"),
    ],
)  # fmt: skip
def test_a_name_that_may_be_two_places_asks(name: str, kind: str) -> None:
    """The kind that asks for protection, in doubt: neither cleared nor asked for without a question.

    Common practice, no source.
    """
    found = meaning(name)
    assert found is not None and found.kind == kind and found.doubt


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("CAR LIFT", "garage"), ("AUTO LIFT", "garage"), ("BOAT LIFT", "boathouse"), ("BOAT SLIP", "boathouse"),
        ("BATH SUITE", "bathroom"), ("TUB ROOM", "bathroom"), ("WINE ROOM", "closet"), ("WINE", "closet"),
        ("WINE STORAGE", "closet"), ("MAID'S ROOM", "bedroom"), ("MAID'S QUARTERS", "bedroom"),
        ("4-SEASON ROOM", "living"), ("FOUR SEASONS ROOM", "living"), ("GARDEN BATH", "bathroom"),
        ("POOL BATH", "bathroom"), ("BAR HALL", "hall"), ("CABANA BATH", "bathroom"), ("POOL ROOM", "damp or wet"),
    ],
)  # fmt: skip
def test_names_that_went_to_another_kind(name: str, kind: str) -> None:
    """A car lift is no elevator, a boat lift neither.  Common practice, no source."""
    found = meaning(name)
    assert found is not None and found.kind == kind


# House rooms whose outlets some edition protects, and words that pull towards a kind that asks for nothing.  From
# memory of the trade, no source: none of them may be cleared without a question.
PROTECTED = (
    "POWDER|WET BAR|SCULLERY|BUTLER'S PANTRY|CRAWL|UNFIN. STORAGE|CABANA BATH|POOL EQUIP|BOATHOUSE|CARPORT|LANAI|"
    "COVERED LANAI|OUTDOOR LIVING|POOL BATH|CABANA|ROOT CELLAR|WORKSHOP|HOBBY SHOP|WOOD SHOP|GARDEN SHED|"
    "BREEZEWAY|UTILITY/LAUNDRY|MUD/LAUNDRY|SEWING/LAUNDRY|CRAFT/LAUNDRY|DRY BAR|KITCHENETTE|PREP KITCHEN|"
    "CATERER'S KITCHEN|SPICE KITCHEN|COFFEE BAR|GAME ROOM/BAR|SNACK BAR|SAUNA|STEAM|INDOOR POOL|JACK & JILL|"
    "HALF BATH|1/2 BATH|WATER CLOSET|LAV.|TOILET RM|VANITY|LOGGIA|PORTE COCHERE|VERANDA|STOOP|MOTOR COURT|"
    "COURTYARD|SIDE YARD|2-CAR GARAGE|3 CAR GAR.|RV GARAGE|MOTORCYCLE GARAGE|GOLF CART|GARAGE STOR.|LOWER LEVEL|"
    "UNFINISHED BASEMENT|FIN. BASEMENT|FUTURE BATH|FUTURE KITCHEN|SUMP|ROOF TERRACE|OUTDOOR SHOWER|LAP POOL|BARN|"
    "SERVICE PORCH|LAUNDRY PORCH|KITCHEN PORCH|GARAGE LOFT|BASEMENT BATH|BASEMENT KITCHEN|GARAGE BATH|"
    "SHOP/GARAGE|STUDIO/SHOP|BATH/LAUNDRY|LAUND/PWDR|KIT/DIN|ENSUITE|SHOWER ROOM|WET ROOM|GARAGE OFFICE|"
    "GARAGE WORKSHOP|BASEMENT OFFICE|BASEMENT DEN|BSMT. FAMILY|KITCHEN OFFICE|KITCHEN NOOK|PANTRY/BAR|LIVING/BAR|"
    "LAUNDRY HALL|OPEN PORCH|ENTRY PORCH|DINING PORCH|BREAKFAST PATIO|LIVING TERRACE|STUDY/BATH|FLEX/BATH|"
    "GYM/BATH|LAUNDRY CLOSET|MECH/LAUNDRY|HVAC/LAUN|STORAGE/SHOP|STORAGE/GARAGE|KITCHEN/GREAT ROOM|"
    "EAT-IN KITCHEN|DEN/BASEMENT|BASEMENT BAR|UNFINISHED ROOM|PARTIAL BASEMENT|LOWER LAUNDRY|DECK STORAGE|"
    "PATIO STORAGE|OUTDOOR STORAGE|SCREEN ROOM"
)
# Cleared though the words before the last were not known: a confidence of 0.75 is enough for the rules.
HALF_KNOWN = (
    "W/D CLOSET|W & D CL.|WASHER CLOSET|DRYER CLO|WASHER/DRYER CLOSET|WASH CLOSET|WTR CLO|WATER CLO.|"
    "FIREPIT LOUNGE|POOLSIDE LOUNGE|ROOFTOP LOUNGE|TOILET CLOSET|WC CLO.|SHOWER CLOSET|PORTICO ENTRY|GAZEBO LOUNGE|"
    "PERGOLA DINING|CABANA LOUNGE|STOOP ENTRY|GARDEN DINING|POOL DINING|LAWN BRKFST"
)
CLEAR = ("bedroom", "living", "dining", "hall", "closet", "attic", "other", "utility")


@pytest.mark.parametrize("name", HALF_KNOWN.split("|"))
def test_half_known_names_of_protected_rooms_are_not_cleared(name: str) -> None:
    found = meaning(name)
    assert found is not None and found.kind not in CLEAR


@pytest.mark.parametrize("name", PROTECTED.split("|"))
def test_names_of_protected_rooms_are_never_cleared_for_sure(name: str) -> None:
    found = meaning(name)
    assert found is None or found.kind not in CLEAR or found.doubt or not found.sure
    assert found is not None


@pytest.mark.parametrize(
    ("name", "kind", "also"),
    [
        ("PREP KITCHEN", "food area", ("kitchen",)),
        ("WH", "utility", ("garage", "basement")),  # the water heater of a garage that bears no name was its room
        ("FURNACE", "utility", ("garage", "basement")),
        ("KITCHENETTE", "food area", ("kitchen",)),
        ("MORNING KIT.", "food area", ("kitchen",)),
        ("WET BAR", "food area", ()),
        ("KITCHEN/LAUNDRY", "kitchen", ("laundry",)), ("LAUNDRY & KITCHEN", "kitchen", ("laundry",)),
        ("BAR/PATIO", "food area", ("outdoors",)), ("PATIO BAR", "food area", ("outdoors",)),
        ("POOL BAR", "food area", ("accessory building",)), ("GARAGE KITCHEN", "kitchen", ("garage",)),
        ("BASEMENT BAR", "food area", ("basement",)), ("BASEMENT KITCHEN", "kitchen", ("basement",)),
        ("KITCHEN - BASEMENT", "kitchen", ("basement",)), ("CELLAR BAR", "food area", ("basement",)),
        ("BASEMENT BATH", "bathroom", ("basement",)), ("GARAGE BATH", "bathroom", ()), ("KITCHEN", "kitchen", ()),
        ("KITCHEN/DINING", "kitchen", ()), ("BATH/LAUNDRY", "bathroom", ()),
    ],
)  # fmt: skip
def test_what_else_a_name_tells_is_kept_where_its_kind_is_not_protected_by_every_edition(
    name: str, kind: str, also: tuple[str, ...]
) -> None:
    """Until 2020 a kitchen's receptacle away from the counter, and all of a bar, need nothing of their own."""
    found = meaning(name)
    assert found is not None and (found.kind, found.also) == (kind, also)


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("STORAGE - GARAGE", "garage"), ("REC ROOM - BASEMENT", "basement"), ("CRAWL STORAGE", "crawl space"),
        ("SUMP CLOSET", "basement"), ("CAR GALLERY", "garage"), ("CAR LOUNGE", "garage"),
        ("AUTO GALLERY", "garage"), ("SCREENED OFFICE", "outdoors"), ("COVERED HALL", "outdoors"),
        ("SHOP OFFICE", "accessory building"),
        ("YARD STORAGE", "outdoors"),
    ],
)  # fmt: skip
def test_the_place_of_a_part_is_not_passed_over(name: str, kind: str) -> None:
    """Each of these was a closet, a hall or a room for living, and was cleared.  Common practice, no source."""
    found = meaning(name)
    assert found is not None and found.kind == kind


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("COURTYARD BEDROOM", "bedroom"), ("BEDROOM - WEST", "bedroom"), ("CLOSET - WALK-IN", "closet"),
        ("2 CAR GARAGE", "garage"), ("FOYER - GARAGE", "hall"), ("SAUNA DRESSING", "closet"),
        ("DRIVE HALL", "hall"), ("LOFT OVER GARAGE", "living"), ("STORAGE OVER THE GARAGE", "closet"),
    ],
)  # fmt: skip
def test_a_room_named_after_a_place_beside_it_is_not_in_it(name: str, kind: str) -> None:
    found = meaning(name)
    assert found is not None and found.kind == kind


@pytest.mark.parametrize(
    "name", ["MECH. CLOSET", "FURN. CL.", "FURNACE CLOSET", "HVAC CLO", "ELEC. CLOSET", "W.H. CLOSET"]
)
def test_a_closet_of_equipment_is_no_closet_for_clothes(name: str) -> None:
    """The receptacle there may be the one for servicing the equipment (NEC 210.63)."""
    found = meaning(name)
    assert found is not None and found.kind == "utility"


# Dictionaries' words for the rooms of a house; which kind they are is common practice, no source.
@pytest.mark.parametrize(
    ("name", "kind"),
    [("SALA", "living"), ("COCINA", "kitchen"), ("BAÑO 2", "bathroom"), ("MEDIO BAÑO", "bathroom"),
     ("LAVANDERÍA", "laundry"), ("RECÁMARA 1", "bedroom"), ("SÓTANO", "basement"), ("TERRAZA", "outdoors"),
     ("SALLE DE BAIN", "bathroom"), ("SALLE D'EAU", "bathroom"), ("CUISINE", "kitchen"), ("BUANDERIE", "laundry"),
     ("CHAMBRE DES MAÎTRES", "bedroom"), ("SOUS-SOL", "basement"), ("SALLE À MANGER", "dining"),
     ("FOY.", "hall"), ("LNDY", "laundry"), ("PWD.", "bathroom"), ("MBATH", "bathroom"), ("STUDY NICHE", "living"),
     ("1/2 BAÑO", "bathroom"), ("½ BANO", "bathroom"), ("ASEO", "bathroom"), ("SANITARIO 2", "bathroom"),
     ("COMFORT ROOM", "bathroom"), ("CTO. LAVADO", "laundry"), ("CTO. DE LAVADO", "laundry"),
     ("LAVADERO", "laundry"), ("VARANDA", "outdoors"), ("KITCHEN (REMODELED)", "kitchen"),
     ("BEDROOM 2 (E)", "bedroom")],
)  # fmt: skip
def test_names_in_spanish_and_french_and_short_or_worked_on(name: str, kind: str) -> None:
    found = meaning(name)
    assert found is not None and found.kind == kind and found.sure


@pytest.mark.parametrize("name", ["CHAMBRE FROIDE", "BODEGA", "TALLER", "SOLARIUM", "ATRIUM", "SALLE", "DE BAIN"])
def test_foreign_words_of_several_meanings_stay_unknown(name: str) -> None:
    assert meaning(name) is None


@pytest.mark.parametrize(
    ("name", "kind"),
    [("ALFRESCO DINING", "outdoors"), ("AL FRESCO", "outdoors"), ("OPEN AIR LIVING", "outdoors"),
     ("PREP PANTRY", "food area"), ("CHEF'S PANTRY", "food area"), ("WORKING PANTRY", "food area")],
)  # fmt: skip
def test_places_whose_first_word_tells_more_than_the_last(name: str, kind: str) -> None:
    """They passed for a dining or living room, or a store, that nothing asks protection in.

    Common practice, no source.
    """
    found = meaning(name)
    assert found is not None and found.kind == kind


# Common practice, no source.  Of each name all that matters is known: none is asked about.
PLAIN_ROOMS = (
    "CLOSET (CARPET)|GREAT ROOM (VAULTED)|LIVING ROOM 10' CLG.|BEDROOM 2 9'-0\" CLG. HT.|2-STORY GREAT ROOM|"
    "EMMA'S BEDROOM|GRANDMA'S BEDROOM|HER W.I.C.|W/I CLOSET|A/V CLOSET|PRI. SUITE|FORM. DINING|BRK. NOOK|"
    "READING ROOM|HOME CINEMA|YOGA STUDIO|WORKOUT ROOM|DINNING ROOM|LINEN CL.|STAIRS UP|BALCONY HALL|"
    "COURTYARD HALL|CEDAR CLOSET|CLASSROOM|FLEX SPACE|STUDIO BEDROOM|BEDROOM, GUEST|CLOSET, WALK-IN"
)
# Of each a word is not known, or tells a place that some edition protects: none is cleared.
NOT_PLAIN_ROOMS = (
    "COLD STORAGE|MUD/WASH|WASH & MUD|ROOT STORAGE|BIKE STORAGE|WOOD STORAGE|FIREWOOD STOR.|COAL STORAGE|"
    "LANI LIVING|PATO DINING|TERR. LIVING|SUMMER DINING|SCRN'D LIVING|CVD ENTRY|CVRD. ENTRY|BSMNT STORAGE|"
    "CRWL STORAGE|GRGE STORAGE|POOL HOUSE LIVING|WET ENTRY|DRYING CLOSET|SERVICE ENTRY|UNFIN. MECH.|BATH, MASTER|"
    "BUT. PANTRY|WET PANTRY|EQUIPMENT STORAGE|DETACHED STORAGE|FREEZER STORAGE|UNDER-HOUSE STORAGE"
)


def cleared(name: str) -> bool:
    """Would a room of this name, with nothing in it, pass for one whose place no rule asks about?"""
    found = meaning(name)
    draft = Draft(box(0, 0, 1, 1), Tag(name, (0.0, 0.0), 1.0, ("", 1.0), None, found), None)
    settle_kinds([draft], (), (), 1.0)
    return (
        draft.kind != "unknown" and draft.confidence >= ROOM_FLOOR and not protects(draft.kind) and not draft.also
    )


@pytest.mark.parametrize("name", PLAIN_ROOMS.split("|"))
def test_a_name_of_which_all_that_matters_is_known_is_not_asked_about(name: str) -> None:
    assert cleared(name)


@pytest.mark.parametrize("name", NOT_PLAIN_ROOMS.split("|"))
def test_a_name_of_which_a_word_is_not_known_clears_nothing(name: str) -> None:
    assert not cleared(name)


@pytest.mark.parametrize(("name", "also"), [("LANI BAR", ("outdoors",)), ("GRILL KITCHEN", ("outdoors",)),
                                            ("GOURMET KITCHEN", ())])  # fmt: skip
def test_an_unknown_word_may_put_a_kitchen_outdoors(name: str, also: tuple[str, ...]) -> None:
    """Until 2020 a kitchen's receptacle away from the counter needs nothing of its own."""
    found = meaning(name)
    assert found is not None and found.also == also


@pytest.mark.parametrize("text", ["DESK", "BENCH", "BUILT-INS", "LOCKERS", "ISLAND", "SLOPED CLG", "TRAY CLG."])
def test_furniture_and_ceilings_name_no_room(text: str) -> None:
    assert meaning(text) is None and is_stop(text)
