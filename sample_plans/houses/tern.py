"""Tern Street House: a narrow cottage, in the manner of a plotter file on a turned page.

Cases on purpose: kitchen open to the family room, a room that the mapping file declares damp, laundry and
mud room in one, a bath with two outlets of which one is protected, a hall outlet at a bath's door, and an
office outlet behind a bath's wall; hatching on floors.
"""

from drawing.house import (
    SAME_CIRCUIT,
    Circuit,
    Device,
    Dims,
    Fixture,
    Floor,
    House,
    Opening,
    Piece,
    Room,
    View,
    Wall,
)

DUPLEX, QUAD, V240, FLOOR = "duplex receptacle", "quadruplex receptacle", "240 V receptacle", "floor receptacle"
LIGHT, CAN, SCONCE, SWITCH = "ceiling light", "recessed light", "wall light", "switch"
SD, EF, J, DATA = "smoke detector", "exhaust fan", "junction box", "data outlet"
UP = (0.0, -1.0)

WALLS = (
    Wall((13, 0.25), (13, 4)),
    Wall((0.25, 15), (13, 15)),
    Wall((13, 15), (13, 41.75)),
    Wall((9, 15), (9, 41.75)),
    Wall((0.25, 23), (9, 23)),
    Wall((0.25, 31), (9, 31)),
    Wall((13, 20), (29.75, 20)),
    Wall((13, 30), (29.75, 30)),
    Wall((22, 20), (22, 30)),
    Wall((22, 30), (22, 41.75)),
    Wall((22, 38), (29.75, 38)),
    Wall((0.25, 33.1875), (6.5, 33.1875)),
    Wall((6.5, 31), (6.5, 33.1875)),
)

OPENINGS = (
    Opening("window", (0.25, 5), (0.25, 9)),
    Opening("slider", (17, 0.25), (25, 0.25)),
    Opening("window", (29.75, 6), (29.75, 14)),
    Opening("door", (0.25, 19.2), (0.25, 16.5333), 1),
    Opening("window", (0.25, 25.6), (0.25, 27.6)),
    Opening("window", (0.25, 35), (0.25, 39)),
    Opening("window", (2, 41.75), (7, 41.75)),
    Opening("door", (9.5, 41.75), (12.5, 41.75), -1),
    Opening("window", (15, 41.75), (20, 41.75)),
    Opening("window", (29.75, 33), (29.75, 35)),
    Opening("window", (29.75, 22), (29.75, 28)),
    Opening("door", (5.2, 15), (7.8667, 15), 1),
    Opening("cased", (9.3, 15), (12.7, 15)),
    Opening("door", (9, 30.2), (9, 27.7), -1),
    Opening("door", (9, 34.4), (9, 37.0667), 1),
    Opening("door", (13, 28.8), (13, 26.1333), 1),
    Opening("door", (13, 33.4), (13, 36.0667), -1),
    Opening("door", (22, 25.4), (22, 28.0667), -1),
    Opening("door", (22, 36.8), (22, 34.3), 1),
    Opening("door", (22, 41.2), (22, 38.7), 1),
    Opening("bifold", (1, 33.1875), (5.5, 33.1875), 1),
    Opening("window", (2, 0.25), (5, 0.25)),
)

ROOMS = (
    Room("KIT.", "1", "kitchen", (6.2, 11.3)),
    Room("FAM. RM.", "2", "living", (21.4, 5.4)),
    Room("LAUN./MUD", "3", "laundry", (3.9, 18.9)),
    Room("HALL", "4", "hall", (11, 21.8)),
    Room("BA 1", "5", "bathroom", (6.1, 26.0)),
    Room("BR 2", "6", "bedroom", (6.0, 39.2)),
    Room("CL.", "", "closet", (3.2, 32.1)),
    Room("OFC", "7", "living", (17.5, 24.4)),
    Room("PLUNGE ROOM", "8", "damp or wet", (26, 22.4)),
    Room("M. BR", "9", "bedroom", (18.4, 33.0)),
    Room("M. BA", "10", "bathroom", (26.2, 33.2)),
    Room("W.I.C.", "11", "closet", (26.6, 39.4)),
    Room("COV. PORCH", "", "outdoors", (11, 45.2), outline=((7, 42), (15, 42), (15, 47), (7, 47))),
    Room("DECK", "", "outdoors", (21, -4.4), outline=((14, -8), (28, -8), (28, 0), (14, 0))),
)

FIXTURES = (
    Fixture("kitchen sink", "KIT.", (1.5, 7.0), 90),
    Fixture("dishwasher", "KIT.", (1.54, 9.6), 90),
    Fixture("range", "KIT.", (7.4, 1.5833), 0),
    Fixture("refrigerator", "KIT.", (11.2, 1.8), 0),
    Fixture("washer", "LAUN./MUD", (1.7, 21.65), 180),
    Fixture("dryer", "LAUN./MUD", (4.2, 21.65), 180),
    Fixture("laundry sink", "LAUN./MUD", (7.7, 21.8), 180),
    Fixture("bathtub", "BA 1", (3.05, 29.56), 180),
    Fixture("lavatory", "BA 1", (6.6, 24.04), 0),
    Fixture("water closet", "BA 1", (2.9, 24.4), 0),
    Fixture("lavatory", "M. BA", (24.4, 31.04), 0),
    Fixture("lavatory", "M. BA", (27.2, 31.04), 0),
    Fixture("shower", "M. BA", (27.75, 36.31), 180),
    Fixture("water closet", "M. BA", (24.2, 36.64), 180),
)

OUTLETS = (
    Device(DUPLEX, "KIT.", (0.5, 3.4), "A-1", ('+42"',), counter=True, expect="PPP",
           why="GFCI breaker of circuit 1"),
    Device(DUPLEX, "KIT.", (5.6, 0.5), "A-23", ('+42"',), counter=True, expect="MMM", why="ordinary breaker"),
    Device(DUPLEX, "KIT.", (9.1, 0.5), "A-3", ("GFI", '+42"'), counter=True, expect="PPP", why="GFI at the outlet"),
    Device(V240, "KIT.", (7.4, 0.5), "A-2,4", ("RANGE",), expect="NNM", why="range, over 6 ft from the bowl"),
    Device(DUPLEX, "KIT.", (10.3, 0.5), "A-7", ("REF",), expect="NNM", why="over 6 ft from the bowls"),
    Device(DUPLEX, "KIT.", (0.5, 10.9), "A-5", ("DW",), expect="MMM", why="dishwasher, ordinary breaker"),
    Device(DUPLEX, "KIT.", (0.5, 12.4), "A-1", ('+42"',), counter=True, expect="PPP",
           why="GFCI breaker of circuit 1"),
    Device(DUPLEX, "KIT.", (8.6, 14.8), "A-1", expect="NNP", why="kitchen, no counter, over 6 ft from the bowls"),
    Device(DUPLEX, "FAM. RM.", (13.2, 2.2), "A-9", expect="NNN"),
    Device(DUPLEX, "FAM. RM.", (27.6, 0.5), "A-9"),
    Device(DUPLEX, "FAM. RM.", (29.5, 16.8), "A-9"),
    Device(QUAD, "FAM. RM.", (21.4, 19.8), "A-9"),
    Device(DUPLEX, "FAM. RM.", (15.4, 19.8), "A-9"),
    Device(FLOOR, "FAM. RM.", (18.2, 11.6), "A-9", facing=UP),
    Device(DUPLEX, "LAUN./MUD", (1.7, 22.8), "A-11", ("W",), expect="UUU", why=SAME_CIRCUIT),
    Device(V240, "LAUN./MUD", (4.2, 22.8), "A-6,8", ("DRYER",), expect="NMM", why="240 V, in the list from 2020"),
    Device(DUPLEX, "LAUN./MUD", (8.8, 19.6), "A-11", ("GFI",), expect="PPP", why="GFI at the outlet"),
    Device(DUPLEX, "HALL", (9.2, 26.9), "A-13", expect="NMM",
           why="under 6 ft to the bath's lavatory or tub, through its door"),
    Device(DUPLEX, "HALL", (12.8, 17.6), "A-13", expect="NNN"),
    Device(DUPLEX, "BA 1", (8.4, 23.2), "A-16", ("GFI",), expect="PPP", why="GFI at the outlet"),
    Device(DUPLEX, "BA 1", (0.5, 24.4), "A-15", expect="MMM", why="bathroom, no protection shown"),
    Device(DUPLEX, "OFC", (17.6, 20.2), "A-17", expect="NNN"),
    Device(QUAD, "OFC", (13.2, 22.6), "A-17", expect="NNN"),
    Device(DUPLEX, "OFC", (21.8, 23.6), "A-17", expect="NNN"),
    Device(DUPLEX, "PLUNGE ROOM", (24.2, 29.8), "A-26", expect="NMM",
           why="declared damp; a lavatory is 1 ft away behind the wall"),
    Device(DUPLEX, "PLUNGE ROOM", (29.5, 21.2), "A-19", ("GFI/WP",), expect="NPP", why="declared damp; GFI"),
    Device(DUPLEX, "M. BR", (13.2, 31.6), "A-10"),
    Device(DUPLEX, "M. BR", (13.2, 40.2), "A-10"),
    Device(DUPLEX, "M. BR", (21.8, 30.9), "A-10", expect="NNN",
           why="a lavatory is 2 ft away behind the wall; the cord would go round by the bath's door"),
    Device(DUPLEX, "M. BR", (21.0, 41.5), "A-10"),
    Device(DUPLEX, "M. BA", (25.8, 30.2), "A-16", expect="PPP", why="bathroom, GFCI breaker of circuit 16"),
    Device(DUPLEX, "M. BA", (29.5, 31.6), "A-18", expect="MMM", why="bathroom, ordinary breaker"),
    Device(DUPLEX, "BR 2", (0.5, 34.2), "A-12"),
    Device(DUPLEX, "BR 2", (0.5, 40.4), "A-12"),
    Device(DUPLEX, "BR 2", (8.0, 41.5), "A-12"),
    Device(DUPLEX, "BR 2", (7.6, 31.2), "A-12", expect="NNN"),
    Device(DUPLEX, "COV. PORCH", (14, 42), "A-25", ("WP",), expect="MMM", why="outdoors, no protection shown"),
    Device(DUPLEX, "DECK", (15, 0), "A-14", ("WP", "GFI"), expect="PPP", why="GFI at the outlet"),
    Device(DUPLEX, "DECK", (27, 0), "A-20", ("WP",), expect="PPP", why="outdoors, GFCI breaker of circuit 20"),
)  # fmt: skip

LOOKALIKES = (
    *(Device(LIGHT, r, p, facing=UP) for r, p in (
        ("FAM. RM.", (21.4, 9.8)), ("BR 2", (4.6, 36.8)), ("M. BR", (17.6, 36.6)), ("OFC", (17.5, 27.4)),
        ("HALL", (11, 19.0)), ("HALL", (11, 30.8)), ("LAUN./MUD", (6.8, 18.2)), ("PLUNGE ROOM", (26, 26.6)),
        ("W.I.C.", (28.4, 40.4)),
    )),
    *(Device(CAN, "KIT.", p, facing=UP) for p in ((4.6, 4.6), (9.2, 4.6), (4.6, 8.6), (9.2, 8.6), (9.2, 12.6))),
    *(Device(SCONCE, r, p) for r, p in (
        ("BA 1", (5.2, 23.2)), ("M. BA", (23.0, 30.2)), ("M. BA", (28.8, 30.2)), ("COV. PORCH", (8.2, 42)),
        ("DECK", (16.1, 0)), ("FAM. RM.", (29.5, 4.4)),
    )),
    *(Device(SD, r, p, facing=UP) for r, p in (
        ("HALL", (11, 24.6)), ("BR 2", (7.8, 38.0)), ("M. BR", (15, 38.8)), ("FAM. RM.", (15, 16.4)),
    )),
    *(Device(EF, r, p, facing=UP) for r, p in (
        ("BA 1", (4.6, 26.6)), ("M. BA", (24.2, 34.2)), ("LAUN./MUD", (7.8, 17.2)), ("PLUNGE ROOM", (28.4, 24.8)),
    )),
    Device(J, "FAM. RM.", (24.6, 9.8), facing=UP),
    *(Device(DATA, r, p) for r, p in (("FAM. RM.", (22.6, 19.8)), ("OFC", (13.2, 23.9)), ("M. BR", (13.2, 39.0)))),
    *(Device(SWITCH, r, p, facing=UP) for r, p in (
        ("KIT.", (4.6, 14.4)), ("FAM. RM.", (13.8, 15.6)), ("LAUN./MUD", (1.0, 15.8)), ("BA 1", (8.4, 27.2)),
        ("OFC", (13.7, 25.6)), ("M. BR", (13.7, 36.7)), ("BR 2", (8.4, 37.6)), ("M. BA", (22.7, 33.8)),
        ("PLUNGE ROOM", (22.7, 24.9)), ("HALL", (12.4, 40.6)),
    )),
    Device("lighting panel", "LAUN./MUD", (8.8, 16.6), labels=("PANEL A",)),
)  # fmt: skip

PIECES = (
    Piece("sofa", (19, 13, 26, 16), 180),
    Piece("plain", (20.6, 10.8, 24.4, 12.2)),
    Piece("table", (13.6, 5.2, 18.6, 10.0)),
    Piece("desk", (18.6, 22.0, 21.7, 24.6), 270),
    Piece("bed", (15.0, 36.6, 20, 41.4), 180),
    Piece("bed", (0.8, 36.8, 3.8, 41.4), 180),
    Piece("shelf", (0.5, 31.2, 6.3, 32.2)),
    Piece("shelf", (22.2, 40.6, 29.5, 41.5), 180),
    Piece("round", (26.6, 26.2, 29.2, 28.8)),
)

COUNTERS = (
    ((6.15, 0.5), (6.15, 2.58), (2.6, 2.58), (2.6, 13.6), (0.5, 13.6)),
    ((8.65, 0.5), (8.65, 2.58), (9.74, 2.58), (9.74, 0.5)),
    ((22.19, 32.3), (29.5, 32.3)),
)

DIMS = (
    Dims((0, 0), (30, 0), (0, 13, 30), 168),
    Dims((0, 0), (30, 0), (0, 30), 192),
    Dims((30, 42), (0, 42), (0, 8, 17, 21, 30), 112),
    Dims((0, 42), (0, 0), (0, 11, 19, 27, 42), 46),
    Dims((0, 42), (0, 0), (0, 42), 72),
    Dims((30, 0), (30, 42), (0, 20, 30, 38, 42), 46),
)

FLOORPLAN = Floor(
    "FLOOR PLAN - POWER", ((0, 0), (30, 0), (30, 42), (0, 42)), WALLS, OPENINGS,
    (((13, 4), (13, 15)),),
    ROOMS, FIXTURES, OUTLETS + LOOKALIKES, PIECES, COUNTERS, DIMS,
    slabs=(((7, 42), (7, 47), (15, 47), (15, 42)), ((14, 0), (14, -8), (28, -8), (28, 0))),
    legs=(
        ((14.0, 15.2), (21.0, 10.2), 0.14), ((13.9, 25.8), (17.1, 27.3), 0.2), ((14.0, 36.5), (17.1, 36.5), -0.2),
        ((8.3, 37.3), (5.2, 36.8), 0.2), ((1.2, 16.2), (6.3, 18.1), -0.15),
    ),
    homeruns=(((13.9, 1.9), (15.6, 3.2), "A-9"), ((1.2, 34.0), (3.4, 34.8), "A-12")),
)  # fmt: skip

CIRCUITS = (
    Circuit("1", "KITCHEN COUNTER", mark="GFCI"), Circuit("2,4", "RANGE", 2, 40),
    Circuit("3", "KITCHEN COUNTER", mark="AFCI"), Circuit("5", "DISHWASHER", mark="AFCI"),
    Circuit("6,8", "DRYER", 2, 30), Circuit("7", "REFRIGERATOR", mark="AFCI"),
    Circuit("9", "FAMILY ROOM", amps=15, mark="AFCI"), Circuit("10", "M. BR", amps=15, mark="AFCI"),
    Circuit("11", "LAUNDRY", mark="AFCI"), Circuit("12", "BR 2", amps=15, mark="AFCI"),
    Circuit("13", "HALL", amps=15, mark="AFCI"), Circuit("14", "OUTDOOR"), Circuit("15", "BATH 1"),
    Circuit("16", "M. BATH", mark="GFCI"), Circuit("17", "OFFICE", amps=15, mark="AFCI"),
    Circuit("18", "M. BATH"), Circuit("19", "PLUNGE ROOM"), Circuit("20", "DECK", mark="DF"),
    Circuit("21", "LIGHTING", amps=15, mark="AFCI"), Circuit("22,24", "HEAT PUMP", 2, 30),
    Circuit("23", "KITCHEN COUNTER", mark="AFCI"),
    Circuit("25", "PORCH"), Circuit("26", "PLUNGE ROOM"),
)  # fmt: skip

NOTES = (
    'RECEPTACLES AT +16" TO CENTER UNLESS NOTED OTHERWISE.',
    "GFI: GROUND-FAULT RECEPTACLE. WP: WEATHERPROOF COVER IN USE.",
    "SEE PANEL SCHEDULE FOR BREAKER TYPES. DF: ARC-FAULT AND GROUND-FAULT IN ONE.",
    "HATCHED FLOORS ARE TILE.",
    "COORDINATE UNDER-COUNTER OUTLETS WITH CASEWORK.",
)

HOUSE = House(
    "tern-street", "TERN STREET HOUSE - SAMPLE", "E1", "POWER PLAN", "symbols.yaml", "plotted",
    (View(FLOORPLAN, (560.0, 420.0), 48.0, "1/4\" = 1'-0\"", "1", (560.0, 1420.0)),),
    "A", CIRCUITS, NOTES,
    hatch=(
        ((22.1875, 20.1875), (29.5, 20.1875), (29.5, 29.8125), (22.1875, 29.8125)),
        ((7, 42), (15, 42), (15, 47), (7, 47)),
    ),
)  # fmt: skip
