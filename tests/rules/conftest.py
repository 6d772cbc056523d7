"""Property tests are about answers, not speed: on a busy machine no example is cut off by the clock."""

from hypothesis import settings

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
