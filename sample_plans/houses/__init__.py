"""The invented houses, in feet."""

from .marlow import HOUSE as MARLOW

HOUSES = (MARLOW,)
