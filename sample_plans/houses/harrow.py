"""Harrow Bend House: an angled wing, a garage and a basement; two views at two scales on one sheet.

The wing is turned 30 degrees; ``wing(u, v)`` gives places in it: u feet along its length, v feet across.

Cases on purpose: a breakfast corner open to the kitchen with an outlet in reach of the sink, a wet bar, a bath
in a turned wing, a bedroom outlet that reaches its lavatory through the door and one that does not, a finished
and an unfinished basement room, a sump pump.
"""

import math

from drawing.house import (
    SAME_CIRCUIT,
    XY,
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

DUPLEX, GROUND, DOUBLE, V240 = (
    "duplex receptacle", "ground-fault receptacle", "double duplex receptacle", "240 V receptacle",
)  # fmt: skip
LIGHT, CAN, SCONCE, SWITCH = "ceiling light", "recessed light", "wall light", "switch"
SD, J, TV = "smoke detector", "junction box", "television outlet"
UP = (0.0, -1.0)
FINISHED = "finished basement, in the list from 2020"
TILT = 30.0  # degrees; the wing runs down to the right
P = (40.0, 4.0)  # where the wing leaves the main block


def wing(u: float, v: float) -> XY:
    c, s = math.cos(math.radians(TILT)), math.sin(math.radians(TILT))
    return (P[0] + u * c - v * s, P[1] + u * s + v * c)


BED = wing(7.9, 4.1)
Q, R = wing(24, 0), wing(24, 18)
S = (40.0, R[1] - (R[0] - 40) * math.tan(math.radians(TILT)))
RING = ((0, 0), (40, 0), P, Q, R, S, (40, 34), (22, 34), (22, 38), (0, 38))

WALLS = (
    Wall((39.75, 4), (39.75, S[1]), 0.5),
    Wall(wing(15, 0.25), wing(15, 17.75)),
    Wall(wing(15, 10), wing(23.75, 10)),
    Wall((0.25, 14), (21, 14)),
    Wall((0.25, 17.5), (21.75, 17.5)),
    Wall((6, 14), (6, 17.5)),
    Wall((21, 0.25), (21, 17.5)),
    Wall((21.75, 17.75), (21.75, 33.75), 0.5),
    Wall((22, 18), (39.75, 18)),
    Wall((22, 22), (39.75, 22)),
    Wall((28.5, 22), (28.5, 33.75)),
    Wall((34.5, 22), (34.5, 33.75)),
    Wall((28.5, 28), (34.5, 28)),
    Wall((33.5, 0.25), (33.5, 5)),
)

OPENINGS = (
    Opening("window", (7, 0.25), (11, 0.25)),
    Opening("window", (0.25, 3), (0.25, 5)),
    Opening("window", (14, 0.25), (20, 0.25)),
    Opening("slider", (24, 0.25), (31, 0.25)),
    Opening("garage", (3, 37.75), (19, 37.75), -1),
    Opening("window", (0.25, 24), (0.25, 27)),
    Opening("door", (36, 33.75), (39, 33.75), -1),
    Opening("window", (23.5, 33.75), (26.5, 33.75)),
    Opening("window", wing(3, 0.25), wing(10, 0.25)),
    Opening("window", wing(23.75, 4), wing(23.75, 6)),
    Opening("cased", (21, 4), (21, 10)),
    Opening("door", (0.9, 14), (2.9, 14), 1),
    Opening("door", (19.6, 14), (17.1, 14), 1),
    Opening("cased", (30, 18), (35, 18)),
    Opening("door", (39.75, 21.4), (39.75, 18.7333), 1),
    Opening("door", (25.2, 22), (27.7, 22), 1),
    Opening("door", (29.1, 22), (31.6, 22), 1),
    Opening("cased", (35.3, 22), (39, 22)),
    Opening("door", (34.5, 32.4), (34.5, 29.9), -1),
    Opening("door", (21.75, 24), (21.75, 26.6667), 1),
    Opening("door", wing(15, 5.6), wing(15, 3.1), 1),
    Opening("door", wing(15, 14.7), wing(15, 12.2), -1),
)

ROOMS = (
    Room("KITCHEN", "101", "kitchen", (6.7, 10.3)),
    Room("BREAKFAST", "102", "dining", (18.0, 10.0)),
    Room("GREAT ROOM", "103", "living", (27, 6.4)),
    Room("WET BAR", "104", "food area", (36.5, 3.2)),
    Room("PANTRY", "105", "closet", (4.3, 15.7)),
    Room("STAIR", "", "other", (9.4, 15.8)),
    Room("GARAGE", "106", "garage", (11, 21.6)),
    Room("HALL", "107", "hall", (26, 19.6)),
    Room("LAUNDRY", "108", "laundry", (25.2, 30.0)),
    Room("PWDR", "109", "bathroom", (31.6, 25.0)),
    Room("STORAGE", "110", "closet", (31.2, 29.4)),
    Room("ENTRY", "111", "hall", (37.1, 25.4)),
    Room("OWNER'S SUITE", "112", "bedroom", wing(11.6, 8.2)),
    Room("OWNER'S BATH", "113", "bathroom", (wing(19.0, 4.4)[0] - 0.15, wing(19.0, 4.4)[1] + 1.1)),
    Room("W.I.C.", "114", "closet", wing(19.4, 13.8)),
    Room("DECK", "", "outdoors", (27.5, -3.4), outline=((22, -7), (33, -7), (33, 0), (22, 0))),
    Room("STOOP", "", "outdoors", (37.4, 36.4), outline=((35, 34), (40, 34), (40, 38), (35, 38))),
)

FIXTURES = (
    Fixture("kitchen sink", "KITCHEN", (9.0, 1.5), 0),
    Fixture("dishwasher", "KITCHEN", (6.5, 1.54), 0),
    Fixture("range", "KITCHEN", (1.5833, 7.2), 90),
    Fixture("refrigerator", "KITCHEN", (1.75, 11.6), 90),
    Fixture("bar sink", "WET BAR", (37.6, 1.4), 0),
    Fixture("washer", "LAUNDRY", (27.15, 27.0), 270),
    Fixture("dryer", "LAUNDRY", (27.15, 29.4), 270),
    Fixture("laundry sink", "LAUNDRY", (27.35, 31.6), 270),
    Fixture("lavatory", "PWDR", (33.55, 26.6), 270),
    Fixture("water closet", "PWDR", (30.0, 26.64), 180),
    Fixture("lavatory", "OWNER'S BATH", wing(18.9, 1.32), -TILT),
    Fixture("bathtub", "OWNER'S BATH", wing(22.25, 4.8), 270 - TILT),
    Fixture("water closet", "OWNER'S BATH", wing(18.4, 8.64), 180 - TILT),
    Fixture("water heater", "GARAGE", (1.5, 19.2), 0),
)

OUTLETS = (
    Device(DUPLEX, "KITCHEN", (3.5, 0.5), "L1-1", ('+42"',), counter=True, expect="PPP",
           why="counter outlet on the dual-function breaker of circuit 1"),
    Device(DUPLEX, "KITCHEN", (5.1, 0.5), "L1-5", ("DW",), expect="PPP", why="dishwasher, GFCI breaker"),
    Device(GROUND, "KITCHEN", (11.6, 0.5), "L1-3", ('+42"',), counter=True, expect="PPP",
           why="ground-fault receptacle"),
    Device(DUPLEX, "KITCHEN", (0.5, 2.2), "L1-37", ('+42"',), counter=True, expect="MMM",
           why="counter outlet on an ordinary breaker"),
    Device(DUPLEX, "KITCHEN", (0.5, 9.3), "L1-1", ('+42"',), counter=True, expect="PPP",
           why="counter outlet on the dual-function breaker of circuit 1"),
    Device(V240, "KITCHEN", (0.5, 7.2), "L1-2,4", ("RANGE",), expect="NNP", why="range on a GFCI breaker"),
    Device(DUPLEX, "KITCHEN", (0.5, 12.5), "L1-7", ("REF",), expect="NNM", why="over 6 ft from the bowls"),
    Device(DUPLEX, "BREAKFAST", (13.55, 0.5), "L1-9", expect="MMM",
           why="open to the kitchen; under 6 ft to the sink with no doorway between"),
    Device(DUPLEX, "BREAKFAST", (20.8, 2.0), "L1-9", expect="NNN"),
    Device(DUPLEX, "BREAKFAST", (14.8, 13.8), "L1-9", expect="NNN"),
    Device(DUPLEX, "GREAT ROOM", (21.2, 2.4), "L1-9"),
    Device(DUPLEX, "GREAT ROOM", (21.2, 13.4), "L1-11"),
    Device(DOUBLE, "GREAT ROOM", (26.4, 17.8), "L1-11"),
    Device(DUPLEX, "GREAT ROOM", (39.5, 9.0), "L1-11"),
    Device(DUPLEX, "GREAT ROOM", (39.5, 15.4), "L1-11"),
    Device(DUPLEX, "GREAT ROOM", (32.6, 0.5), "L1-11", expect="NNN",
           why="the bar's wall stands between it and the bar sink; round its end is more than 6 ft"),
    Device(DUPLEX, "WET BAR", (35.0, 0.5), "L1-13", ('+42"',), counter=True, expect="UUU",
           why=SAME_CIRCUIT),
    Device(GROUND, "WET BAR", (39.5, 2.6), "L1-13", expect="PPP", why="ground-fault receptacle"),
    Device(DUPLEX, "GARAGE", (0.5, 29.5), "L1-39", expect="MMM", why="garage, ordinary breaker"),
    Device(GROUND, "GARAGE", (21.5, 31.5), "L1-15", expect="PPP", why="ground-fault receptacle"),
    Device(DUPLEX, "GARAGE", (13, 17.7), "L1-15", ("GFI",), expect="PPP", why="GFI beside it"),
    Device(DUPLEX, "HALL", (28.94, 21.8), "L1-17", expect="NUU",
           why="6 ft almost exactly to the powder room's lavatory, through its door"),
    Device(DUPLEX, "HALL", (37.6, 18.2), "L1-17", expect="NNN"),
    Device(DUPLEX, "ENTRY", (39.5, 28.6), "L1-17"),
    Device(DUPLEX, "LAUNDRY", (28.3, 27.0), "L1-19", ("W",), expect="PPP", why="laundry, dual-function breaker"),
    Device(V240, "LAUNDRY", (28.3, 29.4), "L1-6,8", ("DRYER",), expect="NMM", why="240 V, in the list from 2020"),
    Device(DUPLEX, "LAUNDRY", (22, 29.2), "L1-21", expect="MMM", why="laundry, ordinary breaker"),
    Device(GROUND, "PWDR", (34.3, 25.2), "L1-23", expect="PPP", why="ground-fault receptacle"),
    Device(DUPLEX, "OWNER'S SUITE", wing(1.6, 0.5), "L1-10"),
    Device(DUPLEX, "OWNER'S SUITE", wing(12.2, 0.5), "L1-10"),
    Device(DUPLEX, "OWNER'S SUITE", wing(14.8, 2.3), "L1-10", expect="NMM",
           why="under 6 ft to the lavatory, through the bath's door"),
    Device(DUPLEX, "OWNER'S SUITE", wing(14.8, 8.6), "L1-10", expect="NNN"),
    Device(DUPLEX, "OWNER'S SUITE", wing(12.8, 17.5), "L1-10"),
    Device(DUPLEX, "OWNER'S SUITE", (40, 13.4), "L1-10"),
    Device(GROUND, "OWNER'S BATH", wing(17.0, 0.5), "L1-23", expect="PPP", why="ground-fault receptacle"),
    Device(DUPLEX, "OWNER'S BATH", wing(15.2, 7.6), "L1-25", expect="MMM", why="bathroom, no protection shown"),
    Device(DUPLEX, "DECK", (23, 0), "L1-15", ("WP",), expect="UUU", why=SAME_CIRCUIT),
    Device(GROUND, "DECK", (32.2, 0), "L1-15", ("WP",), expect="PPP", why="ground-fault receptacle"),
    Device(GROUND, "STOOP", (35.4, 34), "L1-15", ("WP",), expect="PPP", why="ground-fault receptacle"),
)  # fmt: skip

LOOKALIKES = (
    *(Device(LIGHT, r, p, facing=UP) for r, p in (
        ("BREAKFAST", (17, 6.6)), ("GREAT ROOM", (30.4, 10.4)), ("OWNER'S SUITE", wing(7, 10)),
        ("LAUNDRY", (24, 25)), ("ENTRY", (37.2, 29)), ("GARAGE", (6.5, 27)), ("GARAGE", (15.5, 27)),
        ("W.I.C.", wing(18, 15.6)), ("HALL", (33, 20)),
    )),
    *(Device(CAN, r, p, facing=UP) for r, p in (
        ("KITCHEN", (3.8, 3.6)), ("KITCHEN", (9, 3.6)), ("KITCHEN", (3.8, 12.4)), ("KITCHEN", (10.6, 12.4)),
        ("WET BAR", (38.4, 3.9)), ("WET BAR", (34.6, 3.9)),
    )),
    *(Device(SCONCE, r, p) for r, p in (
        ("OWNER'S BATH", wing(20.6, 0.5)), ("PWDR", (32.0, 27.8)), ("DECK", (33.6, 0)), ("STOOP", (39.6, 34)),
        ("GARAGE", (20.2, 37.5)), ("GREAT ROOM", (39.5, 12.2)),
    )),
    *(Device(SD, r, p, facing=UP) for r, p in (
        ("OWNER'S SUITE", wing(12, 12)), ("HALL", (36.8, 20.6)), ("GREAT ROOM", (23.4, 15.6)),
    )),
    Device(J, "KITCHEN", (6.8, 7.4), facing=UP),
    Device(J, "GARAGE", (11, 31), facing=UP),
    *(Device(TV, r, p) for r, p in (("GREAT ROOM", (28.0, 17.8)), ("OWNER'S SUITE", wing(14.8, 10.2)))),
    *(Device(SWITCH, r, p, facing=UP) for r, p in (
        ("KITCHEN", (5.1, 13.4)), ("BREAKFAST", (16.4, 13.4)), ("GREAT ROOM", (29.3, 17.4)), ("HALL", (24.5, 21.5)),
        ("LAUNDRY", (24.5, 22.6)), ("PWDR", (32.2, 22.6)), ("ENTRY", (35.2, 33.1)), ("GARAGE", (21.0, 27.4)),
        ("OWNER'S SUITE", (40.5, 22.2)), ("OWNER'S BATH", wing(15.7, 2.5)),
    )),
)  # fmt: skip

PIECES = (
    Piece("island", (4.9, 5.8, 8.9, 8.6)),
    Piece("table", (14.2, 3.0, 19.8, 8.2)),
    Piece("sofa", (25.6, 8.4, 33, 11.2), 180),
    Piece("plain", (26.6, 12.6, 32, 14.4)),
    Piece("car", (3.4, 23, 9.4, 36.4)),
    Piece("car", (12.4, 23, 18.4, 36.4)),
    Piece("shelf", (28.8, 32.4, 34.2, 33.4), 180),
    Piece("upper", (22.1, 31.0, 23.4, 33.4)),
    Piece("stairs down", (11.0, 14.2, 16.8, 17.3), 90),
    Piece("bed", (BED[0] - 3, BED[1] - 3.3, BED[0] + 3, BED[1] + 3.3), -TILT),
)

COUNTERS = (
    ((0.5, 5.95), (2.6, 5.95), (2.6, 2.58), (13.0, 2.58), (13.0, 0.5)),
    ((0.5, 8.45), (2.6, 8.45), (2.6, 10.1), (0.5, 10.1)),
    ((33.69, 2.4), (39.5, 2.4)),
)

DIMS = (
    Dims((0, 0), (40, 0), (0, 13, 21, 33.5, 40), 150),
    Dims((0, 0), (40, 0), (0, 40), 174),
    Dims(P, Q, (0, 15, 24), 40),
    Dims(Q, R, (0, 10, 18), 40),
    Dims((40, 34), (22, 34), (0, 5.5, 11.5, 18), 100),
    Dims((22, 38), (0, 38), (0, 22), 30),
    Dims((0, 38), (0, 0), (0, 20.5, 24, 38), 40),
    Dims((0, 38), (0, 0), (0, 38), 64),
)

MAIN = Floor(
    "MAIN FLOOR POWER PLAN", RING, WALLS, OPENINGS,
    (((13, 0.25), (13, 14)), ((33.5, 5), (39.75, 5))),
    ROOMS, FIXTURES, OUTLETS + LOOKALIKES, PIECES, COUNTERS, DIMS,
    slabs=(((22, 0), (22, -7), (33, -7), (33, 0)), ((35, 34), (35, 38), (40, 38), (40, 34))),
    legs=(
        ((16.4, 13.0), (16.8, 7.2), -0.18), ((29.3, 17.0), (30.2, 11.0), -0.15), ((24.4, 22.9), (24, 24.5), 0.25),
        ((35.4, 32.7), (36.8, 29.5), 0.2), ((20.6, 27.4), (16.1, 27.0), 0.15), ((40.9, 21.8), (40.4, 14.8), 0.1),
    ),
    homeruns=(((22.0, 13.8), (24.2, 14.2), "L1-11"), ((1.4, 29.8), (2.4, 31.6), "L1-15")),
)  # fmt: skip

# --------------------------------------------------------------------------------------------- basement

BASEMENT = Floor(
    "BASEMENT POWER PLAN",
    ((0, 0), (40, 0), (40, 22), (0, 22)),
    (
        Wall((18, 0.25), (18, 21.75)),
        Wall((31, 13), (31, 21.75)),
        Wall((31, 13), (39.75, 13)),
    ),
    (
        Opening("door", (18, 9), (18, 11.6667), -1),
        Opening("door", (31, 17.2), (31, 14.7), 1),
        Opening("window", (4, 0.25), (7, 0.25)),
        Opening("window", (24, 0.25), (28, 0.25)),
        Opening("window", (33, 0.25), (37, 0.25)),
    ),
    (),
    (
        Room("UNFIN. BASEMENT", "001", "basement", (9.6, 7.6), finished=False),
        Room("REC ROOM", "002", "basement", (25, 9.6), finished=True),
        Room("BATH", "003", "bathroom", (35.6, 16.5)),
    ),
    (
        Fixture("sump pump", "UNFIN. BASEMENT", (1.8, 20.2)),
        Fixture("laundry sink", "UNFIN. BASEMENT", (1.45, 3.4), 90),
        Fixture("water heater", "UNFIN. BASEMENT", (16.4, 2.0)),
        Fixture("lavatory", "BATH", (34.0, 13.95), 0),
        Fixture("shower", "BATH", (38.0, 19.75), 270),
        Fixture("water closet", "BATH", (34.2, 20.33), 180),
    ),
    (
        Device(DUPLEX, "UNFIN. BASEMENT", (0.5, 10.5), "L1-41", expect="MMM", why="unfinished basement"),
        Device(GROUND, "UNFIN. BASEMENT", (10, 0.5), "L1-27", expect="PPP", why="ground-fault receptacle"),
        Device(DUPLEX, "UNFIN. BASEMENT", (0.5, 17.6), "L1-29", ("SUMP",), expect="MMM",
               why="unfinished basement; there is no exception for a pump"),
        Device(GROUND, "UNFIN. BASEMENT", (17.8, 15), "L1-27", expect="PPP", why="ground-fault receptacle"),
        Device(DUPLEX, "REC ROOM", (18.2, 4.4), "L1-31", expect="NMM", why=FINISHED),
        Device(DUPLEX, "REC ROOM", (30, 0.5), "L1-31", expect="NMM", why=FINISHED),
        Device(GROUND, "REC ROOM", (39.5, 6.5), "L1-27", expect="NPP", why="ground-fault receptacle"),
        Device(DUPLEX, "REC ROOM", (24, 21.5), "L1-31", expect="NMM", why=FINISHED),
        Device(DOUBLE, "REC ROOM", (30.8, 19.6), "L1-31", expect="NMM", why=FINISHED),
        Device(GROUND, "BATH", (36.2, 13.2), "L1-23", expect="PPP", why="ground-fault receptacle"),
        Device(SD, "UNFIN. BASEMENT", (13.6, 12), facing=UP), Device(SD, "REC ROOM", (21, 14), facing=UP),
        Device(LIGHT, "REC ROOM", (25, 5.6), facing=UP), Device(LIGHT, "REC ROOM", (25, 16.4), facing=UP),
        Device(LIGHT, "UNFIN. BASEMENT", (5.6, 12), facing=UP), Device(LIGHT, "BATH", (38.4, 15.6), facing=UP),
        Device(J, "UNFIN. BASEMENT", (13.4, 4.8), facing=UP),
        Device("lighting panel", "UNFIN. BASEMENT", (17.8, 18.8), labels=("PANEL L1",)),
        Device(TV, "REC ROOM", (39.5, 8.6)), Device(SWITCH, "REC ROOM", (18.8, 12.4), facing=UP),
        Device(SWITCH, "BATH", (31.7, 18), facing=UP),
    ),
    (
        Piece("stairs", (4.6, 17.4, 15.2, 20.9), 90), Piece("furnace", (11.6, 1.2, 14.2, 3.6)),
        Piece("sofa", (21, 17.6, 29, 20.4), 180), Piece("table", (30.6, 3.4, 37.4, 8.4)),
    ),
    dims=(
        Dims((0, 0), (40, 0), (0, 18, 40), 32), Dims((0, 22), (0, 0), (0, 22), 36),
        Dims((40, 0), (40, 22), (0, 13, 22), 36),
    ),
    legs=(((19.2, 12.2), (24.4, 6.1), -0.15),),
)  # fmt: skip

CIRCUITS = (
    Circuit("1", "KITCHEN COUNTER", mark="DF"), Circuit("2,4", "RANGE", 2, 50, "GFCI"),
    Circuit("3", "KITCHEN COUNTER", mark="AFCI"), Circuit("5", "DISHWASHER", mark="GFCI"),
    Circuit("6,8", "DRYER", 2, 30), Circuit("7", "REFRIGERATOR", mark="AFCI"),
    Circuit("9", "BREAKFAST", mark="AFCI"), Circuit("10", "OWNER'S SUITE", amps=15, mark="AFCI"),
    Circuit("11", "GREAT ROOM", amps=15, mark="AFCI"), Circuit("12,14", "AIR CONDITIONING", 2, 40),
    Circuit("13", "WET BAR", mark="AFCI"), Circuit("15", "GARAGE AND OUTDOOR"),
    Circuit("17", "HALL AND ENTRY", amps=15, mark="AFCI"), Circuit("19", "WASHER", mark="DF"),
    Circuit("21", "LAUNDRY", mark="AFCI"), Circuit("23", "BATHROOM RECEPTACLES"),
    Circuit("25", "OWNER'S BATH"), Circuit("27", "BASEMENT"), Circuit("29", "SUMP PUMP"),
    Circuit("31", "REC ROOM", amps=15, mark="AFCI"), Circuit("33", "LIGHTING", amps=15, mark="AFCI"),
    Circuit("35", "LIGHTING", amps=15, mark="AFCI"), Circuit("37", "KITCHEN COUNTER", mark="AFCI"),
    Circuit("39", "GARAGE"),
    Circuit("41", "BASEMENT"),
)  # fmt: skip

NOTES = (
    "SYMBOLS ARE SHOWN WHERE THE DEVICE IS; THE LINES OF A RECEPTACLE TOUCH ITS WALL.",
    "THE LETTER G IN A RECEPTACLE: GROUND-FAULT TYPE. DF IN THE PANEL SCHEDULE: DUAL-FUNCTION BREAKER.",
    'RECEPTACLES AT +18" ABOVE FINISHED FLOOR, UNLESS NOTED OTHERWISE.',
    "CIRCUIT TAGS GIVE PANEL AND BREAKER.",
    "MAIN FLOOR AND BASEMENT ARE DRAWN AT DIFFERENT SCALES.",
    "RUN WIRING OF THE BASEMENT WITHIN THE JOIST SPACES WHERE FINISHED.",
)

HOUSE = House(
    "harrow-bend", "HARROW BEND HOUSE - SAMPLE", "E-1.1", "POWER PLANS", "symbols-b.yaml", "chords",
    (
        View(MAIN, (300.0, 260.0), 48.0, "1/4\" = 1'-0\"", "1", (310.0, 1060.0)),
        View(BASEMENT, (400.0, 1190.0), 64.0, "3/16\" = 1'-0\"", "2", (410.0, 1590.0)),
    ),
    "L1", CIRCUITS, NOTES,
)  # fmt: skip
