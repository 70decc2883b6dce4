"""Stage 5: the shortest way of a supply cord from an outlet to a bowl, tub or shower, through no wall."""
