"""Which examples hypothesis tries: the same ones in every run, unless new ones are asked for."""

from hypothesis import settings

# A run that fails must fail again on the next machine: a submission is not refused for a lucky find in a part that
# it never touched. `pytest --hypothesis-profile explore` looks for new examples; DEVELOPERS.md says when.
settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None, print_blob=True)
settings.load_profile("same")
