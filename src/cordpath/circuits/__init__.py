"""Stage 6: panel schedules and circuit tags tell who protects an outlet, with the evidence."""

from cordpath.circuits.panels import read_panels
from cordpath.circuits.protection import feed_through, protection_of

__all__ = ["feed_through", "protection_of", "read_panels"]
