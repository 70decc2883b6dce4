"""Rooms: walls, openings, spaces, names; and where symbols stand in them."""

from cordpath.rooms.names.numbered import shows_marks
from cordpath.rooms.names.rings import without_letters
from cordpath.rooms.names.schedule import TITLES, merged, read_schedule
from cordpath.rooms.names.stated import told_of_unmet
from cordpath.rooms.plan import find_rooms
from cordpath.rooms.plants import without_plants
from cordpath.rooms.standing import stand
