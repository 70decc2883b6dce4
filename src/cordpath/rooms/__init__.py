"""Rooms: walls, openings, spaces, names; and where symbols stand in them."""

from cordpath.rooms.plan import find_rooms
from cordpath.rooms.standing import stand

__all__ = ["find_rooms", "stand"]
