"""Rooms: walls, openings, spaces, names; and where symbols stand in them."""

from cordpath.rooms.plan import find_rooms
from cordpath.rooms.schedule import read_schedule
from cordpath.rooms.standing import stand
from cordpath.rooms.stated import told_of_unmet

__all__ = ["find_rooms", "read_schedule", "stand", "told_of_unmet"]
