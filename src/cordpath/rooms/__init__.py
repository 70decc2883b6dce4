"""Rooms: walls, openings, spaces, names; and where symbols stand in them."""

from cordpath.rooms.numbered import shows_marks
from cordpath.rooms.plan import find_rooms
from cordpath.rooms.plants import without_plants
from cordpath.rooms.rings import without_letters
from cordpath.rooms.schedule import TITLES, merged, read_schedule
from cordpath.rooms.standing import stand
from cordpath.rooms.stated import told_of_unmet

__all__ = [
    "TITLES",
    "find_rooms",
    "merged",
    "read_schedule",
    "shows_marks",
    "stand",
    "told_of_unmet",
    "without_letters",
    "without_plants",
]
