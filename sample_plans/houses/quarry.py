"""Quarry Yard Building: a garage with a workshop and an outdoor kitchen, metric at 1:50, filled walls, layers.

Cases on purpose: demolished devices on a layer that is off, an outdoor sink, a room kind from the mapping file,
a garage of which every outlet counts, a toilet room.
"""

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
LIGHT, SCONCE, SWITCH, J = "ceiling light", "wall light", "switch", "junction box"
UP = (0.0, -1.0)


def m(x: float, y: float) -> XY:
    """Metres to feet."""
    return (x / 0.3048, y / 0.3048)


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[float, float, float, float]:
    return (*m(x0, y0), *m(x1, y1))


THICK = 0.5 / 2 * 0.3048  # m; half an exterior wall

WALLS = (
    Wall(m(6.0, 0.08), m(6.0, 7.12)),
    Wall(m(6.0, 3.6), m(10.12, 3.6)),
    Wall(m(8.2, 3.6), m(8.2, 7.12)),
)

OPENINGS = (
    Opening("garage", m(0.6, 7.2 - THICK), m(5.4, 7.2 - THICK), -1),
    Opening("window", m(THICK, 1.5), m(THICK, 3.3)),
    Opening("window", m(2.0, THICK), m(4.0, THICK)),
    Opening("door", m(6.0, 2.9), m(6.0, 2.1), 1),
    Opening("slider", m(10.2 - THICK, 0.9), m(10.2 - THICK, 2.7)),
    Opening("window", m(7.0, THICK), m(9.2, THICK)),
    Opening("door", m(7.2, 3.6), m(7.9, 3.6), 1),
    Opening("door", m(9.3, 3.6), m(8.6, 3.6), -1),
    Opening("window", m(10.2 - THICK, 5.2), m(10.2 - THICK, 5.8)),
    Opening("window", m(6.6, 7.2 - THICK), m(7.6, 7.2 - THICK)),
)

ROOMS = (
    Room("GARAGE", "G1", "garage", m(3.0, 0.9)),
    Room("POTTING ROOM", "G2", "accessory building", m(8.0, 2.3)),
    Room("STORE", "G3", "closet", m(7.0, 5.9)),
    Room("TOILET", "G4", "bathroom", m(9.0, 5.5)),
    Room("OUTDOOR KITCHEN", "", "outdoors", m(12.2, 2.6),
         outline=(m(10.2, 0), m(14.4, 0), m(14.4, 5.0), m(10.2, 5.0))),
    Room("DRIVE", "", "outdoors", m(3.0, 8.6), outline=(m(0, 7.2), m(6, 7.2), m(6, 9.4), m(0, 9.4))),
)  # fmt: skip

FIXTURES = (
    Fixture("laundry sink", "POTTING ROOM", (m(6.9, 0)[0], 0.5 + 11 / 12), 0),
    Fixture("lavatory", "TOILET", (m(8.2, 0)[0] + 0.1875 + 8 / 12, m(0, 6.2)[1]), 90),
    Fixture("water closet", "TOILET", (m(9.5, 0)[0], m(0, 7.2)[1] - 0.5 - 14 / 12), 180),
    Fixture("bar sink", "OUTDOOR KITCHEN", m(12.4, 0.5), 0),
)

OUTLETS = (
    Device(DUPLEX, "GARAGE", m(0.15, 5.0), "G-1", expect="UUU", why=SAME_CIRCUIT),
    Device(GROUND, "GARAGE", m(0.15, 0.9), "G-1", expect="PPP", why="ground-fault receptacle"),
    Device(DOUBLE, "GARAGE", m(5.0, 0.15), "G-3", expect="PPP", why="GFCI breaker of circuit 3"),
    Device(V240, "GARAGE", m(5.9, 5.4), "G-2,4", ("EV",), expect="UMM", why="listed from 2020; 2017: if amended"),
    Device(DUPLEX, "GARAGE", m(3.0, 4.2), "G-8", ("CLG",), facing=UP, expect="MMM",
           why="garage, at the ceiling: no exception"),
    Device(GROUND, "POTTING ROOM", m(9.7, 0.15), "G-5", expect="PPP", why="ground-fault receptacle"),
    Device(DUPLEX, "POTTING ROOM", m(6.1, 1.4), "G-5", expect="UUU", why=SAME_CIRCUIT),
    Device(DUPLEX, "POTTING ROOM", m(9.8, 3.5), "G-3", expect="PPP", why="GFCI breaker of circuit 3"),
    Device(DUPLEX, "TOILET", m(8.3, 5.3), "G-9", expect="MMM", why="bathroom, ordinary breaker"),
    Device(DUPLEX, "OUTDOOR KITCHEN", m(10.2, 3.4), "G-9", ("WP",), expect="MMM", why="outdoors, ordinary breaker"),
    Device(GROUND, "OUTDOOR KITCHEN", m(10.2, 4.4), "G-7", ("WP",), expect="PPP", why="ground-fault receptacle"),
    Device(DUPLEX, "DRIVE", m(0.3, 7.2), "G-7", ("GFI/WP",), expect="PPP", why="GFI beside it"),
)  # fmt: skip

LOOKALIKES = (
    *(Device(LIGHT, r, m(x, y), facing=UP) for r, x, y in (
        ("GARAGE", 1.6, 2.2), ("GARAGE", 4.4, 2.2), ("POTTING ROOM", 7.2, 1.7), ("POTTING ROOM", 9.0, 1.5),
        ("STORE", 7.0, 4.8), ("TOILET", 9.4, 4.9),
    )),
    *(Device(SCONCE, r, m(x, y)) for r, x, y in (
        ("OUTDOOR KITCHEN", 10.2, 0.5), ("DRIVE", 5.7, 7.2), ("TOILET", 8.3, 6.7),
    )),
    *(Device(SWITCH, r, m(x, y), facing=UP) for r, x, y in (
        ("GARAGE", 5.7, 3.15), ("POTTING ROOM", 6.3, 3.05), ("STORE", 8.0, 4.4), ("TOILET", 9.55, 3.9),
    )),
    Device(J, "GARAGE", m(3.0, 3.2), facing=UP),
    Device("lighting panel", "GARAGE", m(5.9, 4.2), labels=("PANEL G",)),
)  # fmt: skip

DEMOLISHED = (
    Device(DUPLEX, "GARAGE", m(0.15, 3.9)), Device(DUPLEX, "GARAGE", m(1.2, 0.15)),
    Device(DUPLEX, "STORE", m(6.1, 6.4)), Device(GROUND, "TOILET", m(10.0, 6.6)),
    Device(DUPLEX, "OUTDOOR KITCHEN", m(10.2, 2.95)),
)  # fmt: skip

BUILDING = Floor(
    "ACCESSORY BUILDING - POWER", (m(0, 0), m(10.2, 0), m(10.2, 7.2), m(0, 7.2)), WALLS, OPENINGS, (),
    ROOMS, FIXTURES, OUTLETS + LOOKALIKES,
    (
        Piece("car", box(0.5, 2.6, 2.4, 6.8)), Piece("car", box(3.6, 2.6, 5.5, 6.8)),
        Piece("grill", box(10.9, 0.15, 11.7, 0.8)), Piece("table", box(11.2, 3.1, 13.6, 4.7)),
        Piece("shelf", box(6.1, 6.5, 8.1, 7.0), 180), Piece("round", box(13.7, 4.2, 14.2, 4.7)),
    ),
    (
        (m(6.06, 0.78), m(9.0, 0.78), m(9.0, 0.15)),
        (m(10.7, 0.1), m(10.7, 0.85), m(13.4, 0.85), m(13.4, 0.1), m(10.7, 0.1)),
    ),
    (
        Dims(m(0, 0), m(10.2, 0), (0, *(v / 0.3048 for v in (6.0, 10.2))), 40),
        Dims(m(10.2, 7.2), m(0, 7.2), (0, *(v / 0.3048 for v in (2.0, 4.2, 10.2))), 160),
        Dims(m(0, 7.2), m(0, 0), (0, 7.2 / 0.3048), 44),
        Dims(m(14.4, 0), m(14.4, 5.0), (0, 5.0 / 0.3048), 30),
    ),
    slabs=(
        (m(10.2, 0), m(14.4, 0), m(14.4, 5.0), m(10.2, 5.0)), (m(0, 7.2), m(0, 9.4), m(6, 9.4), m(6, 7.2)),
    ),
    legs=((m(5.6, 3.0), m(4.55, 2.3), 0.2), (m(6.45, 2.95), m(7.15, 1.85), -0.2)),
    demolished=DEMOLISHED,
)  # fmt: skip

CIRCUITS = (
    Circuit("1", "GARAGE"), Circuit("2,4", "VEHICLE CHARGER RECEPTACLE", 2, 50), Circuit("3", "BENCH", mark="GFCI"),
    Circuit("5", "POTTING ROOM AND TOILET"), Circuit("6", "LIGHTING", amps=15), Circuit("7", "OUTDOOR"),
    Circuit("8", "DOOR OPENER"), Circuit("9", "TOILET AND OUTDOOR"), Circuit("10", "SPARE"),
)  # fmt: skip

NOTES = (
    "DIMENSIONS ARE IN MILLIMETRES.",
    "RECEPTACLES AT 1100 ABOVE THE FLOOR IN GARAGE AND POTTING ROOM.",
    "THE LETTER G IN A RECEPTACLE: GROUND-FAULT TYPE.",
    "EXISTING DEVICES TO BE REMOVED ARE ON LAYER E-DEMO.",
)

HOUSE = House(
    "quarry-yard", "QUARRY YARD BUILDING - SAMPLE", "E-201", "POWER PLAN", "symbols-b.yaml", "layered",
    (View(BUILDING, (480.0, 480.0), 50.0, "1:50", "1", (480.0, 1240.0)),),
    "G", CIRCUITS, NOTES, metric=True, poche=True,
)  # fmt: skip
