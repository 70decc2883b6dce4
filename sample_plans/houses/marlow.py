"""Marlow Court House: a ranch with three bedrooms and a garage, drawn at 1/4" = 1'-0".

Cases on purpose: baths with and without protection, counter outlets on a GFCI breaker and on an ordinary one,
a refrigerator outlet far from the sink, a bedroom outlet behind a lavatory's wall, a hall outlet that reaches a
lavatory through the door, one that reaches another at 6 ft almost exactly, a room whose name says nothing.
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
    Wall((43.75, 6), (43.75, 30), 0.5),
    Wall((14, 0.25), (14, 13)),
    Wall((14, 9), (22, 9)),
    Wall((22, 0.25), (22, 31.75)),
    Wall((0.25, 13), (22, 13)),
    Wall((9, 13), (9, 18.5)),
    Wall((0.25, 18.5), (9, 18.5)),
    Wall((0.25, 20.8125), (6, 20.8125)),
    Wall((6, 18.5), (6, 20.8125)),
    Wall((9, 17), (22, 17)),
    Wall((12.5, 17), (12.5, 31.75)),
    Wall((16, 19.3125), (22, 19.3125)),
    Wall((16, 17), (16, 19.3125)),
    Wall((22, 12), (33, 12)),
    Wall((33, 12), (33, 14)),
    Wall((33, 0.25), (33, 3)),
    Wall((36, 14), (43.75, 14)),
    Wall((36, 14), (36, 31.75)),
    Wall((36, 20.5), (43.75, 20.5)),
    Wall((36, 26), (43.75, 26)),
    Wall((22, 21), (25, 21)),
    Wall((25, 21), (25, 25)),
    Wall((22, 25), (25, 25)),
)

OPENINGS = (
    Opening("door", (24.5, 31.75), (27.5, 31.75), -1),
    Opening("window", (4, 0.25), (10, 0.25)),
    Opening("window", (0.25, 4), (0.25, 9)),
    Opening("window", (16.5, 0.25), (18, 0.25)),
    Opening("window", (0.25, 23), (0.25, 28)),
    Opening("window", (3.5, 31.75), (8.5, 31.75)),
    Opening("window", (15, 31.75), (20, 31.75)),
    Opening("window", (29.5, 31.75), (34.5, 31.75)),
    Opening("window", (38.5, 31.75), (41.5, 31.75)),
    Opening("slider", (24.5, 0.25), (30.5, 0.25)),
    Opening("window", (37.2, 0.25), (41.2, 0.25)),
    Opening("garage", (48, 29.75), (64, 29.75), -1),
    Opening("door", (65.75, 8.5), (65.75, 11.5), 1),
    Opening("window", (52, 6.25), (56, 6.25)),
    Opening("door", (11, 13), (13.6667, 13), -1),
    Opening("door", (14, 8.7), (14, 6.2), 1),
    Opening("door", (14, 12.2), (14, 9.7), 1),
    Opening("door", (9, 16), (9, 13.5), -1),
    Opening("door", (9.4, 17), (11.9, 17), 1),
    Opening("door", (12.9, 17), (15.4, 17), 1),
    Opening("bifold", (1, 20.8125), (5.5, 20.8125), 1),
    Opening("bifold", (16.8, 19.3125), (21.3, 19.3125), 1),
    Opening("cased", (22, 13.4), (22, 16.6)),
    Opening("cased", (24.5, 12), (30.5, 12)),
    Opening("door", (36.6, 14), (39.1, 14), 1),
    Opening("door", (43.75, 19.3), (43.75, 16.6333), 1),
    Opening("door", (36, 24.6), (36, 22.1), 1),
    Opening("door", (36, 27), (36, 29.5), -1),
    Opening("bifold", (25, 21.5), (25, 24.5), -1),
)

ROOMS = (
    Room("PRIMARY BEDROOM", "101", "bedroom", (10.3, 4.9)),
    Room("PRIMARY BATH", "102", "bathroom", (17.6, 5.6)),
    Room("W.I.C.", "103", "closet", (18, 10.6)),
    Room("HALL", "104", "hall", (16.5, 14.4)),
    Room("HALL BATH", "105", "bathroom", (7.14, 16.95)),
    Room("BEDROOM 2", "106", "bedroom", (9.6, 24.4)),
    Room("CL.", "", "closet", (3, 19.6)),
    Room("BEDROOM 3", "107", "bedroom", (17.5, 25.6)),
    Room("CL.", "2", "closet", (18.9, 18.15)),
    Room("DINING", "108", "dining", (27.5, 8.9)),
    Room("KITCHEN", "109", "kitchen", (36.2, 4.4)),
    Room("LIVING ROOM", "110", "living", (29.2, 14.1)),
    Room("FOYER", "111", "hall", (25.6, 27.2)),
    Room("COATS", "", "closet", (23.6, 23)),
    Room("LAUNDRY", "112", "laundry", (38.9, 16.6)),
    Room("POWDER", "113", "bathroom", (39.9, 22.9)),
    Room("THE ROOST", "114", "unknown", (41.0, 27.3)),
    Room("GARAGE", "115", "garage", (50.6, 8.4)),
    Room("FRONT PORCH", "", "outdoors", (27.2, 34.6), outline=((22, 32), (31, 32), (31, 36), (22, 36))),
    Room("PATIO", "", "outdoors", (27.5, -4.6), outline=((22, -8), (34, -8), (34, 0), (22, 0))),
)

FIXTURES = (
    Fixture("lavatory", "PRIMARY BATH", (15.06, 2.0), 90),
    Fixture("shower", "PRIMARY BATH", (20.0625, 2.0), 0),
    Fixture("water closet", "PRIMARY BATH", (20.64, 6.4), 270),
    Fixture("bathtub", "HALL BATH", (1.75, 15.75), 90),
    Fixture("lavatory", "HALL BATH", (5.0, 14.02), 0),
    Fixture("water closet", "HALL BATH", (5.0, 17.14), 180),
    Fixture("kitchen sink", "KITCHEN", (39.2, 1.5), 0),
    Fixture("dishwasher", "KITCHEN", (36.75, 1.54), 0),
    Fixture("range", "KITCHEN", (42.4167, 8.2), 270),
    Fixture("refrigerator", "KITCHEN", (42.25, 12.3), 270),
    Fixture("washer", "LAUNDRY", (37.6, 19.15), 180),
    Fixture("dryer", "LAUNDRY", (40.0, 19.15), 180),
    Fixture("laundry sink", "LAUNDRY", (42.56, 15.3), 270),
    Fixture("lavatory", "POWDER", (40.5, 21.5), 0),
    Fixture("water closet", "POWDER", (41.6, 24.62), 180),
    Fixture("water heater", "GARAGE", (45.1, 8.0), 0),
)

OUTLETS = (
    Device(DUPLEX, "PRIMARY BEDROOM", (0.5, 2.2), "A-10"),
    Device(DUPLEX, "PRIMARY BEDROOM", (0.5, 11.0), "A-10"),
    Device(DUPLEX, "PRIMARY BEDROOM", (3.2, 12.8), "A-10"),
    Device(DUPLEX, "PRIMARY BEDROOM", (9.6, 12.8), "A-10"),
    Device(DUPLEX, "PRIMARY BEDROOM", (11.8, 0.5), "A-10"),
    Device(
        DUPLEX, "PRIMARY BEDROOM", (13.8, 1.7), "A-10", expect="NNN",
        why="the lavatory is 1 ft away behind the wall; the cord would go round by the bath door",
    ),
    Device(DUPLEX, "PRIMARY BATH", (14.2, 3.5), "A-15", ("GFI",), expect="PPP", why="GFI at the outlet"),
    Device(DUPLEX, "HALL BATH", (6.7, 13.2), "A-18", expect="MMM", why="bathroom, no protection shown"),
    Device(
        DUPLEX, "HALL", (9.9, 13.2), "A-17", expect="NMM",
        why="under 6 ft to the hall bath's lavatory, through its door",
    ),
    Device(DUPLEX, "HALL", (18, 16.8), "A-17", expect="NNN"),
    Device(DUPLEX, "BEDROOM 2", (0.5, 21.9), "A-12"),
    Device(DUPLEX, "BEDROOM 2", (0.5, 29.6), "A-12"),
    Device(DUPLEX, "BEDROOM 2", (10.4, 31.5), "A-12"),
    Device(DUPLEX, "BEDROOM 2", (12.3, 21.2), "A-12"),
    Device(DUPLEX, "BEDROOM 3", (12.7, 25.2), "A-12"),
    Device(DUPLEX, "BEDROOM 3", (21.8, 21.4), "A-12"),
    Device(DUPLEX, "BEDROOM 3", (21.8, 29), "A-12"),
    Device(DUPLEX, "BEDROOM 3", (13.9, 31.5), "A-12"),
    Device(DUPLEX, "DINING", (22.2, 4.2), "A-19"),
    Device(DUPLEX, "DINING", (22.2, 9.6), "A-19"),
    Device(DUPLEX, "DINING", (31.7, 11.8), "A-19", expect="NNN"),
    Device(
        DUPLEX, "KITCHEN", (33.9, 0.5), "A-1", ('+42"',), counter=True, expect="PPP",
        why="counter outlet on the GFCI breaker of circuit 1",
    ),
    Device(DUPLEX, "KITCHEN", (35.3, 0.5), "A-5", ("DW",), expect="MMM", why="dishwasher outlet, ordinary breaker"),
    Device(
        DUPLEX, "KITCHEN", (41.8, 0.5), "A-1", ('+42"',), counter=True, expect="PPP",
        why="counter outlet on the GFCI breaker of circuit 1",
    ),
    Device(
        DUPLEX, "KITCHEN", (43.5, 4.4), "A-26", ('+42"',), counter=True, expect="MMM",
        why="counter outlet on the ordinary breaker of circuit 26",
    ),
    Device(V240, "KITCHEN", (43.5, 8.2), "A-2,4", ("RANGE",), expect="NNM", why="range, over 6 ft from the bowl"),
    Device(
        DUPLEX, "KITCHEN", (43.5, 10.1), "A-3", ("GFI", '+42"'), counter=True, expect="PPP",
        why="GFI at the outlet",
    ),
    Device(DUPLEX, "KITCHEN", (43.5, 13.2), "A-7", ("REF",), expect="NNM", why="over 6 ft from the bowl"),
    Device(
        DUPLEX, "KITCHEN", (37.1, 10.5), "A-1", counter=True, facing=(0.0, 1.0), expect="PPP",
        why="island end, on the GFCI breaker of circuit 1",
    ),
    Device(DUPLEX, "LIVING ROOM", (22.2, 19), "A-19"),
    Device(DUPLEX, "LIVING ROOM", (32.4, 12.2), "A-19"),
    Device(QUAD, "LIVING ROOM", (35.8, 18), "A-19"),
    Device(FLOOR, "LIVING ROOM", (32.2, 22.4), "A-19", facing=UP),
    Device(
        DUPLEX, "LIVING ROOM", (35.8, 25.6925), "A-19", expect="NUU",
        why="6 ft almost exactly to the powder room's lavatory, through its door",
    ),
    Device(DUPLEX, "LIVING ROOM", (35.8, 30.4), "A-19"),
    Device(DUPLEX, "FOYER", (22.2, 28.4), "A-17"),
    Device(DUPLEX, "LAUNDRY", (37.6, 20.3), "A-9", ("W",), expect="UUU", why=SAME_CIRCUIT),
    Device(V240, "LAUNDRY", (40.0, 20.3), "A-6,8", ("DRYER",), expect="NMM", why="240 V, in the list from 2020"),
    Device(DUPLEX, "LAUNDRY", (41.0, 14.2), "A-9", ("GFI", '+42"'), expect="PPP", why="GFI at the outlet"),
    Device(DUPLEX, "POWDER", (38.6, 20.7), "A-15", expect="PPP", why="bathroom, GFCI breaker of circuit 15"),
    Device(DUPLEX, "THE ROOST", (43.5, 28.6), "A-17", expect="UUU", why="the name does not tell what the room is"),
    Device(DUPLEX, "GARAGE", (44, 12.6), "A-27", expect="MMM", why="garage, no protection shown"),
    Device(DUPLEX, "GARAGE", (60, 6.5), "A-11", ("GFI",), expect="PPP", why="GFI at the outlet"),
    Device(V240, "GARAGE", (65.5, 20), "A-14,16", ("EV",), expect="UMM", why="listed from 2020; 2017: if amended"),
    Device(DUPLEX, "FRONT PORCH", (23, 32), "A-13", ("GFI/WP",), expect="PPP", why="GFI at the outlet"),
    Device(DUPLEX, "PATIO", (23.2, 0), "A-13", ("WP",), expect="UUU", why=SAME_CIRCUIT),
    Device(DUPLEX, "PATIO", (32, 0), "A-13", ("WP", "GFI"), expect="PPP", why="GFI at the outlet"),
)  # fmt: skip

LOOKALIKES = (
    *(Device(LIGHT, r, p, facing=UP) for r, p in (
        ("PRIMARY BEDROOM", (6.5, 6.2)), ("BEDROOM 2", (6.2, 23.0)), ("BEDROOM 3", (17.4, 23.2)),
        ("DINING", (27.5, 5.6)), ("LIVING ROOM", (28.4, 23.4)), ("FOYER", (26.6, 29.6)), ("HALL", (13.4, 15)),
        ("W.I.C.", (16.2, 11.2)), ("LAUNDRY", (40.9, 17.4)), ("GARAGE", (50.5, 15)), ("GARAGE", (61, 15)),
    )),
    *(Device(CAN, "KITCHEN", p, facing=UP) for p in ((35, 11.8), (39.5, 11.8), (39.9, 4.6), (39.9, 8.0))),
    *(Device(SCONCE, r, p) for r, p in (
        ("PRIMARY BATH", (14.2, 0.9)), ("HALL BATH", (4.0, 13.2)), ("POWDER", (42.4, 20.7)),
        ("FRONT PORCH", (28.8, 32)), ("PATIO", (34.6, 0)), ("GARAGE", (46.4, 29.5)),
    )),
    *(Device(SD, r, p, facing=UP) for r, p in (
        ("PRIMARY BEDROOM", (9.8, 10.8)), ("BEDROOM 2", (10.5, 20.8)), ("BEDROOM 3", (14.2, 21.4)),
        ("HALL", (20.6, 15)), ("LIVING ROOM", (24.2, 14.2)),
    )),
    *(Device(EF, r, p, facing=UP) for r, p in (
        ("PRIMARY BATH", (20, 4.6)), ("HALL BATH", (5.0, 15.34)), ("POWDER", (42.4, 22.8)),
        ("LAUNDRY", (38.2, 15.2)),
    )),
    Device(J, "GARAGE", (56, 18.6), facing=UP),
    Device(J, "KITCHEN", (37.1, 7.2), facing=UP),
    *(Device(DATA, r, p) for r, p in (
        ("LIVING ROOM", (35.8, 19.2)), ("PRIMARY BEDROOM", (12.6, 0.5)), ("THE ROOST", (43.5, 30.0)),
    )),
    *(Device(SWITCH, r, p, facing=UP) for r, p in (
        ("PRIMARY BEDROOM", (10.4, 12.4)), ("PRIMARY BATH", (14.7, 5.7)), ("HALL", (9.7, 16.5)),
        ("BEDROOM 2", (9.6, 20.2)), ("BEDROOM 3", (15.6, 17.7)), ("LIVING ROOM", (23, 17.4)),
        ("FOYER", (28.1, 31.1)), ("KITCHEN", (36.4, 13.4)), ("LAUNDRY", (39.6, 14.7)), ("POWDER", (36.6, 21.6)),
        ("GARAGE", (44.5, 20)), ("DINING", (31.2, 0.95)), ("HALL", (21.4, 13.6)), ("W.I.C.", (14.6, 12.6)),
    )),
    Device("lighting panel", "GARAGE", (44, 25), labels=("PANEL A",)),
)  # fmt: skip

PIECES = (
    Piece("bed", (0.6, 3.2, 7.4, 9.2), 90),
    Piece("plain", (0.6, 9.4, 2.1, 10.6)),
    Piece("shelf", (14.2, 9.2, 21.8, 10.2)),
    Piece("shelf", (0.5, 18.7, 5.8, 19.7)),
    Piece("shelf", (16.2, 17.2, 21.8, 18.0)),
    Piece("bed", (0.6, 24, 7.2, 27), 90),
    Piece("desk", (8.9, 27.6, 12.2, 29.6), 270),
    Piece("bed", (15.4, 27.0, 18.4, 31.4), 180),
    Piece("table", (24.2, 3.4, 30.8, 7.8)),
    Piece("sofa", (26.4, 15.9, 29.4, 21.5), 90),
    Piece("plain", (34.3, 15.4, 35.75, 17.3)),
    Piece("plain", (30.6, 17.2, 32.4, 20.4)),
    Piece("island", (35.6, 6, 38.6, 10.5)),
    Piece("desk", (37, 29.6, 41.8, 31.3), 180),
    Piece("car", (48.4, 10, 54.6, 26)),
    Piece("car", (57.2, 10, 63.4, 26)),
    Piece("upper", (54.8, 17.4, 57.2, 19.6)),
    Piece("condenser", (67, 22, 69.6, 24.6)),
)

COUNTERS = (
    ((33.19, 2.58), (41.4, 2.58), (41.4, 6.95)),
    ((41.4, 6.95), (43.5, 6.95)),
    ((43.5, 9.45), (41.4, 9.45), (41.4, 10.7), (43.5, 10.7)),
    ((14.19, 3.9), (15.9, 3.9), (15.9, 0.5)),
)

DIMS = (
    Dims((0, 0), (66, 0), (0, 14, 22, 33, 44, 66), 172),
    Dims((0, 0), (66, 0), (0, 66), 198),
    Dims((66, 32), (0, 32), (0, 22, 30, 44, 53.5, 66), 100),
    Dims((0, 32), (0, 0), (0, 13.5, 19, 32), 44),
    Dims((0, 32), (0, 0), (0, 32), 70),
    Dims((66, 0), (66, 32), (0, 6, 30, 32), 84),
)

GROUND = Floor(
    "MAIN FLOOR POWER PLAN",
    ((0, 0), (44, 0), (44, 6), (66, 6), (66, 30), (44, 30), (44, 32), (0, 32)),
    WALLS, OPENINGS,
    (((33, 3), (33, 12)), ((33, 14), (36, 14)), ((25, 25), (28.5, 25)), ((28.5, 25), (28.5, 31.75))),
    ROOMS, FIXTURES, OUTLETS + LOOKALIKES, PIECES, COUNTERS, DIMS,
    slabs=(((22, 32), (22, 36), (31, 36), (31, 32)), ((22, 0), (22, -8), (34, -8), (34, 0))),
    legs=(
        ((10.4, 12.0), (6.9, 6.5), 0.14), ((9.6, 20.5), (6.6, 22.9), 0.2), ((15.5, 18.1), (17.4, 22.7), -0.12),
        ((31.2, 1.4), (28, 5.6), 0.2), ((23.3, 17.6), (27.8, 23.0), -0.14), ((36.3, 13.0), (35.2, 12.2), 0.3),
        ((44.9, 19.8), (50.2, 15.4), 0.15),
    ),
    homeruns=(
        ((1.2, 2.6), (4.4, 1.6), "A-10"), ((32.2, 22.9), (30.2, 25.4), "A-19"),
        ((44.9, 12.9), (47.3, 13.8), "A-11"),
    ),
)  # fmt: skip

CIRCUITS = (
    Circuit("1", "KITCHEN COUNTER", mark="GFCI"), Circuit("2,4", "RANGE", 2, 50),
    Circuit("3", "KITCHEN COUNTER", mark="AFCI"), Circuit("5", "DISHWASHER", mark="AFCI"),
    Circuit("6,8", "DRYER", 2, 30), Circuit("7", "REFRIGERATOR", mark="AFCI"), Circuit("9", "LAUNDRY", mark="AFCI"),
    Circuit("10", "PRIMARY BEDROOM", amps=15, mark="AFCI"), Circuit("11", "GARAGE"),
    Circuit("12", "BEDROOMS 2 AND 3", amps=15, mark="AFCI"), Circuit("13", "OUTDOOR RECEPTACLES"),
    Circuit("14,16", "VEHICLE CHARGER RECEPTACLE", 2, 50), Circuit("15", "BATHROOM RECEPTACLES", mark="GFCI"),
    Circuit("17", "HALL AND FOYER", amps=15, mark="AFCI"), Circuit("18", "HALL BATH"),
    Circuit("19", "LIVING AND DINING", amps=15, mark="AFCI"), Circuit("20", "LIGHTING", amps=15, mark="AFCI"),
    Circuit("21", "LIGHTING", amps=15, mark="AFCI"), Circuit("22,24", "AIR CONDITIONING", 2, 40),
    Circuit("23", "SMOKE DETECTORS", amps=15, mark="AFCI"), Circuit("25", "WATER HEATER IGNITION"),
    Circuit("26", "KITCHEN COUNTER", mark="AFCI"), Circuit("27", "GARAGE"), Circuit("28", "SPARE"),
)  # fmt: skip

NOTES = (
    'RECEPTACLES AT +18" TO CENTER AND SWITCHES AT +48" TO CENTER ABOVE FINISHED FLOOR, UNLESS NOTED OTHERWISE.',
    "TEXT BESIDE A RECEPTACLE GIVES ITS CIRCUIT AND WHAT IT IS; GFI: RECEPTACLE OF THE GROUND-FAULT TYPE; WP: "
    "WEATHERPROOF COVER.",
    "RECEPTACLES ARE OF THE TAMPER-RESISTANT TYPE.",
    "VERIFY LOCATIONS OF EQUIPMENT AND CASEWORK BEFORE ROUGH-IN.",
    "SMOKE DETECTORS ARE WIRED TOGETHER, WITH BATTERY.",
    "SEE PANEL SCHEDULE FOR BREAKER TYPES.",
    "DIMENSIONS ARE TO FACE OF EXTERIOR WALLS AND TO CENTER OF INTERIOR WALLS.",
)

HOUSE = House(
    "marlow-court", "MARLOW COURT HOUSE - SAMPLE", "E-101", "POWER PLAN", "symbols.yaml", "clean",
    (View(GROUND, (320.0, 480.0), 48.0, "1/4\" = 1'-0\"", "1", (330.0, 1300.0)),),
    "A", CIRCUITS, NOTES,
)  # fmt: skip
