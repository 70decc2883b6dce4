"""Stage 5: the shortest way of a supply cord from an outlet to a bowl, tub or shower, through no wall."""

from cordpath.reach.figured import figured, in_space
from cordpath.reach.glass import through_glass
from cordpath.reach.paths import cord_paths
from cordpath.reach.problems import reach_problems

__all__ = ["cord_paths", "figured", "in_space", "reach_problems", "through_glass"]
