"""The invented houses, in feet."""

from .harrow import HOUSE as HARROW
from .marlow import HOUSE as MARLOW
from .quarry import HOUSE as QUARRY
from .tern import HOUSE as TERN

HOUSES = (MARLOW, HARROW, TERN, QUARRY)
